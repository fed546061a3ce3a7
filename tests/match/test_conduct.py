"""Cards: the scale by person, the team's one yellow card, points, who must leave."""

import pytest

from crewlink.match.commands import BeginSet, Choose, LineUp, Misconduct, Overrule, Pair, Sanction, Substitute
from crewlink.match.conduct import by_scale, next_step
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.sheet_check import defects
from crewlink.match.standing import standing
from crewlink.match.teams import Person, Role
from crewlink.match.terms import Card, Conduct, SubstitutionKind
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start, in_middle, line_ups

NINE = Person(number=9)
COACH = Person(Role.COACH)


def card(person: Person, kind: Card) -> Sanction:
    return Sanction(A, person, kind)


@pytest.mark.parametrize(
    ("before", "conduct", "shown"),
    [
        ((), Conduct.MINOR, Card.WARNING),
        ((card(COACH, Card.WARNING),), Conduct.MINOR, Card.PENALTY),
        ((card(NINE, Card.PENALTY),), Conduct.MINOR, Card.WARNING),
        ((), Conduct.RUDE, Card.PENALTY),
        ((card(NINE, Card.PENALTY),), Conduct.RUDE, Card.EXPULSION),
        ((card(NINE, Card.PENALTY), card(NINE, Card.EXPULSION)), Conduct.RUDE, Card.DISQUALIFICATION),
        ((card(COACH, Card.PENALTY),), Conduct.RUDE, Card.PENALTY),
        ((), Conduct.OFFENSIVE, Card.EXPULSION),
        ((card(NINE, Card.EXPULSION),), Conduct.OFFENSIVE, Card.DISQUALIFICATION),
        ((), Conduct.AGGRESSION, Card.DISQUALIFICATION),
    ],
)
def test_scale(before: tuple[Sanction, ...], conduct: Conduct, shown: Card) -> None:
    table = in_middle((5, 5), A)
    for sanction in before:
        table.do(sanction)
    assert by_scale(table.match, A, NINE, conduct) is shown
    proposal = table.ask(Misconduct(A, NINE, conduct)).proposal
    assert proposal is not None
    assert proposal.suggested == shown.value
    table.do(Choose(Misconduct(A, NINE, conduct), shown.value))
    assert table.match.a.cards[-1].card is shown


def test_a_number_on_no_list_gets_no_card() -> None:
    table = in_middle((5, 5), A)
    for kind in Card:
        decision = table.ask(card(Person(number=77), kind))
        assert (decision.ruling.code, decision.facts) == ("not_on_list", ())
        assert decision.ruling.sentence == "77 is not on the list of team A: read the number again."
    asked = table.ask(Misconduct(A, Person(number=77), Conduct.RUDE))
    assert (asked.ruling.code, asked.proposal) == ("not_on_list", None)
    table.do(Overrule(card(Person(number=77), Card.WARNING), "the list was wrong"))
    assert table.match.a.warned


def test_without_a_list_any_number_may_get_a_card() -> None:
    start = MidMatch(A, TeamStart(BASE_A), TeamStart(BASE_B), (5, 5))
    table = Table(MatchSetup(start=start))
    table.do(card(Person(number=77), Card.WARNING))


def test_a_card_below_the_scale_is_refused_but_r1_may_overrule() -> None:
    table = in_middle((5, 5), A)
    table.do(card(COACH, Card.WARNING), card(NINE, Card.PENALTY))
    assert table.ask(card(NINE, Card.PENALTY)).ruling.code == "next_card"
    assert table.ask(card(NINE, Card.WARNING)).ruling.code == "card_once"
    assert next_step(table.match, A, NINE) is Card.EXPULSION
    table.do(Overrule(card(NINE, Card.PENALTY), "R1"))
    assert table.match.score == (5, 7)


@pytest.mark.parametrize(
    ("profile", "kind", "score"),
    [
        ("INT", Card.WARNING, (5, 5)),
        ("INT", Card.PENALTY, (5, 6)),
        ("INT", Card.EXPULSION, (5, 5)),
        ("INT", Card.DISQUALIFICATION, (5, 5)),
        ("USC", Card.EXPULSION, (5, 6)),
        ("USC", Card.DISQUALIFICATION, (5, 6)),
        ("USJ", Card.EXPULSION, (5, 5)),
    ],
)
def test_which_cards_give_a_point(profile: str, kind: Card, score: tuple[int, int]) -> None:
    table = in_middle((5, 5), A, profile)
    fact = table.do(card(NINE, kind)).facts[0]
    assert table.match.score == score
    assert fact.score == score


def test_who_is_sent_off_must_be_replaced_and_stays_out() -> None:
    table = in_middle((5, 5), A)
    table.do(card(NINE, Card.EXPULSION))
    assert [o.code for o in standing(table.match).owed] == ["must_leave"]
    table.do(Substitute(A, (Pair(6, 9),), SubstitutionKind.FORCED))
    assert standing(table.match).owed == ()
    table.rallies("A")
    assert not table.ask(Substitute(A, (Pair(9, 6),))).ruling.fine
    assert 9 not in standing(table.match).a.bench


def test_expulsion_ends_with_the_set_disqualification_does_not() -> None:
    for kind, defective in ((Card.EXPULSION, False), (Card.DISQUALIFICATION, True)):
        table = from_start()
        table.do(card(NINE, kind))
        table.rallies("A" * 25)
        assert bool(defects(table.match, LineUp(A, BASE_A, (), 4))) is defective


def test_between_sets_it_counts_for_the_next_one() -> None:
    table = from_start()
    table.rallies("A" * 25)
    table.do(card(NINE, Card.EXPULSION), card(COACH, Card.PENALTY))
    assert [d.code for d in defects(table.match, LineUp(A, BASE_A, (), 4))] == ["out"]
    table.do(LineUp(A, (4, 6, 7, 12, 2, 15), (), 4), LineUp(B, (8, 1, 10, 5, 14, 3), (), 8), BeginSet())
    assert table.match.score == (0, 1)
    assert (table.match.serving, table.match.server) == (B, 8)


def test_penalties_of_both_teams_before_a_set() -> None:
    table = from_start()
    table.rallies("A" * 25)
    table.do(card(COACH, Card.PENALTY), Sanction(B, COACH, Card.PENALTY))
    line_ups(table)
    table.do(BeginSet())
    assert table.match.score == (1, 1)
    assert (table.match.a.pending, table.match.b.pending) == (0, 0)
