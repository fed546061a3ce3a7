"""What two stations say to each other: frames and typed messages.

Knows the frame (4-byte length, big-endian, then msgpack), the limits, and the shape of each message. Knows
nothing of when they are sent or what they cause. A message is a msgpack map with its name under "t"; unknown
fields are ignored, an unknown name is `UnknownMessage`, anything else that does not fit is `BadFrame`.
"""

from __future__ import annotations

from typing import Annotated, Final, TypeAlias

import msgpack
import msgspec

from protocol.acts import Count, Id
from protocol.entry import MAX_BODY, MAX_PRIVATE, SIGNATURE_SIZE

PROTOCOL_VERSIONS: Final = (1,)
MAX_FRAME: Final = 256 * 1024
MAX_CHUNK_ENTRIES: Final = 256
MAX_CHUNK_BYTES: Final = 96 * 1024
MAX_LOGS: Final = 2048
MAX_IDS: Final = 64
NEAR_SIZE: Final = 8
_PREFIX = 4

Body: TypeAlias = Annotated[bytes, msgspec.Meta(max_length=MAX_BODY)]
Signature: TypeAlias = Annotated[bytes, msgspec.Meta(min_length=SIGNATURE_SIZE, max_length=SIGNATURE_SIZE)]
Private: TypeAlias = Annotated[bytes, msgspec.Meta(max_length=MAX_PRIVATE)]


class WireError(Exception):
    """Bytes from a link that cannot be used."""


class FrameTooLong(WireError):
    """A length prefix above the limit. Carries the length; nothing was allocated for it."""

    def __init__(self, length: int) -> None:
        super().__init__(f"a frame of {length} bytes; the limit is {MAX_FRAME}")
        self.length = length


class BadFrame(WireError):
    """A frame that is no message of this protocol. Carries the problem."""

    def __init__(self, problem: str) -> None:
        super().__init__(problem)
        self.problem = problem


class UnknownMessage(WireError):
    """A message of a later version. Carries its name; to be ignored."""

    def __init__(self, name: str) -> None:
        super().__init__(f"unknown message {name[:32]!r}")
        self.name = name


class Hello(msgspec.Struct, frozen=True, tag_field="t", tag="hello"):
    """First word of each side. `versions`: protocol versions spoken; the highest common one is used."""

    versions: Annotated[list[int], msgspec.Meta(min_length=1, max_length=16)]
    match: Annotated[bytes, msgspec.Meta(min_length=16, max_length=16)]
    device: Id
    run: Annotated[bytes, msgspec.Meta(min_length=16, max_length=16)]


class LogMark(msgspec.Struct, frozen=True, array_like=True):
    """One line of a vector: log, saved length, id of the last saved entry, proof if it is forked there."""

    log: Id
    length: Count
    head: Id
    fork: tuple[Id, Id] | None = None


class Vector(msgspec.Struct, frozen=True, tag_field="t", tag="vector"):
    """What the sender has saved. `number` counts up in one run; `got`: last chunk dealt with, see `Chunk`.

    `part`: only what has changed since the last one on this link; the rest is as told there.
    """

    run: Annotated[bytes, msgspec.Meta(min_length=16, max_length=16)]
    number: Count
    got: Count
    logs: Annotated[list[LogMark], msgspec.Meta(max_length=MAX_LOGS)]
    part: bool = False


class Packed(msgspec.Struct, frozen=True, array_like=True):
    """An entry as it travels."""

    body: Body
    signature: Signature
    private: Private | None = None


class Chunk(msgspec.Struct, frozen=True, omit_defaults=True, tag_field="t", tag="chunk"):
    """Entries, each log's in order. `number` counts up on one link, 0 when no receipt is wanted. `soon`: the
    sender wants to hear soon that it came, see `Came`.
    """

    number: Count
    entries: Annotated[list[Packed], msgspec.Meta(max_length=MAX_CHUNK_ENTRIES)]
    soon: bool = False


class Came(msgspec.Struct, frozen=True, tag_field="t", tag="came"):
    """Chunks up to this number have come; whether they are saved a vector tells."""

    number: Count


class Want(msgspec.Struct, frozen=True, tag_field="t", tag="want"):
    """Please send this stretch of a log again: it does not continue what is held here."""

    log: Id
    start: Count
    stop: Count


class Lack(msgspec.Struct, frozen=True, tag_field="t", tag="lack"):
    """The sender may read the private text of these entries, and has not got it."""

    ids: Annotated[list[Id], msgspec.Meta(max_length=MAX_IDS)]


class Text(msgspec.Struct, frozen=True, array_like=True):
    """Private text of one entry."""

    id: Id
    private: Private


class Texts(msgspec.Struct, frozen=True, tag_field="t", tag="texts"):
    """Answer to Lack."""

    texts: Annotated[list[Text], msgspec.Meta(max_length=MAX_IDS)]


