"""Whole stations in one loop, over real TLS and real datagrams on loopback."""

from __future__ import annotations

import asyncio
import os
import random
import socket
import time
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from protocol import courier_shell
from protocol.address import Address
from protocol.courier import Courier
from protocol.courier_shell import CourierShell, name_at
from protocol.driving import Event
from protocol.entry import Entry, Fields, Kind, private_text
from protocol.node import Node, wall_milliseconds
from protocol.output import Arrived
from protocol.peer import Peer
from protocol.roster import FoundingCharter
from protocol.store import Store
from tests.link.crew import invite
from tests.link.parts import Watch, identity, in_loop

MATCH = bytes(range(16))


class Station:
    """A peer, its node, and what came. `mute`: words that its links leave out from now on."""

    def __init__(self, number: int, size: int, folder: Path, watch: Watch, ports: Iterable[int]) -> None:
        identities = [identity(each) for each in range(size)]
        own = identities[number]
        found = FoundingCharter(tuple(each.device for each in identities), {}) if number == 0 else None
        self.device = own.device
        self.came: dict[bytes, Entry] = {}
        self.mute: set[str] = set()
        self.skew_ms = 0
        self._watch = watch
        store = Store.open(folder / f"{number}.sqlite", MATCH)
        self.peer = Peer(
            own,
            invite(identities, MATCH),
            run=os.urandom(16),
            stored=store.load(),
            wall_ms=wall_milliseconds(),
            now=time.monotonic(),
            found=found,
        )
        self.node = Node(
            self.peer,
            store,
            own,
            random=random.Random(number).random,
            on_change=self._changed,
            manual=[Address("127.0.0.1", port) for port in ports],
            wall=lambda: wall_milliseconds() + self.skew_ms,
        )
        send = self.node._board.send
        self.node._board.send = lambda link, frames: send(link, [f for f in frames if self._says(f)])  # type: ignore[method-assign]

    def _says(self, frame: bytes) -> bool:
        return not any(word.encode() in frame[:12] for word in self.mute)

    def _changed(self, events: tuple[Event, ...]) -> None:
        for event in events:
            if isinstance(event, Arrived):
                self.came.update({entry.id: entry for entry in event.entries})
        self._watch()

    @property
    def courier(self) -> Courier:
        courier = self.peer._links.desk.courier
        assert courier is not None
        return courier

    @property
    def shell(self) -> CourierShell:
        assert self.node._post is not None
        return self.node._post

    def note(self, number: int = 0, private: bytes | None = None, **fields: object) -> Entry:
        said: Fields = {"number": number, **fields}  # type: ignore[dict-item]
        return self.node.author(Kind.FREE, ("note", said), private)

    def settled(self, other: Station) -> bool:
        return self.courier._seals.settled(other.device)


@asynccontextmanager
async def crew(folder: Path, size: int = 3) -> AsyncIterator[tuple[list[Station], Watch]]:
    """Stations that hold the same and have agreed on keys, each with each, if they can."""
    watch = Watch()
    stations: list[Station] = []
    try:
        for number in range(size):
            ports = [station.node.port for station in stations]
            stations.append(Station(number, size, folder, watch, ports))
            await stations[-1].node.start()
        await watch.until(lambda: all(in_sync(station) for station in stations), "all are in sync")
        yield stations, watch
    finally:
        await no_more_calls(stations, watch)
        for station in stations:
            await station.node.close()


async def no_more_calls(stations: list[Station], watch: Watch) -> None:
    """A call that is cut off in its handshake leaves a socket for the garbage collector to complain of."""
    dialers = [station.node._board._dialer for station in stations]
    for dialer in dialers:
        dialer._missing = set  # type: ignore[method-assign]
        dialer.look()
    await watch.until(lambda: not any(dialer._calls for dialer in dialers), "no call is under way")


def in_sync(station: Station) -> bool:
    contacts = station.node.state().contacts
    return station.peer.log is not None and all(contact.in_sync for contact in contacts)


async def agreed(stations: list[Station], watch: Watch) -> None:
    pairs = [(one, other) for one in stations for other in stations if one is not other]
    await watch.until(lambda: all(one.settled(other) for one, other in pairs), "all have agreed on keys")


