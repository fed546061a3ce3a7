"""What comes before a link stands: announcements, told places, pairing, certificates, addresses, codes."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Sequence
from functools import lru_cache

import msgspec
from zeroconf import DNSIncoming, ServiceStateChange
from zeroconf.asyncio import AsyncServiceInfo

from protocol import event_pass, pairing_wire, places
from protocol.address import Address, AddressError
from protocol.beacon import SERVICE, Beacon, instance_of, usable
from protocol.event_pass import EventPass, PassError
from protocol.identity import Identity, binding_holds, certificate_device
from protocol.near import NearSearch
from protocol.pairing import PairingRefused, PairingWindow
from protocol.pairing_beacon import PairingSearch
from protocol.pairing_code import Code, CodeError, Ticket
from protocol.pairing_shell import admission_of, invitation_of
from tests.fuzz.mutation import Form
from tests.fuzz.target import Run, Target
from tests.link.crew import invite


@lru_cache
def identities() -> tuple[Identity, ...]:
    rng = random.Random(8)
    return tuple(Identity.create(rng.randbytes) for _ in range(3))


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
    searches = (PairingSearch(lambda _: None), NearSearch(lambda _: None))

    def run(data: bytes) -> bool:
        found = [record.name for record in DNSIncoming(data).answers()]
        found.append(data.decode(errors="replace"))
        for name in found:
            for search in searches:
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
        pairing_wire.Look(1),
        pairing_wire.Sign("Court 7"),
        pairing_wire.Invite(1, "Court 7", "R2", "Table"),
        pairing_wire.Consent("Tablet"),
        pairing_wire.Introduce(1, bytes(32), admission),
        pairing_wire.Placed(5005),
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


def told_places() -> Run:
    """Where others say that the crew is reached."""

    def run(data: bytes) -> bool:
        if not places.is_places(data):
            return False
        try:
            told = places.decode(data)
        except places.BadPlaces:
            return False
        for spot in told.spots:
            assert all(1 <= address.port <= 65535 for address in places.worth_a_try(spot, "10.0.0.1"))
        return True

    return run


def place_samples() -> Sequence[bytes]:
    one, two = Address("192.168.1.20", 5005), Address("fd00::1", 80)
    return [places.encode(5005, {bytes(32): (one, two), b"d" * 32: (two,)}), places.encode(1, {})]


def passes() -> Run:
    """The text of an event pass; anything else is taken as the inside of one that the site has signed."""
    site = identities()[2]

    def run(data: bytes) -> bool:
        text = data.decode(errors="replace")
        if not text.startswith(event_pass.PREFIX):
            signed = data + site.sign(event_pass._SIGNED + hashlib.sha256(data).digest())
            text = event_pass._text(signed)
        try:
            read = EventPass.parse(text)
        except PassError:
            return False
        assert EventPass.parse(read.text) == read
        return True

    return run


def pass_samples() -> Sequence[bytes]:
    """A whole one, and the inside of one."""
    made = EventPass.create(
        identities()[2], (Address("10.0.0.5", 5005),), "Cup", 2_000_000_000, random.Random(5).randbytes
    )
    return [made.text.encode(), event_pass._unpack(made.text)[: -event_pass.SIGNATURE_SIZE]]


def certificates() -> Run:
    """The input is a certificate, with a binding after it; who it names, and whether all belongs together."""
    own = identities()[0]
    size = len(own.tls_cert)

    def run(data: bytes) -> bool:
        certificate_device(data[:size])
        return binding_holds(own.public_key, data[:size], data[size:])

    return run


def typed_addresses() -> Sequence[bytes]:
    return [b"192.168.1.20:5005", b"[fe80::1%eth0]:80", b"tablet.local:65535"]


def certificate_samples() -> Sequence[bytes]:
    return [identities()[0].tls_cert + identities()[0].binding]


TARGETS = (
    Target("TXT records", Form.BYTES, announcement, announcement_samples, 60, longest=2048),
    Target("service names", Form.BYTES, names, name_samples, 50, longest=2048),
    Target("told places", Form.MSGPACK, told_places, place_samples, 40),
    Target("pairing messages", Form.MSGPACK, pairing_messages, pairing_samples, 80),
    Target("pairing", Form.MSGPACK, pairing_host, pairing_samples, 20),
    Target("event passes", Form.MSGPACK, passes, pass_samples, 25),
    Target("certificates", Form.BYTES, certificates, certificate_samples, 20),
    Target("typed addresses", Form.TEXT, addresses, typed_addresses, 50, longest=2048),
    Target("codes and tickets", Form.TEXT, codes, code_samples, 60, longest=2048),
)
