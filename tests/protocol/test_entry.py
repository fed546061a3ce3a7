from __future__ import annotations

from contextlib import suppress

import msgpack
import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.entry import (
    MAX_BODY,
    NONE,
    BadSignature,
    Entry,
    EntryError,
    Kind,
    Malformed,
    NewerEntry,
    private_fits,
    private_text,
    read,
    readers_of,
    text_of,
    verify,
    write,
)
from tests.protocol.hall import Keys

KEYS = Keys("test")


def made(**changes: object) -> Entry:
    parts: dict[str, object] = {
        "log": b"l" * 32,
        "seq": 3,
        "prev": b"p" * 32,
        "anchor": NONE,
        "time": 1_700_000_000_000,
        "stamp": 1_700_000_000_000 << 16,
        "kind": Kind.FREE,
        "payload": ("note", {"said": "x"}),
    }
    return write(KEYS, **{**parts, **changes})  # type: ignore[arg-type]


def raw(**changes: object) -> bytes:
    parts: dict[str, object] = {
        "version": 1,
        "log": b"l" * 32,
        "seq": 3,
        "prev": b"p" * 32,
        "anchor": NONE,
        "time": 0,
        "stamp": 0,
        "kind": "free",
        "payload": ["note", {}],
    }
    body = msgpack.packb(list({**parts, **changes}.values()))
    assert isinstance(body, bytes)
    return body


def test_what_is_written_is_read_and_verified() -> None:
    entry = made()
    assert read(entry.body, entry.signature) == entry
    verify(entry, KEYS.public_key)


def test_every_byte_of_body_and_signature_counts() -> None:
    entry = made()
    for index in range(len(entry.body)):
        body = bytearray(entry.body)
        body[index] ^= 1
        try:
            changed = read(bytes(body), entry.signature)
        except EntryError:
            continue
        assert changed.id != entry.id
        with pytest.raises(BadSignature):
            verify(changed, KEYS.public_key)
    for index in range(64):
        signature = bytearray(entry.signature)
        signature[index] ^= 1
        with pytest.raises(BadSignature):
            verify(read(entry.body, bytes(signature)), KEYS.public_key)


def test_another_key_does_not_verify() -> None:
    with pytest.raises(BadSignature):
        verify(made(), Keys("other").public_key)
    with pytest.raises(BadSignature):
        verify(made(), b"\xff" * 32)


def test_a_newer_version_is_named_with_its_log_and_place() -> None:
    with pytest.raises(NewerEntry) as caught:
        read(raw(version=2), bytes(64))
    assert (caught.value.version, caught.value.log, caught.value.seq) == (2, b"l" * 32, 3)
    longer = msgpack.packb([9, b"l" * 32, 4, "anything", {}])
    assert isinstance(longer, bytes)
    with pytest.raises(NewerEntry):
        read(longer, bytes(64))


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"\xc1",
        raw() + b"\x00",
        raw()[:-1],
        raw(version=0),
        raw(version=True),
        raw(version="1"),
        raw(log=b"short"),
        raw(log="l" * 32),
        raw(seq=-1),
        raw(seq=2**31),
        raw(seq=1.0),
        raw(seq=True),
        raw(prev=None),
        raw(anchor=b"x" * 33),
        raw(time=2**53),
        raw(time=1.5),
        raw(stamp=-1),
        raw(stamp=1.0),
        raw(stamp=True),
        raw(stamp=None),
        raw(stamp=b"12345678"),
        msgpack.packb([1, b"l" * 32, 3, b"p" * 32, NONE, 0, "free", ["note", {}]]),
        msgpack.packb([1, b"l" * 32, 3, b"p" * 32, NONE, 0, 0, "free", ["note", {}], 0]),
        raw(kind=""),
        raw(kind="k" * 17),
        raw(kind=b"free"),
        raw(payload=["note"]),
        raw(payload=["note", []]),
        raw(payload=[1, {}]),
        raw(payload=["", {}]),
        raw(payload=["note", {"t": msgpack.Timestamp(1)}]),
        raw(payload=["note", {"e": msgpack.ExtType(4, b"x")}]),
        raw(payload=["note", {1: 2}]),
        raw(payload=["note", {"big": b"x" * MAX_BODY}]),
        b"\xdd\xff\xff\xff\xff",
        b"\x91" * 3000,
    ],
)
def test_anything_else_is_malformed(body: bytes) -> None:
    with pytest.raises(Malformed):
        read(body, bytes(64))


def test_a_stamp_has_64_bits() -> None:
    for stamp in (0, 2**32, 2**63, 2**64 - 1):
        assert read(raw(stamp=stamp), bytes(64)).stamp == stamp
        assert made(stamp=stamp).stamp == stamp
    with pytest.raises(Malformed):
        made(stamp=2**64)


def test_a_tower_of_lists_is_malformed() -> None:
    tower: object = 1
    for _ in range(40):
        tower = [tower]
    with pytest.raises(Malformed):
        read(raw(payload=["note", {"tower": tower}]), bytes(64))


@given(st.binary(max_size=300))
def test_no_bytes_do_worse_than_malformed(body: bytes) -> None:
    with suppress(Malformed, NewerEntry):
        read(body, bytes(64))


@pytest.mark.parametrize("value", [object(), {1, 2}, 2**70])
def test_what_has_no_place_in_an_entry_is_refused_when_written(value: object) -> None:
    with pytest.raises(Malformed):
        made(payload=("note", {"value": value}))


def test_bytes_are_kept_as_they_came() -> None:
    loose = bytes([0x99, 0xCC, 0x01]) + raw()[2:]  # the version in two bytes, where one would do
    entry = read(loose, bytes(64))
    assert entry.body == loose and entry.id != read(raw(), bytes(64)).id


def test_private_text_is_bound_by_its_salted_hash() -> None:
    digest, private = private_text("invented", b"0123456789abcdef")
    entry = made(payload=("note", {"text": {"hash": digest, "readers": ["R1"]}}))
    assert private_fits(entry, private) and text_of(private) == "invented"
    assert not private_fits(entry, private + b"!")
    assert not private_fits(made(), private)
    assert readers_of(entry) == {"R1"} and readers_of(made()) == frozenset()
    again, _ = private_text("invented", b"fedcba9876543210")
    assert again != digest
