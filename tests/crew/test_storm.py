"""Everything that can go wrong between people, at random: links part, devices die, come back, are replaced,
jobs change hands, while notices are raised, answered, closed and taken back and a time-out runs.

Held to throughout: no notice is lost, every answer was given by that device while it had that post or is kept
as a sign, what the program noticed is nobody's, one state everywhere once the links are back.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest

from crewlink.acts import AnyCommand
from crewlink.crew.commands import (
    AnswerNotice,
    CloseNotice,
    GiveJob,
    Hold,
    HoldNotice,
    Raise,
    Ready,
    Release,
    Shown,
    TakeOut,
    TakeWriting,
    WithdrawNotice,
)
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import state
from crewlink.crew.posts import Post
from crewlink.match.commands import EndTimeOut, Point, TimeOut
from crewlink.match.teams import Team
from tests.crew.hall import Box, Hall

FULL = (Post.SCORER, Post.R2, Post.R1, Post.ASSISTANT, Post.SITE)
KINDS = (
    "wrong_server",
    "conduct",
    "check_sheet",
    "medical",
    "stop_play",
    "help",
    "check_server",
)
ACTS: dict[str, Callable[[Random, str], AnyCommand]] = {
    "raise": lambda random, _: Raise(random.choice(KINDS), random.choice("AB"), random.randrange(1, 13)),
    "raise for": lambda random, _: Raise("conduct", "B", on_behalf=random.choice(["R1", "R2"])),
    "answer": lambda _, notice: AnswerNotice(notice),
    "answer again": lambda _, notice: AnswerNotice(notice),
    "by sign": lambda random, notice: AnswerNotice(notice, random.choice(["R1", "R2", "scorer"])),
    "shown": lambda _, notice: Shown(notice),
    "close": lambda _, notice: CloseNotice(notice, "done"),
    "withdraw": lambda _, notice: WithdrawNotice(notice, "mistake"),
    "not now": lambda _, notice: HoldNotice(notice),
    "hold": lambda _, __: Hold("still writing"),
    "release": lambda _, __: Release(),
    "ready": lambda _, __: Ready(),
    "point": lambda random, _: Point(random.choice([Team.A, Team.B])),
    "time-out": lambda random, _: TimeOut(random.choice([Team.A, Team.B])),
    "time-out over": lambda _, __: EndTimeOut(),
}


class Storm:
    """A crew in a set; who did what is written down beside it."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.hall = Hall(FULL, seed=seed, clocks={Post.R2: (95.0, 120.0), Post.R1: (-40.0, -150.0)})
        self.hall.begin()
        self.hall.do(Post.SCORER, Point(Team.A))
        self.answered: set[tuple[str, str, bytes]] = set()
        self.shown: set[tuple[str, str, bytes]] = set()
        self.raised: set[str] = set()

    def up(self) -> list[Box]:
        return [box for box in self.hall.boxes.values() if box.up]

    def known(self, box: Box) -> list[str]:
        court = box.station.court
        return [] if court is None else [id_.hex() for id_ in court.crew.notices]

    def act(self) -> None:
        """Somebody does something."""
        box = self.random.choice(self.up())
        name = self.random.choice(sorted(ACTS))
        before = self.known(box)
        command = ACTS[name](self.random, self.random.choice(before or ["00"]))
        self.hall.pass_time(0.05)
        post, device = box.station.post, box.identity.device
        answer = box.station.submit(command, box.now, box.wall)
        if answer.done and isinstance(command, AnswerNotice) and command.on_behalf in ("", post):
            self.answered.add((command.notice, post, device))
        if answer.done and isinstance(command, Shown):
            self.shown.add((command.notice, post, device))
        if answer.done and isinstance(command, Raise | Hold):
            self.raised |= set(self.known(box)) - set(before)
        self.hall.pass_time(self.random.uniform(0.0, 2.0))

    def trouble(self) -> None:
        """Links part or come back, a device dies or starts again, a job changes hands."""
        kind = self.random.choice(["part", "heal", "heal", "kill", "restart", "replace", "job", "write"])
        hall, up = self.hall, self.up()
        if kind == "part":
            posts = list(hall.boxes)
            self.random.shuffle(posts)
            cut = self.random.randrange(1, len(posts))
            hall.part(posts[:cut], posts[cut:])
        elif kind == "heal":
            hall.heal()
        elif kind == "kill" and len(up) > 3:
            hall.kill(self.random.choice([post for post, box in hall.boxes.items() if box.up]))
        elif kind == "restart":
            for post, box in hall.boxes.items():
                if not box.up:
                    hall.restart(post)
                    break
        elif kind == "replace":
            self.replace()
        elif kind == "job":
            self.swap()
        elif kind == "write":
            box = self.random.choice(up)
            box.station.submit(TakeWriting(), box.now, box.wall)
        hall.pass_time(self.random.uniform(0.2, 4.0))

    def replace(self) -> None:
        """A device of the table or R2's is lost for good and another one takes its place."""
        hall = self.hall
        hall.heal()
        hall.pass_time(2.0)  # what it did has reached the others
        key = self.random.choice([Post.SCORER, Post.ASSISTANT, Post.R2])
        hosts = [
            k for k, box in hall.boxes.items() if box.up and k != key and box.station.post in ("R1", "R2")
        ]
        box = hall.boxes[key]
        if not hosts or not box.up or len(self.up()) < 4:
            return
        post, host = Post(box.station.post), hall.boxes[hosts[0]]
        hall.kill(key)
        hall.pass_time(1.0)
        if host.station.submit(TakeOut(box.identity.device.hex()), host.now, host.wall).done:
            del hall.boxes[key]
            hall.enrol(key, by=hosts[0], as_post=post)
            hall.pass_time(1.0)

    def swap(self) -> None:
        """Two devices change their jobs."""
        host = next((box for box in self.up() if box.station.post == "R1"), None)
        others = [box for box in self.up() if box.station.post in ("scorer", "assistant", "R2")]
        if host is None or len(others) < 2:
            return
        one, other = self.random.sample(others, 2)
        command = GiveJob(one.identity.device.hex(), other.station.post)
        host.station.submit(command, host.now, host.wall)

    def calm(self) -> None:
        """Everything that can run does, everything is linked, and time enough goes by."""
        for post, box in list(self.hall.boxes.items()):
            if not box.up:
                self.hall.restart(post)
        self.hall.heal()
        self.hall.pass_time(8.0)
        self.hall.heal()
        self.hall.pass_time(8.0)