def mute_entries(stations: list[Station]) -> None:
    """From now on no link brings an entry."""
    for station in stations:
        station.mute.add("chunk")


@in_loop
async def test_an_entry_comes_by_datagram_where_no_link_brings_it(tmp_path: Path) -> None:
    async with crew(tmp_path) as (stations, watch):
        await agreed(stations, watch)
        mute_entries(stations)
        for writer in stations:
            for number in range(5):
                entry = writer.note(number)
                await watch.until(lambda entry=entry: all(entry.id in s.came for s in stations), "it came")
        await watch.until(lambda: all(in_sync(station) for station in stations), "and receipts by the links")
        await watch.until(lambda: not any(s.courier.parcels() for s in stations), "and by datagram")
        await watch.until(lambda: all(s.shell._timer is None for s in stations), "nothing is due")


@in_loop
async def test_a_lost_datagram_does_not_hold_up_those_behind_it_for_long(tmp_path: Path) -> None:
    async with crew(tmp_path, 2) as (stations, watch):
        one, other = stations
        await agreed(stations, watch)
        mute_entries(stations)
        rng = random.Random(3)
        for station in stations:
            send = station.shell._send
            station.shell._send = lambda out, send=send: send(out) if rng.random() > 0.3 else None  # type: ignore[method-assign]
        entries = [one.note(number) for number in range(8)]
        await watch.until(lambda: all(entry.id in other.came for entry in entries), "all came")
        assert other.peer.journal.logs[entries[0].log].entries[-8:] == entries


@in_loop
async def test_a_long_entry_and_private_text_come_by_link_alone(tmp_path: Path) -> None:
    async with crew(tmp_path) as (stations, watch):
        one, other = stations[0], stations[1]
        await agreed(stations, watch)
        mute_entries(stations)
        digest, private = private_text("blocked shot", bytes(16))
        secret = one.note(text={"hash": digest, "readers": ["R1"]}, private=private)
        await watch.until(lambda: secret.id in other.came, "the entry came by datagram")
        assert other.came[secret.id].private is None
        long = one.note(words="x" * 2000)
        for station in stations:
            station.mute.clear()
        await watch.until(lambda: long.id in other.came, "the long one came by link")

        def has_text() -> bool:
            held = other.peer.journal.get(secret.id)
            return held is not None and held.private == private

        await watch.until(has_text, "the text came by link to its reader")
        held = stations[2].peer.journal.get(secret.id)
        assert held is not None and held.private is None


@in_loop
async def test_where_udp_is_blocked_the_links_bring_all_and_nothing_goes_on(tmp_path: Path) -> None:
    async with crew(tmp_path) as (stations, watch):
        await agreed(stations, watch)
        sent = [0, 0, 0]
        for number, station in enumerate(stations):

            def swallow(out: object, number: int = number) -> None:
                sent[number] += 1

            station.shell._send = swallow  # type: ignore[method-assign]
        entries = [writer.note(number) for number in range(20) for writer in stations]
        held = {entry.id for entry in entries}
        await watch.until(lambda: all(held <= s.came.keys() for s in stations), "all came by the links")
        await watch.until(lambda: not any(s.courier.parcels() for s in stations), "nothing is open")
        await watch.until(lambda: all(s.shell._timer is None for s in stations), "nothing is due")
        assert all(count <= 20 * 2 * 12 for count in sent)


@in_loop
async def test_without_a_udp_socket_a_station_works_as_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(port: int, *, dual: bool) -> socket.socket:
        raise PermissionError("no UDP here")

    monkeypatch.setattr(courier_shell, "_ear", refuse)
    async with crew(tmp_path) as (stations, watch):
        assert all(station.peer._links.desk.courier is None for station in stations)
        entry = stations[1].note()
        await watch.until(lambda: all(entry.id in s.came for s in stations), "it came by the links")


@in_loop
async def test_a_station_without_courier_and_those_with_one_get_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(courier_shell, "_ear", _refusing_once(courier_shell._ear))
    async with crew(tmp_path, 2) as (stations, watch):
        assert [station.peer._links.desk.courier is None for station in stations] == [True, False]
        entries = [station.note() for station in stations]
        await watch.until(lambda: all(e.id in s.came for e in entries for s in stations), "both came")
        assert not stations[1].courier.parcels()


