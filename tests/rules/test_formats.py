"""Match formats as data: any number of sets, any score, caps, start scores, the deciding set."""

import pytest

from crewlink.match.commands import BeginSet
from crewlink.match.scoring import set_winner
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.rules.format import FormatError, FormatOptions, resolve
from crewlink.rules.loading import shipped
from tests.match.playing import A, B, Table, from_start, line_ups, setup

BASE = shipped("INT").profile.format()


def test_defaults_of_the_book() -> None:
    form = resolve(BASE, FormatOptions())
    assert (form.max_sets, form.sets_to_win) == (5, 3)
    assert [form.target(n) for n in range(1, 6)] == [25, 25, 25, 25, 15]
    assert form.is_deciding(5)
    assert not form.is_deciding(4)


def test_best_of_three() -> None:
    form = resolve(BASE, FormatOptions(best_of=3))
    assert (form.max_sets, form.sets_to_win) == (3, 2)
    assert [form.target(n) for n in (1, 2, 3)] == [25, 25, 15]


def test_a_single_set_to_thirty() -> None:
    form = resolve(BASE, FormatOptions(best_of=1, points=30))
    assert form.target(1) == 30
    assert not form.is_deciding(1)


@pytest.mark.parametrize(
    ("score", "winner"),
    [
        ((25, 23), A),
        ((25, 24), None),
        ((26, 25), None),
        ((27, 26), A),
        ((26, 27), B),
        ((24, 26), B),
        ((24, 0), None),
    ],
)
def test_cap_at_27(score: tuple[int, int], winner: Team | None) -> None:
    assert set_winner(resolve(BASE, FormatOptions(cap=27)), 1, score) is winner


@pytest.mark.parametrize(
    ("score", "winner"), [((25, 24), None), ((27, 25), A), ((40, 41), None), ((40, 42), B)]
)
def test_no_cap(score: tuple[int, int], winner: Team | None) -> None:
    assert set_winner(BASE, 1, score) is winner


@pytest.mark.parametrize(
    ("score", "winner"), [((15, 14), None), ((16, 14), A), ((13, 15), B), ((17, 16), None)]
)
def test_deciding_set(score: tuple[int, int], winner: Team | None) -> None:
    assert set_winner(BASE, 5, score) is winner


def play_sets(table: Table, winners: str) -> None:
    for team in winners:
        if table.match.phase is not Phase.PLAY:
            line_ups(table)
            table.do(BeginSet())
        number = table.match.set_number
        while table.match.set_number == number and not table.match.finished:
            table.rallies(team)


def test_two_sets_may_end_without_a_winner() -> None:
    table = from_start(format=FormatOptions(all_sets=2))
    play_sets(table, "AB")
    assert table.match.finished
    assert table.match.winner is None
    assert table.match.sets_won == (1, 1)


def test_three_sets_are_all_played() -> None:
    table = from_start(format=FormatOptions(all_sets=3))
    play_sets(table, "AA")
    assert not table.match.finished
    play_sets(table, "B")
    assert table.match.finished
    assert table.match.winner is A


def test_best_of_ends_when_it_is_decided() -> None:
    table = from_start()
    play_sets(table, "AAA")
    assert table.match.finished
    assert table.match.sets_won == (3, 0)


def test_start_at_four_all() -> None:
    table = from_start(format=FormatOptions(start_score=(4, 4)))
    assert table.match.score == (4, 4)
    table.rallies("A" * 21)
    assert table.match.sets[0].score == (25, 4)
    assert table.match.score == (4, 4)


def test_change_of_courts_off() -> None:
    assert resolve(BASE, FormatOptions(court_change_at=0)).court_change_at is None


@pytest.mark.parametrize(
    ("options", "problem"),
    [
        (FormatOptions(best_of=4), "not an odd number"),
        (FormatOptions(best_of=3, all_sets=3), "not both"),
        (FormatOptions(all_sets=0), "at least one set"),
        (FormatOptions(cap=20), "below the 25 points"),
        (FormatOptions(start_score=(25, 0)), "does not leave a set"),
        (FormatOptions(lead=0), "at least 1"),
        (FormatOptions(points=0), "at least 1"),
    ],
)
def test_a_format_that_cannot_be_played_is_refused(options: FormatOptions, problem: str) -> None:
    with pytest.raises(FormatError, match=problem):
        resolve(BASE, options)


def test_the_set_up_of_a_match_takes_the_format() -> None:
    made = Table(setup("USJ", format=FormatOptions(points=19, deciding_points=15)))
    assert isinstance(made.match.setup, MatchSetup)
    assert made.match.format.target(1) == 19
    assert made.match.format.sets_to_win == 2
