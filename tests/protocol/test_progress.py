"""Catching up is counted: what is saved here, and what linked stations say they have more."""

from __future__ import annotations

from itertools import pairwise

from protocol import wire
from protocol.output import Send
from protocol.peer import Progress
from tests.protocol.hall import WALL, Hall

MANY = 6_000


def test_all_that_is_saved_is_counted_and_nothing_is_to_come() -> None:
    hall = Hall(3)
    held = len(list(hall[0].peer.journal.in_order()))
    assert [one.peer.progress() for one in hall.stations] == [Progress(held, 0)] * 3


def test_a_station_that_comes_late_says_how_far_it_is() -> None:
    hall = Hall(2)
    hall.part({0}, {1})
    for number in range(MANY):
        hall[0].note(str(number))
    hall.settle()
    before = hall[1].peer.progress()
    assert before.to_come == 0  # nobody is linked: nobody says more
    seen: list[Progress] = []
    deliver = hall._deliver

    def watched(sender: int, output: Send) -> None:
        deliver(sender, output)
        seen.append(hall[1].peer.progress())

    hall._deliver = watched  # type: ignore[method-assign]
    hall.heal()
    told = [one for one in seen if one.to_come]
    assert max(one.to_come for one in told) == MANY
    assert {one.total for one in told} == {before.had + MANY}
    steps = [after.had - one.had for one, after in pairwise(seen)]
    assert min(steps) >= 0
    assert 0 < max(steps) < MANY / 2  # bounded chunks, not all at once
    assert seen[-1] == Progress(before.had + MANY, 0)


def test_each_station_is_known_to_be_ahead_by_itself() -> None:
    hall = Hall(3)
    hall.part({0}, {1}, {2})
    for station, count in ((hall[0], 5), (hall[2], 2)):
        for number in range(count):
            station.note(str(number))
    hall.settle()
    hall[1].disk_works = False
    hall.heal()
    states = hall[1].peer.peers(hall.now)
    assert states[hall[0].keys.device].ahead >= 5
    assert hall[1].peer.progress().to_come == 7
    hall[1].disk_works = True
    hall.settle()
    assert [state.ahead for state in hall[1].peer.peers(hall.now).values()] == [0, 0]


def test_a_log_that_is_not_taken_further_is_never_waited_for() -> None:
    hall = Hall(2)
    entry = hall[0].note("from the future")
    newer = bytes([entry.body[0], 2]) + entry.body[2:]
    hall[1].disk_works = False
    hall.settle()
    assert hall[1].peer.progress().to_come == 1
    hall[1].peer.receive(
        100, wire.encode(wire.Chunk(0, [wire.Packed(newer, entry.signature)])), hall.now, WALL
    )
    assert hall[1].peer.progress().to_come == 0
