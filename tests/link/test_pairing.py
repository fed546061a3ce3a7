"""Pairing: the exchange itself, its limits, and real sockets with someone in the middle."""

import asyncio
import hashlib
import random
import secrets
import ssl
import sys
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager, suppress
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from protocol.address import Address
from protocol.identity import Identity
from protocol.node import Node, wall_milliseconds
from protocol.pairing import (
    ATTEMPT_SECONDS,
    CODE_SECONDS,
    MOST_WRONG,
    Candidate,
    JoinAttempt,
    PairingRefused,
    PairingWindow,
    Refusal,
)
from protocol.pairing_beacon import HostSeen, PairingSearch, PairingSign
from protocol.pairing_code import Code, CodeError, Ticket, check_digit
from protocol.pairing_shell import MOST_CALLERS, Joined, PairingFailed, PairingHost, admission_of, join
from protocol.pairing_wire import Admission, Ask, Confirm, Reply, encode
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation, Member
from protocol.store import Store
from protocol.tls import show_certificate
from tests.link.crew import invite
from tests.link.parts import MATCH, Watch, identity, in_loop

HOST, NEW, MIDDLE, OTHER = (identity(n) for n in range(50, 54))
SECRET, WRONG = b"12345678", b"12345679"


def rng(seed: int = 0) -> random.Random:
    return random.Random(seed)


@contextmanager
def refused(reason: Refusal) -> Iterator[None]:
    with pytest.raises(PairingRefused) as caught:
        yield
    assert caught.value.reason is reason


def window(now: float = 0.0) -> PairingWindow:
    return PairingWindow(HOST, SECRET, now, rng(1).randbytes)


def joiner(secret: bytes = SECRET, cert: bytes = HOST.tls_cert, own: Identity = NEW) -> JoinAttempt:
    return JoinAttempt(own, secret, cert, rng(2).randbytes)


def attempt(at: PairingWindow, new: JoinAttempt, now: float = 0.0) -> Candidate:
    """The whole exchange; who the host believes to have met."""
    here, reply = at.begin(new.ask, now)
    try:
        welcome, candidate = here.confirm(new.confirm(reply, "tablet"), now)
    finally:
        at.over(here)
    new.check(welcome)
    return candidate


# The code.


@given(st.integers(0, 10**8 - 1))
def test_every_slip_of_one_digit_and_every_swap_is_noticed(number: int) -> None:
    shown = str(Code(f"{number:08}".encode()))
    assert Code.parse(shown).secret == f"{number:08}".encode()
    digits = shown.replace(" ", "")
    for place, digit in enumerate(digits):
        for other in "0123456789":
            if other != digit:
                with pytest.raises(CodeError):
                    Code.parse(digits[:place] + other + digits[place + 1 :])
    for place, (left, right) in enumerate(pairwise(digits)):
        if left != right:
            with pytest.raises(CodeError):
                Code.parse(digits[:place] + right + left + digits[place + 2 :])


def test_check_digit_of_the_published_example() -> None:
    """H. M. Damm, Total anti-symmetrische Quasigruppen, 2004: 572 has the check digit 4 (from memory)."""
    assert check_digit("572") == 4
    assert check_digit("5724") == 0


@pytest.mark.parametrize("text", ["", "1", "12345678", "1234567890", "12345678x", "١٢٣٤٥٦٧٨٩"])
def test_what_is_no_code_is_told_before_anything_is_spent(text: str) -> None:
    with pytest.raises(CodeError):
        Code.parse(text)


def test_codes_use_all_digits_at_all_places() -> None:
    source = rng(3)
    codes = [Code.create(source.randbytes).secret for _ in range(2000)]
    assert all({code[place] for code in codes} == set(b"0123456789") for place in range(8))


def test_ticket_as_text() -> None:
    ticket = Ticket.create(rng().randbytes, (Address("192.168.1.20", 5005), Address("fe80::1", 80)))
    assert Ticket.parse(str(ticket)) == ticket
    assert str(ticket).isupper() or "." in str(ticket)
    for bad in ("", "x", "CREWLINK1|AAAA|a:1", str(ticket)[:-4] + "|", "CREWLINK1|" + "A" * 26):
        with pytest.raises(CodeError):
            Ticket.parse(bad)


# The exchange.


def test_the_right_code_lets_one_device_in_and_tells_who_it_is() -> None:
    candidate = attempt(window(), joiner())
    assert (candidate.device, candidate.tls_cert, candidate.name) == (NEW.device, NEW.tls_cert, "tablet")


