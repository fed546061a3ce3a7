"""One signed line of a match: its bytes, id and signature, and the private text that may travel beside it.

Knows the entry format, version 1. Knows nothing of logs as chains, of rights, or of what a payload means.

- body = msgpack array `[1, log, seq, prev, anchor, time, stamp, kind, payload]`; payload = `[act, fields]`.
- id = SHA-256(TAG + body); signature = Ed25519(TAG + SHA-256(body)).
- The bytes are kept and forwarded as they came, never encoded again.
- A log begins with its header: the payload of its entry 0. Log id = SHA-256(LOG_TAG + the header's bytes).
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple, Protocol, TypeAlias, TypeVar

import msgpack
import msgspec
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from protocol.entry_error import BadSignature as BadSignature
from protocol.entry_error import EntryError as EntryError
from protocol.entry_error import Malformed as Malformed
from protocol.entry_error import NewerEntry as NewerEntry
from protocol.stamp import MAX_STAMP

Wire: TypeAlias = "bool | int | float | str | bytes | list[Wire] | dict[str | bytes, Wire] | None"
Fields: TypeAlias = Mapping[str | bytes, Wire]
Payload: TypeAlias = tuple[str, Fields]

VERSION = 1
TAG = b"crewlink entry 1\0"
LOG_TAG = b"crewlink log 1\0"
TEXT_TAG = b"crewlink text 1\0"
NONE = bytes(32)
"""Stands where an id would, and there is none yet: `prev` and `anchor` of the first entry of a log."""

ID_SIZE = 32
SIGNATURE_SIZE = 64
SALT_SIZE = 16
MAX_BODY = 48 * 1024
MAX_PRIVATE = 16 * 1024
MAX_DEPTH = 16
MAX_SEQ = 2**31
MAX_TIME = 2**53

_PLAIN = frozenset((str, bytes, int, float, bool, type(None)))
_T = TypeVar("_T")


class Kind(StrEnum):
    """What an entry is about. Unknown kinds are kept and forwarded: `Entry.kind` is a plain string."""

    ROSTER = "roster"
    PEN = "pen"
    RECORD = "record"
    FREE = "free"


class Signs(Protocol):
    """What an entry needs of a station's identity."""

    def sign(self, data: bytes) -> bytes:
        """Ed25519 signature, 64 bytes."""


class StoredEntry(NamedTuple):
    """One entry as it lies on the disk. Saving a row whose id is there already only sets its private text."""

    id: bytes
    body: bytes
    signature: bytes
    private: bytes | None


@dataclass(frozen=True, slots=True)
class Entry:
    """One signed line. Ids are 32 bytes; `time` is the author's wall clock in milliseconds (display); `stamp`
    puts entries in order (`protocol.stamp`).
    """

    id: bytes
    log: bytes
    seq: int
    prev: bytes
    anchor: bytes
    time: int
    stamp: int
    kind: str
    payload: Payload
    body: bytes
    signature: bytes
    private: bytes | None = None

    @property
    def act(self) -> str:
        return self.payload[0]

    @property
    def fields(self) -> Fields:
        return self.payload[1]

    @property
    def row(self) -> StoredEntry:
        return StoredEntry(self.id, self.body, self.signature, self.private)

    @property
    def header(self) -> bytes:
        """The bytes of the payload as they came; for entry 0 of a log, what the log id is the hash of."""
        return self.body[_payload_start(self.body) :]

    def with_private(self, private: bytes | None) -> Entry:
        return replace(self, private=private)

    def __hash__(self) -> int:
        return hash(self.id)


def write(
    signer: Signs,
    *,
    log: bytes,
    seq: int,
    prev: bytes,
    anchor: bytes,
    time: int,
    stamp: int,
    kind: str,
    payload: Payload,
    private: bytes | None = None,
) -> Entry:
    """Make and sign one entry. Errors: Malformed when the payload has no place in an entry."""
    body = _packed([VERSION, log, seq, prev, anchor, time, stamp, kind, list(payload)])
    return read(body, signer.sign(TAG + hashlib.sha256(body).digest()), private)


def read(body: bytes, signature: bytes, private: bytes | None = None) -> Entry:
    """The entry that these bytes hold; its signature is not checked here.

    Errors: NewerEntry, Malformed.
    """
    if len(body) > MAX_BODY:
        raise Malformed(f"longer than {MAX_BODY} bytes")
    if len(signature) != SIGNATURE_SIZE:
        raise Malformed("the signature has not 64 bytes")
    if private is not None and len(private) > MAX_PRIVATE:
        raise Malformed(f"private text longer than {MAX_PRIVATE} bytes")
    raw = _parts(_unpacked(body))
    return Entry(
        id=id_of(body),
        log=_id(raw[1], "log"),
        seq=_number(raw[2], "seq", 0, MAX_SEQ),
        prev=_id(raw[3], "prev"),
        anchor=_id(raw[4], "anchor"),
        time=_number(raw[5], "time", -MAX_TIME, MAX_TIME),
        stamp=_number(raw[6], "stamp", 0, MAX_STAMP),
        kind=_word(raw[7], "kind", 16),
        payload=_payload(raw[8]),
        body=body,
        signature=signature,
        private=private,
    )


def id_of(body: bytes) -> bytes:
    """Id of the entry that these bytes hold, whatever they are."""
    return hashlib.sha256(TAG + body).digest()


