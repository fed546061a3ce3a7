"""Clocks: one deadline on every station, whatever their own clocks show, through restarts and a moved pen.

The clocks here are off by minutes and drift by up to 200 ppm against true time; frames take up to 20 ms.
"""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from crewlink.crew.commands import RunClock
from crewlink.crew.posts import Post
from crewlink.match.commands import EndTimeOut, GiveRecovery, LineUp, Point, Resume, Stop, TimeOut, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet
from crewlink.match.terms import StopCause
from crewlink.snapshot import ClockView
from tests.crew.hall import ALL, SETUP, SIX_A, Hall

CLOCKS = {
    Post.SCORER: (0.0, 200.0),
    Post.R2: (95.0, -200.0),
    Post.R1: (-310.0, 120.0),
    Post.SITE: (3600.0, -60.0),
}
LAN = (0.0, 0.020)
ALIKE_S = 0.050


def drifting(seed: int = 1) -> Hall:
    return Hall(ALL, clocks=CLOCKS, delay=LAN, seed=seed)


def clock(hall: Hall, post: Post, kind: str) -> ClockView | None:
    return next((one for one in hall.look(post).clocks if one.kind == kind), None)


def left(hall: Hall, kind: str, posts: Iterable[Post] = ALL) -> list[float]:
    found = [clock(hall, post, kind) for post in posts]
    assert all(one is not None for one in found), f"{kind} not everywhere: {found}"
    return [one.left for one in found if one is not None]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_time_out_shows_the_same_seconds_on_all_stations(seed: int) -> None:
    hall = drifting(seed)
    hall.begin()
    hall.pass_time(20.0)
    hall.do(Post.SCORER, TimeOut(Team.A))
    for _ in range(20):
        hall.pass_time(1.3)
        shown = left(hall, "time_out")
        assert max(shown) - min(shown) < ALIKE_S


def test_seconds_of_a_time_out_are_true_seconds() -> None:
    hall = drifting()
    hall.begin()
    hall.do(Post.SCORER, TimeOut(Team.A), wait=0.0)
    began = hall.time
    hall.pass_time(21.0)
    assert left(hall, "time_out") == pytest.approx([30.0 - (hall.time - began)] * 4, abs=ALIKE_S)


def test_between_sets_stays_alike_for_its_three_minutes() -> None:
    hall = drifting()
    hall.begin()
    for _ in range(25):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    for _ in range(17):
        hall.pass_time(10.0)
        shown = left(hall, "between_sets")
        assert max(shown) - min(shown) < ALIKE_S
    assert clock(hall, Post.R2, "between_sets").signal == "warning"  # type: ignore[union-attr]
    hall.pass_time(15.0)
    assert clock(hall, Post.R2, "between_sets").signal == "end"  # type: ignore[union-attr]


def test_a_restarted_station_goes_on_with_the_same_clock() -> None:
    hall = drifting()
    hall.begin()
    hall.do(Post.SCORER, TimeOut(Team.B))
    hall.pass_time(8.0)
    hall.kill(Post.R2)
    hall.pass_time(3.0)
    hall.restart(Post.R2)
    hall.pass_time(3.0)
    shown = left(hall, "time_out")
    assert max(shown) - min(shown) < ALIKE_S


def test_a_clock_outlives_the_station_that_started_it_and_a_restart_besides() -> None:
    hall = drifting()
    hall.begin()
    for _ in range(25):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    began = hall.time
    hall.pass_time(5.0)
    hall.kill(Post.SCORER)
    hall.pass_time(11.0)
    r2 = hall.boxes[Post.R2]
    r2.station.peer.take_pen(r2.now, r2.wall)
    hall.pass_time(5.0)
    assert hall.look(Post.R2).writing.here
    hall.kill(Post.R1)
    hall.restart(Post.R1)
    hall.pass_time(4.0)
    shown = left(hall, "between_sets", (Post.R2, Post.R1, Post.SITE))
    assert max(shown) - min(shown) < ALIKE_S
    assert shown == pytest.approx([180.0 - (hall.time - began)] * 3, abs=0.2)


