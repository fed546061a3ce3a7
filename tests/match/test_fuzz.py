"""A small part of the random sequences that `python -m tests.match.fuzz` plays by the hundred thousand."""

import time

import pytest
from msgspec import structs

from crewlink.match import engine
from crewlink.match.commands import Choose, Default, LiberoSwap, NameCaptain, Point, Toss, WrongServer
from crewlink.match.facts import Fact, RallyWon
from crewlink.match.ruling import Decision, Ruling, Severity
from crewlink.match.state import Match, with_court
from crewlink.match.terms import Phase, Scope
from crewlink.rules.loading import SHIPPED
from tests.match.any_command import KINDS
from tests.match.fuzz import many
from tests.match.invariants import Step, answered, broken
from tests.match.playing import A, B, Table, from_start, line_ups, setup

SEQUENCES = 250


@pytest.mark.parametrize("profile", SHIPPED)
def test_random_sequences_break_nothing(profile: str) -> None:
    tally = many(profile, iter(range(SEQUENCES)), time.monotonic() + 600)
    assert tally.sequences == SEQUENCES
    assert {name for name, _ in tally.answers} >= {kind.__name__ for kind in KINDS}
    assert set(tally.phases) == {phase.value for phase in Phase}
    assert {severity for _, severity in tally.answers} == {severity.value for severity in Severity}


def test_the_same_seed_plays_the_same_sequence() -> None:
    one, two = (many("INT", iter((7,)), 0.0) for _ in range(2))
    assert (one.answers, one.phases, one.written) == (two.answers, two.phases, two.written)


POINT = Point(A)
FINE = Decision((), Ruling("point", Severity.FINE, "Point A."))


def step(after: Match | None = None) -> Step:
    """A plain point, in order: what a test then spoils."""
    before = from_start().match
    fact: Fact = RallyWon(A, A, 4, (1, 0))
    return Step(POINT, FINE, fact, before, after or engine.evolve(before, fact), 0, False)


def test_an_ordinary_point_breaks_nothing() -> None:
    assert broken(step()) is None


def test_each_invariant_sees_its_fault() -> None:
    """The watch itself: a state spoilt in one way is found by the invariant for it."""
    good = step().after
    doubled = with_court(good, A, order=(4, 9, 7, 12, 2, 2))
    strange = with_court(good, A, order=(4, 9, 7, 12, 2, 13))
    fallen = with_court(good, B, points=-1)
    many_time_outs = with_court(good, A, time_outs=3)
    many_changes = with_court(good, A, substitutions=7)
    unfit = engine.evolve(good, RallyWon(A, A, 4, (9, 9), set_number=3)).findings
    closed = structs.replace(good, closed=structs.replace(good, closed=good))
    for after, name in (
        (doubled, "places"),
        (strange, "due_order"),
        (fallen, "score"),
        (many_time_outs, "counts"),
        (many_changes, "counts"),
        (structs.replace(good, findings=unfit), "no_finding"),
        (closed, "bounded"),
    ):
        problem = broken(step(after=after))
        assert problem is not None
        assert problem.startswith(name), problem


def test_an_answer_without_a_sentence_is_seen() -> None:
    assert answered(FINE) is None
    assert answered(Decision((), Ruling("x", Severity.FINE, ""))) is not None
    assert answered(Decision((RallyWon(A, A, 4, (1, 0)),), Ruling("x", Severity.REFUSE, "No."))) is not None


def test_a_set_lost_before_the_toss_leaves_the_toss_due() -> None:
    """Found by a random sequence: set 2 could never begin."""
    table = Table(setup("USJ"))
    table.do(Default(A, Scope.SET))
    assert table.match.set_number == 2
    assert table.match.toss_due
    table.do(Toss(B, A))
    line_ups(table)
    assert (table.match.serving, table.match.phase) == (B, Phase.CHECK)


def test_a_captain_must_be_on_the_list_also_before_the_line_up() -> None:
    """Found by a random sequence."""
    table = Table(setup())
    decision = table.ask(NameCaptain(A, 18))
    assert decision.ruling.code == "not_on_list"


def test_the_second_libero_who_serves_stands_for_the_first_ones_partner() -> None:
    """Found by a random sequence: a missing replacement of one libero by the other."""
    table = from_start("USJ")
    table.do(LiberoSwap(A, 20, 4), Point(A))
    table.do(Choose(WrongServer(A, 21), "libero_missing"))
    court = table.match.court_a
    assert (court.libero, court.stands_for, court.order[0]) == (21, 4, 21)


def test_no_missing_replacement_while_the_other_libero_stands_elsewhere() -> None:
    table = from_start("USJ")
    table.do(LiberoSwap(A, 20, 2), Point(A))
    proposal = table.ask(WrongServer(A, 21)).proposal
    assert proposal is not None
    assert proposal.option("libero_missing") is None
