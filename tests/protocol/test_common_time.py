"""The common time of a match: the writer's clock for all, with no jump when the pen moves or a run is new."""

from __future__ import annotations

import pytest

from protocol import acts, wire
from protocol.clock import Estimate
from protocol.entry import Entry, Kind
from protocol.peer import Peer
from protocol.stamp import AHEAD_MS, MAX_STAMP, by_clock, milliseconds_of, stamp_of
from tests.protocol.clocks import OPENER, Clocks
from tests.protocol.hall import WALL

HOUR_MS = 3_600_000


def ms(entry: Entry) -> int:
    return milliseconds_of(entry.stamp)


@pytest.mark.parametrize("offsets", [(0, 0, 0), (0, HOUR_MS, -HOUR_MS), (HOUR_MS, 0, -26 * HOUR_MS)])
def test_every_station_stamps_by_the_opener_s_clock(offsets: tuple[int, ...]) -> None:
    hall = Clocks(offsets)
    for number in (1, 2, 0, 2, 1):
        hall.wait(2.0)
        entry = hall.note(number)
        assert by_clock(entry.stamp) and abs(ms(entry) - hall.common()) <= 1


def test_times_stay_the_devices_own() -> None:
    hall = Clocks((0, HOUR_MS, 0))
    assert hall.note(1).time == hall.wall(1)


@pytest.mark.parametrize("how", ["grant", "take", "force", "choose"])
def test_the_time_goes_on_without_a_jump_when_the_pen_moves(how: str) -> None:
    hall = Clocks((HOUR_MS, -HOUR_MS, 5 * HOUR_MS))
    hall.record(0)
    hall.move_pen(1, how)
    assert hall[1].peer.standing().holder_log == hall[1].peer.log
    hall.record(1)
    for number in (1, 2, 1, 2):
        hall.wait(2.0)
        assert abs(ms(hall.note(number)) - hall.common()) <= 3
    hall.gone(OPENER)
    for number in (1, 2):
        hall.wait(20.0)
        assert abs(ms(hall.note(number)) - hall.common()) <= 3


def test_the_time_goes_on_while_the_writer_is_away() -> None:
    hall = Clocks((0, HOUR_MS, -HOUR_MS))
    hall.gone(OPENER)
    hall.wait(600.0)
    late = hall.note(2)
    assert by_clock(late.stamp) and abs(ms(late) - hall.common()) <= 3


def test_a_new_run_goes_by_those_that_go_on() -> None:
    """The writer's device is off, comes back, and its clock was set by an hour meanwhile."""
    for by in (HOUR_MS, -HOUR_MS):
        hall = Clocks((0, HOUR_MS, -HOUR_MS))
        hall.record(0)
        hall.note(1)
        hall.gone(OPENER)
        hall.wait(60.0)
        hall.offsets[OPENER] += by
        hall.back(OPENER)
        hall.wait(3.0)
        hall.record(0)
        assert hall[0].peer.standing().holder_log == hall[0].peer.log
        for number in (0, 1, 2):
            hall.wait(2.0)
            assert abs(ms(hall.note(number)) - hall.common()) <= 5, (by, number)


def test_where_nobody_knows_the_time_it_goes_on_from_the_highest_stamp() -> None:
    hall = Clocks((0, HOUR_MS, -HOUR_MS))
    last = hall.note(2)
    hall.gone(0, 1, 2)
    hall.wait(1000.0)
    hall.offsets = [-HOUR_MS, HOUR_MS, 3 * HOUR_MS]
    hall.back(0, 1, 2)
    first = hall.note(1)
    assert last.stamp < first.stamp and not by_clock(first.stamp), "there is no clock yet"
    hall.wait(1.0)
    hall.record(0)
    hall.wait(2.0)
    here = hall.note(0)
    for number in (1, 2):
        hall.wait(2.0)
        entry = hall.note(number)
        assert by_clock(entry.stamp) and abs(ms(entry) - ms(here) - 2000 * number) <= 3


