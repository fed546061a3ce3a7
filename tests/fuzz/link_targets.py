"""What comes over a link: frames, entries, datagrams."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Sequence
from functools import lru_cache

from protocol import courier_words, wire
from protocol.courier_seal import Seals, Shared
from protocol.entry import Entry, EntryError, Kind, header_bytes, private_text, read, readers_of, text_of
from protocol.journal import Journal
from protocol.output import Commit, Drop, Send
from tests.fuzz.mutation import Form
from tests.fuzz.target import Run, Target
from tests.protocol import couriers
from tests.protocol.hall import WALL, Hall


@lru_cache
def conversation() -> tuple[tuple[bytes, ...], tuple[Entry, ...]]:
    """Frames that three stations said to each other, and the entries of their match."""
    hall = Hall(3)
    digest, private = private_text("Blocked shot.", bytes(range(16)))
    for number in range(3):
        hall[0].write(["point", {"team": "A", "number": number}])
        hall[1].author(Kind.FREE, ("note", {"text": {"hash": digest, "readers": ["R1", "R2"]}}), private)
        hall.settle()
    hall[2].author(Kind.PEN, ("take", {"epoch": hall[2].peer.standing().epoch, "round": 1, "voters": None}))
    hall[0].peer.revoke(hall[2].keys.device, hall.now, WALL)
    hall.settle()
    hall.wait(4.0)
    frames = dict.fromkeys(frame for _, _, frame in hall.sent)
    entries = tuple(hall[0].peer.journal.in_order())
    return tuple(sorted(frames, key=lambda frame: (len(frame), frame))), entries


def frame_samples() -> Sequence[bytes]:
    """One or two of each message."""
    kept: dict[str, bytes] = {}
    for frame in conversation()[0]:
        name = type(wire.decode(frame)).__name__
        kept.setdefault(name, frame)
        kept[f"{name} longest"] = frame if len(frame) < 3000 else kept.get(f"{name} longest", frame)
    more = (
        wire.Refuse(bytes(32), 5, "newer"),
        wire.Want(bytes(32), 0, 4),
        wire.Lack([bytes(32)] * 3),
        wire.Texts([wire.Text(bytes(32), b"t" * 40)]),
    )
    return [*kept.values(), *map(wire.encode, more)]


def frames() -> Run:
    def run(data: bytes) -> bool:
        try:
            message = wire.decode(data)
        except wire.WireError:
            return False
        assert wire.decode(wire.encode(message)) == message
        return True

    return run


def stream() -> Run:
    """A stream in pieces: the first byte of the input says how it is torn."""

    def run(data: bytes) -> bool:
        reader, step, found = wire.Deframer(), data[0] + 1 if data else 1, 0
        try:
            for at in range(1, len(data), step):
                found += len(reader.feed(data[at : at + step]))
        except wire.FrameTooLong:
            return False
        return found > 0

    return run


def stream_samples() -> Sequence[bytes]:
    whole = b"".join(wire.with_length(frame) for frame in frame_samples()[:6])
    return [b"\x05" + whole, b"\xff" + whole, b"\x00" + wire.with_length(b"") + wire.with_length(b"x")]


def entries() -> Run:
    def run(data: bytes) -> bool:
        try:
            entry = read(data, bytes(64), data[:40])
        except EntryError:
            return False
        assert header_bytes(entry.payload) == entry.header or len(entry.header) > 0
        text_of(entry.private or b"")
        readers_of(entry)
        return Journal(b"m" * 16, bytes(32)).add(entry) is not None

    return run


def entry_samples() -> Sequence[bytes]:
    bodies = {(entry.kind, entry.act): entry.body for entry in conversation()[1]}
    return list(bodies.values())


class Listening:
    """A station with a greeted link that hears whatever comes, and a new one whenever it ends the link."""

    LIFE = 3000

    def __init__(self) -> None:
        self.heard = 0
        self.hall = Hall(1)

    def begin(self) -> None:
        self.hall = Hall(2)
        self.peer = self.hall[1].peer
        self.device = self.hall[0].keys.device
        self.links = 100
        self.greet()

    def greet(self) -> None:
        self.links += 1
        self.peer.link_up(self.links, self.device, self.hall.now, WALL)
        hello = wire.Hello([1], self.hall.invitation.match, self.device, bytes([0, 1]) * 8)
        self.peer.receive(self.links, wire.encode(hello), self.hall.now, WALL)
        self.peer.drain()

    def __call__(self, data: bytes) -> bool:
        if self.heard % self.LIFE == 0:
            self.begin()
        self.heard += 1
        self.hall.now += 0.01
        self.peer.receive(self.links, data, self.hall.now, WALL)
        self.peer.tick(self.hall.now, WALL)
        outputs = self.peer.drain()
        assert sum(len(each.frame) for each in outputs if isinstance(each, Send)) < 400_000
        for each in outputs:
            if isinstance(each, Commit):
                self.peer.committed(each.batch, self.hall.now, WALL)
        self.peer.drain()
        if any(isinstance(each, Drop) for each in outputs):
            self.peer.link_down(self.links, self.hall.now)
            self.greet()
            return False
        return True


def datagrams() -> Run:
    """Sealed datagrams from strangers, and words that an admitted station has sealed."""
    words = datagram_words()
    seals, others = (Seals(bytes([n]) * 32, random.Random(n).randbytes, lambda _: 0.0) for n in (1, 2))
    one, two = bytes([1]) * 32, bytes([2]) * 32
    seals.begin(two)
    others.begin(one)
    for _ in range(3):
        for here, there, device, other in ((seals, others, one, two), (others, seals, two, one)):
            said = here.shared(other)
            assert isinstance(said, Shared)
            there.hear(device, said)
    assert seals.can_seal(two, 0.0)

    def run(data: bytes) -> bool:
        assert others.open(data, 0.0) is None
        counter, sealed = seals.seal(two, data)
        if len(sealed) <= 1200 and data:
            opened = others.open(sealed, 0.0)
            assert opened is not None and (opened.counter, opened.words) == (counter, data)
        return words(data)

    return run


def datagram_words() -> Run:
    def run(data: bytes) -> bool:
        said = courier_words.decode(data)
        if said is None:
            return False
        assert courier_words.encode(said) == data
        if isinstance(said, courier_words.Carry):
            try:
                read(said.body, said.signature)
            except EntryError:
                return False
        return True

    return run


def datagram_samples() -> Sequence[bytes]:
    held = courier_words.Held(bytes(8), 3, 5)
    short = [entry for entry in conversation()[1] if len(entry.body) <= courier_words.MAX_CARRIED]
    carry = courier_words.Carry(short[0].signature, short[0].body)
    said: tuple[courier_words.Words, ...] = (
        carry,
        courier_words.Carry(short[-1].signature, short[-1].body, hashlib.sha256(b"d").digest()),
        courier_words.Receipt(7, held),
        courier_words.Passed(bytes(32), held),
    )
    return [courier_words.encode(each) for each in said]


class Carried:
    """A courier opens whatever an admitted station has sealed, and answers little; a new air after some."""

    LIFE = 2000

    def __init__(self) -> None:
        self.heard = 0

    def __call__(self, data: bytes) -> bool:
        if self.heard % self.LIFE == 0:
            self.air = couriers.Hall(3, seed=self.heard)
            self.air[1].write()
            self.air.run(0.5)
        self.heard += 1
        sender, courier, now = self.air[0], self.air[1].courier, self.air.now
        opened = courier.opened
        _, datagram = sender.courier._seals.seal(couriers.device(1), data)
        arrival = courier.receive(datagram, now)
        if arrival is not None:
            courier.answer(arrival, couriers.log_of(arrival.carry.body[0] % 3), now)
        out = sum(len(cast.datagram) for cast in courier.drain(now))
        assert out <= 3 * len(datagram) + 200, "what comes in goes out many times over"
        self.air.run(0.001)
        return courier.opened > opened and courier_words.decode(data) is not None


TARGETS = (
    Target("link frames", Form.MSGPACK, frames, frame_samples, 160),
    Target("frame stream", Form.BYTES, stream, stream_samples, 60),
    Target("entries", Form.MSGPACK, entries, entry_samples, 120),
    Target("a linked station", Form.MSGPACK, Listening, frame_samples, 40, most_kb=8192),
    Target("datagrams", Form.BYTES, datagrams, datagram_samples, 60, longest=1300),
    Target("a courier", Form.BYTES, Carried, datagram_samples, 30, longest=1150),
)
