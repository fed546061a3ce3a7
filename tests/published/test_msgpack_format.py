"""Our packer and our strict reader against the MessagePack specification.

Source: "MessagePack specification" (spec.md of the msgpack project, the version with the bin and ext families
and the timestamp extension, 2017): *Formats* (overview table of first bytes), the format families, *Timestamp
extension type*, *Serialization: type to format conversion* (the smallest form that fits). First bytes and
lengths are from memory of that document; the bytes below are built by hand, never by a packer.
"""

from __future__ import annotations

import struct
from typing import Any

import msgpack
import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol import wire
from protocol.entry import Malformed, header_bytes, read

SIGNATURE = bytes(64)

FORMATS = (
    ("positive fixint", 0x00, 0x7F),
    ("fixmap", 0x80, 0x8F),
    ("fixarray", 0x90, 0x9F),
    ("fixstr", 0xA0, 0xBF),
    ("nil", 0xC0, 0xC0),
    ("never used", 0xC1, 0xC1),
    ("false", 0xC2, 0xC2),
    ("true", 0xC3, 0xC3),
    ("bin 8", 0xC4, 0xC4),
    ("bin 16", 0xC5, 0xC5),
    ("bin 32", 0xC6, 0xC6),
    ("ext 8", 0xC7, 0xC7),
    ("ext 16", 0xC8, 0xC8),
    ("ext 32", 0xC9, 0xC9),
    ("float 32", 0xCA, 0xCA),
    ("float 64", 0xCB, 0xCB),
    ("uint 8", 0xCC, 0xCC),
    ("uint 16", 0xCD, 0xCD),
    ("uint 32", 0xCE, 0xCE),
    ("uint 64", 0xCF, 0xCF),
    ("int 8", 0xD0, 0xD0),
    ("int 16", 0xD1, 0xD1),
    ("int 32", 0xD2, 0xD2),
    ("int 64", 0xD3, 0xD3),
    ("fixext 1", 0xD4, 0xD4),
    ("fixext 2", 0xD5, 0xD5),
    ("fixext 4", 0xD6, 0xD6),
    ("fixext 8", 0xD7, 0xD7),
    ("fixext 16", 0xD8, 0xD8),
    ("str 8", 0xD9, 0xD9),
    ("str 16", 0xDA, 0xDA),
    ("str 32", 0xDB, 0xDB),
    ("array 16", 0xDC, 0xDC),
    ("array 32", 0xDD, 0xDD),
    ("map 16", 0xDE, 0xDE),
    ("map 32", 0xDF, 0xDF),
    ("negative fixint", 0xE0, 0xFF),
)
"""The overview table: name, first byte from, to."""

SAMPLES: dict[str, tuple[bytes, Any]] = {
    "positive fixint": (b"\x7f", 127),
    "fixmap": (b"\x81\xa1a\x01", {"a": 1}),
    "fixarray": (b"\x92\x01\x02", [1, 2]),
    "fixstr": (b"\xa3abc", "abc"),
    "nil": (b"\xc0", None),
    "false": (b"\xc2", False),
    "true": (b"\xc3", True),
    "bin 8": (b"\xc4\x02\x00\xff", b"\x00\xff"),
    "bin 16": (b"\xc5\x01\x00" + bytes(256), bytes(256)),
    "bin 32": (b"\xc6\x00\x00\x80\x00" + bytes(32768), bytes(32768)),
    "float 32": (b"\xca\x3f\xc0\x00\x00", 1.5),
    "float 64": (b"\xcb\x3f\xf8\x00\x00\x00\x00\x00\x00", 1.5),
    "uint 8": (b"\xcc\xff", 255),
    "uint 16": (b"\xcd\xff\xff", 65535),
    "uint 32": (b"\xce\xff\xff\xff\xff", 2**32 - 1),
    "uint 64": (b"\xcf\xff\xff\xff\xff\xff\xff\xff\xff", 2**64 - 1),
    "int 8": (b"\xd0\x80", -128),
    "int 16": (b"\xd1\x80\x00", -32768),
    "int 32": (b"\xd2\x80\x00\x00\x00", -(2**31)),
    "int 64": (b"\xd3\x80\x00\x00\x00\x00\x00\x00\x00", -(2**63)),
    "str 8": (b"\xd9\x20" + b"x" * 32, "x" * 32),
    "str 16": (b"\xda\x01\x00" + b"x" * 256, "x" * 256),
    "str 32": (b"\xdb\x00\x00\x80\x00" + b"x" * 32768, "x" * 32768),
    "array 16": (b"\xdc\x00\x10" + b"\x01" * 16, [1] * 16),
    "array 32": (b"\xdd\x00\x00\x00\x10" + b"\x01" * 16, [1] * 16),
    "map 16": (b"\xde\x00\x01\xa1a\x01", {"a": 1}),
    "map 32": (b"\xdf\x00\x00\x00\x01\xa1a\x01", {"a": 1}),
    "negative fixint": (b"\xe0", -32),
}

