"""Duties by phase and post, and what the program reports late: posts, line-ups, the start of the match."""

from __future__ import annotations

import pytest

from crewlink.charter import Settings
from crewlink.crew.commands import ExpectPost, RunClock, TickDuty
from crewlink.crew.duties import DutiesError, all_duties, parse
from crewlink.crew.posts import CREW, Post
from crewlink.match.commands import LineUp, Point, TimeOut, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team
from crewlink.snapshot import DutyView
from protocol.identity import Identity
from protocol.roster import Member
from tests.crew.hall import ALL, SETUP, SIX_A, SIX_B, WALL_MS, Hall

FULL = (*CREW, Post.SITE)
IN_20_MINUTES = Settings(starts=WALL_MS + 1_200_000)


def duties(hall: Hall, post: Post) -> dict[tuple[str, str, str], DutyView]:
    return {(one.code, one.word, one.team): one for one in hall.look(post).duties}


def state(hall: Hall, code: str, word: str, team: str = "") -> str:
    return duties(hall, Post.SITE)[code, word, team].state


def test_every_phase_of_a_match_has_duties_and_their_posts() -> None:
    phases = {duty.phase for duty in all_duties().values()}
    assert phases == {
        "before", "toss", "warm_up", "set_start", "interruption", "between_sets", "deciding_set", "end"
    }  # fmt: skip
    for code, duty in all_duties().items():
        for crew in (FULL, ("R1", "scorer"), ("R2", "scorer")):
            owners = duty.done_by(crew)
            assert set(owners) <= set(crew)
            only_theirs = {"assistant"} if not duty.other else set()
            assert owners or set(map(str, duty.posts)) & only_theirs or not set(duty.posts) & set(crew), code


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('[x]\nphase="lunch"\ntext="X"\nposts=["R1"]', "phase"),
        ('[x]\nphase="end"\ntext="X"\nposts=["coach"]', "posts"),
        ('[x]\nphase="end"\ntext="X"\nposts=["R1"]\nfacts=["waved"]', "waved"),
        ('[x]\nphase="end"\ntext="X"\nposts=["R1"]\ndue=5', "due"),
    ],
)
def test_a_faulty_table_of_duties_says_where(text: str, fault: str) -> None:
    with pytest.raises(DutiesError, match=fault):
        parse(text)


def test_duties_before_the_match_are_ticked_or_late() -> None:
    hall = Hall(FULL, settings=IN_20_MINUTES)
    assert hall.look(Post.R2).duty_phase == "before"
    assert state(hall, "talk", "R1") == "open"
    hall.do(Post.R1, TickDuty("talk"))
    assert (state(hall, "talk", "R1"), state(hall, "talk", "R2")) == ("done", "open")
    hall.pass_time(301.0)
    assert (state(hall, "talk", "R1"), state(hall, "talk", "R2")) == ("done", "late")
    mine = [one.mine for one in hall.look(Post.R1).duties]
    assert mine == sorted(mine, reverse=True) and any(mine), "the own ones come first"


def test_a_duty_of_a_post_that_nobody_fills_goes_to_another() -> None:
    hall = Hall((Post.SCORER, Post.R2, Post.SITE), voters=(Post.SCORER, Post.R2))
    assert ("tracking", "Table", "") in duties(hall, Post.SITE)
    assert ("net", "R2", "") in duties(hall, Post.SITE)


def test_the_record_ticks_what_it_shows_and_the_event_what_is_not_needed() -> None:
    hall = Hall(FULL, settings=Settings(starts=WALL_MS + 1_200_000, worn=False))
    assert state(hall, "charge", "R2") == "not_needed"
    hall.do(Post.SCORER, Toss(Team.A, Team.A))
    assert hall.look(Post.R2).duty_phase == "warm_up"
    hall.do(Post.SCORER, LineUp(Team.A, SIX_A, liberos=("X", "X"), captain=1))
    assert (state(hall, "line_up", "R2", "A"), state(hall, "line_up", "R2", "B")) == ("done", "open")


@pytest.mark.parametrize(("raised", "wanted"), [(True, "open"), (False, "not_needed")])
def test_captains_raise_a_hand_where_the_book_wants_it(raised: bool, wanted: str) -> None:
    overrides: dict[str, bool | int | str | list[int | str] | None] = {"line_up.captains_raise_hand": raised}
    hall = Hall(setup=MatchSetup(team_a=SETUP.team_a, team_b=SETUP.team_b, overrides=overrides))
    hall.do(Post.SCORER, Toss(Team.A, Team.A))
    for team, six in ((Team.A, SIX_A), (Team.B, SIX_B)):
        hall.do(Post.SCORER, LineUp(team, six, liberos=("X", "X"), captain=six[0]))
    assert hall.look(Post.R2).duty_phase == "set_start"
    assert state(hall, "captain_hand", "R2", "A") == wanted


def test_who_begins_the_set_has_checked_the_positions() -> None:
    hall = Hall()
    hall.begin()
    assert (state(hall, "positions", "Table"), state(hall, "positions", "R2")) == ("done", "open")
    hall.do(Post.R2, TickDuty("positions"))
    assert state(hall, "positions", "R2") == "done"


