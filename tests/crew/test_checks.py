"""What two people agree on: positions before a set begins, and changes that reach behind the last rally."""

from __future__ import annotations

import pytest
from msgspec import structs

from crewlink.crew.commands import Consent, TickDuty
from crewlink.crew.posts import CREW, Post
from crewlink.match.commands import (
    BeginSet,
    Change,
    ChangeCourts,
    Insert,
    LineUp,
    Pair,
    Point,
    Strike,
    Substitute,
    TimeOut,
    Toss,
    Undo,
)
from crewlink.match.teams import Team
from crewlink.older import official_for
from crewlink.rules.format import FormatOptions
from crewlink.snapshot import ProposalView
from tests.crew.hall import SETUP, SIX_A, SIX_B, Hall

SHEETS = (
    Toss(Team.A, Team.A),
    LineUp(Team.A, SIX_A, liberos=("X", "X"), captain=1),
    LineUp(Team.B, SIX_B, liberos=("X", "X"), captain=2),
)
SWAPPED = TickDuty("positions", "A", fault="4 and 3 have changed places")


@pytest.fixture
def checking() -> Hall:
    hall = Hall()
    for command in SHEETS:
        assert hall.do(Post.SCORER, command).done
    return hall


def test_a_position_that_does_not_fit_keeps_the_set_from_beginning(checking: Hall) -> None:
    hall = checking
    assert hall.do(Post.R2, SWAPPED).done
    for post in (Post.SCORER, Post.R1):
        answer = hall.do(post, BeginSet())
        assert answer.code == "positions_differ" and "4 and 3 have changed places" in answer.sentence
    assert not hall.court(Post.R1).match.in_set
    assert hall.look(Post.R1).ready.sentence == "Positions differ"
    hall.do(Post.R2, TickDuty("positions", "A"))
    assert hall.do(Post.SCORER, BeginSet()).done
    assert hall.court(Post.R1).match.in_set


def test_the_one_who_writes_refuses_a_request_to_begin_it_too(checking: Hall) -> None:
    checking.part([Post.R1], [Post.SCORER, Post.R2, Post.SITE])
    checking.do(Post.R2, SWAPPED)
    assert checking.do(Post.R1, BeginSet()).kind == "requested", "R1 has not heard of the fault"
    checking.heal()
    checking.pass_time(3.0)
    assert not checking.court(Post.SCORER).match.in_set
    refusal = checking.look(Post.R1).refusal
    assert refusal is not None and "4 and 3" in refusal.sentence


def test_the_coach_keeps_the_player_by_a_substitution_and_the_set_begins(checking: Hall) -> None:
    checking.do(Post.R2, TickDuty("positions", "A", fault="9 stands where 3 should"))
    assert checking.do(Post.SCORER, Substitute(Team.A, (Pair(9, 3),))).done
    assert checking.do(Post.SCORER, BeginSet()).done


def test_a_line_up_written_again_settles_it(checking: Hall) -> None:
    checking.do(Post.R2, SWAPPED)
    typed_wrongly = checking.court(Post.SCORER).lines[1].id
    assert checking.do(Post.SCORER, Strike(typed_wrongly, "4 and 3 typed the wrong way round")).done
    assert checking.do(Post.SCORER, BeginSet()).code == "line_up_missing"
    again = LineUp(Team.A, (1, 2, 4, 3, 5, 6), liberos=("X", "X"), captain=1)
    assert checking.do(Post.SCORER, again).done
    assert checking.do(Post.SCORER, BeginSet()).done


def test_without_r2_the_tables_check_is_enough() -> None:
    hall = Hall((Post.SCORER, Post.R1), voters=(Post.SCORER, Post.R1))
    for command in (*SHEETS, BeginSet()):
        assert hall.do(Post.SCORER, command).done
    assert hall.look(Post.R1).ready.state == "clear"


def older(hall: Hall, post: Post) -> ProposalView:
    (found,) = (one for one in hall.look(post).proposals if one.kind == "older")
    return found


@pytest.fixture
def played() -> Hall:
    hall = Hall()
    hall.begin()
    for team in (Team.A, Team.B, Team.A):
        hall.do(Post.SCORER, Point(team))
    return hall


def strike(hall: Hall, place: int) -> Strike:
    return Strike(hall.court(Post.SCORER).lines[place].id, "written twice")


def test_the_last_rally_is_crossed_out_by_the_table_alone(played: Hall) -> None:
    assert played.do(Post.SCORER, strike(played, -1)).kind == "accepted"
    assert played.court(Post.R1).match.score == (1, 1)


def test_anything_older_waits_for_another_official_who_sees_before_and_after(played: Hall) -> None:
    assert played.do(Post.SCORER, strike(played, -2)).kind == "requested"
    assert played.court(Post.R1).match.score == (2, 1)
    asked = older(played, Post.R2)
    assert (asked.asks, asked.mine, asked.before, asked.after) == ("R2", True, "2:1", "2:0")
    assert not older(played, Post.SCORER).mine
    played.do(Post.R2, Consent(asked.id, True))
    assert played.court(Post.R1).match.score == (2, 0)
    assert not [one for one in played.look(Post.R2).proposals if one.kind == "older"]


