"""Time-outs, substitutions, improper requests and delays in the pauses between rallies."""

import pytest

from crewlink.match import timeout
from crewlink.match.answer import AS_RULED, NO_SANCTION
from crewlink.match.commands import (
    BeginSet,
    Choose,
    Delay,
    EndTimeOut,
    ImproperRequest,
    Overrule,
    Pair,
    Point,
    Replay,
    Sanction,
    Substitute,
    TechnicalTimeOut,
    TimeOut,
)
from crewlink.match.facts import Delayed, Exchange, ImproperRequested, Substituted
from crewlink.match.pairing import legal_pairs, regular_partners
from crewlink.match.ruling import Severity
from crewlink.match.setup import TeamStart, UsedPair
from crewlink.match.standing import standing
from crewlink.match.teams import Person, Role
from crewlink.match.terms import Card, DelayStep, Moment, Phase, SubstitutionKind
from tests.match.playing import BASE_A, BASE_B, A, B, from_start, in_middle, line_ups, stands


def sub(comes_in: int, goes_out: int, **more: object) -> Substitute:
    return Substitute(A, (Pair(comes_in, goes_out),), **more)  # type: ignore[arg-type]


def test_time_out_runs_until_it_is_ended_or_play_goes_on() -> None:
    table = in_middle((5, 5), A)
    table.do(TimeOut(B))
    assert table.match.phase is Phase.TIME_OUT
    table.do(EndTimeOut())
    assert table.match.phase is Phase.PLAY
    assert table.ask(EndTimeOut()).ruling.code == "no_time_out"
    table.do(TimeOut(B), Point(A))
    assert table.match.phase is Phase.PLAY
    assert timeout.left(table.match, B) == 0


def test_a_card_does_not_end_a_time_out() -> None:
    table = in_middle((5, 5), A)
    table.do(TimeOut(B), Sanction(B, Person(Role.COACH), Card.PENALTY))
    assert table.match.phase is Phase.TIME_OUT
    assert table.match.score == (6, 5)


def test_last_time_out_says_so() -> None:
    table = in_middle((5, 5), A)
    assert "Tell" not in table.do(TimeOut(A)).ruling.sentence
    assert "Tell the coach and R1" in table.do(TimeOut(A)).ruling.sentence


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (TimeOut(A, moment=Moment.AFTER_WHISTLE), "after_whistle"),
        (TimeOut(A, moment=Moment.IN_RALLY), "in_rally"),
        (TimeOut(A, by=Role.STAFF), "not_entitled"),
        (sub(6, 9, moment=Moment.AFTER_WHISTLE), "after_whistle"),
    ],
)
def test_improper_requests(command: TimeOut | Substitute, code: str) -> None:
    table = in_middle((5, 5), A)
    decision = table.ask(command)
    assert (decision.ruling.code, decision.ruling.severity) == (code, Severity.IMPROPER)
    assert decision.facts == ()
    assert decision.proposal is not None
    assert decision.proposal.suggested == AS_RULED
    table.do(Choose(command, AS_RULED))
    assert table.match.a.improper == 1
    assert table.ask(command).ruling.severity is Severity.DELAY


@pytest.mark.parametrize(
    ("profile", "by", "fine"),
    [("INT", Role.CAPTAIN, True), ("USC", Role.CAPTAIN, False), ("USJ", Role.ASSISTANT_COACH, False)],
)
def test_who_may_ask_for_a_time_out(profile: str, by: Role, fine: bool) -> None:
    assert in_middle((5, 5), A, profile).ask(TimeOut(A, by=by)).ruling.fine is fine


def test_waving_off_in_time_writes_nothing() -> None:
    table = in_middle((5, 5), A)
    table.do(Choose(TimeOut(A, by=Role.STAFF), NO_SANCTION))
    assert table.match.a.improper == 0
    assert len(table.chain) == 0


def test_delay_ladder_runs_through_the_match_and_penalties_before_a_set_wait_for_it() -> None:
    table = from_start()
    table.do(Delay(A))
    assert (table.match.a.delays, table.match.score) == (1, (0, 0))
    table.rallies("B" * 25)
    table.do(Delay(A))
    assert table.match.score == (0, 0)
    line_ups(table)
    decision = table.do(BeginSet())
    assert decision.facts[0].score == (0, 1)
    stands(table, (0, 1), (B, 8), BASE_A, BASE_B)
    table.do(Delay(A))
    assert table.match.score == (0, 2)


def test_improper_request_by_its_own_command() -> None:
    table = in_middle((5, 5), A)
    assert isinstance(table.do(ImproperRequest(B)).facts[0], ImproperRequested)
    again = table.ask(ImproperRequest(B))
    assert again.ruling.severity is Severity.DELAY
    table.do(Choose(TimeOut(B, moment=Moment.IN_RALLY), AS_RULED))
    assert (table.match.b.improper, table.match.b.delays) == (1, 1)


