"""Single rules and published rulings, each with its source."""

import pytest

from crewlink.match import libero
from crewlink.match.answer import AS_RULED
from crewlink.match.commands import (
    BeginSet,
    Choose,
    LiberoOut,
    LiberoSwap,
    NameLibero,
    Pair,
    PositionFault,
    Sanction,
    Substitute,
    TimeOut,
)
from crewlink.match.ruling import Severity
from crewlink.match.scoring import set_winner
from crewlink.match.setup import TeamStart
from crewlink.match.standing import standing
from crewlink.match.teams import Person, Team
from crewlink.match.terms import Card, RallyFault, SubstitutionKind
from crewlink.rules.format import FormatOptions, resolve
from crewlink.rules.loading import SHIPPED, shipped
from tests.match.playing import BASE_A, BASE_B, A, B, from_start, in_middle, line_ups


@pytest.mark.parametrize("profile", SHIPPED)
def test_rotation_is_clockwise_by_one_place(profile: str) -> None:
    """FIVB Official Volleyball Rules 2013-2016, 7.6.2: 2 to 1, 1 to 6, 6 to 5, 5 to 4, 4 to 3, 3 to 2."""
    table = in_middle((5, 5), B, profile)
    table.rallies("A")
    one, two, three, four, five, six = BASE_A
    assert table.match.court_a.order == (two, three, four, five, six, one)


@pytest.mark.parametrize("profile", SHIPPED)
def test_receivers_rotate_before_their_first_service(profile: str) -> None:
    """FIVB Official Volleyball Rules 2013-2016, 12.2.2.2: first server is the player listed in position 2."""
    table = from_start(profile, first=A)
    assert table.match.server == BASE_A[0]
    table.rallies("B")
    assert table.match.server == BASE_B[1]


def test_sides_and_first_service_change_from_set_to_set() -> None:
    """Volleyball Canada web rule book 18.2.1; FIVB Official Volleyball Rules 2025-2028, 12.1.2."""
    table = from_start(first=A)
    seen = []
    for _ in range(3):
        seen.append((table.match.set_number, table.match.serving, table.match.left))
        table.rallies("A" * 25 if table.match.set_number != 2 else "B" * 25)
        if table.match.set_number in (2, 3, 4):
            line_ups(table)
            table.do(BeginSet())
    assert seen == [(1, A, A), (2, B, B), (3, A, A)]


def test_no_change_of_sides_before_a_deciding_set() -> None:
    """Volleyball Canada web rule book 7.1, 18.2.1: a new toss instead."""
    table = from_start("USJ", first=A)
    table.rallies("A" * 25)
    line_ups(table)
    table.do(BeginSet())
    left = table.match.left
    table.rallies("B" * 25)
    assert table.match.left is left
    assert standing(table.match).toss_due


@pytest.mark.parametrize(
    ("options", "set_number", "score", "winner"),
    [
        (FormatOptions(best_of=3, cap=27, deciding_cap=17), 1, (27, 26), A),
        (FormatOptions(best_of=3, cap=27, deciding_cap=17), 1, (26, 25), None),
        (FormatOptions(best_of=3, cap=27, deciding_cap=17), 3, (16, 17), B),
        (FormatOptions(best_of=3, cap=27, deciding_cap=17), 3, (16, 15), None),
        (FormatOptions(all_sets=3), 3, (15, 3), None),
        (FormatOptions(all_sets=3), 3, (25, 3), A),
        (FormatOptions(best_of=3, points=19, deciding_points=15), 2, (19, 17), A),
        (FormatOptions(best_of=1, points=30), 1, (29, 20), None),
        (FormatOptions(best_of=1, points=30), 1, (30, 28), A),
    ],
)
def test_published_formats(
    options: FormatOptions, set_number: int, score: tuple[int, int], winner: Team | None
) -> None:
    """US event and league format pages: a 12-and-under event 2020 (caps 27 and 17); two junior events 2017-18
    (three sets to 25, all played); a regional policy 2018 (19, 19, 15); a school event 2017 (one set to 30).
    """
    assert set_winner(resolve(shipped("USJ").profile.format(), options), set_number, score) is winner


def test_college_sets_to_25_and_a_fifth_to_15() -> None:
    """NCAA women's rule 8.2.1, 2008 change."""
    form = shipped("USC").profile.format()
    assert [form.target(n) for n in range(1, 6)] == [25, 25, 25, 25, 15]


@pytest.mark.parametrize("profile", ["INT", "OLD"])
def test_a_fault_of_the_server_at_the_hit_comes_before_a_positional_fault(profile: str) -> None:
    """FIVB Official Volleyball Rules 2013-2016 and 2025-2028, 7.5.2."""
    table = in_middle((5, 5), A, profile)
    question = PositionFault(B, service=RallyFault.SERVICE_FOOT)
    table.do(Choose(question, AS_RULED))
    assert (table.match.score, table.match.serving) == ((5, 6), B)


@pytest.mark.parametrize("profile", ["INT", "OLD"])
def test_a_service_that_goes_out_comes_after_a_positional_fault(profile: str) -> None:
    """FIVB Official Volleyball Rules 2013-2016 and 2025-2028, 7.5.3."""
    table = in_middle((5, 5), A, profile)
    table.do(Choose(PositionFault(B, service=RallyFault.SERVICE_OUT), AS_RULED))
    assert (table.match.score, table.match.serving) == ((6, 5), A)


