"""Nodes over real sockets and TLS on this machine: who gets in, which link stays, what a break does.

After a break both ends may call at once; then one link more is made and given up: `ups` counts at least.
"""

import asyncio
import contextlib
import socket
import ssl
import sys
from asyncio.trsock import TransportSocket
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import TypeAlias

import pytest

from protocol.address import Address
from protocol.identity import Identity, _certificate
from protocol.node import Node, wall_milliseconds
from protocol.node_state import Reach
from protocol.ports import MOST_HANDSHAKES, PortError
from protocol.tls import Contexts
from protocol.wire import MAX_FRAME
from tests.link.parts import WAIT, StandIn, Watch, identity, in_loop, row, running

A, B, C, STRANGER = (identity(n) for n in range(4))
CREW = (A, B, C)
LOW, HIGH = sorted((A, B), key=lambda each: each.device)


Pair: TypeAlias = tuple[StandIn, StandIn, Watch, Node, Node]


@asynccontextmanager
async def pair(
    folder: Path, *, both_dial: bool = False, wall: Callable[[], int] = wall_milliseconds
) -> AsyncIterator[Pair]:
    """Two linked nodes: the second dials the first."""
    watch = Watch()
    a, b = StandIn(LOW, CREW), StandIn(HIGH, CREW)
    async with (
        running(folder, a, watch) as node_a,
        running(folder, b, watch, manual=[node_a.port], wall=wall) as node_b,
    ):
        if both_dial:
            node_a.dial(loopback(node_b))
        await watch.until(lambda: bool(a.heard and b.heard), "both said hello")
        yield a, b, watch, node_a, node_b


def loopback(node: Node) -> Address:
    return Address("127.0.0.1", node.port)


@in_loop
async def test_two_stations_say_hello_and_prove_who_they_are(tmp_path: Path) -> None:
    async with pair(tmp_path) as (a, b, watch, node_a, node_b):
        assert a.heard == [(HIGH.device, b"hello")]
        assert b.heard == [(LOW.device, b"hello")]
        await watch.until(lambda: node_a.state().contacts[0].verified, "verified is shown")
        seen = {contact.device: contact for contact in node_b.state().contacts}
        assert seen[LOW.device].reach is Reach.IN_SYNC
        assert seen[LOW.device].address == "127.0.0.1"
        assert seen[C.device].reach is Reach.UNKNOWN


@in_loop
async def test_frames_of_every_size_arrive_whole_and_in_order(tmp_path: Path) -> None:
    frames = [bytes([n % 256]) * size for n, size in enumerate([0, 1, 5, 1000, 70_000, MAX_FRAME, 3] * 5)]
    async with pair(tmp_path) as (a, b, watch, node_a, _):
        a.say(*frames)
        node_a.touch()
        await watch.until(lambda: len(b.heard) == 1 + len(frames), "all frames")
        assert [frame for _, frame in b.heard[1:]] == frames


@in_loop
async def test_a_frame_beyond_the_limit_ends_the_link_and_both_meet_again(tmp_path: Path) -> None:
    async with pair(tmp_path) as (a, b, watch, node_a, _):
        a.say(bytes(MAX_FRAME + 1))
        node_a.touch()
        await watch.until(lambda: b.ups >= 2 and len(b.heard) >= 2, "a second link")
        assert all(frame == b"hello" for _, frame in b.heard)


@in_loop
async def test_when_both_dial_one_link_is_left_at_both_ends(tmp_path: Path) -> None:
    for _ in range(5):
        async with pair(tmp_path, both_dial=True) as (a, b, watch, node_a, node_b):
            await watch.until(
                lambda: [link.dialled for link in node_a._board._links] == [True]
                and [link.dialled for link in node_b._board._links] == [False],
                "the link that the lower id dialled",
            )
            a.say(b"x")
            node_a.touch()
            await watch.until(lambda: b.heard[-1] == (LOW.device, b"x"), "the link works")


@in_loop
async def test_a_stranger_is_refused_on_both_sides(tmp_path: Path) -> None:
    watch = Watch()
    a, stranger = StandIn(A, CREW), StandIn(STRANGER, (A, STRANGER))
    async with (
        running(tmp_path, a, watch) as node_a,
        running(tmp_path, stranger, watch, manual=[node_a.port]) as other,
    ):
        await watch.until(lambda: stranger.ups >= 2, "the stranger tried twice")
        assert a.ups == 0
        assert stranger.heard == []
        node_a.dial(loopback(other))
        answered = node_a._board._dialer._answered
        await watch.until(lambda: answered.get(loopback(other)) is True, "and was called")
        assert a.ups == 0
        assert not other.state().contacts[0].verified


