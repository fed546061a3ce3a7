"""The kinds of station that `tests.bench.link` compares, each as a process of its own.

`python -m tests.bench.link_stations station|transport|minimal FOLDER [PORT ...]`. A station listens, calls
the given ports, prints its port, and obeys:

- `ready N` (waits for N others), `answer` (from now on, answer what others raise), `raise N SPACING_MS`,
  `flood N` (raise so many as fast as they are saved), `idle SECONDS`, `quit`;
- `count`, `count answers`, `cpu` (seconds used), `times`, `where` (begin to watch the stages), `spans` (what
  was watched).

Times are the system's monotonic clock in nanoseconds, which all processes of one machine share.
"""

from __future__ import annotations

import asyncio
import gc
import json
import os
import random
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from crewlink import charter
from crewlink.charter import Charter
from crewlink.match.setup import MatchSetup
from crewlink.station import Station
from protocol.address import Address
from protocol.beacon import Beacon
from protocol.discovery import Discovery
from protocol.driving import Driven, Event, Finder
from protocol.entry import Entry, Wire
from protocol.identity import Identity
from protocol.link_thread import SWITCH_SECONDS
from protocol.node import Node, wall_milliseconds
from protocol.output import Arrived
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation
from protocol.store import Store
from tests.bench import where
from tests.bench.minimal import WORDS, Minimal

FEW = 4
"""Notices that are open at one time; more raises of the same id are the same notice."""


def _founding(voters: tuple[bytes, ...]) -> FoundingCharter:
    """An ordinary match, so that every station has a court to fold what arrives into."""
    return FoundingCharter(voters, charter.to_map(Charter(MatchSetup())), charter.FOLD_VERSION)


class Bench(Protocol):
    """A station under measurement. `raised` and `posted`: entry key to nanoseconds; `answers`: key of what
    was raised to when each answer was posted here; `answering`: whether it answers what others raise.
    """

    raised: dict[str, int]
    posted: dict[str, int]
    answers: dict[str, list[int]]
    answering: bool

    async def start(self, ports: list[int]) -> int: ...
    async def ready(self, others: int) -> None: ...
    def throw(self, number: int) -> None: ...
    async def close(self) -> None: ...


class Product:
    """The real station: peer, store, node. An entry is posted when `Arrived` tells that it is saved here."""

    def __init__(self, folder: Path) -> None:
        self.raised: dict[str, int] = {}
        self.posted: dict[str, int] = {}
        self.answers: dict[str, list[int]] = {}
        self.answering = False
        self.udp = True
        self._news = asyncio.Event()
        self._identity = Identity.load(folder)
        invitation = self._invitation = Invitation.load(folder / "invitation.json")
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

    def finder(self) -> Finder:
        return Discovery(self._beacon)

    async def open(self, manual: Sequence[Address]) -> int:
        """Start; `manual`: where to call, beside what is found. Returns the port."""
        self.node = Node(
            self.driven(),
            self._store,
            self._identity,
            random=random.SystemRandom().random,
            on_change=self._changed,
            finder=self.finder(),
            manual=manual,
            udp=self.udp,
        )
        await self.node.start()
        return self.node.port

    def driven(self) -> Driven:
        return self.station

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
                for entry in event.entries:
                    self._post(entry, now, own=event.own)
        self._news.set()

    def _post(self, entry: Entry, now: int, *, own: bool) -> None:
        answered = entry.fields.get("raise")
        if isinstance(answered, bytes):
            self.answers.setdefault(answered.hex(), []).append(now)
            return
        self.posted[entry.id.hex()] = now
        if self.answering and not own and entry.act == "raise":
            fields: dict[str | bytes, Wire] = {"notice": entry.fields.get("id"), "raise": entry.id}
            self.node.author("free", ("answer", fields))


class Transport(Product):
    """The same without a court: the peer alone, driven by the node."""

    def driven(self) -> Driven:
        return self.peer


KINDS: dict[str, Callable[[Path], Bench]] = {"station": Product, "transport": Transport, "minimal": Minimal}


MOST_UNPOSTED = 400


async def flood(station: Bench, count: int) -> None:
    """Raise so many, with no more of them on the way than a few commits take."""
    before, posted = len(station.raised), len(station.posted)
    for number in range(count):
        station.throw(before + number)
        while number - (len(station.posted) - posted) > MOST_UNPOSTED:
            await asyncio.sleep(0.001)
        if number % 20 == 19:
            await asyncio.sleep(0)


async def obey(station: Bench, words: list[str]) -> object:
    """Carry out one command; its answer."""
    match words:
        case ["ready", others]:
            await station.ready(int(others))
        case ["answer"]:
            station.answering = True
        case ["raise", count, spacing_ms]:
            before = len(station.raised)
            for number in range(int(count)):
                station.throw(before + number)
                await asyncio.sleep(float(spacing_ms) / 1000)
        case ["flood", count]:
            await flood(station, int(count))
        case ["idle", seconds]:
            used = time.process_time()
            await asyncio.sleep(float(seconds))
            return (time.process_time() - used) / float(seconds)
        case ["cpu"]:
            return time.process_time()
        case ["count"]:
            return len(station.posted)
        case ["count", "answers"]:
            return sum(map(len, station.answers.values()))
        case ["times"]:
            return {"raised": station.raised, "posted": station.posted, "answers": station.answers}
        case ["where"]:
            where.watch()
        case ["spans"]:
            return where.SPANS
    return True


async def main() -> None:
    station = KINDS[sys.argv[1]](Path(sys.argv[2]))
    port = await station.start([int(port) for port in sys.argv[3:]])
    gc.freeze()  # as the program does, see protocol.link_thread
    print(json.dumps(port), flush=True)
    loop = asyncio.get_running_loop()
    while (words := (await loop.run_in_executor(None, sys.stdin.readline)).split()) and words[0] != "quit":
        print(json.dumps(await obey(station, words)), flush=True)
    await station.close()


if __name__ == "__main__":
    sys.setswitchinterval(SWITCH_SECONDS)
    asyncio.run(main())
