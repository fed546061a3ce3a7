"""What stations say beside what is new, so that a narrow line has room for that: vectors, relayed copies."""

from __future__ import annotations

import pytest

from protocol import wire
from protocol.entry import Entry
from protocol.session import RELAY_MANY_SECONDS, RELAY_SECONDS, VECTOR_BURST, VECTOR_RATE, Remote, Session
from tests.protocol.hall import WALL, Hall

SECONDS, RATE = 5, 30


def chunks(hall: Hall, sender: int, receiver: int) -> list[wire.Chunk]:
    said = [message for one, other, message in hall.messages() if (one, other) == (sender, receiver)]
    return [each for each in said if isinstance(each, wire.Chunk)]


def steadily(hall: Hall) -> None:
    """Station 0 writes thirty entries a second, for five seconds."""
    for number in range(SECONDS * RATE):
        hall.now += 1 / RATE
        hall[0].note(f"{number}")
        for station in hall.stations:
            station.peer.tick(hall.now, WALL)
        hall.settle()


def test_nobody_relays_what_its_writer_brings_itself() -> None:
    hall = Hall(4)
    hall.sent.clear()
    steadily(hall)
    hall.wait(3.0)
    for sender in (1, 2, 3):
        assert not any(chunks(hall, sender, other) for other in range(4) if other != sender)
    assert sum(len(chunk.entries) for chunk in chunks(hall, 0, 3)) == SECONDS * RATE


def test_what_is_told_to_one_station_beside_entries_is_little() -> None:
    hall = Hall(4)
    hall.wait(3.0)
    hall.sent.clear()
    steadily(hall)
    told = [frame for _, other, frame in hall.sent if other == 3]
    entries = [frame for frame in told if isinstance(wire.decode(frame), wire.Chunk)]
    assert len(entries) == SECONDS * RATE
    assert sum(map(len, told)) <= 1.5 * sum(map(len, entries))
    vectors = [frame for frame in told if isinstance(wire.decode(frame), wire.Vector)]
    assert len(vectors) <= 3 * (VECTOR_BURST + VECTOR_RATE * SECONDS)


def test_a_session_tells_no_more_often_than_its_rate() -> None:
    session = Session(1, Remote(bytes(32)), 0.0)
    told = sum(session.may_tell(step / 100) for step in range(1000))
    assert told <= VECTOR_BURST + VECTOR_RATE * 10 + 1


def one_way_gone(hall: Hall, count: int) -> list[Entry]:
    """What station 0 says to station 2 gets lost from now on, though their link stands; it writes so many."""
    hall.wait(1.0)
    hall.cut.add((0, 2))
    entries = [hall[0].note(f"{number}") for number in range(count)]
    hall.settle()
    return entries


def seconds_until_held(hall: Hall, entry: Entry) -> float:
    start = hall.now
    while hall[2].peer.journal.get(entry.id) is None:
        assert hall.now - start < 10
        hall.wait(0.25)
    return hall.now - start


@pytest.mark.parametrize(("count", "patience"), [(1, RELAY_SECONDS), (20, RELAY_MANY_SECONDS)])
def test_what_its_writer_does_not_bring_is_relayed_a_little_soon_and_much_later(
    count: int, patience: float
) -> None:
    hall = Hall(3)
    entries = one_way_gone(hall, count)
    assert hall[2].peer.journal.get(entries[-1].id) is None
    assert patience <= seconds_until_held(hall, entries[-1]) <= patience + 0.5


def test_a_new_link_is_told_to_others_at_once() -> None:
    hall = Hall(3)
    hall.wait(1.0)
    hall.part({0, 1}, {2})
    hall.wait(1.0)
    hall.sent.clear()
    hall.heal()
    for station in hall.stations:
        station.peer.tick(hall.now, WALL)
    hall.settle()
    name = hall[0].keys.device[: wire.NEAR_SIZE]
    near = [message for one, other, message in hall.messages() if (one, other) == (2, 1)]
    assert any(name in each.near for each in near if isinstance(each, wire.Ping))
