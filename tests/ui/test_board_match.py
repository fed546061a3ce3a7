"""The board over real crews: two courts with their own stations, one supervisor's device in each."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication

from crewlink.crew.commands import AnswerNotice, CloseNotice, Raise
from crewlink.crew.posts import Post
from crewlink.match import commands as match
from crewlink.match.teams import Team
from crewlink.script.crew_stage import WALL_MS, CrewStage
from crewlink.script.player import Act
from crewlink.snapshot import BoardSnapshot, NoticeView, Snapshot
from tests.gallery.scene import Scene
from tests.ui.rig import Rig, Said
from tests.ui.test_wrist_match import setup
from tests.ui.walks import all_faults
from ui.app import run_board
from ui.board_source import BoardSource, numbered
from ui.bridge.submit import Command
from ui.face import SHAPES, Face

POSTS = (Post.SCORER, Post.R1, Post.R2, Post.SITE)


class Court:
    """A court's crew, and the supervisor's station in it as a source of the board."""

    def __init__(self, score: tuple[int, int]) -> None:
        self.stage = CrewStage(setup(score), POSTS)
        self.stage.act(Post.SCORER, match.Point(Team.A))
        self.heard: Callable[[Snapshot], None] | None = None
        self.stopped = False
        self.refreshed = 0

    def snapshot(self, post: Post = Post.SITE) -> Snapshot:
        """The court as a post sees it now."""
        now = self.stage.now
        return self.stage.stations[post].snapshot(now, WALL_MS + round(now * 1000))

    def submit(self, command: Command) -> Said:
        self.stage.act(Post.SITE, command)
        self.tell()
        return Said()

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        self.heard = heard

    def refresh(self) -> None:
        self.refreshed += 1

    def stop(self) -> None:
        self.stopped = True

    def tell(self) -> None:
        """Give the newest snapshot to the board."""
        if self.heard is not None:
            self.heard(self.snapshot())

    def act(self, post: Post, command: Act) -> None:
        """Somebody of the crew does something."""
        self.stage.act(post, command)
        self.tell()

    def notice(self, post: Post, kind: str) -> NoticeView:
        """The notice of a kind as a post sees it."""
        return next(one for one in self.snapshot(post).notices if one.kind == kind)


class Hall:
    """Two courts on one board; their clocks run together."""

    def __init__(self, size: tuple[int, int]) -> None:
        self.courts = (Court((20, 21)), Court((9, 4)))
        self.source = BoardSource(
            self.courts, "Harbour Hall", now=self.now, wall=lambda: WALL_MS / 1000 + self.now(), pace=0.0
        )
        hall = self

        class Live(Rig):
            def _submit_to(self, court: int, command: Command) -> Said:
                self.sent_to.append((court, command))
                hall.source.submit_to(court, command)
                return Said()

        first = self.courts[0].snapshot()
        self.rig: Rig = Live(Face.BOARD, Scene(first, board=self.source.board()), size=size)
        self.source.listen(self.show)

    def now(self) -> float:
        return self.courts[0].stage.now

    def show(self, board: BoardSnapshot) -> None:
        """Bring a board to the face."""
        assert self.rig.stage.board is not None
        self.rig.now = self.now()
        self.rig.stage.board.update(board)
        self.rig.settle()

    def pass_time(self, seconds: float) -> None:
        """Let both courts' clocks run, and show what came of it."""
        for court in self.courts:
            court.stage.pass_time(seconds)
        for court in self.courts:
            court.tell()


@pytest.fixture(params=SHAPES[Face.BOARD].sizes, ids=str)
def hall(application: QGuiApplication, request: pytest.FixtureRequest) -> Iterator[Hall]:
    """A hall of two courts, 21:21 and 10:4."""
    made = Hall(request.param)
    yield made
    assert all_faults(made.rig, 31 if request.param[0] == 1920 else 22, 48) == []
    assert made.rig.close() == []


def test_both_courts_are_on_the_board(hall: Hall) -> None:
    """Numbers by their place, points of their own records."""
    assert hall.rig.named("Court 1, Team A 21, Team B 21")
    assert hall.rig.named("Court 2, Team A 10, Team B 4")
    assert "6 of 6 devices linked" in hall.rig.texts()


def test_a_point_changes_its_own_tile(hall: Hall) -> None:
    """The other one stays."""
    hall.courts[1].act(Post.SCORER, match.Point(Team.B))
    assert hall.rig.named("Court 2, Team A 10, Team B 5")
    assert hall.rig.named("Court 1, Team A 21, Team B 21")


def test_an_injury_is_answered_from_the_board(hall: Hall) -> None:
    """Raised at R2 of court 2: tile, list, open court, Got it; then R2 sees the supervisor's tick."""
    court = hall.courts[1]
    court.act(Post.R2, Raise("medical", "A", 12))
    assert {"Injury", "NOW", "0 of 2 answered"} <= set(hall.rig.texts())
    hall.rig.key(Qt.Key.Key_Return)
    assert "Court 2" in hall.rig.texts()
    notice = court.notice(Post.R2, "medical")
    hall.rig.tap(f"board.notice.answer.{notice.id}")
    receipts = {row.post: row.state for row in court.notice(Post.R2, "medical").receipts}
    assert receipts["site"] == "answered"
    assert not hall.rig.seen(f"board.notice.answer.{notice.id}")


def test_the_crew_sees_that_the_board_showed_it(hall: Hall) -> None:
    """400 ms in the list of open notices is "shown" at the court."""
    court = hall.courts[0]
    court.act(Post.R2, Raise("medical", "B", 5))
    hall.rig.eventually(
        lambda: {row.post: row.state for row in court.notice(Post.R2, "medical").receipts}["site"] == "shown"
    )