EXTENSIONS = {
    "ext 8": b"\xc7\x03\x05abc",
    "ext 16": b"\xc8\x00\x03\x05abc",
    "ext 32": b"\xc9\x00\x00\x00\x03\x05abc",
    "fixext 1": b"\xd4\x05a",
    "fixext 2": b"\xd5\x05ab",
    "fixext 4": b"\xd6\x05abcd",
    "fixext 8": b"\xd7\x05abcdefgh",
    "fixext 16": b"\xd8\x05" + b"a" * 16,
    "timestamp 32": b"\xd6\xff\x00\x00\x00\x01",
    "timestamp 64": b"\xd7\xff\x00\x00\x00\x04\x00\x00\x00\x00",
    "timestamp 96": b"\xc7\x0c\xff\x00\x00\x00\x01\x00\x00\x00\x00\x00\x00\x00\x01",
}

SMALLEST = (
    (0, b"\x00"),
    (127, b"\x7f"),
    (128, b"\xcc\x80"),
    (255, b"\xcc\xff"),
    (256, b"\xcd\x01\x00"),
    (65535, b"\xcd\xff\xff"),
    (65536, b"\xce\x00\x01\x00\x00"),
    (2**32 - 1, b"\xce\xff\xff\xff\xff"),
    (2**32, b"\xcf\x00\x00\x00\x01\x00\x00\x00\x00"),
    (2**64 - 1, b"\xcf\xff\xff\xff\xff\xff\xff\xff\xff"),
    (-1, b"\xff"),
    (-32, b"\xe0"),
    (-33, b"\xd0\xdf"),
    (-128, b"\xd0\x80"),
    (-129, b"\xd1\xff\x7f"),
    (-32768, b"\xd1\x80\x00"),
    (-32769, b"\xd2\xff\xff\x7f\xff"),
    (-(2**31), b"\xd2\x80\x00\x00\x00"),
    (-(2**31) - 1, b"\xd3\xff\xff\xff\xff\x7f\xff\xff\xff"),
    (-(2**63), b"\xd3\x80\x00\x00\x00\x00\x00\x00\x00"),
    (1.5, b"\xcb\x3f\xf8\x00\x00\x00\x00\x00\x00"),
    ("x" * 31, b"\xbf" + b"x" * 31),
    ("x" * 32, b"\xd9\x20" + b"x" * 32),
    ("x" * 255, b"\xd9\xff" + b"x" * 255),
    ("x" * 256, b"\xda\x01\x00" + b"x" * 256),
    (b"x" * 255, b"\xc4\xff" + b"x" * 255),
    (b"x" * 256, b"\xc5\x01\x00" + b"x" * 256),
    ([1] * 15, b"\x9f" + b"\x01" * 15),
    ([1] * 16, b"\xdc\x00\x10" + b"\x01" * 16),
    ({}, b"\x80"),
    ({f"{number:02}": 1 for number in range(16)}, None),
)
"""*Serialization*: "the smallest format that can represent the value"; the bytes it has."""


def in_entry(packed: bytes) -> bytes:
    """An entry's body whose payload holds these bytes as the value of one field."""
    zeros = b"\xc4\x20" + bytes(32)
    return b"\x99\x01" + zeros + b"\x00" + zeros + zeros + b"\x00\x00\xa4free\x92\xa4note\x81\xa1v" + packed


def value_in_entry(packed: bytes) -> Any:
    return read(in_entry(packed), SIGNATURE).fields["v"]


def in_frame(packed: bytes) -> bytes:
    """A ping whose unknown field has these bytes as its value."""
    return b"\x83\xa1t\xa4ping\xa6number\x01\xa5later" + packed


def test_the_table_covers_every_first_byte_once() -> None:
    covered = [byte for _, first, last in FORMATS for byte in range(first, last + 1)]
    assert covered == list(range(256))
    names = {name for name, _, _ in FORMATS}
    assert names == {*SAMPLES, *(name for name in EXTENSIONS if "timestamp" not in name), "never used"}


@pytest.mark.parametrize(("name", "first", "last"), FORMATS)
def test_samples_begin_as_the_table_says(name: str, first: int, last: int) -> None:
    packed = SAMPLES[name][0] if name in SAMPLES else EXTENSIONS.get(name, b"\xc1")
    assert first <= packed[0] <= last


@pytest.mark.parametrize("name", SAMPLES)
def test_each_format_is_read_inside_an_entry_and_passed_over_in_a_frame(name: str) -> None:
    """Longer forms than needed (float 32, array 32 for sixteen ...) are read too: an entry's bytes are signed
    and kept as they came, so nothing would be gained by refusing them."""
    packed, value = SAMPLES[name]
    found = value_in_entry(packed)
    assert (found, type(found)) == (value, type(value))
    assert wire.decode(in_frame(packed)) == wire.Ping(1)


@pytest.mark.parametrize("name", EXTENSIONS)
def test_extensions_are_refused_in_entries(name: str) -> None:
    """An entry holds plain values only: two readers would not agree on what an extension means, and a
    timestamp would be one value under two encodings."""
    with pytest.raises(Malformed, match="not readable"):
        read(in_entry(EXTENSIONS[name]), SIGNATURE)