def test_a_wrong_code_is_counted_and_the_third_ends_it() -> None:
    at = window()
    for number in range(MOST_WRONG):
        last = number == MOST_WRONG - 1
        with refused(Refusal.TOO_MANY if last else Refusal.WRONG_CODE):
            attempt(at, joiner(WRONG))
        assert at.wrong == number + 1
    with refused(Refusal.TOO_MANY):
        attempt(at, joiner())


def test_the_code_serves_once() -> None:
    at = window()
    attempt(at, joiner())
    with refused(Refusal.USED):
        attempt(at, joiner(own=OTHER))


def test_the_code_lives_two_minutes() -> None:
    attempt(window(), joiner(), CODE_SECONDS - 0.1)
    with refused(Refusal.EXPIRED):
        attempt(window(), joiner(), CODE_SECONDS)
    at = window()
    here, reply = at.begin(joiner().ask, CODE_SECONDS - 0.1)
    with refused(Refusal.EXPIRED):
        here.confirm(joiner().confirm(reply, ""), CODE_SECONDS)


def test_one_attempt_at_a_time_but_a_stuck_one_does_not_block_for_long() -> None:
    at = window()
    stuck, _ = at.begin(joiner().ask, 0.0)
    with refused(Refusal.BUSY):
        attempt(at, joiner(own=OTHER), 1.0)
    attempt(at, joiner(own=OTHER), ATTEMPT_SECONDS)
    with refused(Refusal.BUSY):
        stuck.confirm(Confirm(bytes(32), ""), ATTEMPT_SECONDS)
    assert at.wrong == 0


def test_a_device_whose_call_broke_off_takes_the_place_of_its_own_attempt() -> None:
    at, first = window(), joiner()
    stuck, reply = at.begin(first.ask, 0.0)
    attempt(at, joiner(), 0.1)
    with refused(Refusal.BUSY):
        stuck.confirm(first.confirm(reply, "tablet"), 0.2)
    assert at.wrong == 0


def test_who_has_proved_the_code_may_prove_it_again_and_nobody_else() -> None:
    """Its answer was lost on the way. Every proof is checked and counted as before."""
    at = window()
    before = attempt(at, joiner())
    assert attempt(at, joiner(), 1.0) == before
    with refused(Refusal.USED):
        attempt(at, joiner(own=OTHER), 2.0)
    for _ in range(MOST_WRONG - 1):
        with refused(Refusal.WRONG_CODE):
            attempt(at, joiner(WRONG), 3.0)
    with refused(Refusal.TOO_MANY):
        attempt(at, joiner(WRONG), 3.0)
    with refused(Refusal.TOO_MANY):
        attempt(at, joiner(), 3.0)
    late = window()
    attempt(late, joiner())
    with refused(Refusal.EXPIRED):
        attempt(late, joiner(), CODE_SECONDS)


def test_guesses_that_are_never_confirmed_tell_nothing_and_cost_nothing() -> None:
    at = window()
    for _ in range(20):
        here, _ = at.begin(joiner(WRONG).ask, 0.0)
        at.over(here)
    assert at.wrong == 0
    attempt(at, joiner())


def test_someone_in_the_middle_with_the_right_code_is_found_out() -> None:
    """The joiner was shown another certificate than the host has."""
    at = window()
    with refused(Refusal.BAD_CREDENTIALS):
        attempt(at, joiner(cert=MIDDLE.tls_cert))
    new = joiner(cert=MIDDLE.tls_cert)
    here, reply = at.begin(new.ask, 0.0)
    forged = msgspec.structs.replace(reply, sign_key=MIDDLE.public_key, binding=MIDDLE.binding)
    with refused(Refusal.WRONG_CODE):
        here.confirm(new.confirm(forged, "tablet"), 0.0)


def flipped(value: bytes, rng_: random.Random) -> bytes:
    at = rng_.randrange(len(value))
    return value[:at] + bytes([value[at] ^ (1 << rng_.randrange(8))]) + value[at + 1 :]


def go_on(at: PairingWindow, changed: Ask, new: JoinAttempt) -> None:
    """The host hears a changed question; the joiner goes on as if nothing had happened."""
    here, reply = at.begin(changed, 0.0)
    here.confirm(new.confirm(reply, "tablet"), 0.0)


@pytest.mark.parametrize("name", ["tls_cert", "sign_key", "binding", "nonce", "element"])
@pytest.mark.parametrize("seed", range(5))
def test_no_part_of_the_question_can_be_changed_on_the_way(name: str, seed: int) -> None:
    at, new = window(), joiner()
    changed = msgspec.structs.replace(new.ask, **{name: flipped(getattr(new.ask, name), rng(seed))})
    with pytest.raises(PairingRefused):
        go_on(at, changed, new)


