"""Where a station may be reached: host and port, as typed, as found, as it worked before.

Knows addresses and which of them to try for whom. Knows nothing of sockets.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

KEPT_PER_DEVICE = 8
MOST_LETTERS = 253
PORT_DIGITS = 5
TOLD_PER_DEVICE = 4


class AddressError(Exception):
    """A typed address cannot be used. Carries the text."""

    def __init__(self, text: str) -> None:
        shown = text if len(text) <= 60 else f"{text[:59]}…"
        super().__init__(f"“{shown}” is not an address. Type it like 192.168.1.20:5005.")
        self.text = text


class Address(NamedTuple):
    """Host (a name or a literal address) and TCP port."""

    host: str
    port: int

    def __str__(self) -> str:
        return f"[{self.host}]:{self.port}" if ":" in self.host else f"{self.host}:{self.port}"

    @classmethod
    def parse(cls, text: str) -> Address:
        """Read `host:port` or `[host]:port`. Errors: AddressError."""
        host, colon, port = text.strip().rpartition(":")
        if host.startswith("[") and host.endswith("]"):
            host = host[1:-1]
        elif ":" in host:
            raise AddressError(text)
        digits = port.isascii() and port.isdigit() and len(port) <= PORT_DIGITS
        if not (colon and digits and 0 < int(port) < 65536 and _can_be_called(host)):
            raise AddressError(text)
        return cls(host, int(port))


def _can_be_called(host: str) -> bool:
    """Whether a resolver takes the name at all: RFC 1035's lengths, no blank or control sign in it."""
    if not 0 < len(host) <= MOST_LETTERS or not all(sign.isprintable() and sign != " " for sign in host):
        return False
    try:
        host.encode("idna")
    except UnicodeError:
        return False
    return True


def plain_host(host: str) -> str:
    """A peer's literal address as people write it: an IPv4 address inside IPv6 becomes IPv4 again."""
    try:
        inner = getattr(ipaddress.ip_address(host), "ipv4_mapped", None)
    except ValueError:
        return host
    return str(inner) if inner is not None else host


@dataclass(slots=True)
class AddressBook:
    """Which addresses to try for which device. Found ones come and go; learned ones stay, newest first.

    Told ones are another station's word; what the device itself told stands before what others say of it.
    """

    manual: set[Address] = field(default_factory=set)
    _found: dict[bytes, tuple[Address, ...]] = field(default_factory=dict)
    _learned: dict[bytes, list[Address]] = field(default_factory=dict)
    _told: dict[bytes, tuple[Address, ...]] = field(default_factory=dict)
    _by_itself: set[bytes] = field(default_factory=set)

    def found(self, device: bytes, addresses: Iterable[Address]) -> bool:
        """Discovery names these, and only these, for the device; none: it said good-bye. True if new."""
        now = tuple(addresses)
        before = self._found.pop(device, ())
        if now:
            self._found[device] = now
        return set(now) != set(before)

    def learned(self, device: bytes, address: Address) -> None:
        """We reached the device there. What another device was known by there before is forgotten."""
        for addresses in self._learned.values():
            if address in addresses:
                addresses.remove(address)
        mine = self._learned.setdefault(device, [])
        mine.insert(0, address)
        del mine[KEPT_PER_DEVICE:]

    def told(self, device: bytes, addresses: Iterable[Address], *, by_itself: bool) -> bool:
        """Someone names these for the device, in place of what was told before. True if that is news."""
        if not by_itself and device in self._by_itself:
            return False
        if by_itself:
            self._by_itself.add(device)
        now = tuple(addresses)[:TOLD_PER_DEVICE]
        before = self._told.get(device, ())
        self._told[device] = now
        return set(now) != set(before)

    def lasting(self, device: bytes) -> tuple[Address, ...]:
        """Addresses worth keeping for another day: where it was reached, then what was told."""
        return tuple(dict.fromkeys((*self._learned.get(device, ()), *self._told.get(device, ()))))

    def is_heard(self, device: bytes) -> bool:
        return device in self._found

    def of(self, device: bytes) -> tuple[Address, ...]:
        """All addresses worth a try for the device, each once, the found ones first."""
        return tuple(dict.fromkeys((*self._found.get(device, ()), *self.lasting(device))))

    def unclaimed(self) -> tuple[Address, ...]:
        """Typed addresses at which no device has been met yet, in a stable order."""
        claimed = {address for addresses in self._learned.values() for address in addresses}
        return tuple(sorted(self.manual - claimed))