@pytest.mark.parametrize("name", EXTENSIONS)
def test_extensions_in_unknown_fields_of_frames_are_passed_over_and_in_known_ones_refused(name: str) -> None:
    assert wire.decode(in_frame(EXTENSIONS[name])) == wire.Ping(1)
    with pytest.raises(wire.BadFrame):
        wire.decode(b"\x82\xa1t\xa4ping\xa6number" + EXTENSIONS[name])


@pytest.mark.parametrize("place", [in_entry, in_frame])
def test_the_byte_that_is_never_used_is_refused(place: Any) -> None:
    with pytest.raises((Malformed, wire.BadFrame)):
        _ = read(place(b"\xc1"), SIGNATURE) if place is in_entry else wire.decode(place(b"\xc1"))


@pytest.mark.parametrize(("value", "packed"), SMALLEST, ids=lambda value: repr(value)[:20])
def test_we_write_the_smallest_form(value: Any, packed: bytes | None) -> None:
    """Both packers: msgpack for entries, msgspec for frames. A float is float 64, as Python's is."""
    if packed is None:
        pairs = (b"\xa2" + f"{number:02}".encode() + b"\x01" for number in range(16))
        packed = b"\xde\x00\x10" + b"".join(pairs)
    assert header_bytes(("a", {"v": value})) == b"\x92\xa1a\x81\xa1v" + packed
    assert msgspec.msgpack.encode(value) == packed


@given(st.integers(-(2**63), 2**64 - 1))
def test_an_integer_takes_the_fewest_bytes_that_the_table_has(value: int) -> None:
    sizes = ((0, 128, 1), (0, 2**8, 2), (0, 2**16, 3), (0, 2**32, 5), (0, 2**64, 9))
    sizes += ((-32, 0, 1), (-(2**7), 0, 2), (-(2**15), 0, 3), (-(2**31), 0, 5), (-(2**63), 0, 9))
    least = min(size for low, below, size in sizes if low <= value < below)
    assert len(header_bytes(("a", {"v": value}))) == len(b"\x92\xa1a\x81\xa1v") + least


@pytest.mark.parametrize("value", [2**64, -(2**63) - 1])
def test_integers_beyond_the_table_have_no_place_in_an_entry(value: int) -> None:
    with pytest.raises(Malformed, match="cannot be written"):
        header_bytes(("a", {"v": value}))


@pytest.mark.parametrize(
    "packed",
    [
        b"\xd9\x05abc",
        b"\xdb\xff\xff\xff\xff",
        b"\xc4\x05ab",
        b"\xc6\xff\xff\xff\xff",
        b"\xdc\x00\x02\x01",
        b"\xdd\xff\xff\xff\xff\x01",
        b"\xde\x00\x02\xa1a\x01",
        b"\xdf\xff\xff\xff\xff\xa1a\x01",
        b"\xcb\x3f\xf8",
        b"\xcf\x00",
        b"\x92\x01",
    ],
)
def test_a_length_that_the_bytes_do_not_have_is_refused(packed: bytes) -> None:
    with pytest.raises(Malformed):
        read(in_entry(packed), SIGNATURE)
    with pytest.raises(wire.BadFrame):
        wire.decode(in_frame(packed))


def test_bytes_after_the_object_are_refused() -> None:
    assert value_in_entry(b"\x01") == 1
    with pytest.raises(Malformed):
        read(in_entry(b"\x01") + b"\x00", SIGNATURE)
    with pytest.raises(wire.BadFrame):
        wire.decode(in_frame(b"\x01") + b"\x00")


def test_text_must_be_utf_8() -> None:
    """*Type system*: a str is UTF-8; what is done with another one is left to the application. We refuse."""
    for wrong in (b"\xa1\xff", b"\xa3\xed\xa0\x80", b"\xa2\xc0\x80"):
        with pytest.raises(Malformed):
            read(in_entry(wrong), SIGNATURE)
        with pytest.raises(wire.BadFrame):
            wire.decode(in_frame(wrong))


def test_keys_of_maps_are_texts_or_bytes() -> None:
    """The specification allows any key; a number as a key would not survive JSON, so an entry has none."""
    keys = ((b"\xa1k", True), (b"\xc4\x01k", True), (b"\x01", False), (b"\xc0", False), (b"\x90", False))
    for key, fits in keys:
        body = in_entry(b"\x81" + key + b"\x01")
        if fits:
            assert len(read(body, SIGNATURE).fields["v"]) == 1  # type: ignore[arg-type]
        else:
            with pytest.raises(Malformed):
                read(body, SIGNATURE)


def test_floats_keep_their_bits() -> None:
    for bits in (b"\x00" * 8, b"\x80" + bytes(7), b"\x7f\xf0" + bytes(6), b"\x00" * 7 + b"\x01"):
        assert struct.pack(">d", value_in_entry(b"\xcb" + bits)) == bits


def test_the_third_party_readers_agree_on_every_sample() -> None:
    """Entries are read by msgpack, frames are written by msgspec: both know one format."""
    for packed, value in SAMPLES.values():
        assert msgpack.unpackb(packed, raw=False) == value
        assert msgspec.msgpack.decode(packed) == value
