"""Libero replacements and the naming of a new libero."""

import pytest

from crewlink.match import libero
from crewlink.match.commands import (
    Choose,
    LiberoOut,
    LiberoSwap,
    LineUp,
    NameLibero,
    Overrule,
    Pair,
    Replay,
    Sanction,
    Stop,
    Substitute,
    Toss,
)
from crewlink.match.facts import Substituted
from crewlink.match.ruling import Severity
from crewlink.match.setup import TeamStart
from crewlink.match.sheet_check import defects
from crewlink.match.standing import standing
from crewlink.match.teams import Person
from crewlink.match.terms import Card, LiberoOutCause, Moment, StopCause, SubstitutionKind
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start, in_middle, line_ups, setup, stands

ON = TeamStart((4, 9, 7, 12, 20, 15), libero=(20, 2))


def swap(comes_in: int, goes_out: int, **more: object) -> LiberoSwap:
    return LiberoSwap(A, comes_in, goes_out, **more)  # type: ignore[arg-type]


def test_in_for_the_back_row_and_out_after_a_rally() -> None:
    table = in_middle((7, 9), B)
    table.do(swap(20, 2))
    assert table.match.court_a.order == (4, 9, 7, 12, 20, 15)
    assert (table.match.court_a.libero, table.match.court_a.stands_for) == (20, 2)
    assert table.match.court_a.substitutions == 0
    assert table.ask(swap(2, 20)).ruling.code == "libero_no_rally"
    table.rallies("B")
    table.do(swap(2, 20))
    assert table.match.court_a.order == BASE_A
    assert table.match.court_a.libero is None


@pytest.mark.parametrize(
    ("start", "command", "code"),
    [
        (None, swap(20, 7), "libero_front_row"),
        (ON, swap(21, 15), "libero_partner"),
        (ON, swap(9, 20), "already_on_court"),
        (ON, swap(6, 20), "libero_partner"),
        (None, swap(20, 99), "not_on_court"),
        (None, swap(6, 2), "no_libero"),
        (ON, swap(20, 20), "same_number"),
        (ON, swap(20, 15), "already_on_court"),
    ],
)
def test_refusals(start: TeamStart | None, command: LiberoSwap, code: str) -> None:
    decision = in_middle((7, 9), B, a=start).ask(command)
    assert decision.ruling.code == code
    assert decision.facts == ()


def test_legal_swaps_now() -> None:
    table = in_middle((7, 9), B)
    pairs = {(s.comes_in, s.goes_out) for s in libero.legal_swaps(table.match, A)}
    assert pairs == {(n, out) for n in (20, 21) for out in (4, 2, 15)}
    table.do(swap(20, 2))
    assert libero.legal_swaps(table.match, A) == ()
    table.rallies("B")
    assert {(s.comes_in, s.goes_out) for s in libero.legal_swaps(table.match, A)} == {(2, 20), (21, 20)}


def test_an_illegal_one_is_a_delay() -> None:
    table = in_middle((7, 9), B)
    table.do(swap(20, 2))
    question = swap(2, 20)
    assert table.ask(question).ruling.severity is Severity.DELAY
    table.do(Choose(question, "as_ruled"))
    assert table.match.a.delays == 1
    assert table.match.court_a.libero == 20


def test_before_a_replay_no_libero_change_and_no_sanction() -> None:
    table = in_middle((7, 9), B)
    table.rallies("B")
    table.do(Replay())
    decision = table.ask(swap(20, 2))
    assert (decision.ruling.code, decision.ruling.severity) == ("libero_replay", Severity.REFUSE)
    assert decision.proposal is None
    table.do(Overrule(swap(20, 2), "hurt player"))
    assert table.match.court_a.libero == 20
    again = table.ask(swap(2, 20))
    assert (again.ruling.code, again.ruling.severity) == ("libero_no_rally", Severity.DELAY)


def test_second_libero_takes_over() -> None:
    table = in_middle((3, 3), A, a=ON)
    table.rallies("A")
    table.do(swap(21, 20))
    assert table.match.court_a.stands_for == 2
    table.rallies("A")
    table.do(swap(2, 21))
    assert table.match.court_a.order == BASE_A


def test_front_row_calls_the_partner_back() -> None:
    table = in_middle((7, 9), B, a=ON)
    assert libero.due(table.match, A) is None
    table.rallies("A")
    due = libero.due(table.match, A)
    assert due is not None
    assert (due.libero, due.comes_in, due.why) == (20, 2, "front_row")
    assert [o.code for o in standing(table.match).owed] == ["libero"]
    table.do(swap(2, 20))
    assert standing(table.match).owed == ()


def test_a_penalty_is_a_completed_rally() -> None:
    table = in_middle((7, 9), B)
    table.do(swap(20, 2), Sanction(B, Person(number=8), Card.PENALTY), swap(2, 20))
    stands(table, (8, 9), (A, 9), (9, 7, 12, 2, 15, 4), BASE_B)


def test_libero_does_not_serve_by_international_rules() -> None:
    assert in_middle((7, 9), A).ask(swap(20, 4)).ruling.code == "libero_serves"
    assert in_middle((7, 9), B).ask(swap(20, 4)).ruling.fine


def test_serving_slot_is_one_a_set() -> None:
    table = in_middle((11, 11), A, "USJ")
    table.do(swap(20, 4))
    assert standing(table.match).a.libero_slot == 1
    table.rallies("BA")
    table.do(swap(4, 20))
    assert table.match.server == 9
    table.rallies("A")
    assert table.ask(swap(20, 9)).ruling.code == "libero_second_slot"


