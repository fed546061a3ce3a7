"""Each book played: what the same act leads to under the four profiles. Sources: the value's own, beside it.

INT: FIVB Official Volleyball Rules 2025-2028. OLD: the same, 2013-2016. USJ: US regional and event pages.
USC: NCAA women's rules. "from memory": the wording was not seen; tags as in crewlink/rules/README.md.
"""

from __future__ import annotations

import pytest

from crewlink.match import timeout
from crewlink.match.commands import (
    BeginSet,
    Choose,
    LateMinute,
    LiberoOut,
    LiberoSwap,
    LineUp,
    NameLibero,
    Pair,
    Sanction,
    Substitute,
    TimeOut,
    Toss,
    WrongPlayer,
    WrongServer,
)
from crewlink.match.courts import change_due
from crewlink.match.facts import SetScore
from crewlink.match.position import Feet, overlaps
from crewlink.match.ruling import Decision
from crewlink.match.setup import TeamStart
from crewlink.match.sheet_check import defects
from crewlink.match.standing import standing
from crewlink.match.teams import Person, Role, Team, TeamSheet
from crewlink.match.terms import Card, Cause, LiberoOutCause, SubstitutionKind
from crewlink.rules.loading import SHIPPED, shipped
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start, in_middle, line_ups, setup

EACH = pytest.mark.parametrize("profile", SHIPPED)
US = ("USJ", "USC")
DONE = {
    3: (SetScore(1, (25, 20), A), SetScore(2, (20, 25), B)),
    5: tuple(SetScore(n, (25, 20) if n % 2 else (20, 25), A if n % 2 else B) for n in range(1, 5)),
}


def deciding(profile: str, score: tuple[int, int], **more: object) -> Table:
    """The deciding set at a score. R25 6.3.1 and N08: the fifth; TF: the third."""
    last = 3 if profile == "USJ" else 5
    return in_middle(score, A, profile, set_number=last, sets=DONE[last], **more)  # type: ignore[arg-type]


def allowed(decision: Decision) -> bool:
    return decision.ruling.fine


# -- points, sets, courts


@EACH
def test_a_deciding_set_goes_to_fifteen(profile: str) -> None:
    """R25 6.3.2; TF; N08; I13 6.3.2."""
    table = deciding(profile, (13, 12), courts_changed=True)
    assert table.match.format.is_deciding(table.match.set_number)
    table.rallies("A")
    assert table.match.score == (14, 12)
    assert table.match.winner is None
    table.rallies("A")
    assert table.match.sets[-1].score == (15, 12)


@EACH
def test_other_sets_go_to_twenty_five(profile: str) -> None:
    """R25 6.2; TF; N08; I13 6.2."""
    table = in_middle((23, 12), A, profile)
    table.rallies("A")
    assert table.match.set_number == 1
    table.rallies("A")
    assert table.match.sets[-1].score == (25, 12)


@EACH
def test_a_set_needs_a_lead_of_two_and_no_cap_ends_it(profile: str) -> None:
    """R25 6.2; VC 6.2; N08; I13 6.2. No cap at USC: from memory."""
    table = in_middle((24, 24), A, profile)
    table.rallies("A")
    assert table.match.set_number == 1
    table.rallies("BABA")  # 27:26
    assert (table.match.set_number, table.match.score) == (1, (27, 26))
    table.rallies("A")
    assert table.match.sets[-1].score == (28, 26)


@EACH
def test_courts_are_changed_at_eight_of_the_deciding_set(profile: str) -> None:
    """R25 18.2.2; UEX; NA02; I13 18.2.2."""
    table = deciding(profile, (6, 5))
    table.rallies("A")
    assert not change_due(table.match)
    table.rallies("A")
    assert change_due(table.match)


@EACH
def test_the_match_is_won_by_two_or_three_sets(profile: str) -> None:
    """R25 6.3.1; TF; N08; I13 6.3."""
    needed = 2 if profile == "USJ" else 3
    won = tuple(SetScore(n, (25, 20), A) for n in range(1, needed))
    table = in_middle((24, 0), A, profile, set_number=needed, sets=won)
    assert standing(table.match).match_points == (A,)
    table.rallies("A")
    assert table.match.finished


