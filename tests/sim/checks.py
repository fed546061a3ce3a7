"""What must hold in every run, by name. Each check raises `Broken` with the name of the invariant."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from protocol.book import Book
from protocol.entry import Entry, readers_of
from protocol.journal import Journal
from protocol.membership import fold_roster
from protocol.output import Arrived, Drop, DropReason
from protocol.peer import Peer
from protocol.pen import Pen, Standing
from tests.sim.station import Station, rng_of

if TYPE_CHECKING:
    from tests.sim.world import World

HEAL_LIMIT = 5.0


class Broken(AssertionError):
    """An invariant does not hold."""

    def __init__(self, invariant: str, detail: str) -> None:
        super().__init__(f"{invariant}: {detail}")
        self.invariant = invariant


@dataclass
class Ledger:
    """What stations have said, to be held against what is there in the end."""

    saved: dict[bytes, Entry] = field(default_factory=dict)


def saved_is_on_disk(station: Station, output: Arrived) -> None:
    """saved-survives, at the moment of saying so: an entry that is said to be saved is on the disk."""
    for entry in output.entries:
        row = station.disk.get(entry.id)
        if row is None or row.body != entry.body:
            raise Broken("saved-survives", f"station {station.number} said 'saved' of {entry.id.hex()[:8]}")


def written(world: World, station: Station, peer: Peer, entry: Entry) -> None:
    """no-writing-without-pen: the fold of what the station held before it wrote names the log it wrote in."""
    before = fold_of(peer.journal, without=entry.id)
    if before.holder_log != entry.log or before.sealed:
        raise Broken("no-writing-without-pen", f"station {station.number} wrote {entry.id.hex()[:8]}")
    if entry.anchor != before.head:
        raise Broken("one-chain", f"station {station.number} wrote on a head that is not the record's")


def no_link_is_broken(world: World, station: Station, drop: Drop) -> None:
    """Honest stations never take each other for broken or strange."""
    if drop.reason in (DropReason.BROKEN, DropReason.REFUSED):
        raise Broken("honest-links", f"station {station.number} dropped a link: {drop.detail}")


def fold_of(journal: Journal, without: bytes | None = None, shuffle: int | None = None) -> Standing:
    """The standing that a journal's entries give when folded from nothing, in another order."""
    other = Journal(journal.match, journal.opener)
    waiting = [entry for entry in journal.in_order() if entry.id != without]
    for log in journal.logs.values():
        waiting += log.fork or ()
    if shuffle is not None:
        rng_of("shuffle", shuffle).shuffle(waiting)
    before = -1
    while waiting and len(waiting) != before:
        before = len(waiting)
        waiting = [entry for entry in waiting if other.add(entry).name in ("GAP", "STRANGE")]
    return Pen.folded(other, fold_roster(other)).standing()


def texts_owed(world: World, peer: Peer) -> list[Entry]:
    """Entries whose text this station may read, somebody who is up has, and it lacks."""
    post = next(station.post for station in world.stations if station.peer is peer)
    lacking = [e for e in peer.journal.in_order() if e.private is None and post in readers_of(e)]
    others = [station.peer for station in world.stations if station.peer not in (None, peer)]
    return [
        entry
        for entry in lacking
        if any((held := other.journal.get(entry.id)) and held.private for other in others)
    ]


def at_the_end(world: World) -> None:
    """Everything that must hold once all is connected and quiet."""
    live = [(station, station.peer) for station in world.stations if station.peer is not None]
    all_arrive(world, live)
    same_set_same_state(world, live)
    for station, peer in live:
        saved_survives(world, station, peer)
        one_chain(station, peer)
        private_stays_private(station, peer)


def all_arrive(world: World, live: list[tuple[Station, Peer]]) -> None:
    sets = [frozenset(entry.id for entry in peer.journal.in_order()) for _, peer in live]
    for (station, _), held in zip(live, sets, strict=True):
        if held != sets[0]:
            odd = len(held ^ sets[0])
            raise Broken("all-arrive", f"station {station.number} differs by {odd} entries after the quiet")
    if world.healed_after > HEAL_LIMIT:
        raise Broken("all-arrive", f"it took {world.healed_after:.1f} s after the heal")
    for _, peer in live:
        if texts_owed(world, peer):
            raise Broken("all-arrive", "a private text did not reach its reader")


def same_set_same_state(world: World, live: list[tuple[Station, Peer]]) -> None:
    first = live[0][1].standing()
    fresh = fold_of(live[0][1].journal, shuffle=world.seed)
    for station, peer in live:
        if _face(peer.standing()) != _face(first):
            raise Broken("same-set-same-state", f"stations 0 and {station.number} differ")
        if peer.roster != live[0][1].roster:
            raise Broken("same-set-same-state", f"the roster of station {station.number} differs")
        if peer.standing() != fold_of(peer.journal):
            raise Broken("same-set-same-state", f"station {station.number}: step by step is not the fold")
    if _face(fresh) != _face(first):
        raise Broken("same-set-same-state", "another order gives another standing")


def _face(standing: Standing) -> tuple[object, ...]:
    chain = [entry.id for entry in standing.chain]
    aside = [entry.id for entry in standing.set_aside]
    return (
        chain,
        aside,
        standing.head,
        standing.epoch,
        standing.holder_log,
        standing.sealed,
        standing.epochs,
    )


def saved_survives(world: World, station: Station, peer: Peer) -> None:
    for entry_id, entry in world.ledger.saved.items():
        log = peer.journal.logs.get(entry.log)
        forked = log is not None and log.fork is not None
        if entry_id not in peer.journal and not forked:
            raise Broken("saved-survives", f"{entry_id.hex()[:8]} is not at station {station.number}")


def one_chain(station: Station, peer: Peer) -> None:
    standing = peer.standing()
    head = peer.roster.opened.entry.id if peer.roster.opened else None
    for index, entry in enumerate(standing.chain):
        if entry.fields.get("index") != index or entry.anchor != head:
            raise Broken("one-chain", f"station {station.number}, index {index}")
        head = entry.id
    ids = [entry.id for entry in (*standing.chain, *standing.set_aside)]
    if len(set(ids)) != len(ids):
        raise Broken("one-chain", f"station {station.number} counts an entry twice")


def private_stays_private(station: Station, peer: Peer) -> None:
    own = peer.journal.logs_of(station.identity.device)
    mine = {entry.id for log in own for entry in log.entries}
    for entry in peer.journal.in_order():
        if entry.private and entry.id not in mine and station.post not in readers_of(entry):
            raise Broken("private-stays-private", f"station {station.number} has a text it may not read")


__all__ = ["Book", "Broken", "Ledger", "at_the_end"]