FAR = (AHEAD_MS + 60_000, 50 * HOUR_MS, 2**47 - 1 - WALL, 2**48 - 1)


@pytest.mark.parametrize("ahead", FAR)
def test_a_stamp_far_ahead_is_kept_and_passed_on_and_draws_nobody_along(ahead: int) -> None:
    hall = Clocks((0, 0, 0))
    lie = hall.lie(1, min(hall.common() + ahead << 16, MAX_STAMP - 1))
    assert all(lie.id in hall[number].peer.journal for number in (0, 2))
    for number in (0, 2, 0):
        hall.wait(1.0)
        entry = hall.note(number)
        assert entry.stamp < lie.stamp and abs(ms(entry) - hall.common()) <= 1


@pytest.mark.parametrize("ahead", FAR[1:])
@pytest.mark.parametrize("again", [0, 2])
def test_nor_those_that_begin_anew(again: int, ahead: int) -> None:
    hall = Clocks((0, 0, 0))
    hall.note(1)
    lie = hall.lie(1, min(hall.common() + ahead << 16, MAX_STAMP - 1))
    hall.gone(again)
    hall.back(again)
    hall.record(0)
    for number in (again, 2, 0):
        hall.wait(1.0)
        entry = hall.note(number)
        assert entry.stamp < lie.stamp and abs(ms(entry) - hall.common()) <= 1


def test_a_run_that_begins_alone_and_then_hears_of_the_time_goes_by_it() -> None:
    """A day ahead is not told from honest stamps where there is no clock; in the end the time gets there."""
    hall = Clocks((0, 0, 0))
    lie = hall.lie(1, stamp_of(hall.common() + 5 * HOUR_MS))
    hall.gone(2)
    hall.back(2)
    hall.wait(1.0)
    assert lie.stamp < hall.note(2).stamp
    assert abs(ms(hall.note(0)) - hall.common()) <= 1, "the others are not drawn along"
    hall.wait(1.0)
    hall.now += 6 * HOUR_MS / 1000
    hall.wait(1.0)
    assert abs(ms(hall.note(2)) - hall.common()) <= 1


def test_a_lie_counts_once_the_time_gets_there() -> None:
    hall = Clocks((0, 0, 0))
    lie = hall.lie(1, stamp_of(hall.common() + AHEAD_MS + 60_000))
    assert hall.note(2).stamp < lie.stamp
    hall.wait(90.0)
    assert lie.stamp < hall.note(2).stamp


def test_a_writer_that_stamps_an_opening_far_ahead_moves_all_together() -> None:
    """Its clock is the common time: order among all stays, and the range of stamps is not used up."""
    hall = Clocks((0, 0, 0))
    standing = hall[0].peer.standing()
    fields: dict[str | bytes, object] = {"epoch": standing.epoch, "how": acts.FORCED}
    lie = hall.lie(2, stamp_of(2**47 - 1), (acts.OPEN, fields), Kind.PEN)
    assert hall[0].peer.standing().epoch == lie.id, "the pen does not rest on it"
    hall.wait(2.0)
    made = [hall.note(number).stamp for number in (0, 1, 0, 1, 0)]
    assert lie.stamp < made[0] and made == sorted(set(made)) and made[-1] < 2**64 - 2**60


def test_what_is_written_comes_after_all_that_was_seen_also_after_a_restart() -> None:
    hall = Clocks((0, HOUR_MS, -HOUR_MS))
    for _ in range(3):
        for number in range(3):
            seen = highest(hall[number].peer)
            assert hall.note(number).stamp > seen
            hall.gone(number)
            hall.back(number)
            seen = highest(hall[number].peer)
            assert hall.note(number).stamp > seen
            hall.wait(1.0)


def highest(peer: Peer) -> int:
    return max(entry.stamp for entry in peer.journal.in_order())


