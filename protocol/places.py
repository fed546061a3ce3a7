"""Where the crew can be reached, as stations tell each other inside TLS: one small frame, within bounds.

Knows the frame and which told addresses are worth a try. It travels beside the messages of `protocol.wire`
and never reaches the peer: a station that does not know it passes it over. What is told proves nothing;
whoever answers there must still show a member's certificate.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable, Mapping
from typing import Annotated, Final

import msgspec

from protocol.acts import Id
from protocol.address import Address

LONGEST_PLACES: Final = 8 * 1024
MOST_DEVICES: Final = 16
MOST_EACH: Final = 4
_MARK: Final = b"\xa1t\xa6places"

Host = Annotated[str, msgspec.Meta(min_length=2, max_length=45)]
Port = Annotated[int, msgspec.Meta(ge=1, le=65535)]


class Spot(msgspec.Struct, frozen=True, array_like=True):
    """A device and the addresses it may be reached at."""

    device: Id
    at: Annotated[list[tuple[Host, Port]], msgspec.Meta(max_length=MOST_EACH)]


class Places(msgspec.Struct, frozen=True, tag_field="t", tag="places"):
    """`port`: where the sender listens, at the address it is seen at. `spots`: itself and others it knows."""

    port: Port
    spots: Annotated[list[Spot], msgspec.Meta(max_length=MOST_DEVICES)] = []


class BadPlaces(Exception):
    """A frame that says it tells places and does not."""


def is_places(frame: bytes) -> bool:
    """Whether a frame is one of these; looks at its first ten bytes only."""
    return frame[1:10] == _MARK


def encode(port: int, known: Mapping[bytes, Iterable[Address]]) -> bytes:
    """The frame, cut to its bounds: the first devices, the first addresses of each."""
    spots = []
    for device, addresses in list(known.items())[:MOST_DEVICES]:
        literal = [(one.host, one.port) for one in addresses if _literal(one.host) is not None]
        spots.append(Spot(device, literal[:MOST_EACH]))
    return msgspec.msgpack.encode(Places(port, spots))


_DECODER = msgspec.msgpack.Decoder(Places)  # made once: several links in one process read at the same time


def decode(frame: bytes) -> Places:
    """What a frame tells. Errors: BadPlaces."""
    if len(frame) > LONGEST_PLACES:
        raise BadPlaces(f"{len(frame)} bytes of places")
    try:
        return _DECODER.decode(frame)
    except (msgspec.MsgspecError, ValueError, RecursionError) as error:
        raise BadPlaces(str(error)) from error


def worth_a_try(spot: Spot, link_host: str) -> tuple[Address, ...]:
    """The told addresses that may be called: literal ones of private networks. Loopback only over loopback.

    `link_host`: the address at the other end of the link that told it.
    """
    seen = _literal(link_host)
    here = seen is not None and seen.is_loopback
    return tuple(Address(host, port) for host, port in spot.at if _near(host, here))


def _near(host: str, here: bool) -> bool:
    address = _literal(host)
    if address is None or address.is_multicast or address.is_unspecified or address.is_reserved:
        return False
    if address.is_loopback:
        return here
    if address.version == 6 and address.is_link_local:
        return False  # means nothing without the interface
    return address.is_private


def _literal(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        return None