@EACH
def test_no_book_gives_points_for_minutes(profile: str) -> None:
    """R25 6.4.2; TF (sets in stages); I13 6.4.2; USC from memory."""
    assert Table(setup(profile)).ask(LateMinute(A)).ruling.code == "no_late_points"


# -- substitutions


@EACH
def test_substitutions_allowed_and_announced(profile: str) -> None:
    """R25 15.1, 24.2.7; UR and VC 24.2.7; NA05 (14th and 15th from memory); I13 15.1."""
    limit = {"INT": 6, "USJ": 12, "USC": 15, "OLD": 6}[profile]
    for already in range(limit):
        decision = _after(profile, already).ask(Substitute(A, (Pair(6, 4),)))
        assert allowed(decision)
        assert ("Tell the coach" in decision.ruling.sentence) == (already + 1 in (limit - 1, limit))
    refused = _after(profile, limit).ask(Substitute(A, (Pair(6, 4),)))
    assert refused.ruling.code == "substitutions_used_up"


def _after(profile: str, already: int) -> Table:
    """Team A has made so many substitutions in this set."""
    return in_middle((5, 5), A, profile, a=TeamStart(BASE_A, substitutions=already))


@EACH
def test_a_second_substitute_in_the_same_place(profile: str) -> None:
    """R25 15.6 and I13 15.6: only the starter comes back. UR (USC from memory): anyone in one place."""
    table = in_middle((5, 5), A, profile)
    table.do(Substitute(A, (Pair(6, 4),)))
    table.rallies("A")
    decision = table.ask(Substitute(A, (Pair(11, 6),)))
    assert allowed(decision) == (profile in US)
    if profile not in US:
        assert decision.ruling.code == "illegal_substitution"


@EACH
def test_how_several_substitutes_come(profile: str) -> None:
    """R25 15.10.4 and I13 15.10.4: together. USJ: common practice; USC from memory."""
    sentence = in_middle((5, 5), A, profile).ask(Substitute(A, (Pair(6, 4), Pair(11, 9)))).ruling.sentence
    assert ("All in the zone together" in sentence) == (profile not in US)
    assert ("One in the zone at a time" in sentence) == (profile in US)


@EACH
def test_a_delay_warning_ends_the_requests_of_the_pause(profile: str) -> None:
    """R25 15.2.4 (USJ from memory). I13 15.2 has no such sentence; USC: not found, left off."""
    table = in_middle((5, 5), A, profile)
    question = Substitute(A, (Pair(6, 4),), ready=False)
    table.do(Choose(question, "as_ruled"))
    after = table.ask(TimeOut(A))
    assert allowed(after) == (profile in ("USC", "OLD"))
    if not allowed(after):
        assert after.ruling.code == "blocked_after_delay"


@EACH
def test_a_time_out_opens_a_new_request_only_in_college(profile: str) -> None:
    """R25 15.2.2-15.2.3; USJ from memory; N12 11.3.3.2.6; I13 15.2.3."""
    table = in_middle((5, 5), A, profile)
    table.do(Substitute(A, (Pair(6, 4),)), TimeOut(B))
    assert allowed(table.ask(Substitute(A, (Pair(11, 9),)))) == (profile == "USC")


def _nobody_left(profile: str) -> Table:
    """Team A has used up its substitutions."""
    limit = shipped(profile).profile.substitutions.per_set
    return in_middle((23, 5), A, profile, a=TeamStart(BASE_A, substitutions=limit))


@EACH
def test_an_expelled_player_is_replaced_exceptionally(profile: str) -> None:
    """R25 15.7-15.8; US books from memory. CB07 6.3 and I13 15.8: the team is incomplete."""
    table = _nobody_left(profile)
    table.do(Sanction(A, Person(number=4), Card.EXPULSION))
    decision = table.ask(Substitute(A, (Pair(6, 4),), SubstitutionKind.EXCEPTIONAL))
    assert allowed(decision) == (profile != "OLD")
    if profile == "OLD":
        assert decision.ruling.code == "exceptional_not_possible"


