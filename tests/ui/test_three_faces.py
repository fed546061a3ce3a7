"""A whole set through the faces of three linked stations, by keys and taps alone.

Scorer at the table (keys), second referee at the net (taps), first referee on the wrist (taps). Nothing is
handed to a station but what a person does at its face.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtGui import QGuiApplication

from crewlink.crew.commands import CrewCommand
from crewlink.crew.posts import Post
from crewlink.match.commands import Command as MatchCommand
from crewlink.match.history import decide
from crewlink.script.crew_stage import WALL_MS, CrewStage
from crewlink.snapshot import RefusalView, Snapshot
from tests.gallery.scene import Scene
from tests.gallery.table_states import keys
from tests.ui.rig import Rig, Said
from tests.ui.table_crew import setup, sheet
from ui.bridge.submit import Command
from ui.face import Face
from ui.line.world import Verdict, verdict_of

FACES = {Post.SCORER: Face.TABLE, Post.R2: Face.NET, Post.R1: Face.WRIST}


class Gym:
    """Three stations and their faces; one clock for all."""

    def __init__(self) -> None:
        self.crew = CrewStage(setup(), tuple(FACES))
        self.crew.pass_time(1.0)
        self.rigs = {post: self._rig(post, face) for post, face in FACES.items()}

    def _rig(self, post: Post, face: Face) -> Rig:
        gym = self

        class Live(Rig):
            def _submit(self, command: Command) -> Said:
                ruling = gym.crew.act(post, command).ruling
                refused = ruling is not None and not ruling.fine
                return Said(RefusalView(ruling.sentence) if ruling is not None and refused else None)

        return Live(face, Scene(self.snapshot(post), ask=self._ask))

    def _ask(self, command: MatchCommand, heard: Callable[[Verdict], None]) -> None:
        court = self.crew.stations[Post.SCORER].court
        if court is not None and not isinstance(command, CrewCommand):
            heard(verdict_of(decide(court.chain, command)))

    def snapshot(self, post: Post) -> Snapshot:
        now = self.crew.now
        return self.crew.stations[post].snapshot(now, WALL_MS + round(now * 1000))

    def show(self) -> None:
        """Bring every face up to date."""
        for post, rig in self.rigs.items():
            rig.now = self.crew.now
            rig.stage.court.update(self.snapshot(post))
            rig.settle()

    def wait(self, seconds: float) -> None:
        """Time passes for all, in steps that a plate's delay can see."""
        end = self.crew.now + seconds
        while self.crew.now < end:
            self.crew.pass_time(min(0.25, end - self.crew.now))
            for rig in self.rigs.values():
                rig.wait(0.0)
            self.show()

    def keys(self, text: str) -> None:
        """The scorer presses keys at the laptop, whose own window has the keyboard."""
        table = self.rigs[Post.SCORER]
        table.stage.view.requestActivate()
        table.until(table.stage.view, "active", True)
        for key in keys(text):
            table.key(key)
            self.show()

    def tap(self, post: Post, name: str) -> None:
        """An official taps, once the pad listens (a plate is deaf at first)."""
        rig = self.rigs[post]
        item = rig.item(name)
        if item.property("armed") is not None:
            rig.until(item, "armed", True)
        rig.tap(name)
        self.show()

    def rally(self, winner: str) -> None:
        """Four seconds of play, then the scorer's arrow for the winner."""
        self.wait(4.0)
        before = self.points()
        left = self.snapshot(Post.SCORER).left
        self.keys("Left" if winner == left else "Right")
        assert self.points() != before, "the key wrote no point"

    def points(self) -> tuple[int, int]:
        snapshot = self.snapshot(Post.R1)
        return snapshot.a.points, snapshot.b.points


@pytest.fixture
def gym(application: QGuiApplication) -> Iterator[Gym]:
    made = Gym()
    yield made
    assert [warning for rig in made.rigs.values() for warning in rig.close()] == []


def begin(gym: Gym) -> None:
    gym.keys("Enter Left Enter Left Enter")
    gym.keys(sheet("Left", "7 12 2 15 4 9", "", ""))
    gym.keys(sheet("Right", "3 8 1 10 5 14", "", ""))
    gym.keys("Enter")


def answered(gym: Gym, kind: str) -> set[str]:
    """Posts that answered the notice of that kind themselves, as the raiser's crew holds it."""
    court = gym.crew.stations[Post.R2].court
    assert court is not None
    of_kind = [
        one for one in court.crew.notices.values() if one.raised is not None and one.raised.kind == kind
    ]
    return set(of_kind[-1].answers)


def test_a_set_with_the_three_notices_through_three_faces(gym: Gym) -> None:
    begin(gym)
    for winner in "AABBA":
        gym.rally(winner)
    assert gym.points() == (3, 2)

    # heckling: raised at the net, answered at the table by Space and on the wrist by a tap
    gym.tap(Post.R2, "net.well.conduct")
    gym.tap(Post.R2, "net.conduct.sideB")
    gym.tap(Post.R2, "net.conduct.coach")
    gym.wait(1.0)
    gym.keys("Space")
    gym.tap(Post.R1, "wrist.notice.answer")
    assert answered(gym, "conduct") == {"scorer", "R1"}

    # wrong server: the scorer types it, both answer, R1 agrees on the wrist
    gym.rally("A")
    assert gym.points() == (4, 2)
    gym.keys("Up 1 5 Enter")
    gym.wait(1.0)
    gym.tap(Post.R2, "net.answer.pad")
    gym.tap(Post.R1, "wrist.notice.answer")
    gym.wait(1.0)
    gym.tap(Post.R1, "wrist.decide.agree")
    assert gym.points() == (3, 3)
    assert gym.snapshot(Post.R2).server_team == "B"

    # on to set point, raised at the net, answered by Space and by a tap anywhere
    gym.wait(1.0)
    while gym.points()[1] < 24:
        gym.rally("B")
    gym.wait(0.5)
    gym.tap(Post.R2, "net.answer.tell")
    gym.wait(1.0)
    gym.keys("Space")
    gym.tap(Post.R1, "wrist.setpoint.answer")
    assert answered(gym, "set_point") == {"scorer", "R1"}
    gym.rally("B")
    for post in FACES:
        snapshot = gym.snapshot(post)
        assert (snapshot.a.sets, snapshot.b.sets) == (0, 1), post
        assert snapshot.phase == "between_sets"
    courts = [station.court for station in gym.crew.stations.values()]
    assert len({court.digest() for court in courts if court is not None}) == 1
