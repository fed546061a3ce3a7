"""The ready chain: after each kind of interruption R1 sees one state, clear or held, by whom and why."""

from __future__ import annotations

import pytest

from crewlink.charter import Settings
from crewlink.crew.commands import Hold, Raise, Ready, Release, TickDuty
from crewlink.crew.posts import CREW, Post
from crewlink.crew.ready import ReadyError, all_pauses, fact_names, parse, pause_of
from crewlink.match.commands import (
    ChangeCourts,
    Command,
    Delay,
    EndTimeOut,
    LiberoSwap,
    Pair,
    Point,
    Resume,
    Sanction,
    Stop,
    Substitute,
    TimeOut,
    Undo,
)
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Person, Role, Team
from crewlink.match.terms import Card, StopCause
from crewlink.script.expectations import RuleValue
from crewlink.snapshot import ReadyView
from tests.crew.hall import ALL, SETUP, Hall

FULL = (*CREW, Post.SITE)


def in_set(hall: Hall) -> Hall:
    hall.begin()
    hall.do(Post.R2, TickDuty("positions"))
    hall.do(Post.SCORER, Point(Team.A))
    return hall


@pytest.fixture
def hall() -> Hall:
    return in_set(Hall())


def chain(hall: Hall, post: Post = Post.R1) -> ReadyView:
    return hall.look(post).ready


def told(hall: Hall) -> tuple[str, str]:
    ready = chain(hall)
    return ready.state, ready.sentence


SUBSTITUTION = Substitute(Team.B, (Pair(9, 5),))


def test_the_table_of_interruptions_knows_every_fact_it_names_and_none_twice() -> None:
    assert set(pause_of()) <= fact_names()
    assert "rally_won" not in pause_of() and "libero_replaced" not in pause_of()
    assert sum(len(pause.facts) for pause in all_pauses().values()) == len(pause_of())


def test_a_faulty_table_of_interruptions_says_where() -> None:
    with pytest.raises(ReadyError, match="waved"):
        parse('[x]\nfacts = ["waved"]\nstops = ["R2"]')


def test_between_ordinary_rallies_nobody_has_to_press_anything(hall: Hall) -> None:
    for team in (Team.A, Team.B, Team.B):
        hall.do(Post.SCORER, Point(team))
        assert chain(hall) == ReadyView()


def test_a_point_crossed_out_by_the_table_asks_nobody_else(hall: Hall) -> None:
    hall.do(Post.SCORER, Point(Team.B))
    hall.do(Post.SCORER, Undo("slip"))
    assert told(hall)[0] in ("none", "clear")


INTERRUPTIONS = {
    "time-out": (TimeOut(Team.A), EndTimeOut()),
    "substitution": (SUBSTITUTION,),
    "delay": (Delay(Team.B),),
    "stop": (Stop(StopCause.INTERFERENCE), Resume()),
}


@pytest.mark.parametrize("name", INTERRUPTIONS)
def test_after_an_interruption_r1_is_told_when_nothing_holds_the_service(hall: Hall, name: str) -> None:
    for command in INTERRUPTIONS[name]:
        hall.do(Post.SCORER, command)
    assert told(hall) == ("held", "R2 is not ready yet")
    assert {post: chain(hall, post).state for post in ALL} == dict.fromkeys(ALL, "held")
    hall.do(Post.R2, Ready())
    assert told(hall) == ("clear", "Clear")
    hall.do(Post.SCORER, Point(Team.A))
    assert chain(hall) == ReadyView()


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (SUBSTITUTION, "Substitution B, 9 in for 5"),
        (Sanction(Team.B, Person(Role.PLAYER, 1), Card.PENALTY), "Red card B 1, point A"),
        (Delay(Team.B), "Delay warning B"),
    ],
)
def test_the_chain_says_what_happened_and_r2_is_told_what_to_do(
    hall: Hall, command: Command, words: str
) -> None:
    hall.do(Post.SCORER, command)
    own = chain(hall, Post.R2)
    assert (chain(hall).sentence, chain(hall).reason) == ("R2 is not ready yet", words)
    assert (own.sentence, own.reason, own.person) == ("You: tap when ready", words, False)


