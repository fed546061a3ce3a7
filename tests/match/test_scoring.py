"""Set point, match point, and who is one point away from it."""

import pytest

from crewlink.match.facts import SetScore
from crewlink.match.scoring import points_to_win
from crewlink.match.standing import standing
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.rules.format import FormatOptions
from tests.match.playing import A, B, Table, in_middle, setup

ONE_ALL = (SetScore(1, (25, 20), A), SetScore(2, (20, 25), B))


@pytest.mark.parametrize(
    ("score", "set_points", "near"),
    [
        ((23, 20), (), (A,)),
        ((24, 20), (A,), ()),
        ((24, 24), (), (A, B)),
        ((25, 24), (A,), ()),
        ((23, 23), (), (A, B)),
        ((24, 23), (A,), ()),
        ((22, 24), (B,), ()),
        ((22, 22), (), ()),
    ],
)
def test_set_point(score: tuple[int, int], set_points: tuple[Team, ...], near: tuple[Team, ...]) -> None:
    now = standing(in_middle(score, A).match)
    assert (now.set_points, now.near_set_point) == (set_points, near)
    assert now.match_points == ()


@pytest.mark.parametrize(
    ("score", "set_points"), [((26, 26), (A, B)), ((26, 25), (A,)), ((25, 25), ()), ((25, 26), (B,))]
)
def test_a_cap_may_give_both_teams_set_point(score: tuple[int, int], set_points: tuple[Team, ...]) -> None:
    assert standing(in_middle(score, A, format=FormatOptions(cap=27)).match).set_points == set_points


def test_match_point_is_a_set_point_that_gives_the_last_set_needed() -> None:
    deciding = in_middle((14, 13), A, "USJ", set_number=3, sets=ONE_ALL).match
    assert standing(deciding).match_points == (A,)
    second = in_middle((20, 24), A, "USJ", set_number=2, sets=ONE_ALL[:1]).match
    assert standing(second).set_points == (B,)
    assert standing(second).match_points == ()
    assert standing(in_middle((24, 20), A, "USJ", set_number=2, sets=ONE_ALL[:1]).match).match_points == (A,)


def test_no_match_point_where_all_sets_are_played() -> None:
    form = FormatOptions(all_sets=3)
    match = in_middle((24, 20), A, set_number=3, sets=ONE_ALL, format=form).match
    assert standing(match).set_points == (A,)
    assert standing(match).match_points == ()


def test_no_set_point_between_sets() -> None:
    table = in_middle((24, 20), A, format=FormatOptions(start_score=(24, 0), points=25))
    table.rallies("A")
    assert table.match.phase is Phase.BETWEEN_SETS
    assert standing(table.match).set_points == ()
    assert standing(Table(setup()).match).near_set_point == ()


@pytest.mark.parametrize(
    ("score", "cap", "needed"),
    [
        ((20, 10), None, (20, 25)),
        ((24, 10), None, (24, 26)),
        ((10, 20), None, (10, 25)),
        ((26, 26), 27, (26, 27)),
        ((25, 24), 27, (25, 27)),
        ((23, 24), 25, (23, 25)),
        ((24, 24), 25, (24, 25)),
    ],
)
def test_points_still_needed(score: tuple[int, int], cap: int | None, needed: tuple[int, int]) -> None:
    form = in_middle((0, 0), A, format=FormatOptions(cap=cap)).match.format
    assert points_to_win(form, 1, score, B) == needed