@EACH
def test_who_was_replaced_exceptionally_comes_back_in_college_only(profile: str) -> None:
    """R25 15.7; I13 15.7 and USJ from memory; NI 11.3.6.1.3: out for that set."""
    table = _nobody_left(profile)
    table.do(Substitute(A, (Pair(6, 4),), SubstitutionKind.EXCEPTIONAL))
    table.rallies("AA")
    liberos = (20, 21) if profile in US else ()
    wrong = defects(table.match, LineUp(A, BASE_A, liberos, 9))
    assert [(one.box, one.code) for one in wrong] == ([] if profile == "USC" else [("1", "out")])


# -- time-outs


@EACH
def test_two_time_outs_a_set_the_second_announced(profile: str) -> None:
    """R25 15.1, 24.2.7; US books from memory; I13 15.1 (announced: from memory)."""
    table = in_middle((5, 5), A, profile)
    first, second = table.do(TimeOut(A)), table.do(TimeOut(A))
    assert "it is the last one" not in first.ruling.sentence
    assert "it is the last one" in second.ruling.sentence
    assert table.ask(TimeOut(A)).ruling.code == "time_outs_used_up"


@EACH
def test_who_may_ask_for_a_time_out(profile: str) -> None:
    """R25 15.3.1, 5.1.2.3, 5.3.2; US bulletin, January 2011; USC from memory; I13 15.3.1."""
    wanted = {
        "INT": {Role.COACH, Role.ASSISTANT_COACH, Role.CAPTAIN},
        "USJ": {Role.COACH, Role.CAPTAIN},
        "USC": {Role.COACH},
        "OLD": {Role.COACH, Role.CAPTAIN},
    }[profile]
    table = in_middle((5, 5), A, profile)
    assert {role for role in Role if allowed(table.ask(TimeOut(A, role)))} == wanted


@EACH
def test_technical_time_outs_at_eight_and_sixteen_in_one_book(profile: str) -> None:
    """I13 15.4, top events; R25 15.4 has none; US books from memory."""
    due = [timeout.technical_due(in_middle((7, 3), A, profile).match)]
    for table in (in_middle((7, 3), A, profile), in_middle((15, 3), A, profile)):
        table.rallies("A")
        due.append(timeout.technical_due(table.match))
    assert due == ([None, 8, 16] if profile == "OLD" else [None, None, None])


@EACH
def test_no_technical_time_out_in_a_deciding_set(profile: str) -> None:
    """I13 15.4 of that period: sets 1 to 4. Where another book has none, an event may still set them."""
    table = deciding(profile, (7, 3), overrides={"time_outs.technical_at": [8]}, courts_changed=True)
    table.rallies("A")
    assert timeout.technical_due(table.match) is None


# -- line-ups and positions


@EACH
@pytest.mark.parametrize("left", [600, 61, 60, 59, 0])
def test_a_handed_in_line_up_is_changed_freely_in_college_only(profile: str, left: int) -> None:
    """R25 7.3.4; UEX; N12 10.1.1.7: set 1 until the 1-minute mark; I13 7.3.4."""
    table = Table(setup(profile))
    table.do(Toss(A, A))
    liberos = (20, 21) if profile in US else ()
    table.do(LineUp(A, BASE_A, liberos, 4))
    again = LineUp(A, (9, 4, 7, 12, 2, 15), liberos, 4, warm_up_left=left)
    assert allowed(table.ask(again)) == (profile == "USC" and left >= 60)


@EACH
def test_captains_raise_a_hand_at_the_check_in_junior_play(profile: str) -> None:
    """USJ: common practice; the others from memory."""
    table = Table(setup(profile))
    table.do(Toss(A, A))
    sentence = table.ask(LineUp(A, BASE_A, (20, 21) if profile in US else (), 4)).ruling.sentence
    assert ("raises a hand" in sentence) == (profile == "USJ")


@EACH
def test_feet_that_are_level(profile: str) -> None:
    """R25 7.4.3.1-7.4.3.2; USJ from memory, USC set as USJ; I13 7.4.3: closer is needed."""
    well = {p: Feet(6.5, 6.8, x, x + 0.3) for p, x in ((5, 1.5), (6, 4.5), (1, 7.5))}
    well |= {p: Feet(2.0, 2.3, x, x + 0.3) for p, x in ((4, 1.5), (3, 4.5), (2, 7.5))}
    level = {**well, 5: Feet(2.0, 2.0, 1.5, 1.8)}
    rules = shipped(profile).profile.positions
    assert bool(overlaps(level, rules.level_is_legal)) == (profile == "OLD")


