"""The hybrid logical clock of one station: stamps that put entries in order, whatever clocks show.

After Kulkarni, Demirbas, Madappa, Avva and Leone, "Logical Physical Clocks" (OPODIS 2014), in its compact
form: 48 bits of milliseconds, 16 bits of count, so stamps compare as the numbers they are. Nothing of the
record, the pen or acceptance rests on one. Which clock the milliseconds are read from, `common_time` knows.

- To write: the milliseconds of the clock, count 0, if they are past all that was seen; else the highest stamp
  seen, and one more. Without a clock the same. So a count of 0 says that a clock was read.
- To take: the highest stamp counts. The paper stamps the taking, too; here nothing is written then.
- A stamp that lies further ahead than a limit waits until the clock gets there, and moves nothing before.
  After such a stamp, and only then, something may be written with a lesser one than was seen.
"""

from __future__ import annotations

from heapq import heappop, heappush

COUNT_BITS = 16
COUNT = 2**COUNT_BITS - 1
MAX_STAMP = 2**64
"""Stamps are below that."""
MAX_MS = 2**47 - 1
"""No clock is read past that: half of what 48 bits hold is left to count on in."""
AHEAD_MS = 600_000
"""So far ahead of the clock a stamp may be, and is believed. Honest ones are a round trip ahead at the most,
or as much as a writer was out of reach before it started anew; a device's wrong clock is no part of them."""


def stamp_of(milliseconds: int) -> int:
    """The stamp of a clock that shows so many milliseconds."""
    return max(0, min(milliseconds, MAX_MS)) << COUNT_BITS


def milliseconds_of(stamp: int) -> int:
    """What the clock showed, or what the count had come to."""
    return stamp >> COUNT_BITS


def by_clock(stamp: int) -> bool:
    """Whether a clock was read for it, and nothing that was seen lay as far or further."""
    return not stamp & COUNT


class StampClock:
    """Stamps of one station. Every stamp that it gives is above all it has given, and all it has seen."""

    def __init__(self) -> None:
        self.highest = 0
        self._limit = 0
        self._waiting: list[int] = []  # seen, past the limit: a heap

    def see(self, stamp: int) -> None:
        """An entry was taken that bears this stamp."""
        if stamp > self.highest:
            if stamp <= self._limit:
                self.highest = stamp
            else:
                heappush(self._waiting, stamp)

    def believe(self, milliseconds: int) -> None:
        """What is seen counts up to there, and what was seen before."""
        self._limit = stamp_of(milliseconds) | COUNT
        while self._waiting and self._waiting[0] <= self._limit:
            self.highest = max(self.highest, heappop(self._waiting))

    def believes(self, stamp: int) -> bool:
        """Whether such a stamp counts when it is seen."""
        return stamp <= self._limit

    def write(self, milliseconds: int | None) -> int:
        """The stamp of what is written now. `milliseconds`: what the clock shows, None without one."""
        if milliseconds is not None:
            self.believe(milliseconds + AHEAD_MS)
        read = 0 if milliseconds is None else stamp_of(milliseconds)
        self.highest = read if read > self.highest else _next(self.highest)
        return self.highest


def _next(stamp: int) -> int:
    """One more; a full count carries into the milliseconds, and never gives a count of 0."""
    return stamp + 1 if (stamp + 1) & COUNT else stamp + 2