def test_a_certificate_that_copies_the_name_of_a_member_is_refused() -> None:
    """Same device id in the certificate, another key: the pin is the certificate, not the name in it."""
    copied = _certificate(A.device, STRANGER.tls_key, 1)
    fake = Identity(A.device, STRANGER.public_key, copied, b"", STRANGER.sign_key, STRANGER.tls_key)
    server, client = Contexts.build(B, [A.tls_cert]), Contexts.build(fake, [B.tls_cert])
    with pytest.raises(ssl.SSLError):
        shake(server.accept, client.dial)
    honest = Contexts.build(A, [B.tls_cert])
    assert shake(server.accept, honest.dial) == A.tls_cert
    with pytest.raises(ssl.SSLError):
        shake(Contexts.build(fake, [B.tls_cert]).accept, Contexts.build(B, [A.tls_cert]).dial)


def shake(server: ssl.SSLContext, client: ssl.SSLContext) -> bytes | None:
    """Both ends in memory; the certificate the server has seen."""
    up, down = ssl.MemoryBIO(), ssl.MemoryBIO()
    there = client.wrap_bio(down, up, server_side=False)
    here = server.wrap_bio(up, down, server_side=True)
    for _ in range(4):
        for end in (there, here):
            with contextlib.suppress(ssl.SSLWantReadError):
                end.do_handshake()
    return here.getpeercert(binary_form=True)


@pytest.mark.parametrize("crew", [1, 2, 60])
def test_each_of_many_members_is_told_from_the_others(crew: int) -> None:
    members = [identity(100 + n) for n in range(crew)]
    server = Contexts.build(A, [member.tls_cert for member in members])
    for member in members:
        assert shake(server.accept, Contexts.build(member, [A.tls_cert]).dial) == member.tls_cert


def test_older_tls_is_refused() -> None:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE
    context.maximum_version = ssl.TLSVersion.TLSv1_2
    with pytest.raises(ssl.SSLError):
        shake(Contexts.build(A, [B.tls_cert]).accept, context)


@in_loop
async def test_a_revoked_member_is_cut_off_and_stays_out(tmp_path: Path) -> None:
    async with pair(tmp_path) as (a, b, watch, node_a, _):
        del a.welcome[HIGH.device]
        node_a._board.welcome(a.members())
        await watch.until(lambda: not b.links and b.ups >= 3, "cut off, and trying")
        assert a.ups == 1
        a.welcome[HIGH.device] = HIGH.tls_cert
        node_a._board.welcome(a.members())
        await watch.until(lambda: a.ups >= 2 and bool(a.links), "admitted again")


@in_loop
async def test_a_station_that_comes_back_on_its_port_is_found_again(tmp_path: Path) -> None:
    watch = Watch()
    a, b = StandIn(LOW, CREW), StandIn(HIGH, CREW)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    async with running(tmp_path, b, watch, manual=[port]) as node_b:
        for round_ in range(1, 4):
            async with running(tmp_path, a, watch, port=port):
                await watch.until(lambda: bool(b.links) and a.ups >= round_, "linked")  # noqa: B023
            await watch.until(lambda: not b.links, "the link ended")
        assert not node_b.state().contacts[0].verified


@in_loop
async def test_a_drop_by_the_peer_closes_the_link_and_the_stations_meet_again(tmp_path: Path) -> None:
    async with pair(tmp_path) as (a, b, watch, node_a, _):
        a.drop()
        node_a.touch()
        await watch.until(lambda: a.ups >= 2 and b.ups >= 2, "linked again")


@in_loop
async def test_a_port_in_use_is_named(tmp_path: Path) -> None:
    watch = Watch()
    async with running(tmp_path, StandIn(A, CREW), watch) as node:
        with pytest.raises(PortError, match=f"Port {node.port}: Another program on this device uses it"):
            async with running(tmp_path, StandIn(B, CREW), watch, port=node.port):
                raise AssertionError("it listens on a port that is in use")


@in_loop
async def test_silent_callers_do_not_keep_the_crew_out(tmp_path: Path) -> None:
    """A device that opens calls and says nothing gets a few handshakes; the others stay free for the crew."""
    watch = Watch()
    a, b = StandIn(A, CREW), StandIn(B, CREW)
    source = ("127.0.0.2", 0) if sys.platform == "linux" else None
    async with running(tmp_path, a, watch) as node_a:
        callers = [
            await asyncio.open_connection("127.0.0.1", node_a.port, local_addr=source)
            for _ in range(2 * MOST_HANDSHAKES)
        ]
        async with running(tmp_path, b, watch, manual=[node_a.port]):
            await watch.until(lambda: bool(a.heard and b.heard), "a member got in")
        for _, writer in callers:
            writer.close()