def test_a_line_that_was_forgotten_before_the_last_rally_needs_it_too(played: Hall) -> None:
    last = played.court(Post.SCORER).lines[-1].id
    assert played.do(Post.SCORER, Insert(last, Point(Team.B), "forgotten")).kind == "requested"
    assert (older(played, Post.R2).before, older(played, Post.R2).after) == ("2:1", "2:2")
    assert played.do(Post.SCORER, Change(last, Point(Team.B), "the other team")).kind == "accepted"


def test_it_stays_valid_while_the_match_goes_on(played: Hall) -> None:
    played.do(Post.SCORER, strike(played, -2))
    for _ in range(5):
        played.do(Post.SCORER, Point(Team.A))
    played.do(Post.R1, Consent(older(played, Post.R1).id, True))
    assert played.court(Post.R2).match.score == (7, 0)


def test_a_no_refuses_it_and_tells_who_asked(played: Hall) -> None:
    played.do(Post.SCORER, strike(played, -2))
    played.do(Post.R2, Consent(older(played, Post.R2).id, False))
    assert played.court(Post.R1).match.score == (2, 1)
    refusal = played.look(Post.SCORER).refusal
    assert refusal is not None and refusal.sentence == "The other official does not agree."


def test_nobody_agrees_to_what_he_asked_for_himself(played: Hall) -> None:
    played.do(Post.SCORER, strike(played, -2))
    id_ = older(played, Post.SCORER).id
    played.do(Post.SCORER, Consent(id_, True))
    played.do(Post.SCORER, Consent(id_, True, on_behalf="R2"))
    assert played.court(Post.R1).match.score == (2, 1)
    played.do(Post.R2, Consent(id_, True))
    assert played.court(Post.R1).match.score == (2, 0)


def test_alone_there_is_nobody_to_ask() -> None:
    hall = Hall((Post.SCORER,), voters=(Post.SCORER,))
    hall.begin()
    for team in (Team.A, Team.B, Team.A):
        hall.do(Post.SCORER, Point(team))
    assert hall.do(Post.SCORER, strike(hall, -2)).kind == "accepted"


@pytest.mark.parametrize(
    ("post", "filled", "asked"),
    [
        ("scorer", CREW, "R2"),
        ("R2", CREW, "R1"),
        ("R1", CREW, "R2"),
        ("R1", ("R1", "scorer"), "scorer"),
        ("scorer", ("scorer", "assistant", "site"), "assistant"),
        ("scorer", ("scorer", "site"), ""),
    ],
)
def test_who_is_asked_is_never_who_asks(post: str, filled: tuple[str, ...], asked: str) -> None:
    assert official_for(post, filled) == asked


def test_one_teams_check_is_not_the_whole_check(checking: Hall) -> None:
    hall = checking
    hall.do(Post.R2, TickDuty("positions", "A"))
    hall.do(Post.SCORER, BeginSet())
    assert hall.look(Post.R1).ready.sentence == "R2 is not ready yet"
    hall.do(Post.R2, TickDuty("positions", "B"))
    assert hall.look(Post.R1).ready.state == "clear"


def test_the_duty_says_who_has_checked_and_what_was_found(checking: Hall) -> None:
    hall = checking

    def check() -> tuple[str, str, str]:
        (found,) = (
            one for one in hall.look(Post.SCORER).duties if one.code == "positions" and one.word == "R2"
        )
        return found.state, found.team, found.fault

    assert check() == ("open", "", "")
    hall.do(Post.R2, SWAPPED)
    assert check() == ("wrong", "A", SWAPPED.fault)
    typed_wrongly = hall.court(Post.SCORER).lines[1].id
    hall.do(Post.SCORER, Strike(typed_wrongly, "4 and 3 typed the wrong way round"))
    hall.do(Post.SCORER, LineUp(Team.A, (1, 2, 4, 3, 5, 6), liberos=("X", "X"), captain=1))
    assert check() == ("open", "", "")
    hall.do(Post.R2, TickDuty("positions", "A"))
    assert check() == ("open", "", "")
    hall.do(Post.R2, TickDuty("positions", "B"))
    assert check() == ("done", "", "")


# -- one undo after the other


def test_undo_goes_back_one_rally_alone_and_further_with_another_official(played: Hall) -> None:
    assert played.do(Post.SCORER, Undo()).kind == "accepted"
    assert played.court(Post.R1).match.score == (1, 1)
    assert played.do(Post.SCORER, Undo()).kind == "requested", "a rally was played after this one"
    asked = older(played, Post.R2)
    assert (asked.asks, asked.before, asked.after) == ("R2", "1:1", "1:0")
    played.do(Post.R2, Consent(asked.id, True))
    assert played.court(Post.R1).match.score == (1, 0)


