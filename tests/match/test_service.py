"""Service out of order: the table's own errors first, then what the fault costs by profile and moment."""

import pytest

from crewlink.match.commands import (
    BeginSet,
    Choose,
    Pair,
    Point,
    Sanction,
    Substitute,
    WrongInformation,
    WrongServer,
)
from crewlink.match.facts import Corrected, SetScore
from crewlink.match.ruling import Proposal, Severity
from crewlink.match.service import look_alike
from crewlink.match.setup import TeamStart, UsedPair
from crewlink.match.teams import Person, Six, Team
from crewlink.match.terms import Card, Cause, Phase, RemarkKind
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start, in_middle, line_ups, setup, stands

TURNED_B: Six = (1, 10, 5, 14, 3, 8)
TURNED_A: Six = (9, 7, 12, 2, 15, 4)


def proposal(table: Table, question: WrongServer) -> Proposal:
    decision = table.ask(question)
    assert decision.ruling.severity is Severity.FAULT
    assert decision.facts == ()
    assert decision.proposal is not None
    return decision.proposal


def codes(table: Table, question: WrongServer) -> list[str]:
    return [o.code for o in proposal(table, question).options]


def settle(table: Table, question: WrongServer, option: str = "wrong_server") -> Corrected:
    fact = table.do(Choose(question, option, "agreed")).facts[0]
    assert isinstance(fact, Corrected)
    assert fact.reason == "agreed"
    return fact


def test_explanations_come_before_the_fault() -> None:
    table = in_middle((6, 6), A)
    options = proposal(table, WrongServer(A, 11)).options
    assert [o.code for o in options] == ["substitution_missing", "wrong_server", "moment_unknown"]
    assert [o.explanation for o in options] == [True, False, False]


def test_each_option_shows_what_it_leads_to() -> None:
    table = in_middle((6, 6), A)
    options = {o.code: o for o in proposal(table, WrongServer(A, 11)).options}
    missing, fault = options["substitution_missing"], options["wrong_server"]
    assert (missing.score, missing.serving, missing.server) == ((6, 6), A, 11)
    assert missing.orders == ((11, 9, 7, 12, 2, 15), BASE_B)
    assert (fault.score, fault.serving, fault.server) == ((6, 7), B, 1)
    assert fault.orders == (BASE_A, TURNED_B)


def test_substitution_not_written_is_written_late() -> None:
    table = in_middle((6, 6), A)
    table.do(Choose(WrongServer(A, 11), "substitution_missing"))
    stands(table, (6, 6), (A, 11), (11, 9, 7, 12, 2, 15), BASE_B)
    assert table.match.court_a.substitutions == 1


def test_no_such_explanation_if_the_substitution_would_be_illegal() -> None:
    closed = TeamStart(BASE_A, pairs=(UsedPair(4, 11, closed=True),))
    assert "substitution_missing" not in codes(in_middle((6, 6), A, a=closed), WrongServer(A, 11))


def test_a_number_read_wrongly_changes_nothing() -> None:
    table = in_middle((6, 6), A, a=TeamStart((6, 9, 7, 12, 2, 15)))
    assert codes(table, WrongServer(A, 9))[0] == "misread"
    before = table.match
    table.do(Choose(WrongServer(A, 9), "misread"))
    assert table.match == before


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        (6, 9, True),
        (1, 7, True),
        (16, 19, True),
        (12, 21, True),
        (4, 9, False),
        (6, 6, False),
        (6, 16, False),
    ],
)
def test_numbers_that_look_alike(one: int, other: int, alike: bool) -> None:
    assert look_alike(one, other) is alike
    assert look_alike(other, one) is alike


def test_line_up_typed_wrongly_changes_order_and_sheet() -> None:
    table = in_middle((6, 6), A)
    table.do(Choose(WrongServer(A, 12), "line_up_typed"))
    stands(table, (6, 6), (A, 12), (12, 9, 7, 4, 2, 15), BASE_B)
    assert table.match.court_a.line_up == (12, 9, 7, 4, 2, 15)
    table.do(Substitute(A, (Pair(6, 12),)))
    table.rallies("A")
    table.do(Substitute(A, (Pair(12, 6),)))


def test_the_neighbour_in_the_order_hints_at_a_missing_rally() -> None:
    table = in_middle((6, 6), A)
    assert "check_score" in codes(table, WrongServer(A, 9))
    assert "check_score" in codes(table, WrongServer(A, 15))
    assert "check_score" not in codes(table, WrongServer(A, 12))


