"""The wall clock of one process run: nobody can set it, and it goes on while the device sleeps.

Knows which clock of each system counts sleep too. A device whose clock is set in mid-match so keeps one time
for all that it writes in this run; how far it is off, every other station measures.
"""

from __future__ import annotations

import platform
import time
from collections.abc import Callable


def seconds_awake_or_not() -> float:
    """Seconds from an unknown beginning, sleep counted, whatever the wall clock is set to."""
    if hasattr(time, "CLOCK_BOOTTIME"):  # Linux
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    if platform.system() == "Darwin":
        return time.clock_gettime(time.CLOCK_MONOTONIC)  # unlike time.monotonic(), which stops in sleep
    return time.monotonic()


class RunWall:
    """The wall clock as it was when this was made, counted on. Call it for milliseconds since 1970."""

    def __init__(
        self,
        wall: Callable[[], int],
        seconds: Callable[[], float] = seconds_awake_or_not,
    ) -> None:
        self._seconds = seconds
        self._began = seconds()
        self._wall_ms = wall()

    def __call__(self) -> int:
        return self._wall_ms + round((self._seconds() - self._began) * 1000)
