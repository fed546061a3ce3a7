"""Vectors that tell only what has changed: what adds up, what is refused, when all is told again."""

from __future__ import annotations

from protocol.session import Remote
from protocol.wire import MAX_LOGS, LogMark, Vector
from tests.protocol.hall import Hall

LOG, OTHER = bytes([1]) * 32, bytes([2]) * 32
RUN = b"r" * 16


def vector(number: int, *logs: tuple[bytes, int], part: bool) -> Vector:
    return Vector(RUN, number, 0, [LogMark(log, length, LOG) for log, length in logs], part)


def test_a_part_adds_to_what_was_told_and_a_whole_replaces_it() -> None:
    remote = Remote(bytes(32), run=RUN)
    assert remote.take(vector(1, (LOG, 3), (OTHER, 4), part=False), 0.0)
    assert remote.take(vector(2, (LOG, 5), part=True), 1.0)
    assert (remote.has(LOG), remote.has(OTHER)) == (5, 4)
    assert (remote.grew[LOG], remote.grew[OTHER]) == (1.0, 0.0)
    assert remote.take(vector(3, (LOG, 6), part=False), 2.0)
    assert (remote.has(LOG), remote.has(OTHER)) == (6, 0)


def test_a_part_without_a_whole_before_it_counts_for_nothing() -> None:
    remote = Remote(bytes(32), run=RUN)
    assert not remote.take(vector(1, (LOG, 3), part=True), 0.0)
    assert remote.vector is None
    assert remote.take(vector(1, (LOG, 3), part=False), 0.0)


def test_parts_do_not_add_up_beyond_the_limit() -> None:
    remote = Remote(bytes(32), run=RUN)
    assert remote.take(vector(1, (LOG, 1), part=False), 0.0)
    for number in range(2, 8):
        logs = [(bytes([number]) + count.to_bytes(31, "big"), 1) for count in range(MAX_LOGS // 2)]
        assert remote.take(vector(number, *logs, part=True), 0.0)
    assert remote.vector is not None and len(remote.vector) <= MAX_LOGS


def told(hall: Hall) -> list[Vector]:
    return [message for _, _, message in hall.messages() if isinstance(message, Vector)]


def test_stations_tell_what_is_new_and_now_and_then_all() -> None:
    hall = Hall(3)
    hall.wait(3.0)
    hall.sent.clear()
    for number in range(16):
        hall[0].note(f"{number}")
        hall.settle()
        hall.wait(0.25)
    vectors = told(hall)
    assert {len(each.logs) for each in vectors if each.part} <= {0, 1}
    assert sum(not each.part and len(each.logs) >= 3 for each in vectors) >= 6
    lengths = [hall[1].peer.held_by(entry.id) for entry in hall[0].own[-16:]]
    assert all(len(devices) == 3 for devices in lengths)
