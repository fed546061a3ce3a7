"""Set-ups: a profile by name or by text, event values, and matches taken up in the middle."""

from importlib import resources

import msgspec
import pytest

from crewlink.match.beginning import SetupError, begin
from crewlink.match.commands import LiberoSwap, Pair, Substitute, TimeOut
from crewlink.match.facts import SetScore
from crewlink.match.ruling import Severity
from crewlink.match.setup import CardGiven, MatchSetup, MidMatch, TeamStart, UsedPair
from crewlink.match.standing import standing
from crewlink.match.teams import Person, TeamSheet
from crewlink.match.terms import Card, Moment, Phase
from crewlink.rules.format import FormatError, FormatOptions
from crewlink.rules.loading import ProfileError
from tests.match.playing import BASE_A, BASE_B, SHEET_A, A, B, Table, in_middle, setup


def test_a_whole_profile_may_come_as_text() -> None:
    text = (resources.files("crewlink.rules") / "profiles" / "USJ.toml").read_text("utf-8")
    changed = text.replace("per_set = { value = 12", "per_set = { value = 15", 1)
    assert begin(MatchSetup(profile="club", profile_text=changed)).profile.substitutions.per_set == 15
    with pytest.raises(ProfileError, match=r"club, line \d+"):
        begin(
            MatchSetup(
                profile="club", profile_text=changed.replace("per_set = { value = 15", "per_set = {}", 1)
            )
        )


def test_event_values_count_in_play() -> None:
    table = in_middle((5, 5), A, overrides={"time_outs.per_set": 1, "substitutions.per_set": 1})
    table.do(TimeOut(A))
    assert table.ask(TimeOut(A)).ruling.code == "time_outs_used_up"
    table.do(Substitute(A, (Pair(6, 9),)))
    table.rallies("A")
    assert table.ask(Substitute(A, (Pair(11, 7),))).ruling.code == "substitutions_used_up"


def test_a_set_up_survives_the_wire() -> None:
    made = setup("USC", start=MidMatch(A, TeamStart(BASE_A), TeamStart(BASE_B), (3, 4)))
    packed = msgspec.msgpack.encode(made)
    assert msgspec.msgpack.decode(packed, type=MatchSetup) == made


@pytest.mark.parametrize(
    ("made", "problem"),
    [
        (MatchSetup(profile="ABC"), "there is no profile"),
        (MatchSetup(overrides={"x.y": 1}), "is no value of a profile"),
        (MatchSetup(format=FormatOptions(best_of=2)), "not an odd number"),
        (MatchSetup(team_a=TeamSheet("A", (1, 1))), "team A: 1 is on the list twice"),
        (MatchSetup(team_b=TeamSheet("B", (1, 2), liberos=(3,))), "team B: libero 3 is not on the team list"),
    ],
)
def test_set_ups_that_cannot_be_played(made: MatchSetup, problem: str) -> None:
    with pytest.raises((SetupError, ProfileError, FormatError), match=problem):
        begin(made)


@pytest.mark.parametrize(
    ("start", "problem"),
    [
        (MidMatch(A, TeamStart((4, 4, 7, 12, 2, 15)), TeamStart(BASE_B)), "six different numbers"),
        (MidMatch(A, TeamStart(BASE_A), TeamStart(BASE_B), set_number=6), "there is no set 6"),
        (
            MidMatch(A, TeamStart(BASE_A), TeamStart(BASE_B), set_number=3, sets=(SetScore(1, (25, 1), A),)),
            "needs the results of the sets before it",
        ),
        (MidMatch(A, TeamStart(BASE_A, libero=(20, 2)), TeamStart(BASE_B)), "libero 20 is not on court"),
        (
            MidMatch(A, TeamStart(BASE_A, line_up=(9, 4, 7, 12, 2, 15)), TeamStart(BASE_B)),
            "do not fit the line-up",
        ),
        (
            MidMatch(A, TeamStart(BASE_A, pairs=(UsedPair(6, 11, True),)), TeamStart(BASE_B)),
            "6 is not in the line-up",
        ),
    ],
)
def test_starts_in_the_middle_that_cannot_be(start: MidMatch, problem: str) -> None:
    with pytest.raises(SetupError, match=problem):
        begin(setup(start=start))


ON_A, ON_B = TeamStart(BASE_A), TeamStart(BASE_B)


