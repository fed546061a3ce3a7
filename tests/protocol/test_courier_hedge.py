"""When a first datagram waits for the stream, how long, and what ends that."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol import wire
from protocol.courier_hedge import (
    HISTORY_SECONDS,
    LEAST_SAMPLES,
    LONGEST_PAUSE,
    LONGEST_URGENT_WAIT,
    LONGEST_WAIT,
    SHORTEST_PAUSE,
    SHORTEST_WAIT,
    UNKNOWN_WAIT,
    Hedge,
)
from protocol.session import CAME_SECONDS
from tests.protocol import couriers
from tests.protocol.hall import WALL, Hall

QUICK = 0.006


def known(*samples: float, now: float = 100.0) -> Hedge:
    hedge = Hedge()
    for sample in samples:
        hedge.brought(sample, now)
    return hedge


def test_without_history_what_is_urgent_goes_at_once_and_the_rest_soon() -> None:
    now = 100.0
    few, old = known(*[QUICK] * (LEAST_SAMPLES - 1)), known(*[QUICK] * 9, now=now - HISTORY_SECONDS - 1.0)
    for hedge in (Hedge(), few, old):
        assert hedge.learns(now)
        assert hedge.wait(now, urgent=True) is None
        assert hedge.wait(now, urgent=False) == UNKNOWN_WAIT


def test_the_wait_follows_the_time_that_the_stream_takes() -> None:
    assert known(*[0.001] * 20).wait(100.0, urgent=True) == SHORTEST_WAIT
    steady = known(*[0.020] * 40).wait(100.0, urgent=True)
    assert steady == pytest.approx(0.020, abs=0.004)
    spread = known(*[0.010, 0.020] * 40).wait(100.0, urgent=False)
    assert spread is not None and spread > 0.025


def test_where_the_stream_is_slow_what_is_urgent_does_not_wait() -> None:
    slow = known(*[2 * LONGEST_URGENT_WAIT] * 40)
    assert slow.wait(100.0, urgent=True) is None
    assert slow.wait(100.0, urgent=False) is not None
    assert known(*[3.0] * 40).wait(100.0, urgent=False) == LONGEST_WAIT


def test_a_stream_that_was_beaten_is_not_waited_for_and_longer_each_time() -> None:
    hedge, now, pauses = known(*[QUICK] * 20), 100.0, []
    for _ in range(9):
        hedge.pause.beaten(now)
        start = now
        while hedge.pause.is_on(now):
            assert hedge.wait(now, urgent=False) is None and hedge.wait(now, urgent=True) is None
            now += SHORTEST_PAUSE / 4
        pauses.append(now - start)
        hedge.brought(QUICK, now)
    assert pauses[0] == SHORTEST_PAUSE and pauses[1] == 2 * SHORTEST_PAUSE
    assert pauses[-1] == LONGEST_PAUSE == max(pauses)
    hedge.pause.beaten(now + 200.0)
    assert not hedge.pause.is_on(now + 200.0 + SHORTEST_PAUSE)


@given(st.lists(st.tuples(st.floats(0.0, 5.0), st.floats(0.0, 30.0), st.booleans()), max_size=40))
def test_whatever_was_measured_waits_keep_their_bounds(steps: list[tuple[float, float, bool]]) -> None:
    hedge, now = Hedge(), 10.0
    for sample, pause, beaten in steps:
        now += pause
        if beaten:
            hedge.pause.beaten(now)
        else:
            hedge.brought(sample, now)
        wait, urgent = hedge.wait(now, urgent=False), hedge.wait(now, urgent=True)
        assert wait is None or SHORTEST_WAIT <= wait <= LONGEST_WAIT
        assert urgent is None or SHORTEST_WAIT <= urgent <= LONGEST_URGENT_WAIT


# -- couriers beside a stream


def good_hall(stations: int = 2) -> couriers.Hall:
    """A hall whose streams are quick and were measured."""
    hall = couriers.Hall(stations)
    hall.stream, hall.tells = QUICK / 2, True
    for _ in range(10):
        hall[0].write()
        hall.run(0.1)
    return hall


@pytest.mark.parametrize("urgent", [False, True])
def test_where_the_stream_is_quick_no_datagram_goes(urgent: bool) -> None:
    hall = good_hall(3)
    before = hall[0].casts
    for _ in range(50):
        hall[0].write(urgent=urgent)
        hall.run(0.1)
    assert hall[0].casts == before
    assert not hall[0].courier.parcels() and hall[0].courier.due(hall.now) is None


@pytest.mark.parametrize("urgent", [False, True])
def test_what_the_stream_does_not_bring_goes_after_the_wait_and_the_next_at_once(urgent: bool) -> None:
    hall = good_hall()
    hall.stream = None
    entry, start = hall[0].write(urgent=urgent), hall.now
    hall.run(0.005)
    assert entry.id not in hall[1].came
    hall.run(0.1)
    assert QUICK < hall.latency(entry, start) < 0.025
    entry, start = hall[0].write(urgent=urgent), hall.now
    hall.run(0.1)
    assert hall.latency(entry, start) <= 0.005
    assert [at for at, sender, _, _ in hall.seen if sender == 0][-1] == start


def test_those_that_wait_go_at_once_when_the_stream_is_beaten() -> None:
    hall = good_hall()
    hall.stream = None
    entries = []
    for _ in range(5):
        entries.append((hall[0].write(), hall.now))
        hall.run(0.002)
    hall.run(0.2)
    assert max(hall.latency(entry, start) for entry, start in entries) < 0.030


def test_when_the_stream_has_been_good_again_datagrams_wait_again() -> None:
    hall = good_hall()
    hall.stream = None
    hall[0].write()
    hall.run(0.2)
    hall.stream = QUICK / 2
    hall.run(SHORTEST_PAUSE)
    before = hall[0].casts
    hall[0].write()
    hall.run(0.2)
    assert hall[0].casts == before


@pytest.mark.parametrize("delay", [0.08, 0.15, 0.3])
def test_on_a_full_way_hardly_a_datagram_goes(delay: float) -> None:
    """Streams and datagrams stand in one queue: a second copy of everything would only make it longer."""
    hall = good_hall()
    hall.stream, hall.delay, hall.best = delay, lambda: delay, QUICK
    before = hall[0].casts
    for _ in range(300):
        hall[0].write()
        hall.run(1 / 30)
    assert hall[0].casts - before <= 60 < 300
    assert not hall[0].courier._lanes[couriers.device(1)]._lossy(hall.now)


def test_what_is_urgent_goes_at_once_on_a_slow_way() -> None:
    hall = good_hall()
    hall.stream = 0.4
    for _ in range(40):
        hall[0].write()
        hall.run(0.1)
    entry, start = hall[0].write(urgent=True), hall.now
    hall.run(0.1)
    assert hall.latency(entry, start) <= 0.005


# -- stations


def with_couriers(hall: Hall) -> None:
    for station in hall.stations:
        station.peer.start_courier(5000 + station.number, Random(station.number).randbytes)
    hall.part(*({number} for number in range(len(hall.stations))))
    hall.heal()
    hall.wait(3.0)
    for station in hall.stations:
        courier = station.peer._links.desk.courier
        assert courier is not None
        for lane in courier._lanes.values():
            lane.hears(hall.now)


def tick_when_due(hall: Hall, number: int) -> float:
    """Let one station work when it wants to; how long that was."""
    before, due = hall.now, hall[number].peer.next_tick()
    assert due is not None
    hall.now = due
    hall[number].peer.tick(hall.now, hall.wall(number))
    hall.settle()
    return due - before


def test_a_station_that_holds_datagrams_back_asks_and_is_told_soon() -> None:
    hall = Hall(2)
    with_couriers(hall)
    courier = hall[0].peer._links.desk.courier
    assert courier is not None and courier.devices() == (hall[1].keys.device,)
    for number in range(12):  # more than vectors go at once
        hall[0].note(f"{number}")
        hall.settle()
    tick_when_due(hall, 1)
    hall.sent.clear()
    hall[0].note("one more")
    hall.settle()
    assert [type(said) for _, _, said in hall.messages()] == [wire.Chunk]
    assert tick_when_due(hall, 1) == pytest.approx(CAME_SECONDS)
    assert [type(said) for _, _, said in hall.messages()] == [wire.Chunk, wire.Came]
    assert not courier.parcels() and courier.drain(hall.now) == []


def test_without_couriers_nobody_asks() -> None:
    hall = Hall(2)
    hall.wait(3.0)
    hall.sent.clear()
    for number in range(12):
        hall[0].note(f"{number}")
        hall.settle()
    said = [message for _, _, message in hall.messages()]
    assert not any(isinstance(each, wire.Came) for each in said)
    assert not any(each.soon for each in said if isinstance(each, wire.Chunk))


def test_one_who_says_that_more_came_than_was_sent_changes_nothing() -> None:
    hall = Hall(2)
    with_couriers(hall)
    entry = hall[0].note("mine")
    link = 0 * 100 + 1
    hall[0].peer.receive(link, wire.encode(wire.Came(10**6)), hall.now, WALL)
    hall.wait(0.5)
    assert hall[0].peer.held_by(entry.id) == {hall[0].keys.device, hall[1].keys.device}