def test_an_interruption_and_the_time_between_sets_have_their_own_duties() -> None:
    hall = Hall()
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    assert hall.look(Post.R2).duties == ()
    hall.do(Post.SCORER, TimeOut(Team.B))
    assert hall.look(Post.R2).duty_phase == "interruption"
    for _ in range(25):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    assert hall.look(Post.R2).duty_phase == "between_sets"
    left = duties(hall, Post.R2)["next_line_up", "R2", "A"].left
    assert left == pytest.approx(150.0, abs=2.0), "30 s before the three minutes are over"


def test_ticks_of_one_set_do_not_tick_the_next() -> None:
    hall = Hall()
    hall.begin((Post.R2, TickDuty("positions")))
    for _ in range(25):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    for team, six in ((Team.A, SIX_A), (Team.B, SIX_B)):
        hall.do(Post.SCORER, LineUp(team, six, liberos=("X", "X"), captain=six[0]))
    assert state(hall, "positions", "R2") == "open"


# -- what is late


def late(hall: Hall, post: Post = Post.SITE) -> list[str]:
    return [one.detail for one in hall.look(post).notices if one.kind == "late" and one.state != "closed"]


def test_a_post_that_is_missing_fifteen_minutes_before_is_reported_once() -> None:
    hall = Hall((Post.SCORER, Post.R2, Post.SITE), settings=IN_20_MINUTES, voters=(Post.SCORER, Post.R2))
    hall.pass_time(290.0)
    assert late(hall) == []
    hall.pass_time(12.0)
    assert late(hall) == ["R1 is not here"]
    assert len(hall.notices(Post.SITE, "late")) == 1
    assert hall.plate(Post.R2, "late").asked and hall.plate(Post.SITE, "late").asked


def test_a_post_that_is_known_to_be_elsewhere_raises_nothing() -> None:
    hall = Hall((Post.SCORER, Post.R2, Post.SITE), settings=IN_20_MINUTES, voters=(Post.SCORER, Post.R2))
    hall.do(Post.SITE, ExpectPost("R1", "court 3"))
    hall.pass_time(320.0)
    assert late(hall) == []
    assert hall.look(Post.R2).expected == (("R1", "court 3"),)
    hall.do(Post.SITE, ExpectPost("R1", ""))
    hall.pass_time(1.0)
    assert late(hall) == ["R1 is not here"]


def test_the_report_ends_by_itself_when_the_post_is_filled() -> None:
    hall = Hall((Post.SCORER, Post.R2, Post.SITE), settings=IN_20_MINUTES, voters=(Post.SCORER, Post.R2))
    hall.pass_time(310.0)
    assert late(hall) == ["R1 is not here"]
    new = Identity.create(hall.random_bytes)
    box = hall.boxes[Post.SCORER]
    member = Member(new.device, new.public_key, new.tls_cert, new.binding, "R1")
    box.station.peer.admit(member, box.now, box.wall)
    hall.pass_time(3.0)
    assert late(hall) == []
    assert hall.look(Post.SITE).past[0].state == "closed"


def test_a_forgotten_line_up_is_reported_when_it_is_due_and_ends_when_it_is_in() -> None:
    hall = Hall()
    hall.begin()
    for _ in range(25):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    hall.do(Post.SCORER, LineUp(Team.A, SIX_A, liberos=("X", "X"), captain=1))
    hall.pass_time(174.0)
    assert late(hall) == []
    hall.pass_time(6.0)
    assert late(hall) == ["Team B, Line-up of team B is late"]
    hall.do(Post.SCORER, LineUp(Team.B, SIX_B, liberos=("X", "X"), captain=2))
    assert late(hall) == []


def test_a_line_up_is_not_late_while_the_warm_up_clock_is_held() -> None:
    hall = Hall()
    hall.do(Post.SCORER, Toss(Team.A, Team.A))
    hall.do(Post.R2, RunClock("warm_up", "start", 60))
    hall.pass_time(50.0)
    hall.do(Post.R2, RunClock("warm_up", "hold"))
    hall.pass_time(60.0)
    assert late(hall) == []
    hall.do(Post.R2, RunClock("warm_up", "run"))
    hall.pass_time(12.0)
    assert len(late(hall)) == 2


def test_a_match_that_has_not_begun_in_time_runs_late() -> None:
    hall = Hall(settings=Settings(starts=WALL_MS + 20_000, start_grace=30))
    hall.pass_time(45.0)
    assert late(hall) == []
    hall.pass_time(6.0)
    assert "The match is running late" in late(hall)
    hall.begin()
    assert late(hall) == []


def test_the_forfeit_clock_runs_where_the_event_counts_in_stages() -> None:
    setup = MatchSetup(profile="USJ", team_a=SETUP.team_a, team_b=SETUP.team_b)
    hall = Hall(setup=setup, settings=Settings(starts=WALL_MS + 20_000))
    hall.pass_time(10.0)
    assert hall.look(Post.SITE).clocks == ()
    hall.pass_time(20.0)
    (clock,) = (one for one in hall.look(Post.SITE).clocks if one.kind == "forfeit")
    assert clock.title == "Set 2 lost" and clock.left == pytest.approx(587.0, abs=1.0)


def test_all_stations_list_the_same_late_notices() -> None:
    hall = Hall(ALL, settings=Settings(starts=WALL_MS + 20_000, start_grace=0))
    hall.pass_time(30.0)
    assert {len(hall.notices(post, "late")) for post in ALL} == {1}
