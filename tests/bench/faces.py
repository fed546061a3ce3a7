"""What the table face costs: first frame, key to drawn score, and frames while 20 entries a second arrive.

    python -m tests.bench.faces

Real stations in one process (no sockets, no disk), the real face, drawn by software without a display.
Prints figures; asserts nothing.
"""

from __future__ import annotations

import os
import statistics
import sys
import time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_QUICK_BACKEND", "software")

from PySide6.QtCore import QCoreApplication, QEventLoop, Qt, QTimer
from PySide6.QtTest import QTest

from crewlink.crew.posts import Post
from crewlink.match.commands import BeginSet, LineUp, Point, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet
from crewlink.rules.format import FormatOptions
from crewlink.script.crew_stage import CrewStage
from crewlink.snapshot import RefusalView, Snapshot
from ui.bridge.submit import Command
from ui.face import Face
from ui.stage import Stage, ready_application

WALL = 1_700_000_000_000
PLAYERS = tuple(range(1, 13))
SIX = (1, 2, 3, 4, 5, 6)
KEYS = 40
STREAM_S = 5.0
GAP_S = 0.05


class Sent:
    """An answer on its way."""

    refusal: RefusalView | None = None


class Table:
    """The table face on the scorer's station of a linked crew; a command is answered by the next snapshot."""

    def __init__(self) -> None:
        setup = MatchSetup(
            format=FormatOptions(best_of=1, points=1000, deciding_points=1000, court_change_at=0),
            team_a=TeamSheet(players=PLAYERS, captain=1),
            team_b=TeamSheet(players=PLAYERS, captain=2),
        )
        self.crew = CrewStage(setup, (Post.SCORER, Post.R2, Post.R1))
        for command in (
            Toss(Team.A, Team.A),
            LineUp(Team.A, SIX, captain=1),
            LineUp(Team.B, SIX, captain=2),
            BeginSet(),
        ):
            self.crew.act(Post.SCORER, command)
        self.drawn: list[float] = []
        begun = time.perf_counter()
        self.stage = Stage(Face.TABLE, self.snapshot(), self.submit, now=lambda: self.crew.now)
        self.stage.view.frameSwapped.connect(lambda: self.drawn.append(time.perf_counter()))
        self.stage.show()
        self.wait_frame(0)
        self.first_frame = time.perf_counter() - begun

    def snapshot(self) -> Snapshot:
        station = self.crew.stations[Post.SCORER]
        return station.snapshot(self.crew.now, WALL + round(self.crew.now * 1000))

    def submit(self, command: Command) -> Sent:
        self.crew.now += 3.0
        self.crew.act(Post.SCORER, command)
        self.stage.court.update(self.snapshot())
        return Sent()

    def wait_frame(self, seen: int) -> None:
        until = time.perf_counter() + 5.0
        while len(self.drawn) <= seen and time.perf_counter() < until:
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 5)

    def key(self, key: Qt.Key) -> float:
        """Seconds from the key to the frame that shows what it did."""
        score, begun, seen = self.score(), time.perf_counter(), len(self.drawn)
        QTest.keyClick(self.stage.view, key)
        while self.score() == score and time.perf_counter() - begun < 2.0:
            QCoreApplication.processEvents()
        self.wait_frame(seen)
        return time.perf_counter() - begun

    def score(self) -> tuple[int, int]:
        court = self.crew.stations[Post.SCORER].court
        assert court is not None
        return court.match.score


def stream(table: Table) -> list[float]:
    """Seconds from a snapshot's turn to its frame, while one arrives every 50 ms.

    The snapshots are made before: in the program the link's thread makes them.
    """
    snapshots = []
    for number in range(round(STREAM_S / GAP_S)):
        table.crew.now += 3.0
        table.crew.act(Post.SCORER, Point(Team.A if number % 3 else Team.B))
        snapshots.append(table.snapshot())
    feed, loop, taken = QTimer(), QEventLoop(), list[float]()
    waiting: list[float] = []

    def arrive() -> None:
        if not snapshots:
            loop.quit()
            return
        waiting.append(time.perf_counter())
        table.stage.court.update(snapshots.pop(0))

    def drawn() -> None:
        taken.extend(time.perf_counter() - begun for begun in waiting)
        waiting.clear()

    table.stage.view.frameSwapped.connect(drawn)
    feed.timeout.connect(arrive)
    feed.start(round(GAP_S * 1000))
    loop.exec()
    return taken


def main() -> None:
    """Measure and print."""
    sys.setswitchinterval(0.0005)
    ready_application()
    Table().stage.close()  # the second one is warm: files read, shaders and fonts known
    table = Table()
    print(f"first frame, warm: {table.first_frame * 1000:.0f} ms (asked: under 1000)")
    taken = sorted(table.key(Qt.Key.Key_Right if n % 2 else Qt.Key.Key_Left) for n in range(KEYS))
    print(
        f"key to drawn score: median {statistics.median(taken) * 1000:.0f} ms, "
        f"worst of {KEYS} {taken[-1] * 1000:.0f} ms (asked: under 50)"
    )
    frames = sorted(stream(table))
    print(
        f"20 entries/s: {len(frames)} snapshots drawn, median {statistics.median(frames) * 1000:.0f} ms, "
        f"worst {frames[-1] * 1000:.0f} ms from snapshot to frame (asked: under 33)"
    )
    table.stage.close()


if __name__ == "__main__":
    main()
