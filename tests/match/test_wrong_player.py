"""A player on court who should not be there: in time, played on, never on the list."""

import pytest

from crewlink.match.answer import AS_RULED
from crewlink.match.commands import (
    Choose,
    LiberoSwap,
    Overrule,
    Pair,
    PlayedIn,
    Substitute,
    Toss,
    UnlistedPlayer,
    WrongPlayer,
)
from crewlink.match.facts import Exchange, SetScore, Substituted
from crewlink.match.ruling import Severity
from crewlink.match.setup import TeamStart, UsedPair
from crewlink.match.teams import Six
from crewlink.match.terms import Cause, Phase
from crewlink.rules.format import FormatOptions
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start, in_middle, line_ups, setup, stands

TURNED_B: Six = (1, 10, 5, 14, 3, 8)


def at_the_check() -> Table:
    table = Table(setup())
    table.do(Toss(A, A))
    line_ups(table)
    return table


def test_before_the_set_it_is_put_right_without_sanction() -> None:
    table = at_the_check()
    question = WrongPlayer(A, 11, 7)
    decision = table.ask(question)
    assert decision.proposal is not None
    assert [o.code for o in decision.proposal.options] == ["put_right", "keep"]
    before = table.match
    table.do(Choose(question, "put_right"))
    assert table.match == before


def test_before_the_set_the_coach_may_keep_the_player_by_substitution() -> None:
    table = at_the_check()
    fact = table.do(Choose(WrongPlayer(A, 11, 7), "keep")).facts[0]
    assert isinstance(fact, Substituted)
    assert fact.pairs == (Exchange(7, 11, 3, 1),)
    assert table.match.court_a.order == (4, 9, 11, 12, 2, 15)
    assert table.match.court_a.substitutions == 1


def test_line_up_discrepancy_played_on() -> None:
    table = in_middle((0, 0), A)
    table.rallies("AABABBAABAA")
    table.do(Choose(WrongPlayer(A, 11, 7, Cause.LINE_UP, 11), "fault"))
    stands(table, (0, 5), (B, 14), (12, 2, 15, 4, 9, 7), (14, 3, 8, 1, 10, 5))


def test_opponent_that_won_the_last_rally_gets_one_more() -> None:
    table = in_middle((10, 10), A)
    table.rallies("AB")
    table.do(Choose(WrongPlayer(A, 11, 7, Cause.LINE_UP, 2), "fault"))
    assert table.match.score == (10, 12)


def test_illegal_substitution_is_struck_out_with_its_points() -> None:
    table = in_middle((10, 12), A, a=TeamStart(BASE_A, pairs=(UsedPair(9, 6, closed=True),)))
    table.do(Overrule(Substitute(A, (Pair(6, 12),)), "nobody objected"))
    table.rallies("AA")
    table.do(Choose(WrongPlayer(A, 6, 12, Cause.ILLEGAL_SUBSTITUTION, 2), "fault"))
    stands(table, (10, 13), (B, 1), BASE_A, TURNED_B)
    assert table.match.court_a.substitutions == 2
    assert 12 not in {s.goes_out for s in table.match.court_a.swaps}


def test_illegal_substitution_seen_in_time_costs_a_delay() -> None:
    table = in_middle((10, 12), A, a=TeamStart(BASE_A, pairs=(UsedPair(9, 6, closed=True),)))
    table.do(Overrule(Substitute(A, (Pair(6, 12),)), "nobody objected"))
    question = WrongPlayer(A, 6, 12, Cause.ILLEGAL_SUBSTITUTION)
    assert table.ask(question).ruling.severity is Severity.DELAY
    table.do(Choose(question, "put_right"))
    stands(table, (10, 12), (A, 4), BASE_A, BASE_B)
    assert table.match.a.delays == 1


def test_illegal_libero_at_the_hit() -> None:
    table = in_middle((7, 9), B)
    table.do(LiberoSwap(A, 20, 2))
    table.rallies("B")
    table.do(LiberoSwap(A, 2, 20), Overrule(LiberoSwap(A, 20, 15), "unnoticed"))
    table.do(Choose(WrongPlayer(A, 20, 15, Cause.ILLEGAL_LIBERO, 0, at_hit=True), "fault"))
    stands(table, (7, 11), (B, 8), BASE_A, BASE_B)
    assert table.match.court_a.libero is None


def test_in_the_us_only_the_last_rally_is_turned_round() -> None:
    table = in_middle((8, 8), B, "USJ")
    table.rallies("AABAAABA")
    table.do(Choose(WrongPlayer(A, 6, 2, Cause.ILLEGAL_LIBERO, 8), "fault"))
    stands(table, (13, 11), (B, 10), (7, 12, 2, 15, 4, 9), (10, 5, 14, 3, 8, 1))


