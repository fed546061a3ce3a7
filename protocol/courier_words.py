"""What a datagram says once it is opened: four kinds of words, each with one shape.

Knows bytes only. Anything that does not fit exactly is no word at all. Numbers are big-endian.

| first byte | then |
|---|---|
| 1 carry | signature (64), body: an entry of whatever station |
| 2 ask | device (32), signature (64), body: the same, and please hand it to that device |
| 3 receipt | echo (8), log (8), base (4), mask (8) |
| 4 passed | device (32), log (8), base (4), mask (8): the receipt of that device, handed on |
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import TypeAlias

from protocol.entry import ID_SIZE, MAX_SEQ, SIGNATURE_SIZE

MAX_CARRIED = 1024
"""Longest body of an entry that goes by datagram."""
MARK_SIZE = 8
MASK_BITS = 64

_CARRY, _ASK, _RECEIPT, _PASSED = b"\x01", b"\x02", b"\x03", b"\x04"
_HELD = struct.Struct(f">{MARK_SIZE}sIQ")
_ECHO = struct.Struct(">Q")


@dataclass(frozen=True, slots=True)
class Held:
    """How much of a log a station holds: first 8 bytes of its id, length, and which of the 64 after the next
    one wait there (bit 0: the entry at `base` + 1)."""

    mark: bytes
    base: int
    mask: int

    def covers(self, log: bytes, seq: int) -> bool:
        if log[:MARK_SIZE] != self.mark:
            return False
        ahead = seq - self.base - 1
        return seq < self.base or (0 <= ahead < MASK_BITS and bool(self.mask >> ahead & 1))


@dataclass(frozen=True, slots=True)
class Carry:
    """An entry, without private text. `to`: whom to hand it to as well, when that is asked."""

    signature: bytes
    body: bytes
    to: bytes | None = None


@dataclass(frozen=True, slots=True)
class Receipt:
    """Answer to a carry. `echo`: counter of the answered datagram, 0 when that came from elsewhere."""

    echo: int
    held: Held


@dataclass(frozen=True, slots=True)
class Passed:
    """The receipt of another device, handed on."""

    device: bytes
    held: Held


Words: TypeAlias = Carry | Receipt | Passed


def encode(words: Words) -> bytes:
    """The bytes to be sealed."""
    if isinstance(words, Carry):
        front = _CARRY if words.to is None else _ASK + words.to
        return front + words.signature + words.body
    held = _HELD.pack(words.held.mark, words.held.base, words.held.mask)
    if isinstance(words, Receipt):
        return _RECEIPT + _ECHO.pack(words.echo) + held
    return _PASSED + words.device + held


def decode(data: bytes) -> Words | None:
    """What these bytes say; None when they are no words of this version."""
    kind, rest = data[:1], data[1:]
    if kind == _CARRY:
        return _carry(rest, None)
    if kind == _ASK:
        return _carry(rest[ID_SIZE:], rest[:ID_SIZE])
    if kind == _RECEIPT and len(rest) == _ECHO.size + _HELD.size:
        held = _held(rest[_ECHO.size :])
        return Receipt(_ECHO.unpack_from(rest)[0], held) if held else None
    if kind == _PASSED and len(rest) == ID_SIZE + _HELD.size:
        held = _held(rest[ID_SIZE:])
        return Passed(rest[:ID_SIZE], held) if held else None
    return None


def _carry(rest: bytes, to: bytes | None) -> Carry | None:
    if not 0 < len(rest) - SIGNATURE_SIZE <= MAX_CARRIED:
        return None
    return Carry(rest[:SIGNATURE_SIZE], rest[SIGNATURE_SIZE:], to)


def _held(rest: bytes) -> Held | None:
    mark, base, mask = _HELD.unpack(rest)
    return Held(mark, base, mask) if base <= MAX_SEQ else None
