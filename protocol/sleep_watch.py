"""Notices that the device slept, or that its clock was set: links may be dead then without knowing it.

Knows two clocks and their steps. While a device sleeps its monotonic clock stands still (Linux, macOS) or
runs on with nobody to look at it (Windows), and its wall clock goes on; a difference of many seconds between
their steps, or a step far longer than the pause between two looks, is a sleep or a clock that was set.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable

LOOK_SECONDS = 1.0
SLEPT_SECONDS = 5.0


async def watch_for_sleep(
    clock: Callable[[], float], wall_ms: Callable[[], int], woke: Callable[[], None]
) -> None:
    """Call `woke` after each sleep, until cancelled. `clock` in seconds, `wall_ms` in milliseconds."""
    before = (clock(), wall_ms())
    while True:
        await asyncio.sleep(LOOK_SECONDS)
        now = (clock(), wall_ms())
        step, wall_step = now[0] - before[0], (now[1] - before[1]) / 1000
        if abs(wall_step - step) > SLEPT_SECONDS or step > LOOK_SECONDS + SLEPT_SECONDS:
            woke()
        before = now