@pytest.mark.parametrize(
    ("start", "place", "problem"),
    [
        (MidMatch(A, ON_A, ON_B, (27, 10)), "score", "set 1 can't stand at 27:10"),
        (MidMatch(A, ON_A, ON_B, (25, 23)), "score", "set 1 can't stand at 25:23"),
        (MidMatch(A, ON_A, ON_B, (-3, 2)), "score", "set 1 can't stand at -3:2"),
        (MidMatch(A, ON_A, ON_B, set_number=2, sets=(SetScore(1, (25, 24), A),)), "set_scores", "end 25:24"),
        (MidMatch(A, ON_A, ON_B, set_number=2, sets=(SetScore(1, (3, 3), B),)), "set_scores", "end 3:3"),
        (MidMatch(A, ON_A, ON_B, set_number=2, sets=(SetScore(1, (27, 10), A),)), "set_scores", "end 27:10"),
        (MidMatch(A, ON_A, ON_B, set_number=2, sets=(SetScore(1, (25, 10), B),)), "set_scores", "end 25:10"),
        (
            MidMatch(A, ON_A, ON_B, set_number=4, sets=tuple(SetScore(n, (25, 9), A) for n in (1, 2, 3))),
            "set_scores",
            "at 3:0 in sets the match was over",
        ),
        (MidMatch(A, TeamStart((4, 9, 7, 12, 20, 15)), ON_B), "A, positions", '20 is a libero: write "L20"'),
        (MidMatch(A, TeamStart((4, 9, 7, 12, 6, 15), libero=(6, 2)), ON_B), "A, positions", "not one of its"),
        (MidMatch(A, TeamStart((4, 20, 7, 12, 2, 15), libero=(20, 9)), ON_B), "A, positions", "front row"),
        (MidMatch(B, TeamStart((4, 9, 7, 20, 2, 15), libero=(20, 12)), ON_B), "A, positions", "front row"),
        (
            MidMatch(A, TeamStart((4, 9, 7, 12, 20, 15), libero=(20, 15)), ON_B),
            "A, libero_for",
            "15 is on court",
        ),
        (MidMatch(A, TeamStart(BASE_A, pairs=(UsedPair(4, 9),)), ON_B), "A, pairs", "both are on court"),
        (MidMatch(A, TeamStart(BASE_A, pairs=(UsedPair(4, 20, True),)), ON_B), "A, pairs", "a libero is not"),
        (MidMatch(A, TeamStart(BASE_A, time_outs=5), ON_B), "A, time_outs", "5 time-outs in a set; 0 to 2"),
        (
            MidMatch(A, TeamStart(BASE_A, substitutions=9), ON_B),
            "A, substitutions",
            "9 substitutions in a set",
        ),
        (MidMatch(A, TeamStart(BASE_A, delays=-1), ON_B), "A, delays", "-1 can't be a count"),
        (MidMatch(A, TeamStart((4, 9, 7, 12, 2, 2)), ON_B), "A, positions", "2 is there twice"),
    ],
)
def test_a_start_that_cannot_be_says_where_and_why(start: MidMatch, place: str, problem: str) -> None:
    with pytest.raises(SetupError) as caught:
        begin(setup(start=start))
    assert caught.value.place == f"start, {place}"
    assert problem in str(caught.value)


@pytest.mark.parametrize(
    ("start", "more"),
    [
        (MidMatch(A, ON_A, ON_B, (30, 29)), {}),
        (MidMatch(A, ON_A, ON_B, (24, 25)), {}),
        (MidMatch(A, ON_A, ON_B, (26, 26)), {"format": FormatOptions(cap=27)}),
        (MidMatch(A, ON_A, ON_B, (14, 14), 5), {}),
        (MidMatch(A, ON_A, ON_B, set_number=2, sets=(SetScore(1, (34, 36), B),)), {}),
        (
            MidMatch(A, ON_A, ON_B, set_number=2, sets=(SetScore(1, (27, 26), A),)),
            {"format": FormatOptions(cap=27)},
        ),
        (
            MidMatch(A, ON_A, ON_B, set_number=4, sets=tuple(SetScore(n, (25, 9), A) for n in (1, 2, 3))),
            {"format": FormatOptions(all_sets=4)},
        ),
        (MidMatch(A, TeamStart((4, 9, 7, 20, 2, 15), libero=(20, 12)), ON_B), {}),  # has just rotated there
        (MidMatch(A, TeamStart(BASE_A, time_outs=2, substitutions=6), ON_B), {}),
    ],
)
def test_a_start_that_can_be_is_taken(start: MidMatch, more: dict[str, FormatOptions]) -> None:
    assert begin(setup(start=start, **more)).score == start.score