def _refusing_once(original: Callable[..., socket.socket]) -> Callable[..., socket.socket]:
    refused: list[int] = []

    def ear(port: int, *, dual: bool) -> socket.socket:
        if len(refused) < 1:
            refused.append(port)
            raise PermissionError("no UDP here")
        return original(port, dual=dual)

    return ear


@in_loop
async def test_whose_datagram_comes_without_a_link_is_called(tmp_path: Path) -> None:
    async with crew(tmp_path, 2) as (stations, watch):
        one, other = stations
        await agreed(stations, watch)
        called: list[bytes] = []
        board = other.node._board
        board._dialer.reached = called.append  # type: ignore[method-assign]
        first = one.note()
        await watch.until(lambda: first.id in other.came, "it came")
        assert not called
        board._missing = lambda: {one.device}  # type: ignore[method-assign]
        board._clock = lambda: 1000.0
        mute_entries(stations)
        notes = [one.note(number) for number in range(5)]
        await watch.until(lambda: all(note.id in other.came for note in notes), "they came")
        assert called == [one.device]


@in_loop
async def test_a_device_that_is_taken_out_loses_its_keys(tmp_path: Path) -> None:
    async with crew(tmp_path) as (stations, watch):
        await agreed(stations, watch)
        one, two, out = stations
        mute_entries([out])
        one.peer.revoke(out.device, one.node.now(), one.node.wall_ms())
        one.node.touch()
        gone = [one, two]
        await watch.until(
            lambda: all(out.device not in station.courier.devices() for station in gone), "keys are dropped"
        )
        opened = [station.courier.opened for station in gone]
        entry = out.note()
        sent = one.note()
        await watch.until(lambda: sent.id in two.came and entry.id in out.came, "others go on")
        assert all(entry.id not in station.came for station in gone)
        assert one.courier.opened >= opened[0] and not any(
            one.courier._seals.can_seal(out.device, one.node.now()) for one in gone
        )


@in_loop
async def test_after_a_sleep_new_keys_are_agreed(tmp_path: Path) -> None:
    async with crew(tmp_path, 2) as (stations, watch):
        await agreed(stations, watch)
        sleeper, other = stations
        before = sleeper.courier._seals._rings[other.device].mine
        sleeper.skew_ms = 60_000

        def renewed() -> bool:
            ring = sleeper.courier._seals._rings.get(other.device)
            return ring is not None and ring.mine != before

        await watch.until(renewed, "the keys of before are gone")
        await agreed(stations, watch)
        mute_entries(stations)
        entry = sleeper.note()
        await watch.until(lambda: entry.id in other.came, "datagrams go again")


@in_loop
async def test_a_flood_of_strange_datagrams_gets_no_answer_and_stops_nothing(tmp_path: Path) -> None:
    async with crew(tmp_path, 2) as (stations, watch):
        one, other = stations
        await agreed(stations, watch)
        opened = other.courier.opened
        rng = random.Random(9)
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as flooder:
            flooder.bind(("127.0.0.1", 0))
            flooder.setblocking(False)
            for number in range(3000):
                size = rng.choice((0, 1, 17, 34, 200, 1200, 1201, 9000))
                flooder.sendto(rng.randbytes(size), ("127.0.0.1", other.courier.port))
                if number % 100 == 0:
                    await asyncio.sleep(0)
            mute_entries(stations)
            entry = one.note()
            await watch.until(lambda: entry.id in other.came, "datagrams of a member still come")
            with pytest.raises(BlockingIOError):
                flooder.recv(2000)
        assert other.courier.opened - opened <= 4
        assert in_sync(one) or one.node.state().contacts[0].linked


def test_a_host_is_named_as_the_socket_wants_it() -> None:
    assert name_at(("10.0.0.1", 80), 5000, dual=False) == ("10.0.0.1", 5000)
    assert name_at(("10.0.0.1", 80), 5000, dual=True) == ("::ffff:10.0.0.1", 5000, 0, 0)
    assert name_at(("fe80::1", 80, 0, 3), 5000, dual=True) == ("fe80::1", 5000, 0, 3)