def test_libero_not_written_where_a_libero_may_serve() -> None:
    table = in_middle((6, 6), A, "USJ")
    assert "libero_missing" in codes(table, WrongServer(A, 20))
    table.do(Choose(WrongServer(A, 20), "libero_missing"))
    assert (table.match.server, table.match.court_a.stands_for) == (20, 4)
    assert "libero_missing" not in codes(in_middle((6, 6), A), WrongServer(A, 20))


def test_libero_in_a_second_slot_is_out_of_order_though_written_there() -> None:
    start = TeamStart((20, 12, 2, 15, 4, 9), line_up=(4, 9, 7, 12, 2, 15), libero=(20, 7), libero_slot=2)
    table = in_middle((14, 12), A, "USJ", a=start)
    settle(table, WrongServer(A, 20))
    stands(table, (14, 13), (B, 1), (7, 12, 2, 15, 4, 9), TURNED_B)
    assert table.match.court_a.libero is None
    in_slot = TeamStart((20, 12, 2, 15, 4, 9), line_up=(4, 9, 7, 12, 2, 15), libero=(20, 7), libero_slot=3)
    assert in_middle((14, 12), A, "USJ", a=in_slot).ask(WrongServer(A, 20)).ruling.code == "right_server"


def test_nothing_is_hit_yet_nothing_is_wrong() -> None:
    table = in_middle((6, 6), A)
    assert codes(table, WrongServer(A, 12, 0, False))[-1] == "no_fault"
    assert proposal(table, WrongServer(A, 12, 0, False)).suggested == "no_fault"


def test_the_right_server_and_the_wrong_team_are_refused() -> None:
    table = in_middle((6, 6), A)
    assert table.ask(WrongServer(A, 4)).ruling.code == "right_server"
    assert table.ask(WrongServer(B, 4)).ruling.code == "not_serving"


@pytest.mark.parametrize(
    ("profile", "winners", "rallies", "at_hit", "score", "cancelled"),
    [
        ("INT", "", 0, True, (10, 9), (0, 0)),
        ("INT", "AAA", 3, False, (10, 9), (3, 0)),
        ("INT", "AAA", 3, True, (10, 9), (3, 0)),
        ("INT", "AAB", 3, False, (10, 9), (2, 0)),
        ("OLD", "AAB", 3, False, (10, 10), (2, 0)),
        ("INT", "AABBA", 5, False, (10, 11), (3, 0)),
        ("USJ", "AAA", 3, False, (10, 9), (3, 0)),
        ("USJ", "AAB", 3, False, (10, 9), (2, 0)),
        ("USC", "AABB", 4, False, (12, 10), (0, 0)),
        ("USJ", "AABBA", 5, True, (13, 11), (0, 0)),
        ("USJ", "AABBAA", 6, False, (13, 11), (1, 0)),
    ],
)
def test_arithmetic(
    profile: str,
    winners: str,
    rallies: int,
    at_hit: bool,
    score: tuple[int, int],
    cancelled: tuple[int, int],
) -> None:
    table = in_middle((10, 8), A, profile)
    table.rallies(winners)
    fact = settle(table, WrongServer(A, 15, rallies, at_hit))
    assert (fact.score, fact.cancelled) == (score, cancelled)
    assert table.match.score == score
    assert table.match.serving is B
    assert table.match.findings == ()
    assert not table.match.rallies or table.match.rallies[-1].score == score
    assert len(table.match.rallies) == sum(score) - 18


def test_order_after_three_faulty_rallies() -> None:
    table = in_middle((10, 8), A)
    table.rallies("AAA")
    settle(table, WrongServer(A, 15, 3, False))
    stands(table, (10, 9), (B, 1), BASE_A, TURNED_B)


def test_rotations_stay_where_points_go() -> None:
    table = in_middle((10, 8), A)
    table.rallies("AABBA")  # A has rotated once since
    settle(table, WrongServer(A, 15, 5, False))
    stands(table, (10, 11), (B, 10), TURNED_A, (10, 5, 14, 3, 8, 1))


def test_moment_unknown_cancels_nothing() -> None:
    table = in_middle((18, 16), A)
    assert proposal(table, WrongServer(A, 15, None)).suggested == "moment_unknown"
    settle(table, WrongServer(A, 15, None), "moment_unknown")
    stands(table, (18, 17), (B, 1), BASE_A, TURNED_B)


