"""How far another station's clock is off, and how long a message takes to it. Evidence and display only.

Knows the four stamps of a ping and its answer: sent and back on our own clocks, in and out on theirs (one
stamp, as the answer goes out in the same step). Nothing of the record, the pen or acceptance rests on it.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

KEPT = 8


@dataclass(frozen=True, slots=True)
class Sample:
    """One ping: their clock less ours, and the round trip, both in milliseconds."""

    offset_ms: float
    delay_ms: float


class ClockFilter:
    """Keeps the last samples; the one with the shortest way says most about the offset."""

    def __init__(self) -> None:
        self._samples: deque[Sample] = deque(maxlen=KEPT)

    def add(self, sent: float, asked_wall: int, their_wall: int, now: float, wall_ms: int) -> None:
        """An answer came. `sent`, `now`: our monotonic seconds; the walls: milliseconds, ours and theirs."""
        delay = (now - sent) * 1000.0
        if delay < 0.0:
            return
        self._samples.append(Sample(their_wall - (asked_wall + wall_ms) / 2.0, delay))

    @property
    def best(self) -> Sample | None:
        return min(self._samples, key=lambda sample: sample.delay_ms, default=None)

    @property
    def offset_ms(self) -> float | None:
        return self.best.offset_ms if self.best else None

    @property
    def delay_ms(self) -> float | None:
        return self.best.delay_ms if self.best else None


def court_time(wall_ms: int, offset_ms: float | None) -> int:
    """Time on the writing station's clock, in milliseconds; our own where the offset is not known."""
    return wall_ms + round(offset_ms or 0.0)
