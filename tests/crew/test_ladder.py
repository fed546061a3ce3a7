"""What happens to a notice that nobody answers, and how one ends: whole stations under made-up time.

Times: visual language, "Life of a notice" (shown again, raiser told, supervisor told after 5, 10, 20 s).
The states are compared with ANSI/ISA-18.2's alarm states where they apply (from memory): an unanswered one
stays open until somebody acts, an answered one is not yet closed.
"""

from __future__ import annotations

import pytest

from crewlink.crew.commands import AnswerNotice, CloseNotice, Hold, Raise, Release, WithdrawNotice
from crewlink.crew.posts import Post
from crewlink.match.commands import BeginSet, EndTimeOut, LineUp, Point, TimeOut, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet
from crewlink.script.crew_stage import CrewStage
from crewlink.snapshot import NoticeView, ReceiptView

POSTS = (Post.SCORER, Post.R2, Post.R1, Post.SITE)
PLAYERS = tuple(range(1, 13))


@pytest.fixture
def stage() -> CrewStage:
    setup = MatchSetup(
        team_a=TeamSheet(players=PLAYERS, captain=1), team_b=TeamSheet(players=PLAYERS, captain=2)
    )
    stage = CrewStage(setup, POSTS)
    for command in (
        Toss(Team.A, Team.A),
        LineUp(Team.A, (1, 2, 3, 4, 5, 6), captain=1),
        LineUp(Team.B, (1, 2, 3, 4, 5, 6), captain=2),
        BeginSet(),
    ):
        stage.act(Post.SCORER, command)
    return stage


def seen(stage: CrewStage, post: Post, kind: str) -> NoticeView | None:
    snapshot = stage.stations[post].snapshot(stage.now, 1_700_000_000_000 + round(stage.now * 1000))
    return next((notice for notice in snapshot.notices if notice.kind == kind), None)


def plate(stage: CrewStage, post: Post, kind: str) -> NoticeView:
    found = seen(stage, post, kind)
    assert found is not None, f"no {kind} at {post}"
    return found


def receipt(notice: NoticeView, post: Post) -> ReceiptView:
    return next(receipt for receipt in notice.receipts if receipt.post == post)


def test_an_unanswered_now_is_shown_again_then_the_raiser_and_the_site_are_told(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Point(Team.A))
    stage.act(Post.SCORER, Raise("wrong_server", "A", 4))
    stage.pass_time(4.5)
    assert plate(stage, Post.R1, "wrong_server").repeated == 0
    stage.pass_time(1.0)
    assert plate(stage, Post.R1, "wrong_server").repeated == 1
    assert plate(stage, Post.SCORER, "wrong_server").told == ""
    stage.act(Post.R2, AnswerNotice(plate(stage, Post.R2, "wrong_server").id))
    stage.pass_time(5.0)
    assert plate(stage, Post.SCORER, "wrong_server").told == "R1 not answered: use the whistle"
    stage.pass_time(10.0)
    steps = stage.stations[Post.SITE].court
    assert steps is not None
    (notice,) = steps.crew.notices.values()
    assert set(notice.steps) == {"again", "told", "site"}


def test_answers_stop_the_ladder_and_the_raiser_sees_after_how_many_seconds(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Raise("wrong_server", "A", 4))
    stage.pass_time(1.5)
    stage.act(Post.R2, AnswerNotice(plate(stage, Post.R2, "wrong_server").id))
    stage.pass_time(1.0)
    stage.act(Post.R1, AnswerNotice(plate(stage, Post.R1, "wrong_server").id))
    stage.pass_time(30.0)
    notice = plate(stage, Post.SCORER, "wrong_server")
    assert notice.state == "answered" and notice.repeated == 0 and notice.told == ""
    assert receipt(notice, Post.R2).seconds == pytest.approx(1.5, abs=0.25)
    assert receipt(notice, Post.R1).seconds == pytest.approx(2.5, abs=0.25)
    assert receipt(notice, Post.ASSISTANT).state == "unfilled"


def test_a_sign_entered_by_another_is_never_that_posts_own_answer(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Raise("conduct", "B", detail="coach"))
    id_ = plate(stage, Post.R2, "conduct").id
    stage.act(Post.R2, AnswerNotice(id_))
    stage.act(Post.R2, AnswerNotice(id_, on_behalf="R1"))
    notice = plate(stage, Post.SCORER, "conduct")
    assert notice.state == "answered"
    assert (receipt(notice, Post.R1).state, receipt(notice, Post.R1).by) == ("relayed", "R2")


def test_the_table_sees_a_conduct_report_without_its_details(stage: CrewStage) -> None:
    stage.act(Post.R2, Raise("conduct", "B", 7, detail="player"))
    table, first = plate(stage, Post.SCORER, "conduct"), plate(stage, Post.R1, "conduct")
    assert (table.title, table.detail, table.team, table.number) == (
        "R1 deals with it",
        "Stay at the table.",
        "",
        None,
    )
    assert (first.title, first.team, first.number) == ("Conduct", "B", 7)