def test_opponent_has_served_since_in_the_us_the_points_stand() -> None:
    table = in_middle((10, 8), A, "USJ")
    table.rallies("ABB")
    before = table.match
    settle(table, WrongServer(A, 15, 3, False))
    assert table.match.score == before.score
    assert table.match.completed == before.completed


def test_cancelled_points_are_not_cancelled_twice() -> None:
    table = in_middle((10, 8), A)
    table.rallies("AAAA")
    settle(table, WrongServer(A, 15, 3, False))
    table.rallies("A")
    assert table.match.score == (12, 9)
    settle(table, WrongServer(A, 15, len(table.match.rallies), True))
    assert table.match.score == (10, 10)


def test_a_correction_may_end_the_set() -> None:
    table = in_middle((20, 24), A)
    table.rallies("A")
    settle(table, WrongServer(A, 15, 1, False))
    assert table.match.sets[0].score == (20, 25)
    assert table.match.set_number == 2


def test_a_correction_is_a_completed_rally() -> None:
    table = in_middle((6, 6), A)
    table.do(Substitute(A, (Pair(6, 9),)))
    assert not table.ask(Substitute(A, (Pair(11, 7),))).ruling.fine
    settle(table, WrongServer(A, 15))
    assert table.ask(Substitute(A, (Pair(11, 7),))).ruling.fine


def test_table_told_the_wrong_server_back_to_the_moment() -> None:
    table = in_middle((9, 9), A)
    table.rallies("A")
    table.do(Sanction(A, Person(number=7), Card.WARNING))
    table.rallies("AB")
    table.do(Choose(WrongInformation(A, 3), "as_ruled"))
    stands(table, (9, 9), (A, 4), BASE_A, BASE_B)
    assert table.match.a.warned
    assert [n.kind for n in table.match.notes] == [RemarkKind.SCORER_MISTAKE]
    assert table.match.rallies == ()


def test_the_same_as_an_explanation_of_the_wrong_server() -> None:
    table = in_middle((9, 9), A)
    table.rallies("AAB")
    fact = settle(table, WrongServer(A, 9, 3, False), "wrong_information")
    assert fact.cause is Cause.WRONG_INFORMATION
    stands(table, (9, 9), (A, 4), BASE_A, BASE_B)


def test_a_rally_that_the_record_does_not_know_is_no_moment() -> None:
    table = in_middle((10, 8), A)
    assert table.ask(WrongServer(A, 15, 1, False)).ruling.code == "no_such_rally"
    table.rallies("AA")
    for at_hit in (False, True):
        decision = table.ask(WrongServer(A, 15, 9, at_hit))
        assert (decision.ruling.code, decision.proposal) == ("no_such_rally", None)
        assert decision.ruling.sentence == (
            "The record knows only 2 rallies of this set. "
            "Give a rally it knows, or say that the moment is unknown."
        )
    assert table.ask(WrongInformation(A, 99)).ruling.code == "no_such_rally"


@pytest.mark.parametrize(
    ("winners", "question", "code"),
    [
        ("A", WrongServer(A, 4, 1, False), "right_server"),
        ("A", WrongServer(B, 3, 1, False), "not_serving"),
        ("A", WrongServer(A, 4, 0, False), "right_server"),
        ("A", WrongServer(B, 3, 0, False), "not_serving"),
        ("A", WrongServer(A, 4, 1, True), "right_server"),
        ("AA", WrongServer(A, 4, 2, False), "right_server"),
        ("BA", WrongServer(B, 1, 1, False), "right_server"),
        ("BA", WrongServer(A, 4, 2, False), "right_server"),
        ("BA", WrongServer(A, 9, 1, False), "not_serving"),
        ("BA", WrongServer(B, 1, 2, False), "not_serving"),
        ("A", WrongServer(A, 4, None, True), "right_server"),
    ],
)
def test_asked_about_the_rally_it_is_about(winners: str, question: WrongServer, code: str) -> None:
    table = in_middle((5, 5), A)
    table.rallies(winners)
    decision = table.ask(question)
    assert decision.ruling.severity is Severity.REFUSE
    assert (decision.ruling.code, decision.proposal) == (code, None)


def test_nobody_served_a_point_that_a_penalty_gave() -> None:
    table = in_middle((5, 5), A)
    table.do(Sanction(A, Person(number=7), Card.PENALTY))
    assert table.ask(WrongServer(A, 15, 1, False)).ruling.code == "not_serving"


