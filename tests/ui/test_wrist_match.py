"""The wrist over a real crew: taps become entries at R1's station, and snapshots come back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QGuiApplication

from crewlink.crew.commands import AnswerNotice, Hold, Raise, Ready, Release, WithdrawNotice
from crewlink.crew.posts import Post
from crewlink.match import commands as match
from crewlink.match.ruling import Severity
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.teams import Team, TeamSheet
from crewlink.script.crew_stage import WALL_MS, CrewStage
from crewlink.script.player import Act
from crewlink.snapshot import NoticeView, RefusalView, Snapshot
from tests.gallery.scene import Scene
from tests.ui.rig import Rig, Said
from tests.ui.walks import all_faults
from ui.bridge.submit import Command
from ui.face import SHAPES, Face

A_LIST = TeamSheet("Harbour Kites", (2, 4, 6, 7, 9, 11, 12, 13, 15, 16, 19, 20), 9, (20,))
B_LIST = TeamSheet("Northfield Lynx", (1, 2, 3, 5, 8, 9, 10, 14, 17, 18, 22, 23), 10, (18,))
FLOOR, LEAST = 29, 120


def setup(score: tuple[int, int]) -> MatchSetup:
    """A set under way at `score`, A to serve with 7."""
    start = MidMatch(
        Team.A, TeamStart((7, 12, 2, 15, 4, 9)), TeamStart((3, 8, 1, 10, 5, 14)), score, first_server=Team.A
    )
    return MatchSetup(team_a=A_LIST, team_b=B_LIST, start=start)


class Crew:
    """Linked stations of table, R1 and R2; R1's is shown on a wrist."""

    def __init__(self, score: tuple[int, int], size: tuple[int, int]) -> None:
        self.stage = CrewStage(setup(score), (Post.SCORER, Post.R1, Post.R2))
        crew = self

        class Live(Rig):
            def _submit(self, command: Command) -> Said:
                self.sent.append(command)
                ruling = crew.stage.act(Post.R1, command).ruling
                refused = ruling is not None and ruling.severity is Severity.REFUSE
                return Said(RefusalView(ruling.sentence) if ruling is not None and refused else None)

        self.rig: Rig = Live(Face.WRIST, Scene(self.snapshot()), size=size)
        self.rig.slow("telling")

    def snapshot(self, post: Post = Post.R1) -> Snapshot:
        """The court as a post sees it now."""
        now = self.stage.now
        return self.stage.stations[post].snapshot(now, WALL_MS + round(now * 1000))

    def show(self) -> None:
        """Bring R1's newest snapshot to the face."""
        self.rig.now = self.stage.now
        self.rig.stage.court.update(self.snapshot())
        self.rig.settle()
        assert all_faults(self.rig, FLOOR, LEAST) == []

    def tap(self, name: str) -> None:
        """Tap a pad as soon as it listens, and show what came of it."""
        self.rig.until(self.rig.item(name), "armed", True)
        self.rig.tap(name)
        self.show()

    def act(self, post: Post, command: Act) -> None:
        """Somebody else does something."""
        self.stage.act(post, command)
        self.show()

    def notice(self, post: Post, kind: str) -> NoticeView:
        """The notice of a kind as a post sees it."""
        return next(one for one in self.snapshot(post).notices if one.kind == kind)

    def told(self, post: Post, kind: str, about: str) -> str:
        """How far a notice has come at the post `about`, as `post` sees it."""
        return next(row.state for row in self.notice(post, kind).receipts if row.post == about)

    def score(self) -> tuple[int, int]:
        """The score at R2."""
        seen = self.snapshot(Post.R2)
        return seen.a.points, seen.b.points


@pytest.fixture(params=SHAPES[Face.WRIST].sizes, ids=str)
def crew(application: QGuiApplication, request: pytest.FixtureRequest) -> Iterator[Crew]:
    """A crew at 22:21 whose R1 wears the wrist, upright and round."""
    made = Crew((21, 21), request.param)
    made.act(Post.SCORER, match.Point(Team.A))
    yield made
    assert made.rig.close() == []


