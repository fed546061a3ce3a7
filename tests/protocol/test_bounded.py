"""Whatever a linked station sends, what is kept of it has a limit."""

from __future__ import annotations

import random
import tracemalloc

import pytest

from protocol import wire
from protocol.entry import MAX_BODY, Kind, Malformed
from protocol.output import Send
from tests.protocol.hall import WALL, Hall


def flood(rng: random.Random, run: bytes, number: int) -> list[bytes]:
    """One of each message, all ids made up."""
    logs = [wire.LogMark(rng.randbytes(32), rng.randrange(9), rng.randbytes(32)) for _ in range(100)]
    beats = [wire.Beat(rng.randbytes(32), 1, 1) for _ in range(wire.MAX_IDS)]
    ids = [rng.randbytes(32) for _ in range(wire.MAX_IDS)]
    messages: list[wire.Message] = [
        wire.Vector(run, number, 0, logs),
        wire.Ping(number, beats),
        wire.Pong(number, 2**60),
        wire.Refuse(rng.randbytes(32), 1, "newer"),
        wire.Want(rng.randbytes(32), 0, 2**31 - 1),
        wire.Lack(ids),
        wire.Texts([wire.Text(each, b"x" * 100) for each in ids]),
    ]
    return [wire.encode(message) for message in messages]


def test_made_up_ids_leave_nothing_behind() -> None:
    hall = Hall(2)
    rng = random.Random(1)
    run = bytes([0, 1]) * 8
    peer = hall[1].peer
    sizes = []
    tracemalloc.start()
    try:
        for number in range(1000, 1600):
            for frame in flood(rng, run, number):
                peer.receive(100, frame, hall.now, WALL)
            outputs = peer.drain()
            assert sum(len(each.frame) for each in outputs if isinstance(each, Send)) < 10_000
            if number in (1200, 1599):
                sizes.append(tracemalloc.get_traced_memory()[0])
    finally:
        tracemalloc.stop()
    assert sizes[1] - sizes[0] < 50_000
    assert set(peer.peers()) == {hall[0].keys.device}


def test_a_disk_that_does_not_answer_stops_the_intake_not_the_station(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("protocol.peer.MAX_UNSAVED_BYTES", 20_000)
    hall = Hall(2)
    hall[1].disk_works = False
    for number in range(300):
        hall[0].author(Kind.FREE, ("note", {"pad": b"x" * 1000, "n": number}))
        hall.settle()
    hall.wait(2.0)
    assert hall[1].peer._unsaved_bytes < 20_000 + wire.MAX_CHUNK_BYTES + MAX_BODY
    assert len(hall[1].peer.journal) < 250
    hall[1].disk_works = True
    hall.settle()
    hall.wait(5.0)
    assert hall[1].peer.vector() == hall[0].peer.vector()


def test_an_entry_that_is_too_long_is_refused_where_it_is_written() -> None:
    hall = Hall(2)
    with pytest.raises(Malformed):
        hall[0].author(Kind.FREE, ("note", {"pad": b"x" * MAX_BODY}))
    hall[0].note("and the log goes on")
    hall.settle()
    assert hall[1].peer.vector() == hall[0].peer.vector()