def test_who_is_due_now_may_have_been_wrong_before() -> None:
    table = in_middle((5, 5), A)
    table.rallies("BA")  # 9 serves now, 4 was due in the first of the two
    settle(table, WrongServer(A, 9, 2, False))
    assert table.match.score == (5, 7)


@pytest.mark.parametrize(("profile", "slot"), [("INT", None), ("USJ", 2)])
def test_a_libero_who_served_out_of_turn_is_found_later(profile: str, slot: int | None) -> None:
    start = TeamStart((20, 12, 2, 15, 4, 9), line_up=BASE_A, libero=(20, 7), libero_slot=slot)
    for winners in ("A", "B"):
        table = in_middle((14, 12), A, profile, a=start)
        table.rallies(winners)
        assert "wrong_server" in codes(table, WrongServer(A, 20, 1, False))


def test_a_libero_who_served_in_the_right_turn_is_right_later() -> None:
    start = TeamStart((20, 12, 2, 15, 4, 9), line_up=BASE_A, libero=(20, 7), libero_slot=3)
    table = in_middle((14, 12), A, "USJ", a=start)
    table.rallies("BA")
    assert table.ask(WrongServer(A, 20, 2, False)).ruling.code == "right_server"


def test_a_number_on_no_list_points_at_the_unlisted_player() -> None:
    table = in_middle((5, 5), A)
    table.rallies("A")
    asked = proposal(table, WrongServer(A, 77, 1, False))
    hint = asked.option("not_on_list")
    assert asked.suggested == "not_on_list"
    assert hint is not None
    assert "unlisted player" in hint.sentence
    assert hint.facts == ()
    assert "not_on_list" not in codes(table, WrongServer(A, 15, 1, False))


def test_found_after_the_last_point_the_set_goes_on() -> None:
    table = from_start()
    table.rallies("A" * 25)
    assert table.match.phase is Phase.BETWEEN_SETS
    table.do(Sanction(B, Person(number=8), Card.WARNING))
    settle(table, WrongServer(A, 15, 2, False))
    stands(table, (23, 1), (B, 1), BASE_A, TURNED_B)
    assert (table.match.set_number, table.match.phase, table.match.sets) == (1, Phase.PLAY, ())
    assert table.match.sets_won == (0, 0)
    assert table.match.b.warned
    assert table.match.findings == ()
    table.rallies("AA")
    assert table.match.sets[0].score == (25, 1)
    assert (table.match.set_number, table.match.serving) == (2, B)


def test_found_after_the_match_it_goes_on() -> None:
    table = in_middle((24, 24), A, "USJ", set_number=2, sets=(SetScore(1, (25, 20), A),))
    table.rallies("AA")
    assert table.match.finished
    settle(table, WrongServer(A, 15))
    assert (table.match.score, table.match.winner) == ((25, 25), None)
    assert table.match.phase is Phase.PLAY


def test_found_after_the_set_the_opponent_may_have_won_it() -> None:
    table = in_middle((26, 25), A)
    table.rallies("A")
    assert table.match.sets_won == (1, 0)
    settle(table, WrongServer(A, 15, 1, False))
    assert (table.match.set_number, table.match.score) == (1, (26, 26))
    table.rallies("BB")
    assert table.match.sets_won == (0, 1)


def test_once_the_next_set_has_begun_the_old_one_stands() -> None:
    table = from_start()
    table.rallies("A" * 25)
    line_ups(table)
    table.do(BeginSet())
    assert table.match.closed is None
    assert settle(table, WrongServer(B, 3, 0)).score == (1, 0)
    assert len(table.match.sets) == 1


def test_before_the_first_set_there_is_nothing_to_judge() -> None:
    assert Table(setup()).ask(WrongServer(A, 15)).ruling.code == "set_not_begun"


def test_an_option_that_is_gone_is_refused() -> None:
    table = in_middle((6, 6), A)
    assert table.ask(Choose(WrongServer(A, 15), "misread")).ruling.code == "no_such_option"
    table.do(Point(B))
    assert table.ask(Choose(WrongServer(A, 15), "wrong_server")).ruling.code == "no_such_option"


@pytest.mark.parametrize("team", list(Team))
def test_both_teams_are_treated_alike(team: Team) -> None:
    table = in_middle((10, 10), team)
    table.rallies(f"{team}{team}")
    settle(table, WrongServer(team, 2 if team is A else 3, 2, False))
    own, other = (table.match.score[team.place], table.match.score[team.other.place])
    assert (own, other) == (10, 11)
    assert table.match.serving is team.other