def test_a_request_that_costs_time_is_a_delay_the_first_time() -> None:
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, time_outs=2))
    assert table.ask(TimeOut(A)).ruling.severity is Severity.IMPROPER
    assert table.ask(TimeOut(A, cost_time=True)).ruling.severity is Severity.DELAY


def test_after_a_delay_warning_for_a_request_the_team_may_ask_no_more_in_that_pause() -> None:
    table = in_middle((5, 5), A)
    table.do(Choose(sub(6, 9, ready=False), AS_RULED))
    assert table.ask(TimeOut(A)).ruling.code == "blocked_after_delay"
    assert table.ask(TimeOut(B)).ruling.fine
    table.rallies("A")
    assert table.ask(TimeOut(A)).ruling.fine


def test_the_block_is_a_profile_value() -> None:
    table = in_middle((5, 5), A, "OLD")
    table.do(Choose(sub(6, 9, ready=False), AS_RULED))
    assert table.ask(TimeOut(A)).ruling.fine


def test_technical_time_outs_at_eight_and_sixteen_but_not_in_the_deciding_set() -> None:
    table = in_middle((7, 6), A, "OLD")
    assert standing(table.match).technical_due is None
    table.rallies("A")
    assert standing(table.match).technical_due == 8
    table.do(TechnicalTimeOut(), EndTimeOut())
    assert standing(table.match).technical_due is None
    assert table.ask(TechnicalTimeOut()).ruling.code == "no_technical_time_out"
    table.rallies("A" * 8)
    assert standing(table.match).technical_due == 16
    assert standing(in_middle((8, 6), A, "OLD", set_number=5).match).technical_due is None
    assert standing(in_middle((8, 6), A, "INT").match).technical_due is None


def test_one_request_a_pause_unless_it_goes_on() -> None:
    table = in_middle((5, 5), A)
    table.do(sub(6, 9))
    assert table.ask(sub(11, 7)).ruling.code == "second_request"
    table.do(sub(11, 7, same_request=True))
    table.rallies("A")
    table.do(sub(13, 12))
    assert table.match.court_a.substitutions == 3


def test_a_time_out_opens_a_new_request_only_in_college() -> None:
    for profile, fine in (("INT", False), ("USJ", False), ("USC", True), ("OLD", False)):
        table = in_middle((5, 5), A, profile)
        table.do(sub(6, 9), TimeOut(B))
        assert table.ask(sub(11, 7)).ruling.fine is fine, profile


def test_a_replay_is_no_completed_rally() -> None:
    table = in_middle((5, 5), A)
    table.do(Replay())
    assert table.ask(sub(6, 9)).ruling.code == "replay_due"
    assert table.ask(sub(6, 9, kind=SubstitutionKind.FORCED)).ruling.fine
    table.rallies("A")
    assert table.ask(sub(6, 9)).ruling.fine


def test_starter_and_substitute_pairing() -> None:
    table = in_middle((5, 5), A)
    table.do(sub(6, 9))
    table.rallies("A")
    assert table.ask(sub(9, 7)).ruling.code == "illegal_substitution"
    assert "only come back for 6" in table.ask(sub(9, 7)).ruling.sentence
    assert table.ask(sub(11, 6)).ruling.code == "illegal_substitution"
    assert regular_partners(table.match, A, 6) == (9,)
    table.do(sub(9, 6))
    table.rallies("A")
    assert table.ask(sub(6, 9)).ruling.code == "illegal_substitution"
    assert table.ask(sub(11, 9)).ruling.code == "illegal_substitution"
    assert regular_partners(table.match, A, 9) == ()
    assert regular_partners(table.match, A, 7) == (11, 13, 16, 19)


def test_one_position_pairing() -> None:
    table = in_middle((5, 5), A, "USJ")
    for comes_in, goes_out in ((6, 9), (11, 6), (9, 11), (6, 9), (13, 6)):
        table.do(sub(comes_in, goes_out))
        table.rallies("A")
    assert table.ask(sub(6, 7)).ruling.code == "illegal_substitution"
    assert "may only come in for 13" in table.ask(sub(6, 7)).ruling.sentence
    assert table.match.court_a.substitutions == 5
    assert {p.comes_in for p in legal_pairs(table.match, A) if p.goes_out == 13} == {9, 6, 11, 16, 19}


@pytest.mark.parametrize(
    ("comes_in", "goes_out", "code", "severity"),
    [
        (6, 99, "not_on_court", Severity.REFUSE),
        (7, 9, "already_on_court", Severity.REFUSE),
        (77, 9, "not_on_list", Severity.REFUSE),
        (20, 9, "libero_by_substitution", Severity.DELAY),
    ],
)
def test_numbers_that_cannot_be_meant(comes_in: int, goes_out: int, code: str, severity: Severity) -> None:
    decision = in_middle((5, 5), A).ask(sub(comes_in, goes_out))
    assert (decision.ruling.code, decision.ruling.severity) == (code, severity)


