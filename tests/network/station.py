"""A station of the product in the lab, as a process: peer, court, file and node, without a window.

`python -m tests.network.station`. Answers every notice of others at once, as a quick person would, and closes
its own when all have answered. Times are monotonic nanoseconds, which all processes of one machine share.
"""

from __future__ import annotations

import asyncio
import sys
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import Any

from crewlink.admitting import admit
from crewlink.crew.commands import AnswerNotice, CloseNotice, CrewCommand, Raise
from crewlink.station import Answer
from protocol.address import Address
from protocol.beacon import Beacon
from protocol.discovery import Discovery
from protocol.driving import Event, Finder, Found
from protocol.entry import Entry, Wire
from protocol.identity import Identity
from protocol.output import Arrived
from protocol.pairing import Candidate
from protocol.pairing_wire import Admission
from tests.bench.link_stations import Product
from tests.network.orders import obey, paced

WORDS = "x" * 60


class Noting(Discovery):
    """Keeps when it found which station (the name it is announced by), and of whom it has addresses now."""

    def __init__(self, beacon: Beacon, notes: list[tuple[int, str]], there: set[str]) -> None:
        super().__init__(beacon)
        self._notes = notes
        self._there = there

    async def start(self, port: int, found: Found, changed: Callable[[], None]) -> None:
        def note(instance: str, addresses: tuple[Address, ...]) -> None:
            if addresses:
                self._notes.append((time.monotonic_ns(), instance))
                self._there.add(instance)
            else:
                self._there.discard(instance)
            found(instance, addresses)

        await super().start(port, note, changed)


class Quick(Product):
    """A station whose person answers at once. `others`: how many answers a notice of its own needs."""

    def __init__(self, folder: Path, others: int) -> None:
        super().__init__(folder)
        self.answered: dict[str, int] = {}
        self.noted: dict[str, int] = {}
        self.found: list[tuple[int, str]] = []
        self.hears: set[str] = set()
        self.reaches: list[tuple[int, str, str]] = []
        self.watching = False
        self._others = others
        self._answers: dict[str, set[bytes]] = defaultdict(set)
        self._reach: dict[str, str] = {}

    @property
    def identity(self) -> Identity:
        return self._identity

    def admit(self, candidate: Candidate, post: str) -> Admission:
        """Let a device that has proved the code into the match."""
        match, port = self._invitation.match, self.node.port
        admission = admit(self.peer, match, port, candidate, post, self.node.now(), self.node.wall_ms())
        self.node.touch()
        return admission

    def submit(self, command: CrewCommand) -> Answer:
        answer = self.station.submit(command, self.node.now(), self.node.wall_ms())
        self.node.touch()
        return answer

    def finder(self) -> Finder:
        return Noting(self._beacon, self.found, self.hears)

    def note(self, number: int) -> None:
        """An entry that asks for nothing, of the size that a match has."""
        start = time.monotonic_ns()
        fields: dict[str | bytes, Wire] = {"number": number, "words": WORDS}
        self.noted[self.node.author("free", ("note", fields)).id.hex()] = start

    def throw(self, number: int) -> None:
        start = time.monotonic_ns()
        answer = self.submit(Raise("wrong_server", team="A"))
        if answer.kind != "accepted":
            raise SystemExit(f"the notice was {answer.kind}: {answer.sentence}")
        self.raised[answer.entries[0]] = start

    def _changed(self, events: tuple[Event, ...]) -> None:
        super()._changed(events)
        now = time.monotonic_ns()
        for event in events:
            if isinstance(event, Arrived) and not event.own:
                for entry in event.entries:
                    self._heard(entry, now)
        if self.watching:
            self._note_reaches(now)

    def _heard(self, entry: Entry, now: int) -> None:
        if entry.kind != "free":
            return
        if entry.act == "raise":
            self.submit(AnswerNotice(entry.id.hex()))
        elif entry.act == "answer":
            notice = entry.fields["notice"]
            assert isinstance(notice, bytes)
            self._count(notice.hex(), entry.log, now)

    def _count(self, notice: str, log: bytes, now: int) -> None:
        if notice not in self.raised or notice in self.answered:
            return
        self._answers[notice].add(log)
        if len(self._answers[notice]) == self._others:
            self.answered[notice] = now
            self.submit(CloseNotice(notice))

    def _note_reaches(self, now: int) -> None:
        """Keep when the way to another station became better or worse."""
        for contact in self.node.state().contacts:
            post, reach = str(contact.post), contact.reach.value
            if self._reach.get(post) != reach:
                self._reach[post] = reach
                self.reaches.append((now, post, reach))


class Orders:
    """What the lab may ask of a station."""

    def __init__(self) -> None:
        self._station: Quick | None = None

    @property
    def _now(self) -> Quick:
        assert self._station is not None, "begin first"
        return self._station

    async def begin(self, folder: str, others: int, manual: list[str], udp: bool, watching: bool) -> Any:
        """Start a station from its folder: its port and when it started to listen and look.

        `udp`: with the courier. `watching`: keep the `reaches`, which costs a little at each change.
        """
        self._station = Quick(Path(folder), others)
        self._station.udp = udp
        self._station.watching = watching
        start = time.monotonic_ns()
        port = await self._station.open([Address.parse(text) for text in manual])
        return {"port": port, "at": start}

    async def end(self) -> Any:
        await self._now.close()
        self._station = None

    async def dial(self, address: str) -> Any:
        self._now.node.dial(Address.parse(address))

    async def call_all(self, count: int, spacing: float, offset: float) -> Any:
        """Raise notices at an even pace (seconds), the first after `offset`."""
        await paced(count, spacing, offset, self._now.throw)

    async def note_all(self, count: int, spacing: float) -> Any:
        """Write entries at an even pace (seconds); 0: all in one turn."""
        if spacing:
            await paced(count, spacing, 0.0, self._now.note)
            return
        for number in range(count):
            self._now.note(number)

    async def times(self) -> Any:
        station = self._now
        return {
            "raised": station.raised,
            "noted": station.noted,
            "posted": station.posted,
            "answered": station.answered,
        }

    async def owing(self) -> Any:
        """How many notices of this station lack an answer."""
        return len(self._now.raised) - len(self._now.answered)

    async def held(self) -> Any:
        """How many entries are saved here."""
        return sum(log.saved for log in self._now.peer.journal.logs.values())

    async def found(self) -> Any:
        """When discovery found whom, since the beginning."""
        return self._now.found

    async def hears(self) -> Any:
        """Whom discovery has addresses of now."""
        return sorted(self._now.hears)

    async def reaches(self) -> Any:
        """What became of the ways to others since the beginning: when, post, reach."""
        return self._now.reaches

    async def state(self) -> Any:
        state = self._now.node.state()
        return {
            "finding": state.finding.value,
            "told": state.sentence(),
            "contacts": {str(one.post): one.reach.value for one in state.contacts},
        }

    async def cpu(self) -> Any:
        """Seconds of processor time so far."""
        return time.process_time()


async def main() -> None:
    orders = Orders()
    words = [name for name in dir(orders) if not name.startswith("_")]
    await obey({word: getattr(orders, word) for word in words})


if __name__ == "__main__":
    sys.setswitchinterval(0.0005)
    asyncio.run(main())