@pytest.mark.parametrize("name", ["sign_key", "binding", "nonce", "element"])
@pytest.mark.parametrize("seed", range(5))
def test_no_part_of_the_answer_can_be_changed_on_the_way(name: str, seed: int) -> None:
    at, new = window(), joiner()
    here, reply = at.begin(new.ask, 0.0)
    changed = msgspec.structs.replace(reply, **{name: flipped(getattr(reply, name), rng(seed))})
    with pytest.raises(PairingRefused):
        here.confirm(new.confirm(changed, "tablet"), 0.0)


def test_the_name_and_the_proofs_cannot_be_changed_or_sent_back() -> None:
    at, new = window(), joiner()
    here, reply = at.begin(new.ask, 0.0)
    confirm = new.confirm(reply, "tablet")
    with refused(Refusal.WRONG_CODE):
        here.confirm(msgspec.structs.replace(confirm, name="R1's tablet"), 0.0)
    welcome, _ = here.confirm(confirm, 0.0)
    with refused(Refusal.NOT_THE_HOST):
        new.check(type(welcome)(confirm.proof))
    with refused(Refusal.NOT_THE_HOST):
        new.check(type(welcome)(flipped(welcome.proof, rng())))
    new.check(welcome)


def test_words_of_an_earlier_pairing_open_nothing_when_they_are_sent_again() -> None:
    """Everything a new device said, kept and said again: to the same code, and to one that is the same."""
    at, new = window(), joiner()
    here, reply = at.begin(new.ask, 0.0)
    confirm = new.confirm(reply, "tablet")
    here.confirm(confirm, 0.0)
    at.over(here)
    same, _ = at.begin(new.ask, 0.0)
    with refused(Refusal.WRONG_CODE):
        same.confirm(confirm, 0.0)
    assert at.wrong == 1
    later = PairingWindow(HOST, SECRET, 0.0, rng(9).randbytes)
    again, _ = later.begin(new.ask, 0.0)
    with refused(Refusal.WRONG_CODE):
        again.confirm(confirm, 0.0)
    assert later.wrong == 1


def test_another_version_and_foreign_keys_are_named() -> None:
    with refused(Refusal.NEWER):
        window().begin(msgspec.structs.replace(joiner().ask, version=2), 0.0)
    with refused(Refusal.BAD_CREDENTIALS):
        window().begin(msgspec.structs.replace(joiner().ask, binding=OTHER.binding), 0.0)


@settings(deadline=None, max_examples=50)
@given(st.binary(max_size=64))
def test_any_element_is_refused_or_leads_to_a_wrong_key(element: bytes) -> None:
    at, new = window(), joiner()
    with pytest.raises(PairingRefused):
        go_on(at, msgspec.structs.replace(new.ask, element=element), new)


# Over sockets.


@dataclass
class Person:
    """Who is asked at the host."""

    says: bool = True
    asked: list[str] = field(default_factory=list)

    async def approve(self, candidate: Candidate) -> Admission | None:
        self.asked.append(candidate.name)
        new = Member(candidate.device, candidate.sign_key, candidate.tls_cert, candidate.binding, "R1")
        known = invite([HOST], MATCH)
        whole = Invitation(known.match, known.opener, (*known.members, new))
        return admission_of(whole, 4242) if self.says else None


@asynccontextmanager
async def hosting(person: Person, secret: bytes = SECRET) -> AsyncIterator[PairingHost]:
    host = PairingHost(HOST, secret, person.approve, random_bytes=rng(4).randbytes)
    await host.start()
    try:
        yield host
    finally:
        await host.close()


async def joining(port: int, secret: bytes = SECRET, own: Identity = NEW, *, heard: bool = False) -> Joined:
    at = [Address("127.0.0.1", port)]
    return await join(at, secret, own, "tablet", random_bytes=rng(5).randbytes, heard=heard)


@in_loop
async def test_pairing_over_sockets() -> None:
    person = Person()
    async with hosting(person) as host:
        joined = await joining(host.port)
    assert person.asked == ["tablet"]
    assert joined.host == Address("127.0.0.1", 4242)
    assert [member.device for member in joined.invitation.members] == [HOST.device, NEW.device]
    assert joined.invitation.match == MATCH


@in_loop
async def test_the_person_can_say_no() -> None:
    async with hosting(Person(says=False)) as host:
        with refused(Refusal.DECLINED):
            await joining(host.port)


