"""The board over running stations: two courts on real sockets, the supervisor's device in both crews."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from crewlink.charter import Charter, Names, TeamNames
from crewlink.crew.commands import Raise
from crewlink.match.commands import Point
from crewlink.match.teams import Team
from crewlink.running import RunningStation
from crewlink.snapshot import BoardSnapshot
from demo_session.event import prepare
from tests.ui.test_wrist_match import setup
from ui.board_source import BoardSource
from ui.station_source import StationSource

LIMIT_S = 30.0


class Hall:
    """Two courts with a table each, and the board of the supervisor's stations."""

    def __init__(self, root: Path) -> None:
        self.news = threading.Condition()
        self.newest: BoardSnapshot | None = None
        self.tables: list[RunningStation] = []
        sites: list[StationSource] = []
        for number, score in ((3, (20, 21)), (8, (9, 4))):
            names = Names(
                f"Court {number}", "Girls U16", TeamNames("Kites", "Kites"), TeamNames("Lynx", "Lynx")
            )
            crew = prepare(root / str(number), ("scorer", "site"), Charter(setup(score)), names)
            table = RunningStation(crew.folders["scorer"], lambda: None)
            table.start()
            self.tables.append(table)
            site = StationSource(crew.folders["site"])
            site.start()
            sites.append(site)
        self.source = BoardSource(sites)

    def heard(self, board: BoardSnapshot) -> None:
        """A new board; from any thread."""
        with self.news:
            self.newest = board
            self.news.notify_all()

    def until(self, happened: Callable[[BoardSnapshot], bool]) -> BoardSnapshot:
        """Wait until the board says so, asking again as the window does."""
        end = time.monotonic() + LIMIT_S
        with self.news:
            while self.newest is None or not happened(self.newest):
                assert time.monotonic() < end, self.newest
                self.news.wait(0.2)
                self.source.refresh()
            return self.newest

    def stop(self) -> None:
        """End all stations."""
        self.source.stop()
        for table in self.tables:
            table.stop()


@pytest.fixture
def hall(tmp_path: Path) -> Iterator[Hall]:
    """Both courts linked."""
    made = Hall(tmp_path)
    try:
        made.source.listen(made.heard)
        made.until(lambda board: board.health.linked == 2 and [tile.court for tile in board.tiles] == [3, 8])
        yield made
    finally:
        made.stop()


def points(board: BoardSnapshot, court: int) -> tuple[int, int]:
    """The points on a court's tile."""
    tile = next(tile for tile in board.tiles if tile.court == court)
    assert tile.a is not None and tile.b is not None
    return tile.a.points, tile.b.points


def test_points_and_notices_of_running_courts_come_to_the_board(hall: Hall) -> None:
    """Written at a table, raised at a table: seen on its own tile; the tile keeps the name's number."""
    hall.tables[1].submit(Point(Team.A))
    hall.until(lambda board: points(board, 8) == (10, 4) and points(board, 3) == (20, 21))
    hall.tables[0].submit(Raise("medical", "A", 12))
    board = hall.until(lambda board: len(board.notices) == 1)
    assert (board.notices[0].court, board.notices[0].notice.kind) == (3, "medical")


@pytest.mark.slow
def test_a_court_whose_table_stops_keeps_its_figures(hall: Hall) -> None:
    """The table of court 8 is switched off: after ten seconds "as of", figures as they were."""
    hall.tables[1].stop()
    board = hall.until(lambda board: not next(tile for tile in board.tiles if tile.court == 8).linked)
    assert points(board, 8) == (9, 4)
    assert next(tile for tile in board.tiles if tile.court == 3).linked
    hall.tables.pop()
