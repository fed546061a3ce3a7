"""Where a station and its crew were reached, kept in its folder: they meet again without multicast.

    addresses.json    the port this station listens at; of each device its addresses and when it was linked

What was not confirmed for three days is forgotten. A file that cannot be read is as good as none.
"""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import msgspec
from msgspec import Struct

from protocol.address import Address, AddressError
from protocol.small_file import read_small, write_whole

FILE_NAME = "addresses.json"
STALE_SECONDS = 3 * 24 * 3600.0
MOST_DEVICES = 32
MOST_EACH = 8


class Met(Struct, frozen=True):
    """A device: "host:port" texts, the likeliest first; when it was linked last, seconds since 1970."""

    at: Annotated[list[str], msgspec.Meta(max_length=64)]
    seen: float


class Whereabouts(Struct, frozen=True):
    """What is kept. `port`: where this station listened; 0: not yet. `met`: by device id in hex."""

    port: Annotated[int, msgspec.Meta(ge=0, le=65535)] = 0
    met: dict[str, Met] = {}

    def known(self, now: float) -> dict[bytes, tuple[Address, ...]]:
        """Addresses by device, without the stale ones. `now`: seconds since 1970."""
        fresh = {name: met for name, met in self.met.items() if now - met.seen < STALE_SECONDS}
        found = {_device(name): _addresses(met.at) for name, met in list(fresh.items())[:MOST_DEVICES]}
        return {device: addresses for device, addresses in found.items() if device and addresses}

    def linked(self, port: int, now: float, places: Mapping[bytes, tuple[Address, ...]]) -> Whereabouts:
        """As it is after these devices were linked at these addresses; the stale ones are left out."""
        old = {name: met for name, met in self.met.items() if 0 <= now - met.seen < STALE_SECONDS}
        new = {device.hex(): Met([str(one) for one in at[:MOST_EACH]], now) for device, at in places.items()}
        newest = sorted((old | new).items(), key=lambda pair: -pair[1].seen)[:MOST_DEVICES]
        return Whereabouts(port, dict(newest))


def read(folder: Path) -> Whereabouts:
    """What a station folder keeps."""
    try:
        return msgspec.json.decode(read_small(folder / FILE_NAME), type=Whereabouts)
    except (OSError, ValueError, RecursionError):
        return Whereabouts()


def write(folder: Path, whereabouts: Whereabouts) -> None:
    """Keep it, whole or not at all; a disk that refuses costs nothing but the memory."""
    with contextlib.suppress(OSError):
        write_whole(folder / FILE_NAME, msgspec.json.format(msgspec.json.encode(whereabouts), indent=1))


def _device(name: str) -> bytes:
    try:
        device = bytes.fromhex(name)
    except ValueError:
        return b""
    return device if len(device) == 32 else b""


def _addresses(texts: list[str]) -> tuple[Address, ...]:
    found = []
    for text in texts[:MOST_EACH]:
        try:
            found.append(Address.parse(text))
        except AddressError:
            continue
    return tuple(found)
