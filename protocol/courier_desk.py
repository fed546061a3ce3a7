"""Where a courier meets its station: keys said over the links, what is held, entries that came too early.

Knows book, remotes and courier. Takes nothing into the book itself: the peer does, with the same checks as
for what comes by stream.
"""

from __future__ import annotations

from collections import Counter, OrderedDict
from collections.abc import Iterable, Mapping

from protocol import wire
from protocol.book import Book
from protocol.courier import Arrival, Courier
from protocol.courier_seal import RandomBytes, Shared
from protocol.courier_words import MARK_SIZE, MASK_BITS, Held
from protocol.entry import Entry
from protocol.journal import Journal, Place
from protocol.session import Remote, Session

MOST_EARLY = 128
MOST_EARLY_OF_ONE = 48


class EarlyRoom:
    """Entries whose forerunner is missing yet. Their signatures are not checked before they fit."""

    def __init__(self) -> None:
        self._waiting: OrderedDict[bytes, tuple[bytes, Entry]] = OrderedDict()

    def add(self, sender: bytes, entry: Entry) -> None:
        """Keep an entry; for each sender, and in all, the oldest gives way."""
        self._waiting[entry.id] = (sender, entry)
        counts = Counter(sender for sender, _ in self._waiting.values())
        if counts[sender] > MOST_EARLY_OF_ONE:
            del self._waiting[next(key for key, (of, _) in self._waiting.items() if of == sender)]
        elif len(self._waiting) > MOST_EARLY:
            self._waiting.popitem(last=False)

    def places(self, log: bytes) -> list[int]:
        return [entry.seq for _, entry in self._waiting.values() if entry.log == log]

    def fitting(self, journal: Journal) -> list[Entry]:
        """Those that fit now, taken out; those that are held or can never fit are dropped."""
        found: list[Entry] = []
        for key, (_, entry) in list(self._waiting.items()):
            place = journal.place(entry)
            if place not in (Place.GAP, Place.STRANGE):
                del self._waiting[key]
                if place is Place.NEXT:
                    found.append(entry)
        return found

    def __len__(self) -> int:
        return len(self._waiting)


class Desk:
    """The surroundings of a courier, and what links and peer do with it. `courier`: None while off."""

    def __init__(self, book: Book, remotes: dict[bytes, Remote]) -> None:
        self.courier: Courier | None = None
        self.early = EarlyRoom()
        self._book = book
        self._remotes = remotes

    def start(self, port: int, random_bytes: RandomBytes) -> Courier:
        """Send and take datagrams from now on, at this port."""
        self.courier = Courier(self._book.identity.device, port, random_bytes, self)
        return self.courier

    # What the courier asks.

    def heard(self, device: bytes) -> float | None:
        remote = self._remotes.get(device)
        return remote.heard if remote else None

    def alive(self, device: bytes, now: float) -> None:
        if (remote := self._remotes.get(device)) is not None:
            remote.alive = now

    def has(self, device: bytes, log: bytes, seq: int) -> bool:
        remote = self._remotes.get(device)
        return remote is not None and remote.has(log) > seq

    def trip(self, device: bytes) -> float | None:
        remote = self._remotes.get(device)
        delay_ms = remote.clock.delay_ms if remote else None
        return None if delay_ms is None else delay_ms / 1000

    def log_of(self, entry_id: bytes) -> bytes | None:
        entry = self._book.journal.get(entry_id)
        return entry.log if entry else None

    def held(self, log: bytes) -> Held:
        held = self._book.journal.logs.get(log)
        base = len(held.entries) if held else 0
        ahead = [seq - base - 1 for seq in self.early.places(log)]
        return Held(log[:MARK_SIZE], base, sum({1 << bit for bit in ahead if 0 <= bit < MASK_BITS}))

    def writer(self, log: bytes) -> bytes | None:
        return self._book.journal.device_of(log)

    # What links and peer tell.

    def greeted(self, session: Session) -> wire.Keys | None:
        """A link has begun: what to say on it."""
        if self.courier is None:
            return None
        return _keys(self.courier, self.courier.begin(session.remote.device))

    def again(self, session: Session) -> wire.Keys | None:
        """Time has passed: what to say once more."""
        if self.courier is None:
            return None
        return _keys(self.courier, self.courier.lacks(session.remote.device))

    def keys(self, session: Session, keys: wire.Keys) -> wire.Keys | None:
        """The other end has told of its keys: what to answer."""
        if self.courier is None:
            return None
        said = Shared(keys.share, keys.opens, keys.seals)
        return _keys(self.courier, self.courier.hear(session.remote.device, keys.port, said))

    def answer(self, arrival: Arrival, log: bytes, now: float) -> None:
        """An entry that came by datagram was taken, or waits for the one before it."""
        if self.courier is not None:
            self.courier.answer(arrival, log, now)

    def saved(self, entries: Iterable[Entry], urgent: set[bytes], now: float) -> None:
        """Own entries are on the disk: they may be sent."""
        for entry in entries:
            if self.courier is not None:
                self.courier.offer(entry, now, urgent=entry.id in urgent)
            urgent.discard(entry.id)

    def asks(self, device: bytes) -> bool:
        """Whether a device is to say soon that what is sent to it now has come."""
        return self.courier is not None and self.courier.asks(device)

    def brought(self, device: bytes, now: float, reach: Mapping[bytes, int] | None = None) -> None:
        """A device has told what came there by stream; `reach`: how far logs go, if it has not told all."""
        if self.courier is not None:
            self.courier.brought(device, now, reach)

    def roster_changed(self) -> None:
        """Who does not belong any more gets nothing, and nothing of it is opened."""
        for device in self.courier.devices() if self.courier else ():
            if self._book.member(device) is None and self.courier is not None:
                self.courier.forget(device)


def _keys(courier: Courier, shared: Shared | None) -> wire.Keys | None:
    return None if shared is None else wire.Keys(courier.port, shared.share, shared.opens, shared.seals)