def test_raised_at_r2_tapped_at_r1_answered_at_r2(crew: Crew) -> None:
    """The plate comes up, one tap answers it, and R2 sees R1's own tick."""
    crew.act(Post.R2, Raise("conduct", "B", detail="coach"))
    assert {"Conduct", "Got it"} <= set(crew.rig.texts())
    assert any("coach" in text for text in crew.rig.texts())
    crew.tap("wrist.notice.answer")
    assert crew.told(Post.R2, "conduct", "R1") == "answered"
    assert crew.rig.seen("wrist.calm.tell")


def test_a_shown_plate_is_known_to_its_raiser(crew: Crew) -> None:
    """After 400 ms on the wrist R2 sees that R1 has it."""
    crew.act(Post.R2, Raise("conduct", "B"))
    crew.rig.eventually(lambda: crew.told(Post.R2, "conduct", "R1") == "shown")


def test_conduct_told_by_r1_reaches_the_crew(crew: Crew) -> None:
    """Tell, Conduct, the half of B: details at R2, neutral at the table; then R1 sees who has it."""
    crew.tap("wrist.calm.tell")
    crew.tap("wrist.tell.conduct")
    crew.tap("wrist.half.B")
    assert (crew.notice(Post.R2, "conduct").team, crew.notice(Post.SCORER, "conduct").team) == ("B", "")
    crew.act(Post.R2, AnswerNotice(crew.notice(Post.R2, "conduct").id))
    assert {"Told all", "Conduct"} <= set(crew.rig.texts())
    assert crew.rig.named("R2 0 s")


def test_what_was_told_by_mistake_is_taken_back(crew: Crew) -> None:
    """Within six seconds, with a reason that the crew can read."""
    crew.tap("wrist.calm.tell")
    crew.tap("wrist.tell.conduct")
    crew.tap("wrist.half.A")
    crew.tap("wrist.own.back")
    withdrawn = crew.notice(Post.R2, "conduct")
    assert (withdrawn.state, withdrawn.reason) == ("withdrawn", "a slip")
    assert crew.rig.seen("wrist.calm.tell")


def test_a_wrong_server_by_r1_names_the_team_that_served(crew: Crew) -> None:
    """A served the last rally and serves again: A is meant."""
    crew.tap("wrist.calm.tell")
    crew.tap("wrist.tell.server")
    assert crew.notice(Post.SCORER, "wrong_server").team == "A"
    assert crew.notice(Post.SCORER, "wrong_server").due == 7


def at_decision(crew: Crew) -> None:
    """12 served for A in place of 7 and A won the rally; the table says so and R1 has seen it."""
    crew.act(Post.SCORER, match.Point(Team.A))
    crew.act(Post.SCORER, Raise("wrong_server", "A", 12))
    assert {"NOW", "Wrong server", "A 12"} <= set(crew.rig.texts())
    crew.tap("wrist.notice.answer")
    assert crew.rig.seen("wrist.decide.agree")


def test_r1_agrees_and_the_decision_is_written(crew: Crew) -> None:
    """What the wrist showed as the score after is what every post has then."""
    at_decision(crew)
    suggested = next(one for one in crew.snapshot().proposals if one.mine)
    shown = (
        crew.rig.item("wrist.decide.A").property("text"),
        crew.rig.item("wrist.decide.B").property("text"),
    )
    assert ":".join(shown) == suggested.after != suggested.before
    crew.tap("wrist.decide.agree")
    assert crew.score() == tuple(map(int, suggested.after.split(":")))
    assert not crew.rig.seen("wrist.decide.agree")


def test_r1_says_no_and_nothing_is_written(crew: Crew) -> None:
    """The score stays, and the wrist does not ask again."""
    at_decision(crew)
    crew.tap("wrist.decide.no")
    assert crew.score() == (23, 21)
    assert not crew.rig.seen("wrist.decide.agree")


