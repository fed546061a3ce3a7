"""On how many stations a record entry is safe, and whether it may be said that it stands.

Knows what voters have told to have saved, and which of them still count: one that has voted the epoch away
does not, until its votes are settled on the record as it is here. Local evidence, never part of the fold.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from protocol import acts, wire
from protocol.book import Book
from protocol.branch import Epoch, Node, Step
from protocol.entry import Entry
from protocol.session import Remote


@dataclass(frozen=True, slots=True)
class Stands:
    """`on`: voters on which the entry is safe for good; `of`: voters; `firm`: whether that may be said."""

    on: int
    of: int
    firm: bool

    @property
    def yes(self) -> bool:
        return self.firm and self.on >= self.of // 2 + 1


class Receipts:
    """Remembers how far along the counted branch each voter reaches, so that asking again is cheap."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._reach: dict[bytes, tuple[object, int, bytes | None, int]] = {}

    def stands(self, entry_id: bytes, remotes: Mapping[bytes, Remote]) -> Stands | None:
        """None when the entry is not on the counted branch."""
        pen = self._book.pen
        position = pen.position(entry_id)
        if position is None:
            return None
        path = pen.path()
        epoch = _firm_epoch(path, position)
        voters = (epoch or path[position].epoch).voters
        on = sum(self._counts(voter, position, remotes) for voter in voters)
        return Stands(on, len(voters), epoch is not None)

    def _counts(self, voter: bytes, position: int, remotes: Mapping[bytes, Remote]) -> bool:
        if voter == self._book.identity.device:
            has = {log.id: log.saved for log in self._book.journal.logs.values()}
            return self._covers(voter, None, has, position) and settled(self._book, voter)
        remote = remotes.get(voter)
        if remote is None or remote.vector is None or not self._knows_logs_of(voter, remote.vector):
            return False
        has = {log: 0 if mark.fork else mark.length for log, mark in remote.vector.items()}
        return self._covers(voter, remote.run, has, position) and settled(self._book, voter)

    def _knows_logs_of(self, voter: bytes, vector: Mapping[bytes, wire.LogMark]) -> bool:
        """Whether every vote that it has saved is known here."""
        logs = self._book.journal.logs
        for log_id, mark in vector.items():
            log = logs.get(log_id)
            if log is None or (log.device == voter and len(log.entries) < mark.length):
                return False
        return True

    def _covers(self, voter: bytes, run: bytes | None, has: Mapping[bytes, int], position: int) -> bool:
        """Whether a voter has the whole branch up to a place."""
        pen = self._book.pen
        path = pen.path()
        known, ranking, of_run, reach = self._reach.get(voter, (None, -1, None, 0))
        if known is not pen or ranking != pen.rankings or of_run != run:
            reach = 0
        while reach < len(path) and _held(path[reach], has):
            reach += 1
        self._reach[voter] = (pen, pen.rankings, run, reach)
        return position < reach


def _held(node: Node, has: Mapping[bytes, int]) -> bool:
    return all(has.get(entry.log, 0) > entry.seq for entry in (node.entry, *node.rests_on))


def _firm_epoch(path: list[Node], position: int) -> Epoch | None:
    """The epoch of a node if it is firm, or the certificate or choice that came on top of it."""
    epoch = path[position].epoch
    if epoch.firm:
        return epoch
    later = (node.epoch for node in path[position:])
    return next((found for found in later if found.step in (Step.CERTIFIED, Step.CHOSEN)), None)


def settled(book: Book, device: bytes) -> bool:
    """Whether every vote of a device is settled on the record as it is here."""
    votes = _votes_of(book, device)
    epochs = book.standing().epochs
    places = {epoch.id: place for place, epoch in enumerate(epochs)}
    later_on_record = False
    for _, vote in sorted(votes, key=lambda pair: _age(book, pair[0]), reverse=True):
        place = places.get(vote.epoch)
        if place is not None:
            if not _left_by(epochs[place + 1 :], vote):
                return False
            later_on_record = True
        elif not later_on_record and not _choice_beats(book, vote.epoch):
            return False
    return True


def _votes_of(book: Book, device: bytes) -> list[tuple[Entry, acts.Vote]]:
    return [pair for pair in book.pen.votes.values() if book.journal.device_of(pair[0].log) == device]


def _age(book: Book, entry: Entry) -> tuple[int, int, bytes]:
    """Order of the entries of one device: its logs close the earlier ones."""
    return (len(book.journal.logs[entry.log].header.closes), entry.seq, entry.id)


def _left_by(later: Iterable[Epoch], vote: acts.Vote) -> bool:
    """Whether the voted epoch was left by a certificate of that round or above, or a choice came since."""
    epochs = list(later)
    if any(epoch.step is Step.CHOSEN for epoch in epochs):
        return True
    return bool(epochs) and epochs[0].step is Step.CERTIFIED and epochs[0].round >= vote.round


def _choice_beats(book: Book, epoch_id: bytes) -> bool:
    """Whether a choice on the record lies past the place where the branch of an epoch off it began."""
    node = book.pen.nodes.get(epoch_id)
    while node is not None and book.pen.position(node.entry.id) is None:
        node = node.parent
    if node is None:
        return False
    position = book.pen.position(node.entry.id)
    assert position is not None
    return any(
        found.epoch.step is Step.CHOSEN and found.epoch.id == found.entry.id
        for found in book.pen.path()[position + 1 :]
    )
