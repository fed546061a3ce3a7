"""At what pace a courier repeats: the measured round trip, growing gaps, rates, the brake.

Knows numbers and time only. All figures were measured on lossy networks: with them a notice arrives in
fractions of a second where a stream needs many, and a full network is not made much worse. Times in seconds.
"""

from __future__ import annotations

from dataclasses import dataclass

SHORTEST_GAP = 0.010
UNKNOWN_GAP = 0.030
LONGEST_GAP = 0.150
GROWTH = 1.5
QUICK_COPIES = 12
SLOW_GAP = 1.0
REPEAT_SECONDS = 20.0
"""So old an entry is left to the stream."""
SILENT_SECONDS = 1.0
PROBE_GAP = 0.5
UNHEARD_SECONDS = 120.0
"""So long an entry is kept for a station that is not heard at all."""
TWIN_GAP = 0.003
TWIN_SECONDS = 20.0
BRAKED_COPIES = 2
EXTRA_RATE, EXTRA_BURST = 24_000.0, 16_000.0  # bytes
BLIND_RATE, BLIND_BURST = 2_000.0, 6_000.0  # bytes of repeats to a station from which nothing comes back
ENTRY_RATE, ENTRY_BURST = 20.0, 10.0
BRAKED_RATE, BRAKED_BURST = 2.0, 5.0

_BRAKE_TIMES, _BRAKE_SECONDS = 2.5, 0.040
_SLOW_TIMES, _SLOW_SECONDS = 2.0, 0.020
_DRIFT = 0.000_05  # the best round trip may have been on another network: forget it slowly


def smoothed(mean: float, deviation: float, sample: float) -> tuple[float, float]:
    """Mean and deviation after one more sample, as a stream smooths its round trip (RFC 6298)."""
    return mean + (sample - mean) / 8, deviation + (abs(sample - mean) - deviation) / 4


@dataclass(slots=True)
class RoundTrip:
    """Mean and deviation of the round trip, smoothed as a stream does it; and the best that was seen."""

    mean: float | None = None
    deviation: float = 0.0
    best: float = 0.0
    guess: float | None = None
    """What another way of measuring has told, while there is no sample."""

    def add(self, sample: float, known: float | None = None) -> None:
        """One more; `known`: the best that was seen otherwise, for the first."""
        if self.mean is None:
            best = sample if known is None else min(sample, known)
            self.mean, self.deviation, self.best = sample, sample / 2, best
            return
        self.mean, self.deviation = smoothed(self.mean, self.deviation, sample)
        self.best = min(sample, self.best + _DRIFT)

    @property
    def patience(self) -> float:
        """How long to wait for a receipt before the first repeat."""
        if self.mean is not None:
            return max(SHORTEST_GAP, self.mean + 2 * self.deviation)
        return UNKNOWN_GAP if self.guess is None else max(SHORTEST_GAP, 2 * self.guess)

    @property
    def braked(self) -> bool:
        """Whether the way is full: the round trip has grown far over its best."""
        return self.mean is not None and self.mean > _BRAKE_TIMES * self.best + _BRAKE_SECONDS

    def is_slow(self, sample: float) -> bool:
        """Whether a round trip waited in a queue: then what was late by stream was not lost."""
        return self.mean is not None and sample > _SLOW_TIMES * self.best + _SLOW_SECONDS

    def gap(self, copies: int) -> float:
        """The gap after this many copies (from 1)."""
        if copies >= QUICK_COPIES:
            return SLOW_GAP
        first = self.patience
        return min(first * GROWTH ** (copies - 1), max(first, LONGEST_GAP))
