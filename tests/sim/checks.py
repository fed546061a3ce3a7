"""What must hold in every run, by name. Each check raises `Broken` with the name of the invariant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from protocol import acts
from protocol.branch import Node, Step
from protocol.entry import Entry, Kind, decoded, readers_of
from protocol.journal import Journal
from protocol.membership import fold_roster
from protocol.output import Arrived, Drop, DropReason
from protocol.peer import Peer
from protocol.pen import Pen, Standing
from tests.sim.broken import Broken
from tests.sim.counting import count_states
from tests.sim.said import what_stands_stays
from tests.sim.station import Station, rng_of

if TYPE_CHECKING:
    from tests.sim.world import World

HEAL_LIMIT = 5.0
CONFIRM_LIMIT = 15.0
FOLD_EVERY = 4  # so often what a station believed before it wrote is folded from nothing as well


def saved_is_on_disk(station: Station, output: Arrived) -> None:
    """saved-survives, at the moment of saying so: an entry that is said to be saved is on the disk."""
    for entry in output.entries:
        row = station.disk.get(entry.id)
        if row is None or row.body != entry.body:
            raise Broken("saved-survives", f"station {station.number} said 'saved' of {entry.id.hex()[:8]}")


def written(world: World, station: Station, peer: Peer, entry: Entry, before: Standing) -> None:
    """no-writing-without-pen: the fold of what the station held before it wrote names the log it wrote in."""
    world.folds += 1
    if world.folds % FOLD_EVERY == 0:
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
            stamps_grow(world, station, peer)
            strangers_change_nothing(world, station, peer)
            forks_are_proven(world, station, peer)
            cuts_hold(world, station, peer)
        what_stands_stays(world, live[0][1])
        if world.profile.calm and live[0][1].standing().set_aside:
            raise Broken("calm-is-calm", "an entry was set aside although nothing went wrong")
        clones_are_proven(world, live)
        copies_are_told(world, live[0][1])
        revocations_hold(live[0][1])


def certificate_owed(world: World, peers: list[Peer], peer: Peer) -> bool:
    """Whether this station writes without being confirmed although a majority is there."""
    standing = peer.standing()
    if not peer.may_write() or standing.firm:
        return False
    here = {other.device for other in peers}
    return len(here & set(standing.voters)) >= standing.majority


def one_certified_child(world: World, peer: Peer) -> None:
    """No two openings are certified by one round of one epoch."""
    if world.restored or world.malicious or world.cloned:
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
            if log.id not in station.proofs:
                raise Broken("forks-are-proven", f"station {station.number} never told of a fork")


def clones_are_proven(world: World, live: list[tuple[Station, Peer]]) -> None:
    """Where live stations have saved two entries at one place of a log, all of them hold that for proven."""
    saved: dict[tuple[bytes, int], set[bytes]] = {}
    logs = set(live[0][1].journal.logs)
    for station, _ in live:
        for row in station.disk.rows.values():
            signed = world.places.get(row.id)
            if signed is not None and signed[0] in world.forked & logs:
                saved.setdefault(signed, set()).add(row.id)
    for (log, seq), ids in saved.items():
        for station, peer in live if len(ids) > 1 else ():
            fork = peer.journal.logs[log].fork
            if fork is None or fork[0].seq > seq:
                raise Broken("forks-are-proven", f"station {station.number} does not know of a fork")


def copies_are_told(world: World, peer: Peer) -> None:
    """Only a device that was copied or set back, or that is broken, is said to be so."""
    guilty = world.cloned | world.restored | world.malicious
    devices = {world.stations[number].identity.device for number in guilty}
    if not peer.journal.doubled() <= devices:
        raise Broken("forks-are-proven", "a device is said to be copied that never was")
    copied = {world.stations[number].identity.device for number in world.cloned}
    if copied:
        world.count("clone told" if copied <= peer.journal.doubled() else "clone that left no trace")


def revocations_hold(peer: Peer) -> None:
    """Whom a station has taken out that nobody took out itself does not belong, unless admitted again."""
    revoked = [
        (peer.journal.device_of(entry.log), revoke)
        for entry in peer.journal.in_order()
        if entry.kind == Kind.ROSTER and (revoke := decoded(entry.fields, acts.Revoke))
        if entry.act == acts.REVOKE
    ]
    out = {revoke.device for _, revoke in revoked}
    for author, revoke in revoked:
        if author not in out and revoke.device in peer.roster.members:
            raise Broken("cuts-hold", "one who was taken out still belongs")


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
        if devices[author] in world.cloned:
            world.count("saved at a clone that was switched off before it had sent it")
        elif devices[author] not in world.restored:
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


def stamps_grow(world: World, station: Station, peer: Peer) -> None:
    """Along every log, from a place of the record to what is written on it, and from all that a station has
    seen to what it writes. What liars stamp is left out, and draws nobody along.
    """
    liars = {world.stations[number].identity.device for number in world.malicious}
    highest = 0
    for entry in peer.journal.in_order():
        if peer.journal.device_of(entry.log) in liars:
            continue
        before = [peer.journal.get(entry.prev), peer.journal.get(entry.anchor)]
        floor = max((one.stamp for one in before if one and one.log not in world.forked), default=-1)
        if entry.stamp <= (highest if entry.log == peer.log else floor):
            raise Broken("stamps-grow", f"station {station.number} holds {entry.id.hex()[:8]}")
        highest = max(highest, entry.stamp)


def private_stays_private(station: Station, peer: Peer) -> None:
    own = peer.journal.logs_of(station.identity.device)
    mine = {entry.id for log in own for entry in log.entries}
    for entry in peer.journal.in_order():
        if entry.private and entry.id not in mine and station.post not in readers_of(entry):
            raise Broken("private-stays-private", f"station {station.number} has a text it may not read")
