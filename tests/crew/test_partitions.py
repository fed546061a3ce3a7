"""Notices and decisions through parted links, crossing acts, a dead writer and posts that change hands.

Held to throughout: no notice is lost, none is credited to a post that did not act, one state everywhere
after the links are back.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest

from crewlink.acts import AnyCommand
from crewlink.crew.commands import (
    AnswerNotice,
    CloseNotice,
    EnterAgain,
    Hold,
    HoldNotice,
    Raise,
    Ready,
    Shown,
    TickDuty,
    WithdrawNotice,
)
from crewlink.crew.life import state
from crewlink.crew.posts import CREW, Post
from crewlink.match.commands import Point, TimeOut
from crewlink.match.teams import Team
from protocol.roster import Member
from tests.crew.hall import ALL, Hall

FULL = (*CREW, Post.SITE)


def in_set(posts: tuple[Post, ...] = ALL, seed: int = 1) -> Hall:
    hall = Hall(posts, seed=seed)
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    return hall


def healed(hall: Hall) -> None:
    hall.heal()
    hall.pass_time(6.0)
    assert len(hall.digests()) == 1


def test_the_same_notice_raised_on_both_sides_is_one() -> None:
    hall = in_set()
    for _ in range(23):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    hall.part([Post.SCORER, Post.R1], [Post.R2, Post.SITE])
    hall.do(Post.R2, Raise("set_point", "A"))
    hall.do(Post.SCORER, Raise("set_point", "A"))
    hall.do(Post.R1, AnswerNotice(hall.plate(Post.R1, "set_point").id))
    healed(hall)
    (notice,) = hall.notices(Post.SITE, "set_point")
    assert notice.raisers == ("R2", "scorer") and set(notice.answers) == {"R1"}
    assert notice.all_answered, "who raised it, too, knows"


def test_an_answer_that_crosses_a_withdrawal_is_kept_and_the_notice_is_withdrawn() -> None:
    hall = in_set()
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    id_ = hall.plate(Post.R1, "wrong_server").id
    hall.part([Post.SCORER, Post.R2, Post.SITE], [Post.R1])
    hall.do(Post.R1, AnswerNotice(id_))
    hall.do(Post.SCORER, WithdrawNotice(id_, "6 read as 9"))
    healed(hall)
    (notice,) = hall.notices(Post.R2, "wrong_server")
    assert notice.end is not None and notice.end.reason == "6 read as 9"
    assert set(notice.answers) == {"R1"} and notice.relayed == {}


def test_a_closing_that_crosses_a_withdrawal_wins_everywhere() -> None:
    hall = in_set()
    hall.do(Post.R2, Raise("check_sheet"))
    id_ = hall.plate(Post.R1, "check_sheet").id
    hall.part([Post.R2, Post.SCORER], [Post.R1, Post.SITE])
    hall.do(Post.R2, WithdrawNotice(id_, "clear now"))
    hall.do(Post.R1, CloseNotice(id_, "looked at"))
    healed(hall)
    ends = [hall.notices(post, "check_sheet")[0].end for post in ALL]
    assert {(end.post, end.reason) for end in ends if end is not None} == {("R1", "looked at")}


def test_a_notice_raised_behind_a_parted_link_comes_with_its_true_age() -> None:
    hall = in_set()
    hall.part([Post.SCORER], [Post.R2, Post.R1, Post.SITE])
    hall.do(Post.R2, Raise("conduct", "B", detail="coach"))
    hall.pass_time(30.0)
    healed(hall)
    assert hall.plate(Post.SCORER, "conduct").age == pytest.approx(36.1, abs=0.5)
    assert hall.plate(Post.SCORER, "conduct").late == pytest.approx(30.1, abs=1.0)


def test_steps_of_the_ladder_taken_on_both_sides_are_one_step() -> None:
    hall = in_set()
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    hall.part([Post.SCORER, Post.SITE], [Post.R2, Post.R1])
    hall.pass_time(25.0)
    healed(hall)
    (notice,) = hall.notices(Post.R1, "wrong_server")
    assert set(notice.steps) == {"again", "told", "site"}


def test_a_time_out_goes_on_when_the_writer_dies() -> None:
    hall = in_set()
    hall.do(Post.SCORER, TimeOut(Team.B))
    hall.pass_time(2.0)
    hall.kill(Post.SCORER)
    hall.pass_time(10.0)
    clock = hall.look(Post.R2).clock
    assert clock is not None and clock.left == pytest.approx(17.9, abs=0.1)
    hall.do(Post.R1, Hold("no table"))
    assert hall.look(Post.R2).ready.sentence == "R1 holds the service"


def test_a_post_that_changes_hands_between_raise_and_answer_keeps_each_act_apart() -> None:
    hall = in_set(FULL)
    hall.do(Post.SCORER, Raise("conduct", "B", detail="coach"))
    id_ = hall.plate(Post.R2, "conduct").id
    hall.do(Post.R2, Shown(id_))
    scorer, one = hall.boxes[Post.SCORER], hall.boxes[Post.ASSISTANT].identity
    hall.kill(Post.R2)
    member = Member(one.device, one.public_key, one.tls_cert, one.binding, "R2")
    scorer.station.peer.admit(member, scorer.now, scorer.wall)
    hall.pass_time(1.0)
    assert hall.boxes[Post.ASSISTANT].station.post == "R2"
    assert hall.plate(Post.ASSISTANT, "conduct").asked
    hall.do(Post.ASSISTANT, AnswerNotice(id_))
    (notice,) = hall.notices(Post.R1, "conduct")
    assert notice.answers["R2"].device == one.device
    assert notice.shown["R2"].device != one.device
    assert "assistant" not in notice.answers


# -- entries that do not count


def forced_apart(hall: Hall) -> None:
    """R2 is cut off, takes the pen without the others and writes; the others go on."""
    hall.part([Post.SCORER, Post.R1, Post.SITE], [Post.R2])
    r2 = hall.boxes[Post.R2]
    r2.station.peer.force_pen(r2.now, r2.wall)
    hall.pass_time(0.5)
    assert hall.do(Post.R2, Point(Team.B)).kind == "accepted"
    assert hall.do(Post.R2, TimeOut(Team.A)).kind == "accepted"
    hall.do(Post.SCORER, Point(Team.A))
    hall.do(Post.SCORER, Point(Team.A))
    healed(hall)
    hall.pass_time(5.0)


def test_entries_that_lost_are_asked_about_once_for_all() -> None:
    hall = in_set()
    forced_apart(hall)
    assert {len(hall.notices(post, "set_aside")) for post in ALL} == {1}
    plate = hall.plate(Post.R1, "set_aside")
    assert (plate.asked, plate.detail) == (True, "2 lines written without the others")
    assert hall.court(Post.R1).match.score == (3, 0)


def test_left_out_they_stay_out() -> None:
    hall = in_set()
    forced_apart(hall)
    hall.do(Post.R1, CloseNotice(hall.plate(Post.R1, "set_aside").id, "left out"))
    hall.pass_time(10.0)
    assert hall.plates(Post.SCORER, "set_aside") == []
    assert hall.court(Post.R2).match.score == (3, 0)
    assert len(hall.digests()) == 1


def test_entered_again_they_count_once_each() -> None:
    hall = in_set()
    forced_apart(hall)
    id_ = hall.plate(Post.R1, "set_aside").id
    assert hall.do(Post.SITE, EnterAgain(id_)).code == "not_your_job"
    for post in (Post.R1, Post.R2, Post.SCORER):
        hall.do(post, EnterAgain(id_))
    hall.pass_time(3.0)
    court = hall.court(Post.R1)
    assert court.match.score == (3, 1)
    assert court.match.court(Team.A).time_outs == 1
    assert hall.plates(Post.SCORER, "set_aside") == []
    assert len(hall.notices(Post.SCORER, "set_aside")) == 1
    assert len(hall.digests()) == 1


# -- everything at once

MADE: dict[str, Callable[[Random, str], AnyCommand]] = {
    "raise": lambda random, _: Raise(
        random.choice(["wrong_server", "conduct", "check_sheet", "medical", "hold_service"]),
        random.choice("AB"),
        random.randrange(1, 13),
    ),
    "answer": lambda _, notice: AnswerNotice(notice),
    "answer by sign": lambda random, notice: AnswerNotice(notice, random.choice(["R1", "R2", "scorer"])),
    "shown": lambda _, notice: Shown(notice),
    "close": lambda _, notice: CloseNotice(notice, "done"),
    "withdraw": lambda _, notice: WithdrawNotice(notice, "mistake"),
    "wait": lambda _, notice: HoldNotice(notice),
    "join": lambda _, notice: Raise("conduct", joins=notice),
    "ready": lambda _, __: Ready(),
    "tick": lambda random, _: TickDuty("positions", random.choice(["", "A"])),
    "point": lambda random, _: Point(random.choice([Team.A, Team.B])),
}


@pytest.mark.parametrize("seed", range(12))
def test_no_notice_is_lost_or_credited_to_who_did_not_act(seed: int) -> None:
    random, hall = Random(seed), in_set(FULL, seed=seed)
    done: set[tuple[str, str]] = set()
    raised: set[str] = set()
    for _ in range(60):
        if random.random() < 0.15:
            posts = list(FULL)
            random.shuffle(posts)
            cut = random.randrange(1, 5)
            hall.part(posts[:cut], posts[cut:])
        elif random.random() < 0.15:
            hall.heal()
        post = random.choice(FULL)
        known = [id_.hex() for id_ in hall.court(post).crew.notices] or ["00"]
        name, notice = random.choice(sorted(MADE)), random.choice(known)
        before = {id_.hex() for id_ in hall.court(post).crew.notices}
        command = MADE[name](random, notice)
        answer = hall.do(post, command, wait=random.uniform(0.0, 3.0))
        if answer.done and isinstance(command, AnswerNotice) and command.on_behalf in ("", post):
            done.add((notice, str(post)))
        if answer.done and name in ("raise", "join"):
            fresh = {id_.hex() for id_ in hall.court(post).crew.notices} - before
            raised |= fresh
    healed(hall)
    for post in FULL:
        crew = hall.court(post).crew
        assert raised <= {id_.hex() for id_, notice in crew.notices.items() if notice.raised is not None}
        for id_, found in crew.notices.items():
            for who in found.answers:
                assert (id_.hex(), who) in done, f"{who} never answered {id_.hex()[:8]} itself"
            for who, mark in found.relayed.items():
                assert mark.by != who
    states = {str(sorted(_states(hall, post).items())) for post in FULL}
    assert len(states) == 1, "one state of each notice everywhere"


def _states(hall: Hall, post: Post) -> dict[str, str]:
    station = hall.boxes[post].station
    moment = station.moment()
    notices = hall.court(post).crew.notices.items()
    return {id_.hex(): str(state(notice, moment)) for id_, notice in notices}