def test_a_set_point_never_comes_to_the_board(hall: Hall) -> None:
    """At 24:21 R2 tells the crew; the board stays calm."""
    court = hall.courts[0]
    for _ in range(3):
        court.act(Post.SCORER, match.Point(Team.A))
    court.act(Post.R2, Raise("set_point", "A"))
    assert court.notice(Post.R1, "set_point").state == "open"
    assert "Nothing is open." in hall.rig.texts()


def test_answered_by_all_is_not_over(hall: Hall) -> None:
    """Every post has answered a wrong server: it stays on tile, list and open court until it is closed."""
    court = hall.courts[0]
    court.act(Post.R2, Raise("wrong_server", "B", 5))
    for post in (Post.R1, Post.SCORER):
        court.act(post, AnswerNotice(court.notice(post, "wrong_server").id))
    assert court.notice(Post.SITE, "wrong_server").state == "answered"
    assert hall.rig.texts().count("R1 decides") == 2
    assert "Nothing is open." not in hall.rig.texts()
    hall.rig.tap("board.court1.tile")
    assert {"answered", "R1 decides"} <= set(hall.rig.texts())
    hall.rig.key(Qt.Key.Key_Escape)
    court.act(Post.R1, CloseNotice(court.notice(Post.R1, "wrong_server").id))
    assert "R1 decides" not in hall.rig.texts() and "Nothing is open." in hall.rig.texts()


def test_what_is_over_stays_with_its_way(hall: Hall) -> None:
    """Conduct is raised, seen, answered, ended by R1: gone from the list, kept in the open court."""
    court = hall.courts[0]
    court.act(Post.R2, Raise("conduct", "B", detail="coach"))
    assert "Conduct" in hall.rig.texts()
    hall.pass_time(3.0)
    notice = court.notice(Post.R1, "conduct")
    court.act(Post.R1, AnswerNotice(notice.id))
    hall.pass_time(4.0)
    court.act(Post.R1, CloseNotice(notice.id, "warned"))
    assert "Nothing is open." in hall.rig.texts()
    hall.rig.tap("board.court1.tile")
    assert {"Conduct", "closed in 0:07", "3 s"} <= set(hall.rig.texts())


def test_ages_run_while_nothing_comes(hall: Hall) -> None:
    """A snapshot that is some seconds old is shown with its ages as they are now."""
    court = hall.courts[0]
    court.act(Post.R2, Raise("medical", "B", 5))
    court.stage.now += 8.0
    aged = hall.source.board()
    assert aged.notices[0].notice.age == pytest.approx(8.0, abs=0.5)


def test_a_court_whose_crew_is_gone_says_as_of(hall: Hall) -> None:
    """All links of the supervisor's device to court 2 break: figures stay, dim, with their time."""
    site = hall.courts[1].stage.stations[Post.SITE]
    for link in range(len(POSTS)):
        if link != POSTS.index(Post.SITE):
            site.link_down(link, hall.now())
    hall.courts[1].stage.now += 12.0
    hall.courts[0].stage.pass_time(12.0)
    for court in hall.courts:
        court.tell()
    tile = next(tile for tile in hall.source.board().tiles if tile.court == 2)
    assert not tile.linked and tile.a is not None and tile.a.points == 10
    assert any(text.startswith("as of ") for text in hall.rig.texts())
    assert "3 of 6 devices linked" in hall.rig.texts()


def test_many_courts_that_speak_at_once_make_few_boards() -> None:
    """In one tenth of a second one board; what came meanwhile is in the next one, at the refresh."""
    court = Court((9, 4))
    before = court.snapshot().a.points
    clock = [5.0]
    source = BoardSource([court], now=lambda: clock[0])
    boards: list[BoardSnapshot] = []
    source.listen(boards.append)
    for _ in range(12):
        court.act(Post.SCORER, match.Point(Team.A))
        clock[0] += 0.01
    assert len(boards) == 2
    source.refresh()
    assert boards[-1].tiles[0].a is not None and boards[-1].tiles[0].a.points == before + 12
    assert court.refreshed == 1


def test_a_command_for_a_court_that_is_not_there_is_refused(hall: Hall) -> None:
    """One clear sentence."""
    refusal = hall.source.submit_to(9, AnswerNotice("00")).refusal
    assert refusal is not None and refusal.sentence == "Court 9 is not on this board."


@pytest.mark.parametrize(
    ("names", "numbers"),
    [
        (("Court 7", "Court 3"), (7, 3)),
        (("Court", "Court"), (1, 2)),
        (("Centre", "Court 1"), (2, 1)),
        (("Court 4", "Court 4"), (4, 1)),
        ((), ()),
    ],
)
def test_courts_are_numbered_by_their_names(names: tuple[str, ...], numbers: tuple[int, ...]) -> None:
    """A name without a number, or with one that is taken, gets the lowest free place."""
    assert numbered([Snapshot(0.0, "site", name) for name in names]) == numbers


def test_the_board_runs_and_ends(application: QGuiApplication) -> None:
    """The window opens over two courts, asks them again and again, and takes all down when it is closed."""
    courts = (Court((20, 21)), Court((9, 4)))

    def look() -> None:
        window = next((one for one in QGuiApplication.topLevelWindows() if one.isVisible()), None)
        if window is not None and all(court.refreshed for court in courts):
            ticks.stop()
            window.close()

    ticks = QTimer()
    ticks.timeout.connect(look)
    ticks.start(10)
    assert run_board(BoardSource(courts), size=(1366, 768)) == 0
    assert all(court.stopped for court in courts)