def test_libero_goes_straight_to_serve_while_the_partner_comes_back() -> None:
    start = TeamStart((4, 10, 7, 12, 20, 15), libero=(20, 8))
    table = in_middle((11, 11), B, "USJ", a=start)
    table.rallies("A")
    table.do(swap(20, 10))
    assert table.match.court_a.order == (20, 7, 12, 8, 15, 4)
    assert table.match.court_a.stands_for == 10
    assert standing(table.match).a.libero_slot == 2


def test_after_the_whistle_once_play_goes_on() -> None:
    table = in_middle((4, 4), A)
    late = LiberoSwap(B, 18, 14, Moment.AFTER_WHISTLE)
    assert table.do(late).ruling.code == "libero_after_whistle_first"
    table.rallies("A")
    again = table.ask(LiberoSwap(B, 14, 18, Moment.AFTER_WHISTLE))
    assert (again.ruling.code, again.ruling.severity) == ("libero_after_whistle", Severity.DELAY)


def test_a_hurt_libero_is_replaced_at_once_by_the_new_one() -> None:
    table = in_middle((13, 12), A, a=ON)
    table.rallies("A")
    table.do(Stop(StopCause.INJURY, A, 20, in_rally=True), LiberoOut(A, 20))
    assert table.ask(NameLibero(A, 13)).ruling.code == "libero_not_possible"
    table.do(LiberoOut(A, 21))
    for number in (2, 9, 20, 77):
        assert table.ask(NameLibero(A, number, enters=True)).ruling.code == "libero_not_possible"
    table.do(NameLibero(A, 13, enters=True))
    assert table.match.court_a.order == (4, 9, 7, 12, 13, 15)
    assert (table.match.court_a.libero, table.match.court_a.stands_for) == (13, 2)
    assert standing(table.match).a.liberos == (13,)
    assert table.match.findings == ()


def test_partner_sent_off_is_replaced_off_court_and_may_not_come_back() -> None:
    table = in_middle((13, 12), A, a=ON)
    assert table.ask(Substitute(A, (Pair(6, 2),))).ruling.code == "off_for_libero"
    table.do(Sanction(A, Person(number=2), Card.EXPULSION))
    assert [o.code for o in standing(table.match).owed] == ["must_leave"]
    fact = table.do(Substitute(A, (Pair(6, 2),), SubstitutionKind.FORCED)).facts[0]
    assert isinstance(fact, Substituted)
    assert fact.pairs[0].position == 5
    assert standing(table.match).owed == ()
    assert (table.match.court_a.order, table.match.court_a.stands_for) == (ON.positions, 6)
    assert table.match.court_a.swaps[0].slot == 4
    table.rallies("A")
    assert table.ask(swap(2, 20)).ruling.code == "libero_partner"
    table.do(swap(6, 20))


def test_who_was_sent_off_does_not_come_back_for_the_libero() -> None:
    table = in_middle((13, 12), A, a=ON)
    table.do(Sanction(A, Person(number=2), Card.EXPULSION))
    table.rallies("A")
    assert table.ask(swap(2, 20)).ruling.code == "libero_partner"


def test_the_new_libero_stays_the_only_one_whatever_the_next_sheet_says() -> None:
    table = from_start("USJ")
    table.do(LiberoOut(A, 20), LiberoOut(A, 21), NameLibero(A, 13))
    assert table.match.a.liberos == (13,)
    table.rallies("A" * 25)
    assert [d.code for d in defects(table.match, LineUp(A, (4, 9, 13, 12, 2, 15), (), 4))] == ["libero"]
    assert [d.code for d in defects(table.match, LineUp(A, (4, 9, 20, 12, 2, 15), (), 4))] == ["out"]
    table.do(LineUp(A, BASE_A, (), 4))
    assert table.match.a.liberos == (13,)
    table.do(LiberoOut(A, 13), NameLibero(A, 16))
    assert table.match.a.liberos == (16,)
    assert set(table.match.a.liberos_out) == {20, 21, 13}


def test_second_libero_comes_in_for_a_hurt_one_without_a_rally() -> None:
    table = in_middle((13, 12), A)
    table.do(swap(20, 2), LiberoOut(A, 20, LiberoOutCause.INJURY))
    table.do(swap(21, 20))
    assert table.match.court_a.libero == 21
    table.rallies("A")
    assert table.ask(swap(20, 21)).ruling.code == "libero_partner"


def test_an_expelled_libero_is_back_in_the_next_set() -> None:
    table = in_middle((13, 12), A, a=ON)
    table.do(Sanction(A, Person(number=20), Card.EXPULSION))
    assert standing(table.match).a.liberos == (21,)
    due = libero.due(table.match, A)
    assert due is not None
    assert due.why == "may_not_play"
    table.do(swap(21, 20))
    table.rallies("A" * 12)
    assert standing(table.match).a.liberos == (20, 21)


@pytest.mark.parametrize(("profile", "fine"), [("USJ", True), ("USC", False), ("INT", False)])
def test_a_libero_named_at_the_check(profile: str, fine: bool) -> None:
    table = Table(setup(profile))
    table.do(Toss(A, A))
    boxes = () if profile == "INT" else ("X", "X")
    table.do(LineUp(A, BASE_A, boxes, 4), LineUp(B, BASE_B, boxes, 8))
    allowed = table.ask(NameLibero(A, 19)).ruling.fine
    assert allowed is (fine and not table.match.a.liberos)


def test_an_overruled_replacement_is_written() -> None:
    table = in_middle((7, 9), B)
    table.do(swap(20, 2), Overrule(swap(2, 20), "let it pass"))
    assert table.match.court_a.order == BASE_A


def test_no_replacement_before_a_set_begins() -> None:
    table = Table(setup())
    table.do(Toss(A, A))
    line_ups(table)
    assert table.ask(swap(20, 2)).ruling.code == "set_not_begun"
