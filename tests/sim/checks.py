"""What must hold in every run, by name. Each check raises `Broken` with the name of the invariant."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from protocol.branch import Node, Step
from protocol.entry import Entry, readers_of
from protocol.journal import Journal
from protocol.membership import fold_roster
from protocol.output import Arrived, Drop, DropReason
from protocol.peer import Peer
from protocol.pen import Pen, Standing
from tests.sim.broken import Broken
from tests.sim.station import Station, rng_of

if TYPE_CHECKING:
    from tests.sim.world import World

HEAL_LIMIT = 5.0
CONFIRM_LIMIT = 15.0


@dataclass
class Ledger:
    """What stations have said, to be held against what is there in the end."""

    saved: dict[bytes, tuple[bytes, bytes]] = field(default_factory=dict)  # id -> device, log
    stood: dict[bytes, int] = field(default_factory=dict)  # record entries said to stand, and who said so
    looked: dict[int, tuple[Peer, int, int]] = field(default_factory=dict)


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
    if drop.reason in (DropReason.BROKEN, DropReason.REFUSED) and not world.malicious:
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


def texts_owed(world: World, peers: list[Peer], peer: Peer) -> list[Entry]:
    """Entries whose text this station may read, one of these peers beside it has, and it lacks."""
    links = peer.peers()
    near = [other for other in peers if other is not peer and links[other.device].linked]
    post = next(station.post for station in world.stations if station.peer is peer)
    lacking = [e for e in peer.journal.in_order() if e.private is None and post in readers_of(e)]
    return [
        entry
        for entry in lacking
        if any((held := other.journal.get(entry.id)) and held.private for other in near)
    ]


def what_it_says(world: World, station: Station) -> None:
    """Note each record entry that a station says stands, and watch its size."""
    peer = station.peer
    if peer is None:
        return
    chain = peer.standing().chain
    known, rankings, done = world.ledger.looked.get(station.number, (peer, -1, 0))
    if known is not peer or rankings != peer.rankings:
        done = 0
    while done < len(chain):
        stands = peer.stands(chain[done].id)
        if stands is None or not stands.yes:
            break
        world.ledger.stood.setdefault(chain[done].id, station.number)
        done += 1
    world.ledger.looked[station.number] = (peer, peer.rankings, done)


def at_the_end(world: World) -> None:
    """Everything that must hold once all is connected and quiet."""
    if world.healed_after > HEAL_LIMIT:
        raise Broken("all-arrive", f"it took {world.healed_after:.1f} s after the heal")
    if world.confirmed_after > CONFIRM_LIMIT:
        raise Broken("all-arrive", f"it took {world.confirmed_after:.1f} s to confirm the writer")
    for group in world.groups():
        live = [(station, station.peer) for station in group if station.peer is not None]
        all_arrive(world, live)
        same_set_same_state(world, live)
        one_certified_child(world, live[0][1])
        count_states(world, live[0][1])
        for station, peer in live:
            saved_survives(world, station, peer, live)
            one_chain(station, peer)
            private_stays_private(station, peer)
            strangers_change_nothing(world, station, peer)
            forks_are_proven(world, station, peer)
            cuts_hold(world, station, peer)
        what_stands_stays(world, live)


def count_states(world: World, peer: Peer) -> None:
    """How often the rare states came about; a series in which one never does has not tested it."""
    standing = peer.standing()
    world.counts["record entries counted"] += len(standing.chain)
    world.counts["record entries set aside"] += len(standing.set_aside)
    world.counts["record entries said to stand"] += len(world.ledger.stood)
    world.counts["record sealed"] += standing.sealed
    for epoch in peer.epochs()[1:]:
        world.counts[f"opened: {epoch.step.name.lower()}"] += 1
        on_record = epoch in standing.epochs
        if not on_record:
            world.counts[f"opened and lost: {epoch.step.name.lower()}"] += 1
    for epoch in standing.epochs[1:]:
        later = [other for other in peer.epochs() if other.left == epoch.left and other is not epoch]
        world.counts["two openings left one epoch"] += bool(later)


def certificate_owed(world: World, peers: list[Peer], peer: Peer) -> bool:
    """Whether this station writes without being confirmed although a majority is there."""
    standing = peer.standing()
    if not peer.may_write() or standing.firm:
        return False
    here = {other.device for other in peers}
    return len(here & set(standing.voters)) >= standing.majority


def what_stands_stays(world: World, live: list[tuple[Station, Peer]]) -> None:
    """An entry said to stand is set aside only by a choice, a clone, a restored disk or a revocation."""
    excused = world.counts["choice"] or world.restored or world.malicious or world.counts["revocation"]
    counted = {entry.id for entry in live[0][1].standing().chain}
    journal = live[0][1].journal
    for entry_id, who in world.ledger.stood.items():
        if entry_id not in counted and (entry_id in journal or not excused):
            if not excused:
                raise Broken(
                    "what-stands-stays", f"{entry_id.hex()[:8]}, said by station {who}, is set aside"
                )
            world.count("stood, and set aside with an excuse")


def one_certified_child(world: World, peer: Peer) -> None:
    """No two openings are certified by one round of one epoch."""
    if world.restored or world.malicious:
        return
    seen: dict[tuple[bytes | None, int], bytes] = {}
    for epoch in peer.epochs():
        if epoch.round:
            world.count("certified")
            other = seen.setdefault((epoch.left, epoch.round), epoch.id)
            if other != epoch.id:
                raise Broken("one-certified-child", f"two openings of round {epoch.round}")


def strangers_change_nothing(world: World, station: Station, peer: Peer) -> None:
    for entry_id in world.strange:
        if entry_id in peer.journal:
            raise Broken("strangers-change-nothing", f"station {station.number} took {entry_id.hex()[:8]}")
    for entry in (*peer.standing().chain, *peer.standing().set_aside):
        if entry.id in world.usurped:
            raise Broken("strangers-change-nothing", "an entry by one without the pen is in the record")


def forks_are_proven(world: World, station: Station, peer: Peer) -> None:
    for log in peer.journal.logs.values():
        if log.fork is not None:
            first, second = log.fork
            if log.id not in world.forked or first.seq != second.seq or first.id == second.id:
                raise Broken("forks-are-proven", f"station {station.number} holds a false proof")
            world.count("fork held as proof")


def cuts_hold(world: World, station: Station, peer: Peer) -> None:
    """What a revoked device wrote past its cut yields to anything else, unless a certificate came on top."""
    for node in peer.path():
        if node.parent is None or not _past(peer, node):
            continue
        world.count("past a cut, and nothing else was there")
        for other in node.parent.children:
            if other is not node and not _past(peer, other) and _strength(node) <= _strength(other):
                raise Broken("cuts-hold", f"station {station.number} counts what lies past a cut")


def _past(peer: Peer, node: Node) -> bool:
    cut = peer.roster.cuts.get(node.entry.log)
    certified = node.epoch.id == node.entry.id and node.epoch.step is Step.CERTIFIED
    return cut is not None and node.entry.seq >= cut and not certified


def _strength(node: Node) -> tuple[object, ...]:
    assert node.weight is not None and node.parent is not None
    weight = node.weight
    return (weight.seal, weight.choice, weight.rounds.get(node.parent.epoch.id, 0), weight.certified)


def all_arrive(world: World, live: list[tuple[Station, Peer]]) -> None:
    sets = [frozenset(entry.id for entry in peer.journal.in_order()) for _, peer in live]
    for (station, _), held in zip(live, sets, strict=True):
        if held != sets[0]:
            odd = len(held ^ sets[0])
            raise Broken("all-arrive", f"station {station.number} differs by {odd} entries after the quiet")
    for _, peer in live:
        if texts_owed(world, [other for _, other in live], peer):
            raise Broken("all-arrive", "a private text did not reach its reader")
        if certificate_owed(world, [other for _, other in live], peer):
            raise Broken("all-arrive", "a writer was never confirmed although a majority is there")


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


def saved_survives(world: World, station: Station, peer: Peer, live: list[tuple[Station, Peer]]) -> None:
    """Whatever was said to be saved is there, at every station of its group, but for forks and lost disks."""
    devices = {other.identity.device: other.number for other, _ in live}
    for entry_id, (author, log) in world.ledger.saved.items():
        if entry_id in peer.journal or log in world.forked or author not in devices:
            continue
        if devices[author] not in world.restored:
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