def test_a_station_that_never_heard_the_starter_shows_no_wrong_clock() -> None:
    hall = drifting()
    hall.begin()
    hall.do(Post.SCORER, TimeOut(Team.B))
    hall.pass_time(1.0)
    hall.kill(Post.SCORER)
    hall.kill(Post.R1)
    hall.restart(Post.R1)
    hall.pass_time(0.2)
    assert clock(hall, Post.R1, "time_out") is None
    assert clock(hall, Post.R2, "time_out") is not None


def test_the_warm_up_is_held_and_goes_on_and_ends() -> None:
    hall = drifting()
    hall.do(Post.SCORER, Toss(Team.A, Team.A))
    assert hall.do(Post.R2, RunClock("warm_up", "start", 240)).done
    hall.pass_time(10.0)
    hall.do(Post.R2, RunClock("warm_up", "hold"))
    hall.pass_time(30.0)
    assert all(clock(hall, post, "warm_up").held for post in ALL)  # type: ignore[union-attr]
    shown = left(hall, "warm_up")
    assert shown == pytest.approx([229.8] * 4, abs=0.3)
    hall.do(Post.R2, RunClock("warm_up", "run"))
    hall.pass_time(115.0)
    shown = left(hall, "warm_up")
    assert max(shown) - min(shown) < ALIKE_S
    assert clock(hall, Post.SCORER, "warm_up").signal == "warning"  # type: ignore[union-attr]
    hall.do(Post.R2, RunClock("warm_up", "end"))
    assert clock(hall, Post.SCORER, "warm_up") is None


def test_line_ups_are_due_before_the_clock_ends_and_the_clock_names_who_is_missing() -> None:
    hall = drifting()
    hall.do(Post.SCORER, Toss(Team.A, Team.A))
    hall.do(Post.R2, RunClock("warm_up", "start", 240))
    assert clock(hall, Post.SCORER, "line_up").title == "Line-ups due"  # type: ignore[union-attr]
    hall.do(Post.SCORER, LineUp(Team.A, SIX_A, liberos=("X", "X"), captain=1))
    assert clock(hall, Post.SCORER, "line_up").title == "Line-up B due"  # type: ignore[union-attr]


def test_the_time_out_warns_and_ends_and_then_is_gone() -> None:
    hall = drifting()
    hall.begin()
    hall.do(Post.SCORER, TimeOut(Team.A))
    assert clock(hall, Post.R2, "time_out").signal == ""  # type: ignore[union-attr]
    hall.pass_time(26.0)
    assert clock(hall, Post.R2, "time_out").signal == "warning"  # type: ignore[union-attr]
    hall.pass_time(4.0)
    assert clock(hall, Post.R2, "time_out").signal == "end"  # type: ignore[union-attr]
    hall.do(Post.SCORER, EndTimeOut())
    assert clock(hall, Post.R2, "time_out") is None


def test_a_clock_that_only_the_record_starts_is_refused() -> None:
    hall = Hall()
    hall.begin()
    assert hall.do(Post.R2, RunClock("time_out", "start", 30)).code == "not_this_clock"
    assert hall.do(Post.SITE, RunClock("warm_up", "start", 30)).code == "not_your_job"


def test_the_recovery_clock_runs_its_three_minutes_and_ends_when_play_goes_on() -> None:
    few = MatchSetup(team_a=TeamSheet(players=(1, 2, 3, 4, 5, 6), captain=1), team_b=SETUP.team_b)
    hall = Hall(ALL, clocks=CLOCKS, delay=LAN, setup=few)
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    hall.do(Post.SCORER, Stop(StopCause.INJURY, Team.A, 4))
    assert hall.do(Post.SCORER, GiveRecovery(Team.A, 4)).done
    hall.pass_time(100.0)
    shown = left(hall, "recovery")
    assert max(shown) - min(shown) < ALIKE_S
    assert shown == pytest.approx([79.8] * 4, abs=0.3)
    hall.do(Post.SCORER, Resume())
    assert clock(hall, Post.R2, "recovery") is None