def verify(entry: Entry, public_key: bytes) -> None:
    """Check the signature against an Ed25519 public key (32 bytes). Errors: BadSignature."""
    try:
        _key(public_key).verify(entry.signature, TAG + hashlib.sha256(entry.body).digest())
    except (InvalidSignature, ValueError) as error:
        raise BadSignature(entry.log, entry.seq) from error


def log_id(header: bytes) -> bytes:
    """Id of the log that begins with these header bytes."""
    return hashlib.sha256(LOG_TAG + header).digest()


def header_bytes(payload: Payload) -> bytes:
    """The bytes a payload has inside an entry that is written now."""
    return _packed(list(payload))


def private_text(text: str, salt: bytes) -> tuple[bytes, bytes]:
    """Hash for the signed payload, and the private bytes (salt + UTF-8) that travel beside the entry."""
    if len(salt) != SALT_SIZE:
        raise ValueError("a salt has 16 bytes")
    private = salt + text.encode()
    return text_hash(private), private


def text_hash(private: bytes) -> bytes:
    """The hash that a signed payload holds of these private bytes."""
    return hashlib.sha256(TEXT_TAG + private).digest()


def text_of(private: bytes) -> str:
    """The text inside private bytes; damaged UTF-8 shows replacement signs."""
    return private[SALT_SIZE:].decode(errors="replace")


class _Text(msgspec.Struct, frozen=True):
    hash: bytes
    readers: list[str]


def readers_of(entry: Entry) -> frozenset[str]:
    """Posts that may read the private text of an entry; empty when it has none."""
    text = _text(entry)
    return frozenset(text.readers) if text else frozenset()


def private_fits(entry: Entry, private: bytes) -> bool:
    """Whether these private bytes are the ones the signed payload names."""
    text = _text(entry)
    return text is not None and len(private) <= MAX_PRIVATE and text.hash == text_hash(private)


def decoded(fields: Fields, shape: type[_T]) -> _T | None:
    """Fields as a typed struct, or None when they do not have its shape. Unknown fields are ignored."""
    try:
        return msgspec.convert(fields, shape, builtin_types=(bytes,))
    except msgspec.ValidationError:
        return None


def _text(entry: Entry) -> _Text | None:
    value = entry.fields.get("text")
    return decoded(value, _Text) if isinstance(value, dict) else None


def _parts(raw: Wire) -> list[Wire]:
    if not isinstance(raw, list) or len(raw) < 3:
        raise Malformed("not a list of parts")
    version = raw[0]
    if type(version) is int and version > VERSION:
        raise NewerEntry(version, VERSION, _id(raw[1], "log"), _number(raw[2], "seq", 0, MAX_SEQ))
    if type(version) is not int or version != VERSION or len(raw) != 9:
        raise Malformed("not the nine parts of version 1")
    return raw


def _id(value: Wire, name: str) -> bytes:
    if not isinstance(value, bytes) or len(value) != ID_SIZE:
        raise Malformed(f"{name} is not an id of 32 bytes")
    return value


def _number(value: Wire, name: str, low: int, below: int) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not low <= value < below:
        raise Malformed(f"{name} is out of range")
    return value


def _word(value: Wire, name: str, longest: int) -> str:
    if not isinstance(value, str) or not 0 < len(value) <= longest:
        raise Malformed(f"{name} is not a short word")
    return value


def _payload(raw: Wire) -> Payload:
    if not isinstance(raw, list) or len(raw) != 2 or not isinstance(raw[1], dict):
        raise Malformed("the payload is not an act and its fields")
    return _word(raw[0], "act", 32), raw[1]


def _packed(value: list[object]) -> bytes:
    try:
        body = msgpack.packb(value, use_bin_type=True)
    except (ValueError, TypeError, OverflowError) as error:
        raise Malformed(f"a value cannot be written ({error})") from error
    assert isinstance(body, bytes)
    return body


def _refuse_extension(code: int, _data: bytes) -> Wire:
    raise ValueError(f"extension type {code}")


def _unpacked(body: bytes) -> Wire:
    try:
        value: Wire = msgpack.unpackb(body, raw=False, ext_hook=_refuse_extension)
        _check_plain(value)
    except (ValueError, RecursionError, UnicodeDecodeError) as error:
        raise Malformed(f"not readable ({error})") from error
    return value


def _check_plain(value: Wire) -> None:
    """Only plain values, and not deep: a timestamp or a tower of lists is no part of an entry."""
    level: list[Wire] = [value]
    depth = 0
    while level:
        inner: list[Wire] = []
        for item in level:
            if isinstance(item, dict):
                inner += item.values()
            elif isinstance(item, list):
                inner += item
            elif type(item) not in _PLAIN:
                raise ValueError(f"a {type(item).__name__}")
            else:
                continue
            if depth >= MAX_DEPTH:
                raise ValueError("too deep")
        level, depth = inner, depth + 1


def _payload_start(body: bytes) -> int:
    reader = msgpack.Unpacker(raw=False, strict_map_key=False)
    reader.feed(body)
    reader.read_array_header()
    for _ in range(8):
        reader.skip()
    start = reader.tell()
    assert isinstance(start, int)
    return start


@lru_cache(maxsize=256)
def _key(public_key: bytes) -> Ed25519PublicKey:
    return Ed25519PublicKey.from_public_bytes(public_key)
