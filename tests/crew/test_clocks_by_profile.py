"""How long each clock runs under the four profiles, as a post sees it. Sources beside the figures."""

from __future__ import annotations

import pytest
from msgspec import structs

from crewlink.charter import Settings
from crewlink.crew.commands import RunClock
from crewlink.crew.posts import Post
from crewlink.match.commands import (
    BeginSet,
    EndTimeOut,
    GiveRecovery,
    LineUp,
    Point,
    Resume,
    TechnicalTimeOut,
    TimeOut,
    Toss,
)
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet
from crewlink.rules.loading import SHIPPED
from tests.crew.hall import SETUP, SIX_A, SIX_B, WALL_MS, Hall

CREW = (Post.SCORER, Post.R2, Post.R1)
EACH = pytest.mark.parametrize("profile", SHIPPED)
WARM_UP_S = 600
NO_BENCH = TeamSheet(players=(*SIX_A,), captain=1)


def hall(profile: str, **more: object) -> Hall:
    made: MatchSetup = structs.replace(SETUP, profile=profile, team_a=NO_BENCH, **more)
    return Hall(CREW, setup=made)


def total(at: Hall, kind: str) -> float | None:
    """The whole length of a clock that R2 sees now, or None."""
    return next((one.total for one in at.look(Post.R2).clocks if one.kind == kind), None)


def begun(at: Hall) -> Hall:
    at.begin()
    return at


@EACH
def test_a_time_out(profile: str) -> None:
    """R25 15.4.1; USJ and USC from memory; I13 15.4.1."""
    at = begun(hall(profile))
    at.do(Post.SCORER, TimeOut(Team.A))
    assert total(at, "time_out") == {"INT": 30, "USJ": 30, "USC": 75, "OLD": 30}[profile]


@EACH
def test_a_technical_time_out(profile: str) -> None:
    """I13 15.4: 60 s. The other books have none (0 s), also where an event sets a mark but no length."""
    at = begun(hall(profile, overrides={"time_outs.technical_at": [1]}))
    at.do(Post.SCORER, Point(Team.A))
    at.do(Post.SCORER, TechnicalTimeOut())
    assert total(at, "time_out") == (60 if profile == "OLD" else 0)


@EACH
def test_the_time_to_serve(profile: str) -> None:
    """R25 12.4.4; UR clinic 2010; N12 13.1.3.3; OLD from memory."""
    at = begun(hall(profile))
    at.do(Post.R2, RunClock("service", "start"))
    assert total(at, "service") == 8


@EACH
def test_recovery_time(profile: str) -> None:
    """I13 17.1.2; INT, USJ, USC as in that book."""
    at = begun(hall(profile))
    assert at.do(Post.SCORER, GiveRecovery(Team.A, 4)).done
    assert total(at, "recovery") == 180
    at.do(Post.SCORER, Resume())
    assert total(at, "recovery") is None


@EACH
def test_the_time_between_sets_and_the_line_ups_in_it(profile: str) -> None:
    """R25 and I13 18.1: three minutes, line-ups in them. UR clinic, N12 10.1.1.1: 30 s before the end."""
    at = begun(hall(profile, overrides={"match.points": 2}))
    for _ in range(2):
        at.do(Post.SCORER, Point(Team.A))
    assert total(at, "between_sets") == 180
    assert total(at, "line_up") == (150 if profile in ("USJ", "USC") else 180)


@EACH
def test_line_ups_before_the_first_set(profile: str) -> None:
    """R25 7.3.2: no figure (OLD from memory); UEX: 2 minutes, N12 10.1.1.1: 3 before the warm-up ends."""
    at = hall(profile)
    at.do(Post.SCORER, Toss(Team.A, Team.A))
    at.do(Post.R2, RunClock("warm_up", "start", WARM_UP_S))
    before = {"INT": 0, "USJ": 120, "USC": 180, "OLD": 0}[profile]
    assert total(at, "line_up") == WARM_UP_S - before


@EACH
def test_sets_lost_in_stages_by_a_team_that_does_not_come(profile: str) -> None:
    """R25 6.4.2 and I13 6.4.2: default (USC from memory). TF, one event: set 2 ten minutes after set 1."""
    made = structs.replace(SETUP, profile=profile)
    at = Hall(CREW, setup=made, settings=Settings(starts=WALL_MS + 1000))
    at.pass_time(10.0)
    assert total(at, "forfeit") == (600 if profile == "USJ" else None)


def test_clocks_of_a_hall_that_has_not_begun() -> None:
    """Guards the tests above: without an act no clock runs."""
    at = hall("INT")
    assert [one.kind for one in at.look(Post.R2).clocks] == []
    at.do(Post.SCORER, Toss(Team.A, Team.A))
    at.do(Post.SCORER, LineUp(Team.A, SIX_A, ("X", "X"), 1))
    at.do(Post.SCORER, LineUp(Team.B, SIX_B, ("X", "X"), 2))
    at.do(Post.SCORER, BeginSet())
    at.do(Post.SCORER, TimeOut(Team.A))
    at.do(Post.SCORER, EndTimeOut())
    assert total(at, "time_out") is None
