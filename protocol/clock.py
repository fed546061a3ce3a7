"""How far another station's clock is off, and how long a message takes to it. Evidence and display only.

Knows the four stamps of a ping and its answer: sent and back on our own clocks, in and out on theirs (one
stamp, as the answer goes out in the same step). Nothing of the record, the pen or acceptance rests on it.

A station that has no link with a device hears of its clock from those that have, or had: offsets add up, and
so do the errors that they may have.

The true offset lies within half the round trip of the measured one. So a sample that cannot be reconciled
with an older one proves that a clock was set, or slept, in between; then what is older counts no longer.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

KEPT = 8
STEP_MS = 128.0
"""Our wall clock and our monotonic clock part by so much: one was set, or stood still (RFC 5905, STEPT)."""
TOLD_SECONDS = 10.0
SET_MS = 1000.0
"""What others say of a clock not heard for ten seconds counts if it is a second off: the clock was set."""
PARTING = 1e-3
"""Two clocks may drift apart by so much a second, amply: crystals are good for 0.0001 each."""


@dataclass(frozen=True, slots=True)
class Sample:
    """One ping: their clock less ours, and the round trip, in milliseconds; `at`: our monotonic seconds;
    `base`: our wall clock less our monotonic one, milliseconds.
    """

    offset_ms: float
    delay_ms: float
    at: float
    base: float

    def agrees(self, later: Sample) -> bool:
        """Whether one offset, and one own clock, can have given both samples."""
        if abs(later.base - self.base) > STEP_MS:
            return False
        slack = (self.delay_ms + later.delay_ms) / 2 + 1.0 + PARTING * (later.at - self.at) * 1000.0
        return abs(later.offset_ms - self.offset_ms) <= slack


@dataclass(frozen=True, slots=True)
class Estimate:
    """A clock less ours, and how much that may be off, in milliseconds; `at`: our monotonic seconds.

    `by`: the device that told us, None where we measured it. `run`: whose clock it is, or the first 8 bytes.
    """

    offset_ms: float
    error_ms: float
    at: float
    by: bytes | None = None
    run: bytes | None = None


class ClockFilter:
    """Keeps the last samples; the one with the shortest way says most about the offset. What others tell is
    for clocks that were never measured here, or were set since.
    """

    def __init__(self) -> None:
        self._samples: deque[Sample] = deque(maxlen=KEPT)
        self._told: Estimate | None = None
        self.run: bytes | None = None  # of that device, whose clock was measured: a new run may have another
        self.best: Sample | None = None
        self.estimate: Estimate | None = None  # what is believed, measured or told; None: nothing is known

    def add(
        self,
        sent: float,
        asked_wall: int,
        their_wall: int,
        now: float,
        wall_ms: int,
        run: bytes | None = None,
    ) -> None:
        """An answer came. `sent`, `now`: our monotonic seconds; the walls: milliseconds, ours and theirs;
        `run`: of who answered.
        """
        delay = (now - sent) * 1000.0
        if delay < 0.0 or abs((wall_ms - asked_wall) - delay) > STEP_MS:
            return  # our own clock was set, or we slept, while the answer was on its way
        new = Sample(their_wall - (asked_wall + wall_ms) / 2.0, delay, now, wall_ms - now * 1000.0)
        if run != self.run or any(not old.agrees(new) for old in self._samples):
            self._samples.clear()
        self.run = run
        self._samples.append(new)
        self.best = min(self._samples, key=lambda sample: sample.delay_ms)
        self.estimate = self._estimate()

    def hear_of(self, told: Estimate) -> None:
        """Another station told of this clock: the same one's newer word counts, or the more exact one."""
        old = self._told
        if (
            old is None
            or told.by == old.by
            or told.error_ms < old.error_ms
            or told.at - old.at > TOLD_SECONDS
        ):
            self._told = told
            self.estimate = self._estimate()

    def _estimate(self) -> Estimate | None:
        best, told = self.best, self._told
        if best is None:
            return told
        mine = Estimate(best.offset_ms, best.delay_ms / 2, best.at, run=self.run)
        if told is None or told.at - self._samples[-1].at <= TOLD_SECONDS:
            return mine
        apart = abs(told.offset_ms - mine.offset_ms) - told.error_ms - mine.error_ms
        return told if apart > SET_MS else mine

    @property
    def offset_ms(self) -> float | None:
        return self.estimate.offset_ms if self.estimate else None

    @property
    def delay_ms(self) -> float | None:
        return self.best.delay_ms if self.best else None
