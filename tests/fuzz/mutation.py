"""Spoils good samples: bytes, msgpack trees, JSON trees, text. All chance comes from the given source."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Sequence
from enum import Enum, auto
from functools import lru_cache
from random import Random
from typing import Any

import msgpack

LENGTHS = (0, 1, 0x7F, 0x80, 0xFF, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF)
BOMBS = (
    b"\xdd\xff\xff\xff\xff",  # an array, a map, bytes, a text and an extension that announce 4 GiB
    b"\xdf\xff\xff\xff\xff",
    b"\xc6\xff\xff\xff\xff",
    b"\xdb\xff\xff\xff\xff",
    b"\xc9\xff\xff\xff\xff\x01",
    b"\xdc\xff\xff",
    b"\x91" * 600,
    b"\x81\xa1a" * 300,
    b"\x90" * 1000,
    b"\xc0" * 1000,
)
ODD: tuple[Any, ...] = (
    *(None, True, False, 0, 1, -1, 7, 65535, 2**31 - 1, 2**31, 2**53, 2**63 - 1, -(2**63), 2**64 - 1),
    *(0.0, -0.0, 1.5, 1e308, float("inf"), float("-inf"), float("nan")),
    *("", "A", "B", "L20", "R1", "é", "\0", "x" * 33, "x" * 300, "1" * 40, "🏐"),
    *([], {}, [[]], {"": {}}, [0] * 70, {"t": "ping"}, {"type": "point", "team": "A"}),
)
ODD_BINARY: tuple[Any, ...] = (
    *(b"", b"\0", bytes(16), bytes(31), bytes(32), bytes(33), bytes(64), bytes(300), b"\xff\xfe"),
    *(msgpack.ExtType(5, b"x"), msgpack.Timestamp(1), msgpack.Timestamp(2**34, 5)),
)
BITS_OF_JSON = (
    *('"', "{", "}", "[", "]", ",", ":", "\\", "null", "NaN", "Infinity", "-Infinity", "1e999", "-0"),
    *("1" * 400, "\\ud800", "\\u0000", "\ufeff", "\t", "[" * 40, '{"a":' * 40, '"a":1,"a":2'),
)
BITS_OF_TEXT = (
    *("", " ", "\n", "\r\n", "\0", "\t", ";", ",", "|", ":", "-", "[", "]", "::", "=", "%", '"', "\u2028"),
    *("0", "9" * 5, "1" * 400, "٣", "²", "L20", "c", "é", "🏐", "\u202e", "65536", "=1+1", "CREWLINK1|"),
)


class Form(Enum):
    """What a sample is made of, so that it can be spoilt in a way that gets past the first check."""

    BYTES = auto()
    MSGPACK = auto()
    JSON = auto()
    TEXT = auto()


def mutated(random: Random, sample: bytes, form: Form, others: Sequence[bytes]) -> bytes:
    """The sample with one to four faults. `others`: samples of which parts may be taken."""
    spoil = _TREES.get(form)
    for _ in range(random.choice((1, 1, 1, 2, 3, 4))):
        if spoil is not None and random.random() < 0.6:
            sample = spoil(random, sample)
        elif form in (Form.JSON, Form.TEXT) and random.random() < 0.7:
            sample = _text(random, sample, BITS_OF_JSON if form is Form.JSON else BITS_OF_TEXT)
        else:
            sample = _bytes(random, sample, others)
    return sample


def _bytes(random: Random, sample: bytes, others: Sequence[bytes]) -> bytes:
    at, size = random.randrange(len(sample) + 1), random.choice((1, 1, 2, 4, 8, 32))
    match random.randrange(8):
        case 0:
            return sample[:at] + random.randbytes(size) + sample[at + size :]
        case 1 if at < len(sample):
            return sample[:at] + bytes([sample[at] ^ (1 << random.randrange(8))]) + sample[at + 1 :]
        case 2:
            return sample[:at] + random.randbytes(size) + sample[at:]
        case 3:
            return sample[:at] + sample[at + random.randrange(1, 64) :]
        case 4:
            return sample[:at] + sample[max(0, at - random.randrange(1, 64)) :]
        case 5:
            other = random.choice(others)
            return sample[:at] + other[random.randrange(len(other) + 1) :]
        case 6:
            width = random.choice((1, 2, 4, 8))
            number = random.choice(LENGTHS) & (256**width - 1)
            return sample[:at] + number.to_bytes(width, "big") + sample[at + width :]
        case _:
            return sample[:at] + random.choice(BOMBS) + sample[at:]


def _text(random: Random, sample: bytes, bits: Sequence[str]) -> bytes:
    text = sample.decode(errors="surrogateescape")
    at, bit = random.randrange(len(text) + 1), random.choice(bits)
    gone = random.choice((0, 0, 1, 1, 3, 30))
    return (text[:at] + bit * random.choice((1, 1, 1, 2, 9)) + text[at + gone :]).encode(
        errors="surrogateescape"
    )


def _msgpack_tree(random: Random, sample: bytes) -> bytes:
    tree = _read(sample, _unpacked)
    try:
        packed = msgpack.packb(_spoilt(random, tree, ODD + ODD_BINARY), use_bin_type=True)
    except (ValueError, OverflowError, TypeError, RecursionError):
        return sample
    assert isinstance(packed, bytes)
    return packed


def _json_tree(random: Random, sample: bytes) -> bytes:
    spoilt = _spoilt(random, _read(sample, json.loads), ODD)
    try:
        return json.dumps(spoilt, ensure_ascii=random.random() < 0.5).encode(errors="surrogateescape")
    except (ValueError, TypeError, RecursionError):
        return sample


_TREES: dict[Form, Callable[[Random, bytes], bytes]] = {Form.MSGPACK: _msgpack_tree, Form.JSON: _json_tree}


def _unpacked(sample: bytes) -> Any:
    return msgpack.unpackb(sample, raw=False, strict_map_key=False)


@lru_cache(maxsize=512)
def _parsed(sample: bytes, parse: Callable[[bytes], Any]) -> Any:
    try:
        return parse(sample)
    except (ValueError, RecursionError, TypeError, msgpack.UnpackException):
        return None


def _read(sample: bytes, parse: Callable[[bytes], Any]) -> Any:
    """A copy of the tree in a sample; None for one that is spoilt already, or too deep."""
    try:
        return copy.deepcopy(_parsed(sample, parse))
    except RecursionError:
        return None


def _spoilt(random: Random, tree: Any, odd: Sequence[Any]) -> Any:
    """One value of the tree made odd, taken away, doubled, moved, deepened or renamed."""
    holder, key = _place(random, tree)
    value = random.choice(odd)
    if holder is None:
        return value
    match random.randrange(8):
        case 0 | 1:
            holder[key] = value
        case 2:
            del holder[key]
        case 3 if isinstance(holder, list):
            holder.insert(key, copy.deepcopy(holder[key]))
        case 3 | 4 if isinstance(holder, dict):
            holder[random.choice(("", "type", "t", "later", "do", "x" * 40, "team"))] = holder.pop(key)
        case 5:
            other, place = _place(random, tree)
            if other is not None:
                holder[key] = copy.deepcopy(other[place])
        case 6:
            for _ in range(random.choice((1, 3, 20, 200))):
                holder[key] = [holder[key]]
        case _ if isinstance(holder, list):
            holder.extend([value] * random.choice((1, 5, 300)))
        case _:
            holder[key] = _near(random, holder[key])
    return tree


def _near(random: Random, value: Any) -> Any:
    """A value like this one."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + random.choice((-1, 1, 256, -(2**31)))
    if isinstance(value, str | bytes):
        return value + value[:1] if random.random() < 0.5 else value[:-1]
    return None


def _place(random: Random, tree: Any) -> tuple[Any, Any]:
    """A random inner place: what holds it and under which key; (None, None) for a bare value."""
    holder, key = None, None
    while isinstance(tree, list | dict) and tree:
        holder = tree
        key = random.randrange(len(tree)) if isinstance(tree, list) else random.choice(list(tree))
        tree = tree[key]
        if random.random() < 0.25:
            break
    return holder, key
