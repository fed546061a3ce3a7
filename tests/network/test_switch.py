"""The switch of the lab by itself: what it is told to do to frames it does, as often as told."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest

from tests.network.switch import BROADCAST, CLEAR, TCP, UDP, Gates, Line, Switch, Weather

MULTICAST = bytes.fromhex("01005e0000fb")


def mac(port: int) -> bytes:
    return bytes([2, 0, 0, 0, 0, port])


def frame(source: int, target: int | bytes, *, protocol: int = TCP, size: int = 100) -> bytes:
    """An Ethernet frame with the first bytes of an IPv4 packet."""
    header = (mac(target) if isinstance(target, int) else target) + mac(source) + b"\x08\x00"
    return (header + bytes(9) + bytes([protocol])).ljust(size, b"\0")


def switch_of(ports: int = 3, weather: Weather = CLEAR, seed: int = 1) -> Switch:
    """A switch that knows already who is where."""
    switch = Switch(ports, Random(seed))
    for port in range(ports):
        switch.receive(port, frame(port, BROADCAST), 0.0)
    switch.due(1e9)
    switch.weather = weather
    return switch


def arrivals(switch: Switch, sent: int, *, gap: float = 0.01, start: float = 1.0) -> list[float]:
    """When frames from port 0 to port 1, sent every `gap` seconds, came out."""
    for number in range(sent):
        switch.receive(0, frame(0, 1), start + number * gap)
    out: list[float] = []
    while (due := switch.next_due()) is not None:
        out += [due for _ in switch.due(due)]
    return out


def reached(switch: Switch, sent: bytes, source: int = 0) -> set[int]:
    switch.receive(source, sent, 1.0)
    return {delivery.port for delivery in switch.due(1e9)}


def test_frames_go_where_their_address_was_seen_and_else_everywhere() -> None:
    switch = switch_of()
    assert reached(switch, frame(0, 2)) == {2}
    assert reached(switch, frame(0, 9)) == {1, 2}
    assert reached(switch, frame(0, BROADCAST)) == {1, 2}
    assert reached(switch, frame(0, MULTICAST, protocol=UDP)) == {1, 2}
    assert reached(switch, b"short") == set()


@pytest.mark.parametrize("loss", [0.0, 0.1, 0.3, 1.0])
def test_the_share_lost_is_the_share_asked_for(loss: float) -> None:
    switch = switch_of(weather=Weather(loss=loss))
    came = len(arrivals(switch, 20_000))
    assert came / 20_000 == pytest.approx(1 - loss, abs=0.015)
    assert switch.counts[0].lost == 20_000 - came


def test_directions_lose_by_themselves() -> None:
    """At 30 % a question and its answer are both there in 49 % of the tries."""
    switch = switch_of(weather=Weather(loss=0.3))
    both = sum(
        reached(switch, frame(0, 1)) == {1} and reached(switch, frame(1, 0), source=1) == {0}
        for _ in range(5_000)
    )
    assert both / 5_000 == pytest.approx(0.49, abs=0.03)


def test_delays_are_spread_evenly_around_the_mean() -> None:
    switch = switch_of(weather=Weather(delay=0.003, jitter=0.002))
    delays = [at - 1 - number * 0.01 for number, at in enumerate(arrivals(switch, 5_000))]
    assert min(delays) >= 0.001 and max(delays) <= 0.005 + 1e-9
    assert sum(delays) / len(delays) == pytest.approx(0.003, abs=0.0001)
    assert sum(delay < 0.002 for delay in delays) / len(delays) == pytest.approx(0.25, abs=0.03)


def order(switch: Switch, sent: int) -> list[int]:
    """Numbers of frames sent back to back, in the order of leaving."""
    for number in range(sent):
        switch.receive(0, frame(0, 1) + number.to_bytes(4, "big"), 1 + number * 1e-4)
    return [int.from_bytes(delivery.frame[-4:], "big") for delivery in switch.due(1e9)]


def test_jitter_alone_keeps_the_order_and_reordering_does_not() -> None:
    steady = switch_of(weather=Weather(delay=0.003, jitter=0.002))
    assert order(steady, 1_000) == list(range(1_000))
    mixed = order(switch_of(weather=Weather(delay=0.003, jitter=0.002, reorder=0.1)), 1_000)
    assert sorted(mixed) == list(range(1_000)) and mixed != sorted(mixed)


def test_a_share_comes_twice() -> None:
    came = arrivals(switch_of(weather=Weather(duplicate=0.2)), 10_000)
    assert len(came) / 10_000 == pytest.approx(1.2, abs=0.02)


def test_bursts_lose_the_share_asked_for_in_long_times() -> None:
    switch = switch_of(weather=Weather(loss=0.2, burst=0.1))
    came = arrivals(switch, 80_000, gap=0.005)
    assert len(came) / 80_000 == pytest.approx(0.8, abs=0.02)
    holes = [later - before - 0.005 for before, later in pairwise(came)]
    long = [hole for hole in holes if hole > 0.001]
    assert sum(long) / len(long) == pytest.approx(0.1, rel=0.15)


def test_a_narrow_line_takes_its_time_and_drops_what_its_queue_cannot_hold() -> None:
    switch = switch_of()
    switch.lines[1] = Line(rate=10_000, queue=1_050)
    came = arrivals(switch, 50, gap=0.0)
    assert came == pytest.approx([1 + 0.01 * (number + 1) for number in range(10)])
    assert switch.counts[0].queued_out == 40
    again = arrivals(switch, 5, gap=0.02, start=2.0)
    assert len(again) == 5


def test_both_ways_of_a_line_have_their_own_queue() -> None:
    switch = switch_of()
    switch.lines[1] = Line(rate=10_000, queue=1_050)
    for _ in range(10):
        switch.receive(0, frame(0, 1), 1.0)
        switch.receive(1, frame(1, 0), 1.0)
    last = {delivery.port for delivery in switch.due(1.1 + 1e-9)}
    assert last == {0, 1} and switch.next_due() is None


def test_partitions_separate_groups_and_heal() -> None:
    switch = switch_of(4)
    switch.part([[0, 1], [2, 3]])
    assert reached(switch, frame(0, BROADCAST)) == {1}
    assert reached(switch, frame(3, 2), source=3) == {2}
    assert reached(switch, frame(0, 2)) == set()
    switch.part([[0, 1, 2]])
    assert reached(switch, frame(3, BROADCAST), source=3) == set()
    switch.heal()
    assert reached(switch, frame(0, BROADCAST)) == {1, 2, 3}


def test_one_direction_can_be_cut_alone() -> None:
    switch = switch_of()
    switch.cut(0, 1)
    assert reached(switch, frame(0, 1)) == set()
    assert reached(switch, frame(1, 0), source=1) == {0}


def test_gates_stop_their_kind_and_let_the_rest_through() -> None:
    switch = switch_of()
    switch.gate(Gates(multicast=False))
    assert reached(switch, frame(0, MULTICAST, protocol=UDP)) == set()
    assert reached(switch, frame(0, BROADCAST)) == {1, 2} and reached(switch, frame(0, 1)) == {1}
    switch.gate(Gates(udp=False))
    assert reached(switch, frame(0, 1, protocol=UDP)) == set()
    assert reached(switch, frame(0, 1)) == {1}
    assert reached(switch, frame(0, MULTICAST, protocol=UDP)) == {1, 2}
    switch.gate(Gates(unicast=False), friends=[(0, 2)])
    assert reached(switch, frame(0, 1)) == set() and reached(switch, frame(0, 2)) == {2}
    assert reached(switch, frame(0, BROADCAST)) == {2}
    assert reached(switch, frame(0, MULTICAST, protocol=UDP)) == {1, 2}


def test_a_seed_gives_the_same_again() -> None:
    weather = Weather(loss=0.2, delay=0.003, jitter=0.002, duplicate=0.1, reorder=0.1)
    runs = [arrivals(switch_of(weather=weather, seed=seed), 500) for seed in (7, 7, 8)]
    assert runs[0] == runs[1] != runs[2]