# -- service out of order, players who should not be there


@EACH
def test_a_wrong_servers_lost_rally_counts_once(profile: str) -> None:
    """R25 7.7.1.1 (US books from memory); I13 7.7.1: point and service in addition.

    In the US books only the current term is put right, which alone gives one point; an event that lets
    points go back to the fault has the sentence at work.
    """
    table = in_middle((5, 5), A, profile, overrides={"wrong_server.reach": "from_fault"})
    table.rallies("B")
    table.do(Choose(WrongServer(A, 15, 1, False), "wrong_server"))
    assert table.match.score == ((5, 7) if profile == "OLD" else (5, 6))


@EACH
def test_how_far_back_a_wrong_servers_points_go(profile: str) -> None:
    """R25 7.7.2 and I13 7.7.2: to the fault. USJ, USC from memory: only this term of service."""
    table = in_middle((5, 5), A, profile)
    table.rallies("ABB")  # 15 serves and wins a point, then B gains the service and serves
    table.do(Choose(WrongServer(A, 15, 3, False), "wrong_server"))
    assert table.match.score == ((6, 7) if profile in US else (5, 8))


@EACH
def test_how_far_back_an_illegal_players_points_go(profile: str) -> None:
    """R25 15.9.2.3 and I13 15.9.2: to the fault. UQ12 (USC from memory): only this term of service."""
    table = in_middle((5, 5), A, profile)
    table.rallies("ABB")
    question = WrongPlayer(A, 6, 9, Cause.ILLEGAL_SUBSTITUTION, 3)
    table.do(Choose(question, "fault"))
    assert table.match.score == ((6, 7) if profile in US else (5, 8))


# -- liberos


@EACH
def test_two_liberos_at_most(profile: str) -> None:
    """R25 19.1.1; UR; N24; G15 19.1."""
    three = TeamSheet("A", (*BASE_A, 13, 20, 21), 4, (13, 20, 21))
    made = setup(profile)
    table = Table(type(made)(profile=profile, team_a=three, team_b=made.team_b))
    table.do(Toss(A, A))
    assert allowed(table.ask(LineUp(A, BASE_A, (20, 21), 4)))
    wrong = defects(table.match, LineUp(A, BASE_A, (20, 21, 13), 4))
    assert [(one.box, one.code) for one in wrong] == [("libero 3", "too_many")]


@EACH
def test_liberos_are_named_for_each_set_in_the_us(profile: str) -> None:
    """R25 19.1.1; UR; N12 10.1.1.3; G15 19.1."""
    table = from_start(profile)
    table.rallies("A" * 25)
    assert standing(table.match).a.liberos == (() if profile in US else (20, 21))


@EACH
def test_where_liberos_are_written(profile: str) -> None:
    """R25 19.1.2 and G15 19.1.2: score sheet. UL and N12 10.1.1.3: line-up sheet, no box left blank."""
    table = Table(setup(profile))
    table.do(Toss(A, A))
    boxes = [one.box for one in defects(table.match, LineUp(A, BASE_A, (), 4))]
    assert boxes == (["libero 1", "libero 2"] if profile in US else [])


@EACH
def test_no_libero_was_written(profile: str) -> None:
    """R25 19.1.2, 4.1.3 (OLD from memory); UEX: named at the check; N12 12.1.1: none that set."""
    made = setup(profile)
    nobody = TeamSheet("A", (*BASE_A, 6, 13, 20), 4)
    table = Table(type(made)(profile=profile, team_a=nobody, team_b=made.team_b))
    table.do(Toss(A, A), LineUp(A, BASE_A, ("X", "X") if profile in US else (), 4))
    table.do(LineUp(B, BASE_B, (18, "X") if profile in US else (), 8))
    decision = table.ask(NameLibero(A, 13))
    assert allowed(decision) == (profile == "USJ")
    until = {"INT": "none in this match", "OLD": "none in this match", "USC": "none in this set", "USJ": ""}
    assert until[profile] in decision.ruling.sentence