@in_loop
async def test_wrong_code_over_sockets_then_the_right_one() -> None:
    person = Person()
    async with hosting(person) as host:
        with refused(Refusal.WRONG_CODE):
            await joining(host.port, WRONG)
        assert person.asked == []
        await joining(host.port)
        with refused(Refusal.USED):
            await joining(host.port, own=OTHER)
    assert host.window.wrong == 1


@in_loop
async def test_nobody_there_and_someone_else_there() -> None:
    person = Person()
    async with hosting(person) as host:
        port = host.port
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writer.write(b"GET / HTTP/1.1\r\n\r\n")
        await reader.read()
        writer.close()
        await joining(port)
    with pytest.raises(PairingFailed, match="No code is shown"):
        await joining(port)
    plain = await asyncio.start_server(lambda _, writer: writer.close(), "127.0.0.1", 0)
    with pytest.raises(PairingFailed):
        await joining(plain.sockets[0].getsockname()[1])
    plain.close()


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has more than one own address by itself")
@in_loop
async def test_one_address_cannot_keep_the_door_of_a_code_shut() -> None:
    """Someone opens calls and says nothing in them: a new device at another address gets in all the same."""
    person = Person()
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    async with hosting(person) as host:
        callers = [
            await asyncio.open_connection("127.0.0.1", host.port, ssl=context, local_addr=("127.0.0.2", 0))
            for _ in range(2 * MOST_CALLERS)
        ]
        await joining(host.port)
        assert person.asked == ["tablet"]
        for _, writer in callers:
            writer.transport.abort()


async def relay(reader: asyncio.StreamReader, writer: asyncio.StreamWriter, seen: bytearray) -> None:
    try:
        while data := await reader.read(65536):
            seen += data
            writer.write(data)
            await writer.drain()
    except (OSError, asyncio.CancelledError):
        pass
    finally:
        writer.close()