def test_legal_pairs_go_through_when_another_is_refused() -> None:
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, pairs=(UsedPair(9, 6, closed=True),)))
    both = Substitute(A, (Pair(11, 7), Pair(6, 12)))
    decision = table.ask(both)
    assert (decision.ruling.code, decision.ruling.severity) == ("some_pairs_illegal", Severity.DELAY)
    written = table.do(Choose(both, AS_RULED)).facts
    assert [type(f) for f in written] == [Substituted, Delayed]
    assert table.match.court_a.order == (4, 9, 11, 12, 2, 15)
    assert table.match.a.delays == 1


def test_more_pairs_than_substitutions_left() -> None:
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=5))
    both = Substitute(A, (Pair(6, 9), Pair(11, 7)))
    decision = table.ask(both)
    assert (decision.ruling.code, decision.ruling.severity) == ("substitutions_used_up", Severity.IMPROPER)
    assert "only 1 substitution left" in decision.ruling.sentence
    assert "6 in for 9 goes through" in decision.ruling.sentence
    assert decision.proposal is not None
    waved_off = decision.proposal.option("no_sanction")
    assert waved_off is not None
    assert waved_off.sentence == "Waved off in time: 6 in for 9 goes through."
    table.do(sub(11, 7))  # nothing was written: the coach may ask for the other pair instead
    assert table.match.court_a.order == (4, 9, 11, 12, 2, 15)


def test_a_request_refused_whole_names_no_pair() -> None:
    proposal = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=6)).ask(sub(6, 9)).proposal
    assert proposal is not None
    assert [o.sentence for o in proposal.options] == [
        "Team A has used its 6 substitutions. First improper request of team A: written down, no sanction.",
        "Waved off in time: nothing is written down for it.",
    ]


def test_exhausted_substitutions_are_an_improper_request() -> None:
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=6))
    assert table.ask(sub(11, 7)).ruling.severity is Severity.IMPROPER
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=5))
    both = Substitute(A, (Pair(11, 7), Pair(13, 12)))
    assert table.ask(both).ruling.code == "substitutions_used_up"
    table.do(Choose(both, AS_RULED))
    assert (table.match.court_a.substitutions, table.match.a.improper) == (6, 1)


def test_the_fact_says_who_where_and_which_count() -> None:
    table = in_middle((5, 5), A)
    fact = table.do(Substitute(A, (Pair(6, 9), Pair(11, 7)))).facts[0]
    assert isinstance(fact, Substituted)
    assert fact.pairs == (Exchange(9, 6, 2, 1), Exchange(7, 11, 3, 2))
    assert (fact.score, fact.set_number) == ((5, 5), 1)
    assert [s.slot for s in table.match.court_a.swaps] == [1, 2]


def test_counts_near_the_limit_are_told() -> None:
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=4))
    assert "number 5" in table.do(sub(11, 7)).ruling.sentence


def test_exceptional_only_when_no_regular_one_is_possible() -> None:
    table = in_middle((5, 5), A)
    exceptional = sub(11, 7, kind=SubstitutionKind.EXCEPTIONAL)
    assert table.ask(exceptional).ruling.code == "exceptional_not_possible"
    used_up = TeamStart(BASE_A, substitutions=6)
    for profile, gone, barred in (("INT", (7,), ()), ("USC", (), (7,))):
        limit = {"INT": used_up, "USC": TeamStart(BASE_A, substitutions=15)}[profile]
        table = in_middle((5, 5), A, profile, a=limit)
        table.do(exceptional)
        assert table.match.court_a.order == (4, 9, 11, 12, 2, 15)
        assert table.match.court_a.substitutions == limit.substitutions
        assert (table.match.a.out, table.match.court_a.barred) == (gone, barred)
    assert in_middle((5, 5), A, a=used_up).ask(sub(20, 7, kind=SubstitutionKind.EXCEPTIONAL)).facts == ()


def test_overrule_of_a_refusal_is_written_with_its_reason() -> None:
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=6))
    table.do(Overrule(sub(11, 7), "count was wrong"))
    assert table.match.court_a.order == (4, 9, 11, 12, 2, 15)
    assert table.match.court_a.substitutions == 7
    assert table.match.findings == ()
    assert table.ask(Overrule(Point(A), "x")).ruling.code == "nothing_to_overrule"
    assert table.ask(Overrule(EndTimeOut(), "x")).ruling.code == "cannot_overrule"


def test_next_step_is_shown() -> None:
    table = in_middle((5, 5), A)
    assert standing(table.match).a.next_delay is DelayStep.WARNING
    table.do(Delay(A))
    assert standing(table.match).a.next_delay is DelayStep.PENALTY


def test_no_requests_between_sets() -> None:
    table = from_start()
    table.rallies("A" * 25)
    assert table.ask(TimeOut(A)).ruling.code == "set_not_begun"
    assert table.ask(sub(6, 9)).ruling.code == "not_now"
