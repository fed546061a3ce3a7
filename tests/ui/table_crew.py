"""Whole stations behind the table under test: real engine, record and crew behind every key."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from crewlink.crew.commands import CrewCommand
from crewlink.crew.posts import Post
from crewlink.match.commands import Command as MatchCommand
from crewlink.match.history import decide
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import TeamSheet
from crewlink.script.crew_stage import CrewStage
from crewlink.snapshot import RefusalView, Snapshot
from tests.gallery.table_states import keys
from tests.ui.rig import Said
from ui.bridge.submit import Command
from ui.face import Face
from ui.line.world import Verdict, verdict_of
from ui.stage import Stage

A = TeamSheet("Harbour Kites", (2, 4, 6, 7, 9, 11, 12, 13, 15, 16, 19, 20), 9, (20,))
B = TeamSheet("Northfield Lynx", (1, 2, 3, 5, 8, 9, 10, 14, 17, 18, 22, 23), 10, (18,))


def setup(profile: str = "INT") -> MatchSetup:
    """The two teams under a shipped profile."""
    return MatchSetup(profile=profile, team_a=A, team_b=B)


class TableCrew:
    """A crew of stations in one process, and the table's face on the scorer's; all share the crew's clock."""

    def __init__(
        self, match: MatchSetup | None = None, posts: tuple[Post, ...] = (Post.SCORER, Post.R2, Post.R1)
    ) -> None:
        self.crew = CrewStage(match or setup(), posts)
        self.crew.pass_time(1.0)
        self.stage = Stage(
            Face.TABLE, self.snapshot(), self._submit, now=lambda: self.crew.now, ask=self._ask
        )
        self.stage.show()
        QGuiApplication.processEvents()

    @property
    def desk(self) -> Any:
        """The scorer's desk of the face."""
        return self.stage.court.desk

    def snapshot(self) -> Snapshot:
        """What the scorer's station shows now."""
        station = self.crew.stations[Post.SCORER]
        return station.snapshot(self.crew.now, 1_700_000_000_000 + round(self.crew.now * 1000))

    def _submit(self, command: Command) -> Said:
        ruling = self.crew.act(Post.SCORER, command).ruling
        if ruling is not None and not ruling.fine:
            return Said(RefusalView(ruling.sentence, ruling.reference))
        self.stage.court.update(self.snapshot())
        return Said()

    def _ask(self, command: MatchCommand, heard: Callable[[Verdict], None]) -> None:
        court = self.crew.stations[Post.SCORER].court
        if court is not None and not isinstance(command, CrewCommand):
            heard(verdict_of(decide(court.chain, command)))

    def look(self) -> Snapshot:
        """Bring the face up to date; gives what it shows."""
        snapshot = self.snapshot()
        self.stage.court.update(snapshot)
        QGuiApplication.processEvents()
        return snapshot

    def press(self, text: str) -> Snapshot:
        """Press keys by name, one after the other; gives the court after the last."""
        for key in keys(text):
            QTest.keyClick(self.stage.view, key)
            QGuiApplication.processEvents()
        return self.look()

    def rally(self, arrow: str) -> Snapshot:
        """Four seconds of play, then a point to the team at `arrow`."""
        self.wait(4.0)
        return self.press(arrow)

    def wait(self, seconds: float) -> Snapshot:
        """Let the crew's time pass."""
        self.crew.pass_time(seconds)
        return self.look()

    def do(self, post: Post, command: Command) -> Snapshot:
        """Something another post does."""
        self.crew.act(post, command)
        return self.look()

    def close(self) -> list[str]:
        """Take the face down; gives what the engine of the window warned of."""
        self.stage.close()
        return self.stage.warnings


def sheet(arrow: str, numbers: str, liberos: str, captain: str) -> str:
    """The keys that type a line-up sheet: six numbers, liberos, captain, signature."""
    boxes = " Enter ".join([*numbers.split(), *liberos.split()])
    return f"{arrow} {boxes} Enter {captain} Enter Down Enter"
