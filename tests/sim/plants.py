"""More faults to plant: disks, clones, clocks, and what is taken from others."""

from __future__ import annotations

from contextlib import ExitStack
from typing import Any
from unittest.mock import patch

from protocol import branch, intake, membership, pen, wire
from protocol.acts import Write
from protocol.book import Book
from protocol.common_time import CommonTime
from protocol.entry import Kind
from protocol.journal import Journal
from protocol.links import Links
from protocol.peer import Peer
from protocol.session import Session
from protocol.stamp import StampClock
from protocol.taking import Taking
from tests.sim.disk import Disk

QUOTA = 15


def sent_before_commit() -> Any:
    """Entries go out as soon as they are signed."""
    original = Journal.missing

    def missing(self: Journal, *given: Any, **named: Any) -> Any:
        saved = {log.id: log.saved for log in self.logs.values()}
        for log in self.logs.values():
            log.saved = len(log.entries)
        try:
            return original(self, *given, **named)
        finally:
            for log in self.logs.values():
                log.saved = saved[log.id]

    return patch.object(Journal, "missing", missing)


def cut_at_own_head() -> Any:
    """A taker opens at its own head, whatever the voters had on record; and the fold lets it pass."""

    def votes_for(self: Taking, attempt: Any) -> Any:
        standing, found = self._book.standing(), {}
        for entry, vote in self._book.pen.votes.values():
            device = self._book.journal.device_of(entry.log)
            if vote.take == attempt.take and device in standing.voters:
                found[device] = entry
        return [found[device] for device in sorted(found)]

    stack = ExitStack()
    stack.enter_context(patch.object(Taking, "_votes_for", votes_for))
    stack.enter_context(patch.object(pen, "_reaches", lambda node, head: True))
    return stack


def revocations_ignored() -> Any:
    """Whoever is taken out stays in."""
    return patch.object(membership._Fold, "revoke", lambda self, entry, revoke: None)


def unknown_kinds_dropped() -> Any:
    """What only a newer version knows is not kept."""
    original = intake._take_one

    def take_one(book: Book, entry: Any, haul: Any) -> None:
        if entry.kind in set(Kind):
            original(book, entry, haul)

    return patch.object(intake, "_take_one", take_one)


def anchor_ignored() -> Any:
    """A record entry is placed by epoch and index; the head that it names is not looked at."""
    original = pen.Pen._parent

    def place_record(self: pen.Pen, entry: Any) -> None:
        write = pen.decoded(entry.fields, Write)
        heads = [
            node.head
            for node in self.nodes.values()
            if write and node.epoch.id == write.epoch and node.count == write.index
        ]
        head = heads[-1] if heads else entry.anchor
        with patch.object(pen.Pen, "_parent", lambda self, epoch, anchor: original(self, epoch, head)):
            placed(self, entry)

    placed = pen.Pen._place_record
    return patch.object(pen.Pen, "_place_record", place_record)


def stale_consent_accepted() -> Any:
    """What was asked and agreed on an older head of the record is written on the head as it is now."""

    def record_payload(self: Book, payload: Any, standing: Any, anchor: Any) -> Any:
        act, fields = payload
        return act, {"epoch": standing.epoch, "index": standing.index, **fields}

    return patch.object(Book, "_record_payload", record_payload)


def quota_by_time() -> Any:
    """Who sends more than so many chunks in a second is refused, by the clock of whoever takes them."""
    original = Peer._take_chunk

    def take_chunk(self: Peer, session: Session, chunk: Any, now: float, *more: Any) -> None:
        second, number = getattr(self, "quota", (0, 0))
        number = number + 1 if int(now) == second else 1
        self.quota = (int(now), number)  # type: ignore[attr-defined]
        if number <= QUOTA or not chunk.entries:
            original(self, session, chunk, now, *more)
            return
        entry = intake.read(chunk.entries[0].body, chunk.entries[0].signature, None)
        self._links._send(session, wire.Refuse(entry.log, entry.seq, "full"))

    return patch.object(Peer, "_take_chunk", take_chunk)


def clone_not_noticed() -> Any:
    """Nobody asks why a log ends in another entry elsewhere than here."""
    stack = ExitStack()
    stack.enter_context(patch.object(Links, "_compare", lambda self, session, vector, now: None))
    stack.enter_context(patch.object(intake, "_want_earlier", lambda book, entry, haul: None))
    return stack


def twin_is_heeded_for_ever() -> Any:
    """What a clone had told still counts when only the other one is left."""
    stack = ExitStack()
    stack.enter_context(patch.object(Session, "take_over", lambda self: None))
    stack.enter_context(patch.object(Links, "_forget", _forget_nothing))
    return stack


def _forget_nothing(self: Links, session: Session) -> None:
    device = session.remote.device
    if self.current.get(device) is session:
        del self.current[device]
        for other in self._sessions.values():
            if other.remote is session.remote and other.greeted:
                self.current[device] = other


def never_rests() -> Any:
    """What is on its way over a link that is not the current one is waited for again and again."""
    original = Session.chunks

    def chunks(self: Session, *given: Any, **named: Any) -> Any:
        with patch.object(Session, "expire", expire):
            return original(self, *given, **named)

    expire = Session.expire
    stack = ExitStack()
    stack.enter_context(patch.object(Session, "expire", lambda self, now: None))
    stack.enter_context(patch.object(Session, "chunks", chunks))
    return stack


def told_though_refused() -> Any:
    """The store says that rows are saved although the disk refused them."""

    def refused(self: Disk, commit: Any, peer: Peer) -> None:
        self.pending = None
        self._station.saved(commit, peer)

    return patch.object(Disk, "refused", refused)


def refused_and_forgotten() -> Any:
    """What the disk refused is not tried again."""
    return patch.object(Disk, "refused", lambda self, commit, peer: None)


def clocks_decide() -> Any:
    """Of two branches the one whose first entry is older by its author's clock counts."""
    return patch.object(branch, "_key", lambda child, parent: (-child.entry.time, child.entry.id))


def stamped_by_own_clock() -> Any:
    """Stamps are told by the device's own clock, as in the paper, and not by the writer's."""

    def stamp(self: CommonTime, log: bytes, pen: Any, wall_ms: int) -> int:
        return self.stamps.write(wall_ms)

    return patch.object(CommonTime, "stamp", stamp)


def stamps_not_seen() -> Any:
    """What others have stamped changes nothing."""
    return patch.object(StampClock, "see", lambda self, stamp: None)
