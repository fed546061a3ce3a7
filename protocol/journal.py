"""All logs of a match as this station holds them: chains, duplicates, gaps, forks, the version vector.

Knows which entries fit where. Knows nothing of what they mean, except how a log begins and how a device comes
to have one (an admission). Signatures are checked by whoever hands entries in.

The set of entries held in the end does not depend on the order in which they came: a log is taken when the
admission its header names is held; an entry when the one before it is; and a log that holds two signed
entries at one place ends there, with the two smallest ids at the smallest such place as proof.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum, auto
from hashlib import sha256

from protocol import acts
from protocol.entry import NONE, Entry, Kind, decoded, log_id

MAX_LOG_ENTRIES = 100_000
MAX_LOG_BYTES = 32 * 1024 * 1024
MAX_LOGS_OF_DEVICE = 256


class Place(Enum):
    """What an entry would be to this journal."""

    NEXT = auto()  # fits at the end of its log, or begins one
    KNOWN = auto()  # held already
    GAP = auto()  # something before it is missing
    RIVAL = auto()  # stands at a place that is taken: proof of a fork once the signature is checked
    ASTRAY = auto()  # does not continue what is held here: the fork lies before it
    ENDED = auto()  # past the end of a forked log, and no better proof
    STRANGE = auto()  # a log whose admission is not held (yet)
    FULL = auto()  # past the limits of one log or device
    WRONG = auto()  # a first entry that is not a proper header


@dataclass(frozen=True, slots=True)
class Mark:
    """How much of a log a station has saved: length, id of its last entry, the proof if it forks there."""

    length: int
    head: bytes
    fork: tuple[bytes, bytes] | None = None


@dataclass(slots=True)
class Log:
    """One log: the entries that count, how many are saved, and the proof if it is forked at its end."""

    id: bytes
    header: acts.LogHeader
    device: bytes
    entries: list[Entry] = field(default_factory=list)
    arrivals: list[int] = field(default_factory=list)
    size: int = 0
    saved: int = 0
    fork: tuple[Entry, Entry] | None = None

    @property
    def mark(self) -> Mark:
        fork = (self.fork[0].id, self.fork[1].id) if self.fork else None
        return Mark(self.saved, self.entries[self.saved - 1].id if self.saved else NONE, fork)


class Journal:
    """Every entry held of one match. `match`: 16 bytes; `opener`: the device that may begin it."""

    def __init__(self, match: bytes, opener: bytes) -> None:
        self.match = match
        self.opener = opener
        self.logs: dict[bytes, Log] = {}
        self._by_id: dict[bytes, Entry] = {}
        self._arrivals = 0

    def __len__(self) -> int:
        return len(self._by_id)

    def __contains__(self, entry_id: object) -> bool:
        return entry_id in self._by_id

    def get(self, entry_id: bytes) -> Entry | None:
        return self._by_id.get(entry_id)

    def device_of(self, log: bytes) -> bytes | None:
        held = self.logs.get(log)
        return held.device if held else None

    def logs_of(self, device: bytes) -> list[Log]:
        """Logs of a device, oldest first by arrival here."""
        return [log for log in self.logs.values() if log.device == device]

    def doubled(self) -> frozenset[bytes]:
        """Devices whose data was copied or set back, so that they run twice or forget what they have told.

        A log of theirs holds two entries at one place, or is longer than a later run of the device knew.
        """
        found = {log.device for log in self.logs.values() if log.fork is not None}
        for later in self.logs.values():
            for closed, length in later.header.closes.items():
                log = self.logs.get(closed)
                if log is not None and log.device == later.device and len(log.entries) > length:
                    found.add(log.device)
        return frozenset(found)

    def in_order(self) -> Iterator[Entry]:
        """All entries that count, in the order they came: what an entry rests on comes before it."""
        return (
            entry
            for _, entry in heapq.merge(
                *(zip(log.arrivals, log.entries, strict=True) for log in self.logs.values()),
                key=lambda pair: pair[0],
            )
        )

    def place(self, entry: Entry) -> Place:
        """Where an entry belongs. Changes nothing."""
        log = self.logs.get(entry.log)
        if log is None:
            return self._place_first(entry) if entry.seq == 0 else Place.GAP
        length = len(log.entries)
        if entry.seq < length:
            return Place.KNOWN if log.entries[entry.seq].id == entry.id else Place.RIVAL
        if log.fork:
            return self._place_at_fork(log, entry)
        if entry.seq > length:
            return Place.GAP
        if entry.prev != log.entries[-1].id:
            return Place.ASTRAY
        full = length >= MAX_LOG_ENTRIES or log.size + len(entry.body) > MAX_LOG_BYTES
        return Place.FULL if full else Place.NEXT

    def key_for(self, entry: Entry) -> bytes | None:
        """Public key that the entry must be signed with, or None when its log is not known."""
        log = self.logs.get(entry.log)
        if log is not None:
            return log.header.key
        header = decoded(entry.fields, acts.LogHeader) if entry.seq == 0 else None
        return header.key if header else None

    def add(self, entry: Entry) -> Place:
        """Take an entry whose signature has been checked. Only NEXT and RIVAL change anything."""
        place = self.place(entry)
        if place is Place.NEXT:
            self._append(entry)
        elif place is Place.RIVAL:
            self._fork(self.logs[entry.log], entry)
        return place

    def set_private(self, entry_id: bytes, private: bytes) -> Entry:
        """Lay private text beside an entry that is held; empty bytes mean that it was erased for good."""
        entry = self._by_id[entry_id].with_private(private)
        self._by_id[entry_id] = entry
        self.logs[entry.log].entries[entry.seq] = entry
        return entry

    def saved(self, entry: Entry) -> None:
        """This entry, and what is before it in its log, is safe on the disk."""
        log = self.logs[entry.log]
        log.saved = min(max(log.saved, entry.seq + 1), len(log.entries))

    def vector(self) -> dict[bytes, Mark]:
        """What is saved here, for each log."""
        return {log.id: log.mark for log in self.logs.values() if log.saved or log.fork}

    def missing(
        self, has: Mapping[bytes, int], max_count: int, max_bytes: int, last: bytes | None = None
    ) -> list[Entry]:
        """Saved entries past the lengths that somebody has, in the order they came here, up to the limits.

        `last`: the id of an entry after which nothing more is given.
        """
        heap = [
            (log.arrivals[start], log.id, start)
            for log in self.logs.values()
            if (start := has.get(log.id, 0)) < log.saved and self.admitted(log)
        ]
        heapq.heapify(heap)
        until = None if last is None else self._arrival(last)
        found: list[Entry] = []
        while heap and len(found) < max_count and max_bytes > 0:
            arrival, log_id_, index = heapq.heappop(heap)
            if until is not None and arrival > until:
                break
            log = self.logs[log_id_]
            found.append(log.entries[index])
            max_bytes -= len(log.entries[index].body) + len(log.entries[index].private or b"")
            if index + 1 < log.saved:
                heapq.heappush(heap, (log.arrivals[index + 1], log_id_, index + 1))
        return found

    def _arrival(self, entry_id: bytes) -> int:
        """When an entry came here, counted in entries; before all others if it is not held."""
        entry = self._by_id.get(entry_id)
        return -1 if entry is None else self.logs[entry.log].arrivals[entry.seq]

    def admitted(self, log: Log) -> bool:
        """Whether the admission that a log stands on is still held (a fork before it takes it away)."""
        admission = log.header.admission
        if admission is None:
            return True
        entry = self._by_id.get(admission)
        return entry is not None and self.admitted(self.logs[entry.log])

    def _place_first(self, entry: Entry) -> Place:
        header = decoded(entry.fields, acts.LogHeader)
        if (
            header is None
            or entry.kind != Kind.ROSTER
            or entry.act != acts.LOG
            or entry.prev != NONE
            or header.match != self.match
            or log_id(entry.header) != entry.log
        ):
            return Place.WRONG
        device = sha256(header.key).digest()
        if header.admission is None:
            if device != self.opener:
                return Place.STRANGE
        elif not self._admits(header.admission, device, header.key):
            return Place.STRANGE
        return Place.FULL if len(self.logs_of(device)) >= MAX_LOGS_OF_DEVICE else Place.NEXT

    def _admits(self, admission: bytes, device: bytes, key: bytes) -> bool:
        entry = self._by_id.get(admission)
        if entry is None or entry.kind != Kind.ROSTER or entry.act != acts.ADMIT:
            return False
        admit = decoded(entry.fields, acts.Admit)
        return admit is not None and admit.device == device and admit.sign_key == key

    def _place_at_fork(self, log: Log, entry: Entry) -> Place:
        assert log.fork is not None
        if entry.seq > len(log.entries):
            return Place.ENDED
        if entry.id in (log.fork[0].id, log.fork[1].id):
            return Place.KNOWN
        return Place.RIVAL if entry.id < log.fork[1].id else Place.ENDED

    def _append(self, entry: Entry) -> None:
        log = self.logs.get(entry.log)
        if log is None:
            header = decoded(entry.fields, acts.LogHeader)
            assert header is not None
            log = self.logs[entry.log] = Log(entry.log, header, sha256(header.key).digest())
        log.entries.append(entry)
        log.arrivals.append(self._arrivals)
        log.size += len(entry.body)
        self._by_id[entry.id] = entry
        self._arrivals += 1

    def _fork(self, log: Log, rival: Entry) -> None:
        """End the log at the place of the rival, and keep the two smallest ids there as proof."""
        here = list(log.fork) if log.fork and rival.seq == len(log.entries) else [log.entries[rival.seq]]
        first, second = sorted([*here, rival], key=lambda entry: entry.id)[:2]
        log.fork = (first, second)
        for entry in log.entries[rival.seq :]:
            del self._by_id[entry.id]
        del log.entries[rival.seq :], log.arrivals[rival.seq :]
        log.size = sum(len(entry.body) for entry in log.entries)
        log.saved = min(log.saved, len(log.entries))
