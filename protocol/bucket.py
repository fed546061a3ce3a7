"""A limit on how much goes in a while. Knows numbers and time only, in seconds."""

from __future__ import annotations


class Bucket:
    """So much a second, and so much at once after a rest."""

    def __init__(self, rate: float, burst: float) -> None:
        self._rate = rate
        self._burst = burst
        self._left = burst
        self._at: float | None = None

    def fill(self) -> None:
        """As after a long rest."""
        self._left = self._burst

    def take(self, amount: float, now: float, leave: float = 0.0) -> bool:
        """Whether that much is left now, beside what is to be left; if so it is taken."""
        if self._at is not None and now > self._at:
            self._left = min(self._burst, self._left + (now - self._at) * self._rate)
        self._at = now
        if amount > self._left - leave:
            return False
        self._left -= amount
        return True