@in_loop
async def test_noise_on_the_port_harms_nobody(tmp_path: Path) -> None:
    async with pair(tmp_path) as (a, b, watch, node_a, _):
        for noise in (b"", b"GET / HTTP/1.1\r\n\r\n", b"\x16\x03\x01" + bytes(500), bytes(100_000)):
            reader, writer = await asyncio.open_connection("127.0.0.1", node_a.port)
            with contextlib.suppress(ConnectionError):
                writer.write(noise)
                writer.write_eof()
                await asyncio.wait_for(reader.read(), WAIT)
            writer.close()
        b.say(b"still here")
        a.say(b"here too")
        node_a.touch()
        await watch.until(lambda: b.heard[-1][1] == b"here too", "the crew talks on")


@in_loop
async def test_a_reader_that_stops_reading_is_given_up(tmp_path: Path) -> None:
    """A member that takes no more bytes costs bounded memory: beyond it the link ends."""
    watch = Watch()
    a = StandIn(A, CREW)
    async with running(tmp_path, a, watch) as node_a:
        connection = socket.create_connection(("127.0.0.1", node_a.port))
        loop = asyncio.get_running_loop()
        wrap = Contexts.build(B, [A.tls_cert]).dial.wrap_socket
        secure = await loop.run_in_executor(None, wrap, connection)
        await watch.until(lambda: bool(a.links), "linked")
        for _ in range(60):
            a.say(bytes(MAX_FRAME))
            node_a.touch()
            await asyncio.sleep(0)
        await watch.until(lambda: not a.links, "given up")
        secure.close()


@in_loop
async def test_rows_are_answered_through_the_store(tmp_path: Path) -> None:
    watch = Watch()
    a = StandIn(A, CREW)
    async with running(tmp_path, a, watch) as node:
        for batch in range(3):
            a.save(batch, (row(batch),))
        node.touch()
        await watch.until(lambda: a.saved == [0, 1, 2], "all answered in order")
        a.save(3, (row(3),))
    assert a.saved == [0, 1, 2, 3]  # closing saves what waits


@in_loop
async def test_what_comes_over_two_links_at_a_time_is_taken_up_together(tmp_path: Path) -> None:
    watch = Watch()
    a = StandIn(A, CREW)
    async with running(tmp_path, a, watch) as node:
        a.save(0, (row(0),))
        node.all_heard(more=True)
        assert a.waiting == 1
        a.save(1, (row(1),))
        node.all_heard(more=False)
        assert a.waiting == 0
        a.save(2, (row(2),))
        node.all_heard(more=True)  # and then the other has told only half of it
        await watch.until(lambda: a.saved == [0, 1, 2], "taken up after a moment")


@in_loop
async def test_a_link_tells_of_bytes_that_were_not_read(tmp_path: Path) -> None:
    async with pair(tmp_path) as (_a, _b, _watch, node_a, _node_b):
        (link,) = node_a._board._links
        here, there = socket.socketpair()
        with here, there:
            link._socket = TransportSocket(here)
            assert not link.has_unread
            there.send(b"one more")
            assert link.has_unread
            here.recv(100)
            assert not link.has_unread
        assert not link.has_unread  # a socket that is closed


@in_loop
async def test_waking_up_makes_all_links_new(tmp_path: Path) -> None:
    shift: list[int] = []
    async with pair(tmp_path, wall=lambda: wall_milliseconds() + sum(shift)) as (a, b, watch, _, _):
        shift.append(60_000)
        await watch.until(lambda: b.ups >= 2 and a.ups >= 2 and len(b.heard) >= 2, "new links after a jump")


def open_handles() -> int:
    return sum(1 for _ in Path("/dev/fd").iterdir())


@in_loop
async def test_many_calls_leave_nothing_behind(tmp_path: Path) -> None:
    """Strangers, noise, callers that go at once, links that come and go: no handle and no task stays."""
    async with pair(tmp_path) as (a, b, watch, node_a, _):
        stranger = Contexts.build(STRANGER, [LOW.tls_cert]).dial

        async def burst() -> None:
            for _ in range(30):
                with contextlib.suppress(OSError):
                    _, writer = await asyncio.open_connection(
                        "127.0.0.1", node_a.port, ssl=stranger, server_hostname=""
                    )
                    writer.transport.abort()
                _, writer = await asyncio.open_connection("127.0.0.1", node_a.port)
                writer.write(b"noise")
                writer.transport.abort()
            ups = a.ups
            a.drop()
            node_a.touch()
            await watch.until(lambda: a.ups > ups and bool(b.links and a.links), "linked again")

        await burst()
        tasks, handles = len(asyncio.all_tasks()), open_handles()
        for _ in range(4):
            await burst()
        await watch.until(
            lambda: len(asyncio.all_tasks()) <= tasks + 2 and open_handles() <= handles + 2,
            "no more tasks and handles than after the first burst",
        )