def test_a_set_point_is_answered_anywhere_and_stays_answered(crew: Crew) -> None:
    """R2 tells it at 24:21; a tap answers; at 24:22 the same spell does not come back."""
    crew.act(Post.SCORER, match.Point(Team.A))
    crew.act(Post.SCORER, match.Point(Team.A))
    crew.act(Post.R2, Raise("set_point", "A"))
    assert {"Set point", "A", "24", "21", "Tap anywhere"} <= set(crew.rig.texts())
    crew.rig.until(crew.rig.item("wrist.setpoint.answer"), "armed", True)
    crew.rig.click(QPoint(60, 220))
    crew.show()
    assert not crew.rig.seen("wrist.setpoint.answer")
    crew.act(Post.SCORER, match.Point(Team.B))
    assert not crew.rig.seen("wrist.setpoint.answer")


def test_r1_tells_a_set_point_when_it_is_one(crew: Crew) -> None:
    """At 22:21 the pad is grey; at 24:21 one tap tells it for A."""
    crew.tap("wrist.calm.tell")
    assert crew.rig.item("wrist.tell.point").property("enabled") is False
    crew.act(Post.SCORER, match.Point(Team.A))
    crew.act(Post.SCORER, match.Point(Team.A))
    crew.tap("wrist.tell.point")
    assert crew.notice(Post.R2, "set_point").team == "A"


def test_a_hold_is_answered_then_stands_with_its_reason_until_released(crew: Crew) -> None:
    """Plate, Got it, "R2 holds"; released and R2 ready: clear or the score, and no hold."""
    crew.act(Post.R2, Hold("wet floor"))
    crew.tap("wrist.notice.answer")
    assert {"R2 holds", "wet floor"} <= set(crew.rig.texts())
    crew.act(Post.R2, Release())
    assert "R2 holds" not in crew.rig.texts()


def test_after_a_time_out_r1_waits_for_clear(crew: Crew) -> None:
    """Countdown; then R2 is awaited; R2 ready: Clear, with the server."""
    crew.act(Post.SCORER, match.TimeOut(Team.B))
    assert {"Time-out B", "0:30"} <= set(crew.rig.texts())
    crew.stage.pass_time(12.0)
    crew.show()
    assert "0:18" in crew.rig.texts()
    crew.act(Post.SCORER, match.EndTimeOut())
    assert "R2 not ready" in crew.rig.texts()
    crew.act(Post.R2, Ready())
    assert {"Clear", "7", "A serves"} <= set(crew.rig.texts())


def test_a_notice_that_r2_takes_back_says_so(crew: Crew) -> None:
    """R1 had seen it: struck title and reason, then nothing."""
    crew.act(Post.R2, Raise("stop_play"))
    crew.rig.eventually(lambda: crew.told(Post.R2, "stop_play", "R1") == "shown")
    crew.act(Post.R2, WithdrawNotice(crew.notice(Post.R2, "stop_play").id, "ball is away"))
    assert {"WITHDRAWN", "ball is away"} <= set(crew.rig.texts())
    crew.stage.pass_time(6.0)
    crew.show()
    assert "WITHDRAWN" not in crew.rig.texts()


def test_a_stop_that_nobody_wrote_yet_leaves_tell_in_reach(crew: Crew) -> None:
    """Play is presumed to go on, R1 has whistled: a tap wakes the face, Tell reaches the crew."""
    crew.stage.pass_time(9.0)
    crew.show()
    crew.rig.click(QPoint(60, 100))
    crew.tap("wrist.calm.tell")
    crew.tap("wrist.tell.server")
    assert crew.notice(Post.SCORER, "wrong_server").team == "A"


def test_the_ball_in_play_keeps_a_soon_away(crew: Crew) -> None:
    """Raised in a rally, a conduct report waits for the dead ball; the face stays dim."""
    crew.act(Post.SCORER, match.Point(Team.A))
    crew.stage.pass_time(9.0)
    crew.show()
    assert not crew.rig.seen("wrist.calm.tell")
    crew.act(Post.R2, Raise("conduct", "B"))
    assert "Conduct" not in crew.rig.texts()
    crew.act(Post.SCORER, match.Point(Team.A))
    assert "Conduct" in crew.rig.texts()