def test_the_caps_own_score_cannot_be_level() -> None:
    start = MidMatch(A, ON_A, ON_B, (27, 27))
    with pytest.raises(SetupError, match="can't stand at 27:27"):
        begin(setup(start=start, format=FormatOptions(cap=27)))


def test_a_captain_must_be_on_the_list() -> None:
    with pytest.raises(SetupError, match="team A: captain 99 is not on the team list") as caught:
        begin(MatchSetup(team_a=TeamSheet("A", (1, 2), 99)))
    assert caught.value.place == "teams, A, captain"


def test_a_match_taken_up_in_the_middle_knows_its_places() -> None:
    start = TeamStart(
        (15, 4, 6, 7, 12, 20),
        line_up=(4, 9, 7, 12, 2, 15),
        libero=(20, 2),
        libero_slot=2,
        time_outs=1,
        pairs=(UsedPair(9, 6),),
        improper=1,
        delays=1,
        cards=(CardGiven(Person(number=7), Card.WARNING),),
    )
    table = in_middle((12, 10), A, "USJ", a=start)
    a = standing(table.match).a
    assert [p.slot for p in a.places] == [6, 1, 2, 3, 4, 5]
    assert [p.libero for p in a.places] == [False, False, False, False, False, True]
    assert (a.places[5].stands_for, a.libero_slot) == (2, 2)
    assert (a.time_outs.used, a.substitutions.used, a.improper, a.delays, a.warned) == (1, 1, 1, 1, True)
    table.do(Substitute(A, (Pair(9, 6),)))


def test_who_is_out_at_the_start_stays_out() -> None:
    start = TeamStart(
        BASE_A,
        cards=(CardGiven(Person(number=6), Card.DISQUALIFICATION),),
        out=(11,),
        liberos_out=(20,),
        recovered=(7,),
        late_exchanges=1,
    )
    table = in_middle((5, 5), A, a=start)
    a = standing(table.match).a
    assert (a.bench, a.liberos) == ((13, 16, 19), (21,))
    assert table.match.a.recovered == (7,)
    late = LiberoSwap(A, 21, 2, Moment.AFTER_WHISTLE)
    assert table.ask(late).ruling.severity is Severity.DELAY


def test_a_closed_pair_stays_closed() -> None:
    table = in_middle((12, 10), A, a=TeamStart(BASE_A, pairs=(UsedPair(9, 6, closed=True),)))
    assert table.match.court_a.substitutions == 2
    assert not table.ask(Substitute(A, (Pair(6, 9),))).ruling.fine
    assert not table.ask(Substitute(A, (Pair(11, 9),))).ruling.fine


def test_earlier_sets_count() -> None:
    sets = (SetScore(1, (25, 20), A), SetScore(2, (20, 25), B))
    table = in_middle((24, 3), A, set_number=3, sets=sets)
    assert table.match.sets_won == (1, 1)
    table.rallies("A")
    assert (table.match.sets_won, table.match.set_number) == ((2, 1), 4)


def test_marks_of_technical_time_outs_already_passed_are_not_due_again() -> None:
    assert standing(in_middle((17, 9), A, "OLD").match).technical_due is None
    table = in_middle((15, 9), A, "OLD")
    table.rallies("A")
    assert standing(table.match).technical_due == 16


def test_bench_shows_who_may_still_come_in() -> None:
    table = in_middle((5, 5), A)
    assert standing(table.match).a.bench == (6, 11, 13, 16, 19)
    table.do(Substitute(A, (Pair(6, 9),)))
    assert standing(table.match).a.bench == (9, 11, 13, 16, 19)
    assert set(SHEET_A.liberos) == {20, 21}


def test_before_the_toss_nobody_serves() -> None:
    now = standing(Table(setup()).match)
    assert (now.phase, now.serving, now.server, now.next_server) == (Phase.BEFORE_MATCH, None, None, None)
    assert now.toss_due