@asynccontextmanager
async def man_in_the_middle(port: int, *, own_tls: bool) -> AsyncIterator[tuple[int, bytearray]]:
    """Relays between joiner and host; with `own_tls` it opens both sides and shows its own certificate."""
    seen = bytearray()
    shows: ssl.SSLContext | None = None
    takes: ssl.SSLContext | None = None
    if own_tls:
        shows = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        show_certificate(shows, MIDDLE)
        takes = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        takes.check_hostname = False
        takes.verify_mode = ssl.CERT_NONE

    async def answer(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        extra = {"ssl": takes, "server_hostname": ""} if takes else {}
        there, to_there = await asyncio.open_connection("127.0.0.1", port, **extra)  # type: ignore[arg-type]
        with suppress(asyncio.CancelledError):
            await asyncio.gather(relay(reader, to_there, seen), relay(there, writer, seen))

    server = await asyncio.start_server(answer, "127.0.0.1", 0, ssl=shows)
    try:
        yield server.sockets[0].getsockname()[1], seen
    finally:
        server.close()


@in_loop
async def test_a_relay_that_opens_the_talk_is_found_out_with_the_right_code_typed() -> None:
    person = Person()
    async with hosting(person) as host, man_in_the_middle(host.port, own_tls=True) as (port, seen):
        with refused(Refusal.BAD_CREDENTIALS):
            await joining(port)
        assert len(seen) > 500  # it did see the talk
        assert person.asked == []
        await joining(host.port)


@in_loop
async def test_a_relay_of_closed_bytes_learns_nothing_and_does_no_harm() -> None:
    person = Person()
    async with hosting(person) as host, man_in_the_middle(host.port, own_tls=False) as (port, seen):
        joined = await joining(port)
        assert joined.invitation.match == MATCH
        assert b"tablet" not in seen and HOST.tls_cert not in seen and MATCH not in seen


@in_loop
async def test_a_relay_that_puts_in_its_own_keys_is_counted_as_a_wrong_guess() -> None:
    """It answers the joiner as a host of its own and passes on what it can: the host hears a wrong proof."""
    person = Person()
    async with hosting(person) as host:
        shows = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        show_certificate(shows, MIDDLE)
        takes = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        takes.check_hostname, takes.verify_mode = False, ssl.CERT_NONE

        async def answer(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            there, to_there = await asyncio.open_connection(
                "127.0.0.1", host.port, ssl=takes, server_hostname=""
            )
            size = await reader.readexactly(4)
            ask = msgspec.msgpack.decode(await reader.readexactly(int.from_bytes(size, "big")), type=Ask)
            to_there.write(framed(ask))
            size = await there.readexactly(4)
            reply = msgspec.msgpack.decode(await there.readexactly(int.from_bytes(size, "big")), type=Reply)
            keys = {"sign_key": MIDDLE.public_key, "binding": MIDDLE.binding}
            writer.write(framed(msgspec.structs.replace(reply, **keys)))
            with suppress(asyncio.CancelledError):
                await asyncio.gather(relay(reader, to_there, bytearray()), relay(there, writer, bytearray()))

        server = await asyncio.start_server(answer, "127.0.0.1", 0, ssl=shows)
        with refused(Refusal.WRONG_CODE):
            await joining(server.sockets[0].getsockname()[1])
        server.close()
        assert host.window.wrong == 1
        assert person.asked == []


def framed(message: msgspec.Struct) -> bytes:
    frame = msgspec.msgpack.encode(message)
    return len(frame).to_bytes(4, "big") + frame


@in_loop
async def test_a_paired_device_links_and_gets_the_match(tmp_path: Path) -> None:
    """From the code to the journal: the host admits by an entry, the new one starts with what it got."""
    watch = Watch()
    host_peer, host_node = await station(tmp_path, HOST, invite([HOST], MATCH), watch)
    entry = host_node.author("free", ("note", {"words": "before"}))

    async def approve(candidate: Candidate) -> Admission:
        new = Member(candidate.device, candidate.sign_key, candidate.tls_cert, candidate.binding, "R1")
        host_peer.admit(new, host_node.now(), host_node.wall_ms())
        host_node.touch()
        members = tuple(host_peer.roster.members.values())
        return admission_of(Invitation(MATCH, HOST.device, members), host_node.port)

    host = PairingHost(HOST, SECRET, approve, random_bytes=rng(6).randbytes)
    await host.start()
    joined = await joining(host.port)
    await host.close()
    new_peer, new_node = await station(tmp_path, NEW, joined.invitation, watch, joined.host)
    await watch.until(lambda: entry.id in new_peer.journal and new_peer.log is not None, "the match is here")
    answer = new_node.author("free", ("note", {"words": "after"}))
    await watch.until(lambda: answer.id in host_peer.journal, "and the host has the answer")
    await new_node.close()
    await host_node.close()


async def station(
    folder: Path, own: Identity, invitation: Invitation, watch: Watch, host: Address | None = None
) -> tuple[Peer, Node]:
    store = Store.open(folder / f"{own.device.hex()[:8]}.sqlite", MATCH)
    founding = FoundingCharter((own.device,), {}) if own.device == invitation.opener else None
    peer = Peer(
        own,
        invitation,
        run=own.device[:16],
        stored=store.load(),
        wall_ms=wall_milliseconds(),
        found=founding,
    )
    node = Node(peer, store, own, random=rng(7).random, on_change=watch, manual=[host] if host else [])
    await node.start()
    return peer, node


@in_loop
async def test_hosts_that_show_a_code_are_found_by_their_number_and_vanish_with_it() -> None:
    watch = Watch()
    seen: list[tuple[HostSeen, ...]] = [()]

    def changed(hosts: tuple[HostSeen, ...]) -> None:
        seen.append(hosts)
        watch()

    mine = rng(secrets.randbits(64)).randbytes(16)

    def numbers() -> set[tuple[str, int]]:
        return {(host.number, address.port) for host in seen[-1] for address in host.addresses}

    async with PairingSearch(changed):
        async with PairingSign("47", mine[:8], 4001):
            async with PairingSign("08", mine[8:], 4002):
                await watch.until(lambda: {("47", 4001), ("08", 4002)} <= numbers(), "both")
            await watch.until(lambda: ("08", 4002) not in numbers() and ("47", 4001) in numbers(), "one left")
        await watch.until(lambda: ("47", 4001) not in numbers(), "none left")


def test_the_words_of_a_pairing_stay_the_same() -> None:
    """Two versions must understand each other: from these keys, code and random bytes exactly these words."""
    at, new = window(), joiner()
    here, reply = at.begin(new.ask, 0.0)
    confirm = new.confirm(reply, "tablet")
    welcome, _ = here.confirm(confirm, 0.0)
    words = [hashlib.sha256(encode(each)).hexdigest()[:16] for each in (new.ask, reply, confirm, welcome)]
    assert HOST.device.hex()[:16] == "0d0f5c55fd482f05"
    assert words == ["b33b3f527000af62", "0f680052dd1d01f8", "879b35180b28d22c", "b95dc772dd3d2a09"]