class Beat(msgspec.Struct, frozen=True, array_like=True):
    """A sign of life, passed on from station to station: device, how many logs it has, seconds it has run."""

    device: Id
    logs: Count
    seconds: Count


Name: TypeAlias = Annotated[bytes, msgspec.Meta(min_length=NEAR_SIZE, max_length=NEAR_SIZE)]


class ClockOf(msgspec.Struct, frozen=True, array_like=True):
    """The wall clock of a third device less the sender's, and how much that may be off, in milliseconds.
    `run`: of that device, the first 8 bytes.
    """

    name: Name
    offset: Annotated[int, msgspec.Meta(gt=-(2**53), lt=2**53)]
    error: Count
    run: Name


class Ping(msgspec.Struct, frozen=True, omit_defaults=True, tag_field="t", tag="ping"):
    """`number`: given back in the answer. `beats`: the newest sign of life known of each device. `near`: the
    first 8 bytes of the devices that the sender is linked with. `clocks`: of devices that the other end has
    no link with.
    """

    number: Count
    beats: Annotated[list[Beat], msgspec.Meta(max_length=MAX_IDS)] = []
    near: Annotated[list[Name], msgspec.Meta(max_length=MAX_IDS)] = []
    clocks: Annotated[list[ClockOf], msgspec.Meta(max_length=MAX_IDS)] = []


class Pong(msgspec.Struct, frozen=True, tag_field="t", tag="pong"):
    """Number of the ping, and the answering station's wall clock in milliseconds."""

    number: Count
    wall: int


class Refuse(msgspec.Struct, frozen=True, tag_field="t", tag="refuse"):
    """The sender will not take this log from this place on, on this link. `why`: a short word."""

    log: Id
    seq: Count
    why: Annotated[str, msgspec.Meta(max_length=32)]


class Keys(msgspec.Struct, frozen=True, tag_field="t", tag="keys"):
    """Keys for datagrams, see `courier_seal`. `port`: where the sender takes them, by UDP; 0: nowhere."""

    port: Annotated[int, msgspec.Meta(ge=0, le=65535)]
    share: Annotated[bytes, msgspec.Meta(min_length=32, max_length=32)]
    opens: Annotated[bytes, msgspec.Meta(min_length=8, max_length=8)] | None
    seals: bool


Message: TypeAlias = Hello | Vector | Chunk | Came | Want | Lack | Texts | Ping | Pong | Refuse | Keys
_TYPES: Final = (Hello, Vector, Chunk, Came, Want, Lack, Texts, Ping, Pong, Refuse, Keys)
_NAMES: Final = frozenset(str(kind.__struct_config__.tag) for kind in _TYPES)


def encode(message: Message) -> bytes:
    """The frame of a message, without its length prefix."""
    return msgspec.msgpack.encode(message)


def decode(frame: bytes) -> Message:
    """The message in a frame. Errors: BadFrame, UnknownMessage.

    Decoded in two steps: the first checks every announced length against the frame before it allocates.
    """
    if len(frame) > MAX_FRAME:
        raise BadFrame(f"a frame of {len(frame)} bytes")
    try:
        raw = msgpack.unpackb(frame, raw=False)
    except (ValueError, RecursionError, UnicodeDecodeError) as error:
        raise BadFrame(f"not msgpack ({error})") from error
    name = raw.get("t") if isinstance(raw, dict) else None
    if not isinstance(name, str):
        raise BadFrame("not a named message")
    if name not in _NAMES:
        raise UnknownMessage(name)
    try:
        message: Message = msgspec.convert(raw, Message, builtin_types=(bytes,))
    except msgspec.ValidationError as error:
        raise BadFrame(f"{name}: {error}") from error
    return message


def with_length(frame: bytes) -> bytes:
    """The frame as it goes over a stream: 4-byte length, then the frame."""
    return len(frame).to_bytes(_PREFIX, "big") + frame


class Deframer:
    """Cuts a stream into frames. Holds at most one frame more than it is fed at once."""

    def __init__(self) -> None:
        self._buffer = bytearray()

    def feed(self, data: bytes) -> list[bytes]:
        """Frames completed by these bytes. Errors: FrameTooLong; the stream cannot be used after it."""
        self._buffer += data
        frames: list[bytes] = []
        start = 0
        while len(self._buffer) - start >= _PREFIX:
            length = int.from_bytes(self._buffer[start : start + _PREFIX], "big")
            if length > MAX_FRAME:
                raise FrameTooLong(length)
            end = start + _PREFIX + length
            if len(self._buffer) < end:
                break
            frames.append(bytes(self._buffer[start + _PREFIX : end]))
            start = end
        del self._buffer[:start]
        return frames