def test_a_hold_by_a_person_is_told_from_a_stop_that_is_not_ready(hall: Hall) -> None:
    hall.do(Post.SCORER, SUBSTITUTION)
    hall.do(Post.R2, Hold("wet floor"))
    assert (chain(hall).sentence, chain(hall).person) == ("R2 holds the service", True)
    hall.do(Post.R2, Release())
    assert (told(hall), chain(hall).person) == (("held", "R2 is not ready yet"), False)


def test_ready_of_an_earlier_interruption_never_counts(hall: Hall) -> None:
    hall.do(Post.SCORER, SUBSTITUTION)
    hall.do(Post.R2, Ready())
    assert told(hall)[0] == "clear"
    hall.do(Post.SCORER, TimeOut(Team.A))
    hall.do(Post.SCORER, EndTimeOut())
    assert told(hall) == ("held", "R2 is not ready yet"), "the time-out came after R2's ready"
    hall.do(Post.R2, Ready())
    hall.do(Post.SCORER, Point(Team.A))
    hall.do(Post.SCORER, TimeOut(Team.B))
    hall.do(Post.SCORER, EndTimeOut())
    assert told(hall) == ("held", "R2 is not ready yet"), "a rally came after R2's ready"


def test_ready_given_early_is_kept(hall: Hall) -> None:
    hall.do(Post.R2, Ready())
    assert chain(hall) == ReadyView(), "nothing was interrupted"
    hall.do(Post.SCORER, SUBSTITUTION)
    assert told(hall) == ("clear", "Clear")


def test_ready_given_in_the_time_out_is_kept_for_its_end(hall: Hall) -> None:
    hall.do(Post.SCORER, TimeOut(Team.A))
    hall.do(Post.R2, Ready())
    assert told(hall) == ("held", "Time-out")
    hall.do(Post.SCORER, EndTimeOut())
    assert told(hall)[0] == "clear"


def test_ready_on_a_branch_that_is_crossed_out_dies_by_itself(hall: Hall) -> None:
    hall.do(Post.SCORER, Point(Team.B))
    hall.do(Post.R2, Ready())
    hall.do(Post.SCORER, Undo("slip"))
    hall.do(Post.SCORER, TimeOut(Team.A))
    hall.do(Post.SCORER, EndTimeOut())
    assert told(hall) == ("held", "R2 is not ready yet")


@pytest.mark.parametrize("post", CREW)
@pytest.mark.parametrize("reason", ["still writing", "wrong player on court", "visible score differs"])
def test_any_post_holds_with_its_reason_and_all_see_it(post: Post, reason: str) -> None:
    hall = in_set(Hall(FULL))
    hall.do(post, Hold(reason))
    words = {Post.SCORER: "Table", Post.ASSISTANT: "Assistant"}.get(post, str(post))
    for other in FULL:
        ready = chain(hall, other)
        assert (ready.state, ready.sentence, ready.reason) == ("held", f"{words} holds the service", reason)
    hall.do(post, Release())
    assert told(hall)[0] == "none"


def test_an_open_injury_or_ball_on_court_holds_it_too(hall: Hall) -> None:
    hall.do(Post.R2, Raise("stop_play", detail="ball"))
    assert told(hall) == ("held", "R2 holds the service")
    assert [(stop.word, stop.state) for stop in chain(hall).stops][1] == ("R2", "holds")


def test_the_assistant_is_a_stop_only_where_somebody_is_assistant() -> None:
    without = in_set(Hall(ALL))
    without.do(Post.SCORER, SUBSTITUTION)
    assert [stop.word for stop in chain(without).stops] == ["Table", "R2", "R1"]
    hall = in_set(Hall(FULL))
    hall.do(Post.SCORER, SUBSTITUTION)
    assert [stop.word for stop in chain(hall).stops] == ["Table", "Assistant", "R2", "R1"]
    assert told(hall) == ("held", "Assistant is not ready yet")
    hall.do(Post.ASSISTANT, Ready())
    assert told(hall) == ("held", "R2 is not ready yet")
    assert [stop.detail for stop in chain(hall).stops][:2] == ["written", "tracked"]


