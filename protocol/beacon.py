"""What a station announces of itself, and how it tells its own crew from others.

Knows the service type, names and TXT keys. Nothing here is secret or trusted: it holds no name, post or
score, and whoever claims it must still prove a key. The tags only keep stations of other matches and events
from dialling.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from protocol.address import Address

SERVICE = "_crewlink._tcp.local."
VERSION = "1"
MOST_ADDRESSES = 8

_MATCH_TAG = b"crewlink match tag 1\0"
_EVENT_TAG = b"crewlink event tag 1\0"
_NAME_TAG = b"crewlink station name 1\0"


@dataclass(frozen=True, slots=True)
class Beacon:
    """One station's announcement: instance name (16 hex digits) and the tags of its match and event."""

    instance: str
    match_tag: str
    event_tag: str
    match: bytes

    @classmethod
    def of(cls, device: bytes, match: bytes, event: str) -> Beacon:
        """For a device (32 bytes) in a match (16 bytes) of an event. A rehearsal is an event of its own."""
        instance = instance_name(device, match)
        return cls(instance, _tag(_MATCH_TAG, match), _tag(_EVENT_TAG, event.encode()), match)

    def name_of(self, device: bytes) -> str:
        """The instance name of another device in this match."""
        return instance_name(device, self.match)

    @property
    def service_name(self) -> str:
        return f"{self.instance}.{SERVICE}"

    @property
    def server(self) -> str:
        return f"{self.instance}.local."

    @property
    def properties(self) -> dict[str, str]:
        return {"v": VERSION, "m": self.match_tag, "e": self.event_tag}

    def is_crew(self, properties: Mapping[bytes, bytes | None]) -> bool:
        """Whether another announcement belongs to this match, this event and this version."""
        found = said(properties)
        return all(found.get(key.encode()) == value.encode() for key, value in self.properties.items())


def instance_of(service_name: str) -> str | None:
    """The instance name in a service name; None when it is not one of ours."""
    instance, dot, service = service_name.partition(".")
    fits = len(instance) == 16 and set(instance) <= set("0123456789abcdef")
    return instance if fits and dot and service == SERVICE else None


def instance_name(device: bytes, match: bytes) -> str:
    """What a device is called in a match: 16 hex digits. Two matches on one device do not clash."""
    return _tag(_NAME_TAG, device + match)


def said(properties: Mapping[bytes, bytes | None]) -> dict[bytes, bytes | None]:
    """What TXT properties say, by key in small letters; the first of one key counts (RFC 6763, 6.4)."""
    found: dict[bytes, bytes | None] = {}
    for key, value in properties.items():
        found.setdefault(key.lower(), value)
    return found


def usable(hosts: list[str], port: int | None) -> tuple[Address, ...]:
    """The announced addresses worth a call, within bounds."""
    return tuple(Address(host, port) for host in hosts[:MOST_ADDRESSES]) if port else ()


def _tag(domain: bytes, value: bytes) -> str:
    return hashlib.sha256(domain + value).hexdigest()[:16]
