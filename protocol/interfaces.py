"""The network interfaces of this device, and when a change of them is worth acting on.

Knows IPv4 addresses of interfaces. Knows nothing of discovery. Wi-Fi comes and goes in bursts, so a change
counts only after it was seen twice or has lasted three seconds, and at most once in five.
"""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass
from enum import Enum, auto
from typing import NamedTuple

import ifaddr

STEADY_SECONDS = 3.0
REST_SECONDS = 5.0


class Interface(NamedTuple):
    """One IPv4 address of one interface. An interface that is made anew gets another number."""

    number: int
    name: str
    address: str
    prefix: int


class Change(Enum):
    """What has become different."""

    ADDRESSES = auto()
    NUMBERS = auto()  # the same addresses on interfaces that were made anew


def snapshot() -> frozenset[Interface]:
    """The interfaces as they are now. Asks the system; takes well under a millisecond."""
    return frozenset(
        Interface(adapter.index or 0, adapter.name, ip.ip, ip.network_prefix)
        for adapter in ifaddr.get_adapters()
        for ip in adapter.ips
        if isinstance(ip.ip, str)
    )


def addresses(interfaces: frozenset[Interface]) -> tuple[str, ...]:
    """Addresses at which others can reach this device; its loopback ones when there are no others."""
    found = sorted({interface.address for interface in interfaces})
    return tuple(address for address in found if not is_loopback(address)) or tuple(found)


def is_loopback(address: str) -> bool:
    """Whether a literal address leads back to this device only."""
    return ipaddress.ip_address(address).is_loopback


@dataclass(slots=True)
class InterfaceWatch:
    """Decides from snapshots when to act. `settled`: what was acted on last."""

    settled: frozenset[Interface]
    _candidate: frozenset[Interface] | None = None
    _unsettled_since: float | None = None
    _acted: float = float("-inf")

    def feed(self, now: frozenset[Interface], seconds: float) -> Change | None:
        """Take a snapshot at a time; tells a change that is to be acted on now."""
        if now == self.settled:
            self._candidate = self._unsettled_since = None
            return None
        seen_before, self._candidate = now == self._candidate, now
        if self._unsettled_since is None:
            self._unsettled_since = seconds
        steady = seen_before or seconds - self._unsettled_since >= STEADY_SECONDS
        if not steady or seconds - self._acted < REST_SECONDS:
            return None
        change = Change.ADDRESSES if _places(now) != _places(self.settled) else Change.NUMBERS
        self.settled, self._acted = now, seconds
        self._candidate = self._unsettled_since = None
        return change


def _places(interfaces: frozenset[Interface]) -> set[tuple[str, int]]:
    return {(interface.address, interface.prefix) for interface in interfaces}