def test_a_station_that_never_meets_the_writer_hears_of_its_clock() -> None:
    hall = Clocks((0, HOUR_MS, -HOUR_MS), never=(0, 2))
    hall.wait(3.0)
    entry = hall.note(2)
    assert by_clock(entry.stamp) and abs(ms(entry) - hall.common()) <= 3


def test_what_it_heard_of_an_earlier_run_of_the_writer_counts_for_no_later_one() -> None:
    """The writer comes back with a clock that was set, and so does the one that only hears of it."""
    hall = Clocks((0, HOUR_MS, -HOUR_MS), never=(0, 2))
    hall.record(0)
    hall.gone(0, 2)
    hall.offsets[0] += 5 * HOUR_MS
    hall.back(0, 2)
    for _ in range(8):
        assert ms(hall.note(2)) <= hall.common() + 3
        hall.wait(0.5)
    hall.record(0)
    hall.wait(3.0)
    for number in (0, 1, 2):
        assert abs(ms(hall.note(number)) - hall.common()) <= 5


def test_what_was_measured_of_an_earlier_run_of_the_writer_counts_for_no_later_one() -> None:
    """Its new epoch comes over a third station; then it is linked, and not measured yet."""
    hall = Clocks((0, HOUR_MS, -HOUR_MS))
    hall.record(0)
    hall.note(2)
    hall.gone(0)
    hall.offsets[0] += 5 * HOUR_MS
    hall.never = {(0, 1), (1, 0)}
    hall.back(0)
    hall.wait(2.0)
    hall.record(0)
    hall.wait(1.0)
    hall.lost, hall.never = wire.Pong, set()
    hall.join(0, 1)
    hall.join(1, 0)
    hall.settle()
    for number in (1, 2, 0):
        assert abs(ms(hall.note(number)) - hall.common()) <= 5
    hall.lost = None
    hall.wait(2.0)
    for number in (1, 2, 0):
        assert abs(ms(hall.note(number)) - hall.common()) <= 5


def test_a_clock_measured_before_it_is_known_whose_run_it_is_counts_for_no_run() -> None:
    """The writer is back in a new run, with another clock; its greeting is lost, its answers are not."""
    hall = Clocks((0, HOUR_MS, -HOUR_MS))
    hall.record(0)
    hall.gone(0)
    hall.offsets[0] -= 10 * HOUR_MS
    hall.lost = wire.Hello
    hall.back(0)
    hall.wait(2.0)
    assert abs(ms(hall.note(1)) - hall.common()) <= 5
    hall.lost = None
    hall.wait(2.0)
    hall.record(0)
    for number in (1, 2, 0):
        assert abs(ms(hall.note(number)) - hall.common()) <= 5


def test_what_is_told_of_an_earlier_run_of_the_writer_counts_for_no_later_one() -> None:
    """Who tells of it has not measured the new run yet; who hears of it has begun anew and knows no time."""
    hall = Clocks((0, HOUR_MS, -HOUR_MS))
    hall.gone(0)
    hall.offsets[0] -= 3 * HOUR_MS
    hall.back(0)
    hall.wait(2.0)
    hall.record(0)
    hall.lost = wire.Pong
    hall.gone(2)
    hall.back(2)
    first, second = (log.header.run for log in hall[2].peer.journal.logs_of(hall[0].keys.device))
    teller, clock = hall[1].keys.device, hall[2].peer._book.time.clocks[hall[0].keys.device].clock
    clock.hear_of(Estimate(hall.first_offset + HOUR_MS, 1.0, hall.now, teller, first[:8]))
    assert not by_clock(hall.note(2).stamp)
    clock.hear_of(Estimate(hall.offsets[0] + HOUR_MS, 1.0, hall.now, teller, second[:8]))
    hall.wait(1.0)
    entry = hall.note(2)
    assert by_clock(entry.stamp) and abs(ms(entry) - hall.common()) <= 5
