"""The wall clock of a run: nobody can set it."""

from __future__ import annotations

import time

from hypothesis import given
from hypothesis import strategies as st

from protocol.node import wall_milliseconds
from protocol.run_wall import RunWall, seconds_awake_or_not

HOUR_MS = 3_600_000


class Device:
    def __init__(self) -> None:
        self.wall_ms, self.seconds = 1_700_000_000_000, 5.0

    def passes(self, seconds: float) -> None:
        self.seconds += seconds
        self.wall_ms += round(seconds * 1000)


@given(st.lists(st.tuples(st.integers(0, 10_000), st.integers(-30 * HOUR_MS, 30 * HOUR_MS)), max_size=20))
def test_it_counts_true_milliseconds_however_the_device_is_set(steps: list[tuple[int, int]]) -> None:
    device = Device()
    wall = RunWall(lambda: device.wall_ms, lambda: device.seconds)
    began = wall()
    for passed, set_by in steps:
        device.passes(passed / 1000)
        device.wall_ms += set_by
    assert abs(wall() - began - sum(passed for passed, _ in steps)) <= 1


def test_the_next_run_begins_with_the_clock_as_it_is_then() -> None:
    device = Device()
    device.wall_ms += HOUR_MS
    assert RunWall(lambda: device.wall_ms, lambda: device.seconds)() == device.wall_ms


def test_on_this_machine_it_agrees_with_the_wall_clock_and_never_goes_back() -> None:
    wall = RunWall(wall_milliseconds)
    before, readings = time.monotonic(), [seconds_awake_or_not() for _ in range(1000)]
    assert readings == sorted(readings)
    assert readings[-1] - readings[0] <= time.monotonic() - before + 0.001
    assert abs(wall() - wall_milliseconds()) < 100
