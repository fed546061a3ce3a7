"""When to dial whom, and when to let a caller wait. Pure: times and random numbers are handed in.

Knows pace. Knows nothing of sockets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TypeAlias

from protocol.address import Address

Target: TypeAlias = bytes | Address
"""A device id, or a typed address at which nobody has been met yet."""

FIRST_PAUSE = 0.5
LONGEST_PAUSE = 1.0
LONGEST_PENANCE = 2.0
PARDON_SECONDS = 30.0
FREE_FAILURES = 5
KEPT_CALLERS = 256


@dataclass(slots=True)
class _Attempt:
    due: float = 0.0
    pause: float = FIRST_PAUSE
    running: bool = False


@dataclass(slots=True)
class DialPlan:
    """Paces dialling per target: at once, then after 0.5 to 1 s, each time a random part shorter.

    `random` gives numbers in [0, 1). A link that comes and goes does not bring the pace back; `settled` does.
    """

    random: Callable[[], float]
    _wanted: frozenset[Target] = frozenset()
    _attempts: dict[Target, _Attempt] = field(default_factory=dict)

    def want(self, targets: Iterable[Target]) -> None:
        """The targets worth dialling from now on: nobody who is linked."""
        self._wanted = frozenset(targets)
        for target in self._wanted:
            self._attempts.setdefault(target, _Attempt())

    def due(self, now: float) -> list[Target]:
        """Targets to dial now; each counts as running until `ended`."""
        ready = [target for target, attempt in self._idle() if attempt.due <= now]
        for target in ready:
            self._attempts[target].running = True
        return ready

    def ended(self, target: Target, now: float) -> None:
        """An attempt is over, well or badly; the next one, if it is wanted, waits for the pause."""
        attempt = self._attempts[target]
        attempt.running = False
        attempt.due = now + attempt.pause * (1 - self.random() / 2)
        attempt.pause = min(attempt.pause * 2, LONGEST_PAUSE)

    def settled(self, target: Target) -> None:
        """The link to this target works: when it breaks, dial at once."""
        attempt = self._attempts.setdefault(target, _Attempt())
        attempt.due, attempt.pause = 0.0, FIRST_PAUSE

    def hurry(self, target: Target) -> None:
        """There is news of this target: do not wait for the pause."""
        if target in self._attempts:
            self._attempts[target].due = 0.0

    def hurry_all(self) -> None:
        """The network may have changed: wait for no pause."""
        for attempt in self._attempts.values():
            attempt.due = 0.0

    def next_due(self) -> float | None:
        """When `due` has something again, unless something changes before."""
        return min((attempt.due for _, attempt in self._idle()), default=None)

    def _idle(self) -> list[tuple[Target, _Attempt]]:
        idle = ((target, self._attempts[target]) for target in self._wanted)
        return [(target, attempt) for target, attempt in idle if not attempt.running]


@dataclass(slots=True)
class _Caller:
    failures: int = 0
    free_at: float = 0.0


@dataclass(slots=True)
class CallerGuard:
    """Slows down an address whose handshakes fail again and again. Bounded: remembers 256 callers."""

    _callers: dict[str, _Caller] = field(default_factory=dict)

    def admits(self, host: str, now: float) -> bool:
        caller = self._callers.get(host)
        return caller is None or caller.free_at <= now

    def failed(self, host: str, now: float) -> None:
        """A handshake with this address failed. The first few cost nothing, then 0.25 s to 2 s each."""
        caller = self._callers.pop(host, None) or _Caller()
        if now - caller.free_at > PARDON_SECONDS:
            caller.failures = 0
        caller.failures += 1
        excess = caller.failures - FREE_FAILURES
        caller.free_at = now + min(0.25 * 2**excess, LONGEST_PENANCE) if excess >= 0 else now
        self._callers[host] = caller
        while len(self._callers) > KEPT_CALLERS:
            del self._callers[next(iter(self._callers))]

    def welcomed(self, host: str) -> None:
        """A known station called from this address."""
        self._callers.pop(host, None)
