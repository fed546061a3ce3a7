"""Stops, injuries, incomplete teams, default, lateness, protest, change of courts, R1's own decision."""

import pytest

from crewlink.match import courts
from crewlink.match.commands import (
    Adjust,
    BeginSet,
    ChangeCourts,
    DecideProtest,
    Default,
    GiveRecovery,
    Incomplete,
    LateMinute,
    Overrule,
    Pair,
    Point,
    Protest,
    Remark,
    RestartSet,
    Resume,
    Sanction,
    Stop,
    Substitute,
    TimeOut,
    WrongServer,
)
from crewlink.match.injury import ways_on
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.standing import standing
from crewlink.match.teams import Person, TeamSheet
from crewlink.match.terms import Card, Phase, RemarkKind, Scope, StopCause, SubstitutionKind
from crewlink.rules.format import FormatOptions
from tests.match.playing import BASE_A, BASE_B, SHEET_B, A, B, Table, from_start, in_middle, setup, stands

DECIDING = {"set_number": 5}


def six_only(score: tuple[int, int], **more: object) -> Table:
    """Team A has the six on court and nobody else."""
    start = MidMatch(A, TeamStart(BASE_A), TeamStart(BASE_B), score, **more)  # type: ignore[arg-type]
    return Table(MatchSetup(team_a=TeamSheet("A", BASE_A, 4), team_b=SHEET_B, start=start))


def test_a_stop_holds_play_until_it_goes_on() -> None:
    table = in_middle((5, 5), A)
    table.do(Stop(StopCause.INTERFERENCE, in_rally=True))
    assert standing(table.match).phase is Phase.STOPPED
    assert table.ask(Point(A)).ruling.code == "stopped"
    assert table.ask(TimeOut(A)).ruling.code == "replay_due"
    table.do(Resume(), Point(A), TimeOut(A))
    assert table.ask(Resume()).ruling.code == "not_stopped"


def test_play_is_stopped_for_a_number_on_no_list_and_the_number_is_questioned() -> None:
    table = in_middle((5, 5), A)
    said = table.do(Stop(StopCause.INJURY, A, 77)).ruling.sentence
    assert said == "Play is stopped. 77 is not on the list of team A: check the number."
    assert table.match.phase is Phase.STOPPED


def test_ways_on_for_a_hurt_player_in_order() -> None:
    table = in_middle((5, 5), A)
    ways = ways_on(table.match, A, 7)
    assert (ways.regular, ways.exceptional, ways.recovery) == ((6, 11, 13, 16, 19), (), True)
    assert table.ask(GiveRecovery(A, 7)).ruling.code == "recovery"
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=6))
    ways = ways_on(table.match, A, 7)
    assert (ways.regular, ways.exceptional) == ((), (6, 11, 13, 16, 19))
    assert not ways.incomplete


def test_recovery_once_a_player_and_match_then_incomplete() -> None:
    table = six_only((22, 24))
    table.do(Stop(StopCause.INJURY, A, 12), GiveRecovery(A, 12))
    assert table.match.standstill is not None
    assert table.match.standstill.recovery
    table.do(Resume())
    assert not table.ask(GiveRecovery(A, 12)).ruling.fine
    assert ways_on(table.match, A, 12).incomplete
    table.do(Incomplete(A))
    assert (table.match.sets[0].score, table.match.sets[0].winner) == ((22, 25), B)


def test_who_is_sent_off_gets_no_recovery_time() -> None:
    table = six_only((5, 5))
    table.do(Sanction(A, Person(number=12), Card.EXPULSION))
    assert ways_on(table.match, A, 12).incomplete


@pytest.mark.parametrize(
    ("score", "result"),
    [((22, 24), (22, 25)), ((24, 10), (24, 26)), ((26, 26), (26, 28)), ((0, 0), (0, 25))],
)
def test_incomplete_gives_what_is_still_needed(score: tuple[int, int], result: tuple[int, int]) -> None:
    table = in_middle(score, A)
    assert table.do(Incomplete(A)).facts[0].score == result
    assert table.match.sets[0].score == result


def test_incomplete_with_a_cap() -> None:
    table = in_middle((26, 25), A, format=FormatOptions(cap=27))
    table.do(Incomplete(A))
    assert table.match.sets[0].score == (26, 27)


def test_incomplete_for_the_match_keeps_what_the_team_has() -> None:
    table = from_start()
    table.rallies("A" * 25)
    table.do(Incomplete(A, Scope.MATCH))
    assert table.match.finished
    assert [s.score for s in table.match.sets] == [(25, 0), (0, 25), (0, 25), (0, 25)]
    assert (table.match.winner, table.match.sets_won) == (B, (1, 3))


@pytest.mark.parametrize(
    ("profile", "sets"), [("INT", [(25, 0)] * 3), ("USJ", [(25, 0)] * 2), ("USC", [(25, 0)] * 3)]
)
def test_default(profile: str, sets: list[tuple[int, int]]) -> None:
    table = Table(setup(profile))
    table.do(Default(B))
    assert [s.score for s in table.match.sets] == sets
    assert table.match.winner is A
    assert table.ask(Default(A)).ruling.code == "match_over"


def test_a_set_given_away_is_not_opened_again() -> None:
    for given in (Incomplete(A), Default(A, Scope.MATCH)):
        table = from_start()
        table.rallies("AB")
        table.do(given)
        assert table.ask(WrongServer(A, 15)).ruling.code == "set_not_begun"