def test_what_is_soon_waits_for_the_dead_ball_when_the_ball_is_in_play(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Point(Team.A))
    stage.pass_time(9.0)
    stage.act(Post.R2, Raise("conduct", "B", detail="spectator"))
    assert plate(stage, Post.R1, "conduct").held
    stage.pass_time(12.0)
    assert plate(stage, Post.R1, "conduct").repeated == 0
    stage.act(Post.SCORER, Point(Team.B))
    assert not plate(stage, Post.R1, "conduct").held
    stage.pass_time(10.5)
    assert plate(stage, Post.R1, "conduct").repeated == 1


def test_withdrawal_stays_five_seconds_for_everybody_who_saw_it(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Raise("wrong_server", "A", 4))
    stage.act(Post.SCORER, WithdrawNotice(plate(stage, Post.SCORER, "wrong_server").id, "6 read as 9"))
    assert plate(stage, Post.R1, "wrong_server").state == "withdrawn"
    assert plate(stage, Post.R1, "wrong_server").reason == "6 read as 9"
    stage.pass_time(5.5)
    assert seen(stage, Post.R1, "wrong_server") is None


def test_a_hold_is_released_by_its_post_or_by_the_first_referee(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Hold("writing a substitution"))
    snapshot = stage.stations[Post.R1].snapshot(stage.now, 0)
    assert (snapshot.ready.state, snapshot.ready.sentence) == ("held", "Table holds the service")
    assert not stage.act(Post.R2, Release("scorer")).ruling.fine  # type: ignore[union-attr]
    stage.act(Post.R1, Release("scorer"))
    assert seen(stage, Post.R2, "hold_service") is None


def test_set_point_is_one_notice_for_an_unbroken_spell(stage: CrewStage) -> None:
    for _ in range(24):
        stage.act(Post.SCORER, Point(Team.A))
    suggestion = stage.stations[Post.R2].snapshot(stage.now, 0).suggestion
    assert suggestion is not None and suggestion.title == "Set point A"
    assert stage.stations[Post.R1].snapshot(stage.now, 0).suggestion is None
    stage.act(Post.R2, Raise("set_point", "A"))
    stage.act(Post.R1, Raise("set_point", "A"))
    court = stage.stations[Post.SITE].court
    assert court is not None and len(court.crew.notices) == 1
    stage.act(Post.R1, AnswerNotice(plate(stage, Post.R1, "set_point").id))
    stage.act(Post.SCORER, AnswerNotice(plate(stage, Post.SCORER, "set_point").id))
    stage.act(Post.SCORER, Point(Team.B))
    assert len(court.crew.notices) == 1
    assert stage.stations[Post.R2].snapshot(stage.now, 0).suggestion is None


def test_set_point_lapses_when_it_is_no_longer_true(stage: CrewStage) -> None:
    for team in (Team.A,) * 23 + (Team.B,) * 24:
        stage.act(Post.SCORER, Point(team))
    stage.act(Post.R2, Raise("set_point", "B"))
    assert plate(stage, Post.R1, "set_point").state == "open"
    stage.act(Post.SCORER, Point(Team.A))
    assert seen(stage, Post.R1, "set_point") is None
    assert not stage.act(Post.R2, Raise("set_point", "B")).ruling.fine  # type: ignore[union-attr]


def test_a_request_of_a_post_that_does_not_write_is_decided_by_the_one_who_does(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Point(Team.A))
    stage.act(Post.R2, TimeOut(Team.B))
    snapshot = stage.stations[Post.R1].snapshot(stage.now, 0)
    assert (snapshot.phase, snapshot.b.time_outs) == ("time_out", 1)
    assert stage.stations[Post.R2].snapshot(stage.now, 0).waiting_requests == 0


def test_an_outcome_of_conduct_is_the_first_referees_word(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Raise("conduct", "A", detail="coach"))
    id_ = plate(stage, Post.SCORER, "conduct").id
    assert not stage.act(Post.SCORER, CloseNotice(id_, "nothing")).ruling.fine  # type: ignore[union-attr]
    stage.act(Post.R1, CloseNotice(id_, "captain spoken to"))
    assert seen(stage, Post.R2, "conduct") is None


def test_the_last_time_out_is_told_to_the_second_referee_once(stage: CrewStage) -> None:
    stage.act(Post.SCORER, Point(Team.A))
    stage.act(Post.SCORER, TimeOut(Team.B))
    assert seen(stage, Post.R2, "count_near_limit") is None
    stage.act(Post.SCORER, EndTimeOut())
    stage.act(Post.SCORER, TimeOut(Team.B))
    stage.pass_time(10.0)
    notice = plate(stage, Post.R2, "count_near_limit")
    assert (notice.team, notice.level, notice.asked) == ("B", "note", True)
    assert "2nd time-out of 2 used" in notice.detail
    court = stage.stations[Post.SITE].court
    assert court is not None and len(court.crew.notices) == 1
    stage.act(Post.R2, AnswerNotice(notice.id))
    assert seen(stage, Post.R2, "count_near_limit") is None
