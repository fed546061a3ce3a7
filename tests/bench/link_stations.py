"""The two kinds of station that `tests.bench.link` compares, each as a process of its own.

`python -m tests.bench.link_stations product|minimal FOLDER [PORT ...]`. A station listens, calls the given
ports, prints its port, and obeys `ready N` (waits for N others), `raise N SPACING_MS`, `idle SECONDS`,
`times`, `quit`. Times are the system's monotonic clock in nanoseconds, which all processes of one machine
share.
"""

from __future__ import annotations

import asyncio
import json
import os
import random
import sqlite3
import ssl
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from crewlink import charter
from crewlink.charter import Charter
from crewlink.match.setup import MatchSetup
from crewlink.station import Station
from protocol.address import Address
from protocol.beacon import Beacon
from protocol.discovery import Discovery
from protocol.driving import Event
from protocol.entry import Wire
from protocol.identity import Identity
from protocol.node import Node, wall_milliseconds
from protocol.output import Arrived
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation
from protocol.store import Store
from protocol.tls import Contexts

WORDS = "x" * 100
FEW = 4
"""Notices that are open at one time; more raises of the same id are the same notice."""


def _founding(voters: tuple[bytes, ...]) -> FoundingCharter:
    """An ordinary match, so that every station has a court to fold what arrives into."""
    return FoundingCharter(voters, charter.to_map(Charter(MatchSetup())), charter.FOLD_VERSION)


class Bench(Protocol):
    """A station under measurement. `raised` and `posted`: entry key to nanoseconds."""

    raised: dict[str, int]
    posted: dict[str, int]

    async def start(self, ports: list[int]) -> int: ...
    async def ready(self, others: int) -> None: ...
    def throw(self, number: int) -> None: ...
    async def close(self) -> None: ...


class Product:
    """The real station: peer, store, node. An entry is posted when `Arrived` tells that it is saved here."""

    def __init__(self, folder: Path) -> None:
        self.raised: dict[str, int] = {}
        self.posted: dict[str, int] = {}
        self._news = asyncio.Event()
        self._identity = Identity.load(folder)
        invitation = Invitation.load(folder / "invitation.json")
        self._beacon = Beacon.of(self._identity.device, invitation.match, "a measurement")
        self._store = Store.open(folder / "match.sqlite", invitation.match)
        voters = tuple(member.device for member in invitation.members)
        self.peer = Peer(
            self._identity,
            invitation,
            run=os.urandom(16),
            stored=self._store.load(),
            wall_ms=wall_milliseconds(),
            found=_founding(voters) if self._identity.device == invitation.opener else None,
        )
        member = invitation.member(self._identity.device)
        assert member is not None
        self.station = Station(self.peer, member.post)
        self.node: Node

    async def start(self, ports: list[int]) -> int:
        return await self.open([Address("127.0.0.1", port) for port in ports])

    async def open(self, manual: Sequence[Address]) -> int:
        """Start; `manual`: where to call, beside what is found. Returns the port."""
        self.node = Node(
            self.station,
            self._store,
            self._identity,
            random=random.SystemRandom().random,
            on_change=self._changed,
            finder=Discovery(self._beacon),
            manual=manual,
        )
        await self.node.start()
        return self.node.port

    async def ready(self, others: int) -> None:
        while sum(contact.in_sync for contact in self.node.state().contacts) < others:
            self._news.clear()
            await self._news.wait()

    def throw(self, number: int) -> None:
        start = time.monotonic_ns()
        fields: dict[str | bytes, Wire] = {"kind": "help", "detail": WORDS, "number": number, "asks": ["R1"]}
        fields["id"] = bytes([number % FEW]) * 32
        entry = self.node.author("free", ("raise", fields))
        self.raised[entry.id.hex()] = start

    async def close(self) -> None:
        await self.node.close()

    def _changed(self, events: tuple[Event, ...]) -> None:
        now = time.monotonic_ns()
        for event in events:
            if isinstance(event, Arrived):
                self.posted.update((entry.id.hex(), now) for entry in event.entries)
        self._news.set()


