"""What comes over a network or from a hand: frames, entries, announcements, pairing, addresses, codes."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Sequence
from functools import lru_cache

import msgspec
from zeroconf import DNSIncoming, ServiceStateChange
from zeroconf.asyncio import AsyncServiceInfo

from protocol import courier_words, pairing_wire, wire
from protocol.address import Address, AddressError
from protocol.beacon import SERVICE, Beacon, instance_of, usable
from protocol.courier_seal import Seals, Shared
from protocol.entry import Entry, EntryError, Kind, header_bytes, private_text, read, readers_of, text_of
from protocol.identity import Identity, binding_holds, certificate_device
from protocol.journal import Journal
from protocol.output import Commit, Drop, Send
from protocol.pairing import PairingRefused, PairingWindow
from protocol.pairing_beacon import PairingSearch
from protocol.pairing_code import Code, CodeError, Ticket
from protocol.pairing_shell import admission_of, invitation_of
from tests.fuzz.mutation import Form
from tests.fuzz.target import Run, Target
from tests.link.crew import invite
from tests.protocol.hall import WALL, Hall


@lru_cache
def identities() -> tuple[Identity, ...]:
    rng = random.Random(8)
    return tuple(Identity.create(rng.randbytes) for _ in range(3))


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


def announcement() -> Run:
    """TXT records, as zeroconf reads them for us."""
    beacon = Beacon.of(bytes(32), bytes(16), "event")

    def run(data: bytes) -> bool:
        info = AsyncServiceInfo(SERVICE, beacon.service_name, properties=data)
        usable(info.parsed_addresses(), info.port)
        return beacon.is_crew(info.properties)

    return run


def announcement_samples() -> Sequence[bytes]:
    beacon = Beacon.of(bytes(32), bytes(16), "event")
    info = AsyncServiceInfo(SERVICE, beacon.service_name, properties=beacon.properties)
    return [info.text, b"\x01v\x03v=1\x00", b"\x04v=10"]


def names() -> Run:
    """Names of services, ours and of hosts that pair, out of whole mDNS packets or as text."""
    search = PairingSearch(lambda _: None)

    def run(data: bytes) -> bool:
        found = [record.name for record in DNSIncoming(data).answers()]
        found.append(data.decode(errors="replace"))
        for name in found:
            search._heard(None, name, ServiceStateChange.Removed)  # type: ignore[arg-type]
        return any(instance_of(name) for name in found)

    return run


def name_samples() -> Sequence[bytes]:
    name = Beacon.of(bytes(32), bytes(16), "event").service_name
    service = b"".join(bytes([len(part)]) + part.encode() for part in name.rstrip(".").split("."))
    record = service + b"\0\0\x10\x80\x01\0\0\0\x78\0\x04\x03v=1"
    return [name.encode(), f"47-{'0' * 16}.x".encode(), b"\0\0\x84\0\0\0\0\x01\0\0\0\0" + record]


def pairing_messages() -> Run:
    def run(data: bytes) -> bool:
        try:
            pairing_wire.decode(data)
        except msgspec.MsgspecError:
            return False
        return True

    return run


def pairing_samples() -> Sequence[bytes]:
    host, joiner, third = identities()
    ask = pairing_wire.Ask(1, joiner.tls_cert, joiner.public_key, joiner.binding, bytes(32), bytes(33))
    admission = admission_of(invite((host, third), bytes(16)), 5005)
    messages: tuple[pairing_wire.Message, ...] = (
        ask,
        pairing_wire.Reply(host.public_key, host.binding, bytes(32), bytes(33)),
        pairing_wire.Confirm(bytes(32), "Tablet"),
        pairing_wire.Welcome(bytes(32)),
        admission,
        pairing_wire.Refused("declined"),
    )
    return [pairing_wire.encode(message)[4:] for message in messages]


def pairing_host() -> Run:
    """A host answers whatever asks and confirms; a joiner reads whatever admission."""
    host = identities()[0]

    def run(data: bytes) -> bool:
        window = PairingWindow(host, b"12345678", 0.0, random.Random(1).randbytes)
        try:
            message = pairing_wire.decode(data)
            if isinstance(message, pairing_wire.Ask):
                attempt, _ = window.begin(message, 1.0)
                attempt.confirm(pairing_wire.Confirm(bytes(32), data.decode(errors="replace")[:200]), 2.0)
            elif isinstance(message, pairing_wire.Admission):
                invitation_of(message)
            else:
                return False
        except (msgspec.MsgspecError, PairingRefused):
            return False
        return True

    return run


def addresses() -> Run:
    def run(data: bytes) -> bool:
        try:
            address = Address.parse(data.decode(errors="replace"))
        except AddressError:
            return False
        assert Address.parse(str(address)) == address
        return True

    return run


def codes() -> Run:
    """What is typed as a code, and what a camera reads as a ticket."""

    def run(data: bytes) -> bool:
        text, taken = data.decode(errors="replace"), False
        for parse in (Code.parse, Ticket.parse):
            try:
                parsed = parse(text)
            except CodeError:
                continue
            assert parse(str(parsed)) == parsed
            taken = True
        return taken

    return run


def code_samples() -> Sequence[bytes]:
    rng = random.Random(4)
    ticket = Ticket.create(rng.randbytes, (Address("192.168.1.20", 5005), Address("fe80::1", 80)))
    return [str(Code.create(rng.randbytes)).encode(), str(ticket).encode()]


def certificates() -> Run:
    """The input is a certificate, with a binding after it; who it names, and whether all belongs together."""
    own = identities()[0]
    size = len(own.tls_cert)

    def run(data: bytes) -> bool:
        certificate_device(data[:size])
        return binding_holds(own.public_key, data[:size], data[size:])

    return run


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


def typed_addresses() -> Sequence[bytes]:
    return [b"192.168.1.20:5005", b"[fe80::1%eth0]:80", b"tablet.local:65535"]


def certificate_samples() -> Sequence[bytes]:
    return [identities()[0].tls_cert + identities()[0].binding]


TARGETS = (
    Target("link frames", Form.MSGPACK, frames, frame_samples, 160),
    Target("frame stream", Form.BYTES, stream, stream_samples, 60),
    Target("entries", Form.MSGPACK, entries, entry_samples, 120),
    Target("a linked station", Form.MSGPACK, Listening, frame_samples, 40, most_kb=8192),
    Target("datagrams", Form.BYTES, datagrams, datagram_samples, 80, longest=1300),
    Target("TXT records", Form.BYTES, announcement, announcement_samples, 60, longest=2048),
    Target("service names", Form.BYTES, names, name_samples, 50, longest=2048),
    Target("pairing messages", Form.MSGPACK, pairing_messages, pairing_samples, 80),
    Target("pairing", Form.MSGPACK, pairing_host, pairing_samples, 20),
    Target("certificates", Form.BYTES, certificates, certificate_samples, 20),
    Target("typed addresses", Form.TEXT, addresses, typed_addresses, 50, longest=2048),
    Target("codes and tickets", Form.TEXT, codes, code_samples, 60, longest=2048),
)
