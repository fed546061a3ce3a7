"""How long a first datagram waits for the stream to bring the entry itself.

Knows numbers and time only, in seconds. On a good way the stream is quick, and a datagram beside it is work
for nothing. So the time from offering an entry until the other says that the stream has brought it is
measured, and a first copy waits a little longer than that mostly takes. Where the stream was beaten lately,
none waits.
"""

from __future__ import annotations

from dataclasses import dataclass

LEAST_SAMPLES = 3
HISTORY_SECONDS = 60.0
"""What was measured so long ago says nothing of the way as it is now."""
DEVIATIONS = 4.0
SHORTEST_WAIT = 0.008
UNKNOWN_WAIT = 0.050
LONGEST_WAIT, LONGEST_URGENT_WAIT = 0.500, 0.050
SHORTEST_PAUSE, LONGEST_PAUSE = 0.5, 20.0
_GOOD_TIMES, _GOOD_SECONDS = 4.0, 2.0


@dataclass(slots=True)
class Hedge:
    """Mean and deviation of the time in which the stream brings an entry; whether it was beaten lately."""

    _mean: float = 0.0
    _deviation: float = 0.0
    _samples: int = 0
    _measured: float = 0.0
    _pause: float = 0.0
    _until: float = -1.0

    def wait(self, now: float, *, urgent: bool) -> float | None:
        """How long a first copy waits; None when it goes at once."""
        if self.is_beaten(now):
            return None
        if self.learns(now):
            return None if urgent else UNKNOWN_WAIT
        wait = max(SHORTEST_WAIT, self._mean + DEVIATIONS * self._deviation)
        if urgent and wait > LONGEST_URGENT_WAIT:
            return None
        return min(wait, LONGEST_WAIT)

    def is_beaten(self, now: float) -> bool:
        """Whether the stream was lately late where a datagram was not."""
        return now < self._until

    def learns(self, now: float) -> bool:
        """Whether too little is known to wait at all."""
        return self._samples < LEAST_SAMPLES or now - self._measured > HISTORY_SECONDS

    def brought(self, seconds: float, now: float) -> None:
        """The stream took so long to bring an entry and to tell of it."""
        if now - self._measured > HISTORY_SECONDS:
            self._samples = 0
        if not self._samples:
            self._mean, self._deviation = seconds, seconds / 4
        self._samples += 1
        self._measured = now
        self._deviation += (abs(seconds - self._mean) - self._deviation) / 4
        self._mean += (seconds - self._mean) / 8

    def beaten(self, now: float) -> None:
        """The stream was late, and a datagram was not: for a while first copies go at once."""
        good_since = now - max(self._until, 0.0)
        again = self._pause > 0 and good_since < _GOOD_TIMES * self._pause + _GOOD_SECONDS
        self._pause = min(LONGEST_PAUSE, 2 * self._pause) if again else SHORTEST_PAUSE
        self._until = now + self._pause