class Minimal:
    """The least that does the same work: sign, store, send; read, verify, store. One loop, no repair."""

    def __init__(self, folder: Path) -> None:
        self.raised: dict[str, int] = {}
        self.posted: dict[str, int] = {}
        self._identity = Identity.load(folder)
        self._invitation = Invitation.load(folder / "invitation.json")
        self._keys = [Ed25519PublicKey.from_public_bytes(m.sign_key) for m in self._invitation.members]
        self._file = sqlite3.connect(folder / "minimal.sqlite", isolation_level=None)
        self._file.execute("PRAGMA journal_mode = WAL")
        self._file.execute("PRAGMA synchronous = FULL")
        self._file.execute("CREATE TABLE entry (place INTEGER PRIMARY KEY, id, body, signature)")
        self._writers: list[asyncio.StreamWriter] = []
        self._linked = asyncio.Event()

    async def start(self, ports: list[int]) -> int:
        contexts = Contexts.build(self._identity, [m.tls_cert for m in self._invitation.members])
        server = await asyncio.start_server(self._serve, "127.0.0.1", 0, ssl=contexts.accept)
        for port in ports:
            await self._dial(port, contexts.dial)
        return int(server.sockets[0].getsockname()[1])

    async def _dial(self, port: int, context: ssl.SSLContext) -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", port, ssl=context, server_hostname="")
        self._reading = asyncio.create_task(self._serve(reader, writer))

    async def ready(self, others: int) -> None:
        while len(self._writers) < others:
            self._linked.clear()
            await self._linked.wait()

    def throw(self, number: int) -> None:
        start = time.monotonic_ns()
        body = json.dumps({"number": number, "words": WORDS, "log": "0" * 64, "prev": "0" * 64}).encode()
        signature = self._identity.sign(body)
        self._save(body, signature)
        self.raised[str(number)] = start
        for writer in self._writers:
            writer.write(len(body).to_bytes(4, "big") + signature + body)

    async def close(self) -> None:
        for writer in self._writers:
            writer.transport.abort()

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self._writers.append(writer)
        self._linked.set()
        try:
            while True:
                size = int.from_bytes(await reader.readexactly(4), "big")
                signature, body = await reader.readexactly(64), await reader.readexactly(size)
                self._keys[0].verify(signature, body)
                self._save(body, signature)
                self.posted[str(json.loads(body)["number"])] = time.monotonic_ns()
        except (asyncio.IncompleteReadError, ConnectionError, asyncio.CancelledError):
            return

    def _save(self, body: bytes, signature: bytes) -> None:
        self._file.execute("BEGIN IMMEDIATE")
        self._file.execute("INSERT INTO entry (body, signature) VALUES (?, ?)", (body, signature))
        self._file.execute("COMMIT")


KINDS: dict[str, Callable[[Path], Bench]] = {"product": Product, "minimal": Minimal}


async def obey(station: Bench, words: list[str]) -> object:
    """Carry out one command; its answer."""
    if words[0] == "ready":
        await station.ready(int(words[1]))
    elif words[0] == "raise":
        before = len(station.raised)
        for number in range(int(words[1])):
            station.throw(before + number)
            await asyncio.sleep(float(words[2]) / 1000)
    elif words[0] == "idle":
        used = time.process_time()
        await asyncio.sleep(float(words[1]))
        return (time.process_time() - used) / float(words[1])
    elif words[0] == "count":
        return len(station.posted)
    elif words[0] == "times":
        return {"raised": station.raised, "posted": station.posted}
    return True


async def main() -> None:
    station = KINDS[sys.argv[1]](Path(sys.argv[2]))
    print(json.dumps(await station.start([int(port) for port in sys.argv[3:]])), flush=True)
    loop = asyncio.get_running_loop()
    while (words := (await loop.run_in_executor(None, sys.stdin.readline)).split()) and words[0] != "quit":
        print(json.dumps(await obey(station, words)), flush=True)
    await station.close()


if __name__ == "__main__":
    sys.setswitchinterval(0.0005)
    asyncio.run(main())