@EACH
def test_a_libero_serves_in_the_us(profile: str) -> None:
    """R25 19.3.1.3 and I13 19.3.1.3; UL; N12 12.1.2.3."""
    decision = from_start(profile).ask(LiberoSwap(A, 20, 4))
    assert allowed(decision) == (profile in US)
    if profile not in US:
        assert decision.ruling.code == "libero_serves"


@EACH
def test_a_libero_goes_straight_to_serve_in_the_us(profile: str) -> None:
    """UL; US tracker guide. R25 and I13 19.3.1.3: no libero serves, so a number on court is a slip."""
    table = from_start(profile)
    table.do(LiberoSwap(A, 20, 2))
    decision = table.ask(LiberoSwap(A, 20, 4))
    assert allowed(decision) == (profile in US)
    if profile not in US:
        assert decision.ruling.code == "already_on_court"


@EACH
def test_a_libero_as_captain(profile: str) -> None:
    """R25 5; USJ from memory; N12 12.1.1; I13 19.1: not allowed."""
    table = Table(setup(profile))
    table.do(Toss(A, A))
    wrong = defects(table.match, LineUp(A, BASE_A, (20, 21) if profile in US else (), 20))
    assert [one.code for one in wrong] == (["libero_captain"] if profile == "OLD" else [])


@EACH
def test_the_only_libero_expelled_a_new_one_is_named(profile: str) -> None:
    """R25 19.5; RI13 for OLD; USJ from memory, USC set as INT."""
    table = from_start(profile)
    table.rallies("A")
    table.do(Sanction(B, Person(number=18), Card.EXPULSION))
    table.do(LiberoOut(B, 18, LiberoOutCause.EXPULSION))
    assert allowed(table.ask(NameLibero(B, 17)))


# -- conduct


@EACH
@pytest.mark.parametrize("card", [Card.EXPULSION, Card.DISQUALIFICATION])
def test_an_expulsion_gives_a_point_in_college_only(profile: str, card: Card) -> None:
    """R25 21.3.2-21.3.3; UEX; NA02 and N12 8.1.2.3; I13 21.3.2.2."""
    table = in_middle((5, 5), A, profile)
    table.do(Sanction(A, Person(number=4), card))
    assert table.match.score == ((5, 6) if profile == "USC" else (5, 5))


@EACH
def test_where_an_expelled_player_goes(profile: str) -> None:
    """R25 21.3.2.1; US books from memory; I13 21.3.2.1."""
    places = {
        "INT": "To the dressing room until",
        "USJ": "Out of the playing area until",
        "USC": "Out of the playing area until",
        "OLD": "In the penalty area until",
    }
    decision = in_middle((5, 5), A, profile).ask(Sanction(A, Person(number=4), Card.EXPULSION))
    assert places[profile] in decision.ruling.sentence


def test_these_tables_begin_a_set() -> None:
    """Guards the helpers: a match from the toss is in its first set, the next one begins by its line-ups."""
    table = from_start("USC", first=Team.B)
    table.rallies("B" * 25)
    line_ups(table)
    table.do(BeginSet())
    assert (table.match.set_number, table.match.serving) == (2, A)


def test_an_event_without_technical_time_outs_under_the_book_of_2013() -> None:
    """I13 15.4 has them for top events; any other event sets the marks to nothing."""
    table = in_middle((7, 3), A, "OLD", overrides={"time_outs.technical_at": []})
    table.rallies("A")
    assert timeout.technical_due(table.match) is None


@EACH
def test_a_player_off_for_the_libero_comes_back_first(profile: str) -> None:
    """The books are silent; a libero leaves only for that player (R25 19.3.2.2). Asking costs nothing."""
    table = in_middle((5, 5), A, profile, a=TeamStart((4, 9, 7, 12, 20, 15), libero=(20, 2)))
    asked = table.ask(Substitute(A, (Pair(6, 2),)))
    assert (asked.ruling.code, asked.ruling.severity.value, asked.proposal) == (
        "off_for_libero",
        "refuse",
        None,
    )
    table.do(LiberoSwap(A, 2, 20), Substitute(A, (Pair(6, 2),)))
    assert table.match.court_a.order == (4, 9, 7, 12, 6, 15)