def test_an_undo_that_waits_means_the_same_line_whatever_is_written_meanwhile(played: Hall) -> None:
    played.do(Post.SCORER, Undo())
    played.do(Post.SCORER, Undo())
    played.do(Post.SCORER, Point(Team.A))
    played.do(Post.R2, Consent(older(played, Post.R2).id, True))
    assert played.court(Post.R1).match.score == (2, 0), "B's point is crossed out, not the new one of A"


def test_two_undos_that_cross_take_back_one_rally(played: Hall) -> None:
    played.part([Post.R2], [Post.SCORER, Post.R1, Post.SITE])
    assert played.do(Post.R2, Undo()).kind == "requested"
    assert played.do(Post.SCORER, Undo()).kind == "accepted"
    played.heal()
    played.pass_time(3.0)
    assert played.court(Post.R1).match.score == (1, 1)
    refusal = played.look(Post.R2).refusal
    assert refusal is not None and "moved on" in refusal.sentence


def test_a_second_undo_in_one_interruption_asks_nobody(played: Hall) -> None:
    played.do(Post.SCORER, TimeOut(Team.A))
    for _ in range(2):
        assert played.do(Post.SCORER, Undo()).kind == "accepted"
    assert played.court(Post.R1).match.score == (1, 1)


def test_alone_undo_goes_back_as_far_as_it_is_pressed() -> None:
    hall = Hall((Post.SCORER,), voters=(Post.SCORER,))
    hall.begin()
    for team in (Team.A, Team.B, Team.A):
        hall.do(Post.SCORER, Point(team))
    for _ in range(3):
        assert hall.do(Post.SCORER, Undo()).kind == "accepted"
    assert hall.court(Post.SCORER).match.score == (0, 0)


# -- after the change of courts


@pytest.fixture
def changed() -> Hall:
    """A deciding set at its change of courts, which is written; nobody has looked yet."""
    form = FormatOptions(best_of=3, points=3, deciding_points=6, court_change_at=3)
    hall = Hall(setup=structs.replace(SETUP, format=form))
    hall.begin()
    for team in (Team.A, Team.B):
        for _ in range(3):
            hall.do(Post.SCORER, Point(team))
        for command in SHEETS[team is Team.A :]:
            assert hall.do(Post.SCORER, command).done
        assert hall.do(Post.SCORER, BeginSet()).done
    hall.do(Post.R2, TickDuty("positions"))
    for _ in range(3):
        hall.do(Post.SCORER, Point(Team.A))
    assert hall.do(Post.SCORER, ChangeCourts()).done
    return hall


def duty(hall: Hall, post: Post, code: str) -> str:
    return next(one.state for one in hall.look(post).duties if one.code == code and one.mine)


def held(hall: Hall) -> tuple[str, str]:
    ready = hall.look(Post.R1).ready
    return (ready.sentence, ready.reason) if ready.state == "held" else (ready.state, "")


def test_both_check_the_positions_again(changed: Hall) -> None:
    assert held(changed) == ("Table is not ready yet", "positions not checked yet")
    assert [duty(changed, post, "positions_again") for post in (Post.R2, Post.SCORER)] == ["open", "open"]
    changed.do(Post.SCORER, TickDuty("positions_again"))
    assert duty(changed, Post.SCORER, "positions_again") == "done"
    assert held(changed) == ("R2 is not ready yet", "positions not checked yet")
    changed.do(Post.R2, TickDuty("positions_again", "A"))
    assert held(changed)[0] == "R2 is not ready yet", "one team is not both"
    changed.do(Post.R2, TickDuty("positions_again", "B"))
    assert held(changed) == ("clear", "") and duty(changed, Post.R2, "positions_again") == "done"


def test_what_was_checked_at_the_start_of_the_set_does_not_count_again(changed: Hall) -> None:
    changed.do(Post.SCORER, TickDuty("positions_again"))
    assert held(changed)[0] == "R2 is not ready yet"
    assert duty(changed, Post.R2, "positions_again") == "open"


def test_a_difference_after_the_change_holds_the_service_until_it_is_ticked_as_right(changed: Hall) -> None:
    changed.do(Post.SCORER, TickDuty("positions_again"))
    changed.do(Post.R2, TickDuty("positions_again", "B", fault="5 and 6 have changed places"))
    sentence, reason = held(changed)
    assert sentence == "Positions differ" and "R2 found, team B: 5 and 6" in reason
    assert duty(changed, Post.R2, "positions_again") == "wrong"
    changed.do(Post.R2, TickDuty("positions_again"))
    assert held(changed) == ("clear", "") and duty(changed, Post.R2, "positions_again") == "done"


def test_the_check_stays_due_when_something_else_is_written_meanwhile(changed: Hall) -> None:
    changed.do(Post.SCORER, Substitute(Team.A, (Pair(9, 3),)))
    assert changed.look(Post.R2).duty_phase == "deciding_set"
    assert duty(changed, Post.R2, "positions_again") == "open"
