"""How long a first datagram waits for the stream to bring the entry itself.

Knows numbers and time only, in seconds. On a good way the stream is quick, and a datagram beside it is work
for nothing. So the time from offering an entry until the other says that the stream has brought it is
measured, and a first copy waits a little longer than that mostly takes. Where the stream was beaten lately,
none waits.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from protocol.courier_pace import smoothed

LEAST_SAMPLES = 3
HISTORY_SECONDS = 60.0
"""What was measured so long ago says nothing of the way as it is now."""
DEVIATIONS = 3.0
SHORTEST_WAIT = 0.008
UNKNOWN_WAIT = 0.050
LONGEST_WAIT, LONGEST_URGENT_WAIT = 0.500, 0.025
SHORTEST_PAUSE, LONGEST_PAUSE = 0.5, 20.0
_GOOD_TIMES, _GOOD_SECONDS = 4.0, 2.0


@dataclass(slots=True)
class Pause:
    """Until when nothing waits. One for all lanes: what is lost to one station is soon lost to others."""

    _seconds: float = 0.0
    _until: float = -1.0

    def is_on(self, now: float) -> bool:
        return now < self._until

    def beaten(self, now: float) -> None:
        """A stream was late, and a datagram was not: for a while, longer if that happens again soon."""
        if self.is_on(now):
            return
        good = now - max(self._until, 0.0)
        again = self._seconds > 0 and good < _GOOD_TIMES * self._seconds + _GOOD_SECONDS
        self._seconds = min(LONGEST_PAUSE, 2 * self._seconds) if again else SHORTEST_PAUSE
        self._until = now + self._seconds

    def hold(self, until: float) -> None:
        """A datagram was really lost: at least until then."""
        self._until = max(self._until, until)


@dataclass(slots=True)
class Hedge:
    """Mean and deviation of the time in which the stream of one lane brings an entry."""

    pause: Pause = field(default_factory=Pause)
    _mean: float = 0.0
    _deviation: float = 0.0
    _samples: int = 0
    _measured: float = 0.0

    def wait(self, now: float, *, urgent: bool) -> float | None:
        """How long a first copy waits; None when it goes at once."""
        if self.pause.is_on(now):
            return None
        if self.learns(now):
            return None if urgent else UNKNOWN_WAIT
        wait = max(SHORTEST_WAIT, self._mean + DEVIATIONS * self._deviation)
        if urgent and wait > LONGEST_URGENT_WAIT:
            return None
        return min(wait, LONGEST_WAIT)

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
        self._mean, self._deviation = smoothed(self._mean, self._deviation, seconds)