def test_a_second_request_is_allowed_when_it_is_forced() -> None:
    """FIVB Official Volleyball Rules 2025-2028, 15.11.1.3."""
    table = in_middle((5, 5), A)
    table.do(Substitute(A, (Pair(6, 9),)), Sanction(A, Person(number=7), Card.EXPULSION))
    assert table.ask(Substitute(A, (Pair(11, 7),))).ruling.severity is Severity.IMPROPER
    table.do(Substitute(A, (Pair(11, 7),), SubstitutionKind.FORCED))
    assert table.match.court_a.substitutions == 2


def test_no_further_request_after_one_rejected_with_a_delay_warning() -> None:
    """FIVB Official Volleyball Rules 2025-2028, 15.2.4: until the end of the next completed rally."""
    table = in_middle((5, 5), A)
    table.do(Choose(Substitute(A, (Pair(6, 9),), ready=False), AS_RULED))
    assert not table.ask(TimeOut(A)).ruling.fine
    assert not table.ask(Substitute(A, (Pair(6, 9),))).ruling.fine
    table.rallies("B")
    assert table.ask(Substitute(A, (Pair(6, 9),))).ruling.fine


def test_with_two_liberos_no_new_one_while_the_other_can_play() -> None:
    """FIVB Official Volleyball Rules 2025-2028, 19.4.3.1; German rule information 2013."""
    table = in_middle((5, 5), A)
    table.do(LiberoOut(A, 20))
    assert not table.ask(NameLibero(A, 13)).ruling.fine
    table.do(LiberoOut(A, 21))
    assert table.ask(NameLibero(A, 13)).ruling.fine


def test_second_libero_replaces_an_expelled_one_at_once() -> None:
    """FIVB Official Volleyball Rules 2025-2028, 19.5."""
    table = in_middle((5, 5), A)
    table.do(LiberoSwap(A, 20, 2), Sanction(A, Person(number=20), Card.EXPULSION), LiberoSwap(A, 21, 20))
    assert table.match.court_a.libero == 21


def test_only_libero_expelled_a_new_one_may_be_named() -> None:
    """FIVB Official Volleyball Rules 2025-2028, 19.5; German rule information 2013."""
    table = in_middle((5, 5), A)
    table.do(Sanction(B, Person(number=18), Card.EXPULSION), NameLibero(B, 17))
    assert standing(table.match).b.liberos == (17,)


def test_two_liberos_share_the_one_serving_slot() -> None:
    """USA Volleyball libero interpretations."""
    table = in_middle((5, 5), A, "USJ")
    table.do(LiberoSwap(A, 20, 4))
    table.rallies("BA")
    table.do(LiberoSwap(A, 4, 20))
    assert table.ask(LiberoSwap(A, 21, 9)).ruling.code == "libero_second_slot"
    table.rallies("BABABABABA")
    assert table.match.server == 4
    assert table.ask(LiberoSwap(A, 21, 4)).ruling.fine


def test_the_replaced_player_may_come_back_for_either_libero() -> None:
    """FIVB Official Volleyball Rules 2025-2028, 19.3.2.2."""
    start = TeamStart((4, 9, 7, 12, 20, 15), libero=(20, 2))
    table = in_middle((5, 5), A, a=start)
    table.rallies("A")
    pairs = {(s.comes_in, s.goes_out) for s in libero.legal_swaps(table.match, A)}
    assert pairs == {(2, 20), (21, 20)}


def test_a_starter_comes_back_only_to_the_same_place() -> None:
    """FIVB Official Volleyball Rules 2025-2028 and 2021-2024 (Polish federation rendering), 15.6."""
    table = in_middle((5, 5), A)
    table.do(Substitute(A, (Pair(6, 9), Pair(11, 7))))
    table.rallies("A")
    assert not table.ask(Substitute(A, (Pair(9, 11),))).ruling.fine
    assert not table.ask(Substitute(A, (Pair(7, 6),))).ruling.fine
    assert table.ask(Substitute(A, (Pair(9, 6), Pair(7, 11)))).ruling.fine


def test_several_players_may_share_a_place_in_junior_rules() -> None:
    """USA Volleyball regional clinic pages and questions, 2010-2021."""
    table = in_middle((5, 5), A, "USJ")
    for comes_in, goes_out in ((6, 9), (11, 6), (13, 11), (6, 13), (9, 6)):
        table.do(Substitute(A, (Pair(comes_in, goes_out),)))
        table.rallies("A")
    assert table.match.court_a.substitutions == 5


def test_technical_time_outs_of_top_events() -> None:
    """FIVB Official Volleyball Rules 2013-2016, 15.4: at 8 and 16 of the leading team, not in set 5."""
    table = in_middle((7, 3), A, "OLD")
    table.rallies("A")
    assert standing(table.match).technical_due == 8
    assert standing(in_middle((9, 3), A, "OLD", set_number=5).match).technical_due is None


def test_counters_start_anew_with_a_set_but_not_improper_requests() -> None:
    """FIVB Official Volleyball Rules 2013-2016, 15.11.2 and 16.2.1.1: improper requests and delays run on."""
    table = from_start()
    table.do(TimeOut(A), Substitute(A, (Pair(6, 9),)))
    table.do(Choose(Substitute(A, (Pair(11, 7),)), AS_RULED))
    table.rallies("A" * 25)
    assert (table.match.court_a.time_outs, table.match.court_a.substitutions) == (0, 0)
    assert table.match.a.improper == 1