def test_a_replacement_entered_by_the_assistant_is_tracked() -> None:
    hall = in_set(Hall(FULL))
    hall.do(Post.SCORER, TimeOut(Team.A))
    hall.do(Post.SCORER, EndTimeOut())
    hall.do(Post.R2, Ready())
    assert told(hall) == ("held", "Assistant is not ready yet")
    hall.do(Post.ASSISTANT, LiberoSwap(Team.B, 14, 7))
    assert hall.court(Post.R1).lines[-1].fact[0] == "libero_replaced"
    assert told(hall)[0] == "clear"


def test_a_libero_replacement_between_rallies_asks_nobody(hall: Hall) -> None:
    hall.do(Post.SCORER, LiberoSwap(Team.B, 14, 7))
    assert hall.court(Post.R1).lines[-1].fact[0] == "libero_replaced"
    assert chain(hall).state == "none"


def test_what_the_match_owes_holds_the_service(hall: Hall) -> None:
    hall.do(Post.SCORER, LiberoSwap(Team.B, 14, 7))
    for team in (Team.A, Team.B, Team.A, Team.B, Team.A, Team.B):
        hall.do(Post.SCORER, Point(team))
        ready = chain(hall)
        if ready.state == "held":
            assert (ready.sentence, ready.reason) == ("Not yet", "Team B: 7 must come in for libero 14.")
            break
    else:
        pytest.fail("the libero came to the front row and nobody was told")


def test_a_request_that_the_writer_has_not_got_holds_the_service(hall: Hall) -> None:
    hall.part([Post.SCORER], [Post.R2, Post.R1, Post.SITE])
    assert hall.do(Post.R2, SUBSTITUTION).kind == "requested"
    assert (chain(hall).sentence, chain(hall).reason) == ("Table is not ready yet", "still writing")
    hall.heal()
    hall.pass_time(3.0)
    assert hall.court(Post.R2).match.court(Team.B).substitutions == 1
    assert told(hall) == ("held", "R2 is not ready yet")


def test_on_paper_the_table_says_when_it_has_written() -> None:
    hall = in_set(Hall(ALL, settings=Settings(paper=True)))
    hall.do(Post.SCORER, SUBSTITUTION)
    hall.do(Post.R2, Ready())
    assert (chain(hall).sentence, chain(hall).reason) == ("Table is not ready yet", "still writing")
    hall.do(Post.SCORER, Ready())
    assert told(hall)[0] == "clear"


def test_a_table_that_cannot_be_heard_stands_in_the_chain(hall: Hall) -> None:
    hall.do(Post.SCORER, TimeOut(Team.A))
    hall.do(Post.SCORER, EndTimeOut())
    hall.do(Post.R2, Ready())
    hall.kill(Post.SCORER)
    hall.pass_time(11.0)
    assert told(hall) == ("held", "Table cannot be heard")
    assert [one.kind for one in hall.look(Post.R1).notices] == [], "link trouble is no notice"


def test_at_set_start_r2s_check_is_waited_for_and_an_early_one_is_kept() -> None:
    hall = Hall()
    hall.begin()
    assert told(hall) == ("held", "R2 is not ready yet")
    assert chain(hall).reason == "positions not checked yet"
    hall.do(Post.R2, TickDuty("positions"))
    assert told(hall)[0] == "clear"
    early = Hall()
    early.begin((Post.R2, TickDuty("positions")))
    assert told(early)[0] == "clear"


def test_after_the_change_of_courts_the_positions_are_checked_again() -> None:
    only: dict[str, RuleValue] = {"match.sets_to_win": 1, "match.deciding_set_number": 1}
    hall = in_set(Hall(setup=MatchSetup(team_a=SETUP.team_a, team_b=SETUP.team_b, overrides=only)))
    for _ in range(7):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    assert (chain(hall).sentence, chain(hall).reason) == ("Not yet", "Change of courts.")
    hall.do(Post.SCORER, ChangeCourts())
    assert told(hall) == ("held", "Table is not ready yet")
    hall.do(Post.SCORER, TickDuty("positions_again"))
    assert told(hall) == ("held", "R2 is not ready yet")
    hall.do(Post.R2, TickDuty("positions"))
    assert told(hall)[0] == "clear"