def test_moment_unknown_is_offered() -> None:
    table = in_middle((10, 12), A)
    table.rallies("AA")
    table.do(Choose(WrongPlayer(A, 11, 7, Cause.LINE_UP, None), "moment_unknown"))
    assert table.match.score == (12, 13)


def unlisted(sets: tuple[SetScore, ...], score: tuple[int, int], best_of: int = 5) -> Table:
    number = len(sets) + 1
    more = {"set_number": number, "sets": sets, "format": FormatOptions(best_of=best_of)}
    return in_middle(score, A, a=TeamStart((19, 9, 7, 12, 2, 15)), **more)


def test_a_player_not_on_the_list_costs_the_sets_played_with_that_player() -> None:
    table = unlisted((SetScore(1, (25, 20), A),), (7, 5))
    question = UnlistedPlayer(A, 19, 4, (PlayedIn(1, (10, 8)), PlayedIn(2, (0, 0))))
    table.do(Choose(question, AS_RULED))
    stands(table, (0, 6), (B, 1), BASE_A, TURNED_B)
    assert table.match.sets == (SetScore(1, (10, 25), B),)
    assert table.match.sets_won == (0, 1)


def test_it_counts_also_when_the_player_is_off_court_again() -> None:
    table = in_middle((12, 9), A)
    question = UnlistedPlayer(A, 19, 4, (PlayedIn(1, (10, 8)),))
    table.do(Choose(question, AS_RULED))
    stands(table, (10, 10), (B, 1), BASE_A, TURNED_B)
    on_court = in_middle((12, 9), A, a=TeamStart((19, 9, 7, 12, 2, 15)))
    assert on_court.ask(UnlistedPlayer(A, 19, 9, question.played)).ruling.code == "already_on_court"


def test_the_lead_of_two_counts_in_a_set_scored_anew() -> None:
    table = unlisted((SetScore(1, (28, 26), A),), (7, 5))
    table.do(Choose(UnlistedPlayer(A, 19, 4, (PlayedIn(1, (24, 24)),)), AS_RULED))
    assert table.match.sets[0].score == (24, 26)
    assert table.match.score == (7, 6)


def test_the_match_may_be_over_by_it() -> None:
    sets = (SetScore(1, (25, 20), A), SetScore(2, (20, 25), B))
    table = unlisted(sets, (7, 5), best_of=3)
    table.do(Choose(UnlistedPlayer(A, 19, 4, (PlayedIn(1, (10, 8)),)), AS_RULED))
    assert table.match.finished
    assert table.match.winner is B
    assert table.match.sets_won == (0, 2)


def test_found_after_the_set_it_is_open_again() -> None:
    table = in_middle((23, 20), A)
    table.rallies("AA")
    assert table.match.sets_won == (1, 0)
    table.do(Choose(WrongPlayer(A, 11, 7, Cause.LINE_UP, 2), "fault"))
    stands(table, (23, 21), (B, 1), BASE_A, TURNED_B)
    assert table.match.sets == ()


@pytest.mark.parametrize("cause", [Cause.RULED, Cause.PROTEST])
def test_other_causes_are_refused(cause: Cause) -> None:
    assert in_middle((1, 1), A).ask(WrongPlayer(A, 11, 7, cause)).facts == ()


def test_nothing_without_a_line_up() -> None:
    table = Table(setup())
    assert table.match.phase is Phase.BEFORE_MATCH
    assert table.ask(WrongPlayer(A, 11, 7)).ruling.code == "not_now"


def test_a_rally_that_the_record_does_not_know_is_no_moment() -> None:
    table = in_middle((5, 5), A)
    table.rallies("AB")
    for rallies in (-1, 3):
        asked = table.ask(WrongPlayer(A, 6, 9, Cause.LINE_UP, rallies, False))
        assert (asked.ruling.code, asked.proposal) == ("no_such_rally", None)


def test_rallies_before_an_unlisted_player_came_on_stay_in_the_list() -> None:
    table = from_start()
    table.rallies("AAB AAB")  # the player comes on at 2:1
    table.do(Choose(UnlistedPlayer(A, 9, 6, (PlayedIn(1, (2, 1)),)), "as_ruled"))
    assert table.match.score == (2, 3)
    assert [line.score for line in table.match.rallies] == [(1, 0), (2, 0), (2, 1), (2, 2), (2, 3)]