@pytest.mark.parametrize("seed", range(6))
def test_no_notice_is_lost_and_none_is_credited_to_who_did_not_act(seed: int) -> None:
    storm = Storm(seed)
    for _ in range(60):
        if storm.random.random() < 0.3:
            storm.trouble()
        else:
            storm.act()
    storm.calm()
    boxes = storm.up()
    courts = [box.station.court for box in boxes]
    assert all(court is not None for court in courts)
    assert len({court.digest() for court in courts if court is not None}) == 1, "one state everywhere"
    crew = courts[0].crew if courts[0] is not None else None
    assert crew is not None
    there = {id_.hex() for id_, notice in crew.notices.items() if notice.raised is not None}
    assert storm.raised <= there, "no notice is lost"
    for id_, notice in crew.notices.items():
        for post, mark in notice.answers.items():
            assert (id_.hex(), post, mark.device) in storm.answered
        for post, mark in notice.shown.items():
            assert (id_.hex(), post, mark.device) in storm.shown
        for post, mark in notice.relayed.items():
            assert mark.by != post
        if notice.raised is not None and all_kinds()[notice.raised.kind].by_program:
            assert notice.raised.behind == (), "the program's own is nobody's"
    states = set()
    for box in boxes:
        moment = box.station.moment()
        assert box.station.court is not None
        found = {i.hex(): str(state(n, moment)) for i, n in box.station.court.crew.notices.items()}
        states.add(str(sorted(found.items())))
    assert len(states) == 1, "every notice has one state"


@pytest.mark.parametrize("seed", range(2))
def test_a_time_out_is_one_clock_through_a_dead_writer_and_a_new_one(seed: int) -> None:
    storm = Storm(100 + seed)
    hall = storm.hall
    hall.do(Post.SCORER, TimeOut(Team.B))
    hall.pass_time(storm.random.uniform(1.0, 4.0))
    hall.kill(Post.SCORER)
    hall.pass_time(12.0)
    assert hall.do(Post.R2, TakeWriting()).done
    hall.pass_time(4.0)
    assert hall.look(Post.R1).writing.post == "R2"
    left = [
        clock.left for post in (Post.R1, Post.R2, Post.SITE) if (clock := hall.look(post).clock) is not None
    ]
    assert len(left) == 3 and max(left) - min(left) < 0.05
    hall.restart(Post.SCORER)
    hall.pass_time(2.0)
    clock = hall.look(Post.SCORER).clock
    other = hall.look(Post.R1).clock
    assert clock is not None and other is not None and abs(clock.left - other.left) < 0.05
    assert hall.do(Post.R2, EndTimeOut()).done
    assert hall.look(Post.SCORER).clock is None