def test_default_in_stages() -> None:
    table = Table(setup("USJ"))
    table.do(Default(B, Scope.SET))
    assert (table.match.set_number, table.match.finished) == (2, False)
    table.do(Default(B, Scope.SET))
    assert table.match.finished


def test_points_by_the_minute_only_where_the_event_says_so() -> None:
    assert Table(setup()).ask(LateMinute(B)).ruling.code == "no_late_points"
    table = Table(setup(overrides={"match.late": "points_by_minute"}))
    table.do(LateMinute(B), LateMinute(B))
    assert table.match.score == (2, 0)
    for _ in range(23):
        table.do(LateMinute(B))
    assert table.match.sets[0].score == (25, 0)


def test_protest_stops_play_and_upheld_goes_back() -> None:
    table = in_middle((5, 5), A)
    table.rallies("A")
    good = table.last_id
    table.rallies("BB")
    table.do(Protest(A))
    assert standing(table.match).protest is A
    assert table.ask(Resume()).ruling.code == "protest_open"
    assert table.ask(Protest(B)).ruling.code == "protest_open"
    assert table.ask(DecideProtest(upheld=True)).ruling.code == "no_moment"
    assert table.ask(DecideProtest(upheld=True, back_to=b"?")).ruling.code == "no_such_line"
    table.do(DecideProtest(upheld=True, back_to=good))
    assert (table.match.score, table.match.phase, table.match.protest) == ((6, 5), Phase.PLAY, None)
    assert [line.struck for line in table.chain.lines] == [False, True, True, True, False]
    assert table.match.findings == ()


def test_protest_not_upheld_leaves_all_as_it_is() -> None:
    table = in_middle((5, 5), A)
    table.rallies("AB")
    table.do(Protest(A), DecideProtest(upheld=False))
    assert (table.match.score, table.match.phase) == ((6, 6), Phase.PLAY)
    assert table.ask(DecideProtest(upheld=False)).ruling.code == "no_protest"


def test_change_of_courts_at_eight_also_late() -> None:
    table = in_middle((6, 7), B, **DECIDING)
    assert table.ask(ChangeCourts()).ruling.code == "no_court_change"
    table.rallies("B")
    assert standing(table.match).courts_due
    assert not courts.change_missed(table.match)
    table.rallies("A")
    assert courts.change_missed(table.match)
    assert "forgotten" in table.ask(ChangeCourts()).ruling.sentence
    table.do(ChangeCourts())
    assert (table.match.left, table.match.score) == (B, (7, 8))
    assert not standing(table.match).courts_due
    assert table.ask(ChangeCourts()).ruling.code == "courts_changed"


def test_no_change_of_courts_where_it_is_off_or_not_deciding() -> None:
    assert not standing(
        in_middle((8, 7), B, format=FormatOptions(court_change_at=0), **DECIDING).match
    ).courts_due
    assert not standing(in_middle((8, 7), B).match).courts_due


def test_set_restarted_after_a_long_stop() -> None:
    table = from_start()
    table.rallies("AAB")
    table.do(Substitute(A, (Pair(6, 9),)), TimeOut(A), Sanction(B, Person(number=8), Card.WARNING))
    assert table.ask(RestartSet()).ruling.code == "not_stopped"
    table.do(Stop(StopCause.FACILITY), RestartSet())
    assert table.match.phase is Phase.CHECK
    stands(table, (0, 0), (A, 4), BASE_A, BASE_B)
    assert (table.match.court_a.substitutions, table.match.court_a.time_outs) == (0, 0)
    assert table.match.b.warned
    table.do(BeginSet())


def test_r1_decides_score_service_and_orders() -> None:
    table = in_middle((5, 5), A)
    assert table.ask(Adjust(" ", (7, 7))).ruling.code == "no_reason"
    table.do(Adjust("replay of a disputed rally", (4, 5), B))
    stands(table, (4, 5), (B, 8), BASE_A, BASE_B)
    table.do(Adjust("order", orders=((9, 7, 12, 2, 15, 4), BASE_B)))
    assert table.match.court_a.order == (9, 7, 12, 2, 15, 4)
    assert table.ask(Adjust("x", (-1, 0))).ruling.code == "no_score"
    assert table.ask(Adjust("x", orders=((9, 9, 12, 2, 15, 4), BASE_B))).ruling.code == "number_twice"


def test_remarks_are_kept_with_their_line() -> None:
    table = in_middle((5, 5), A)
    table.rallies("A")
    table.do(Remark(RemarkKind.INJURY, A, 7))
    assert [(n.line, n.kind, n.number) for n in table.match.notes] == [(1, RemarkKind.INJURY, 7)]


def test_forced_substitution_in_a_stop() -> None:
    table = in_middle((5, 5), A)
    table.do(Substitute(A, (Pair(6, 9),)), Stop(StopCause.INJURY, A, 7, in_rally=True))
    table.do(Substitute(A, (Pair(11, 7),), SubstitutionKind.FORCED), Resume())
    assert table.match.court_a.order == (4, 6, 11, 12, 2, 15)


def test_overrule_lets_a_point_stand_in_a_stop() -> None:
    table = in_middle((5, 5), A)
    table.do(Stop(StopCause.OTHER), Overrule(Point(B), "the rally was over"))
    assert (table.match.score, table.match.phase) == ((5, 6), Phase.PLAY)
