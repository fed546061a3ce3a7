"""What screens have said of record entries, and what became of it: no line that "stands" is set aside without
a choice, a clone, a restored disk, a revocation or a broken station.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from protocol.branch import Step
from protocol.peer import Peer
from tests.sim.broken import Broken

if TYPE_CHECKING:
    from tests.sim.station import Station
    from tests.sim.world import World

UNEXCUSED = "said to stand, and set aside without an excuse"


@dataclass
class Ledger:
    """What stations have said, to be held against what is there in the end."""

    saved: dict[bytes, tuple[bytes, bytes]] = field(default_factory=dict)  # id -> device, log
    stood: dict[bytes, int] = field(default_factory=dict)  # record entries said to stand, and who said so
    looked: dict[int, tuple[Peer, int, int]] = field(default_factory=dict)
    known: dict[int, tuple[object, ...]] = field(default_factory=dict)  # what a station last went by


def what_it_says(world: World, station: Station) -> None:
    """Note each record entry that a station says stands."""
    peer = station.peer
    if peer is None:
        return
    known_by = (peer, peer._book.pen, peer.rankings, peer.receipts, *_held(peer))
    if world.ledger.known.get(station.number) == known_by:
        return  # it has heard and saved nothing since, so it says nothing else
    world.ledger.known[station.number] = known_by
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


def _held(peer: Peer) -> tuple[int, int]:
    """Batches saved and entries that came: both only grow while a process lives."""
    return (peer._links.saved_batch, peer.journal._arrivals)


def what_stands_stays(world: World, peer: Peer) -> None:
    """An entry said to stand is set aside only by a choice, a clone, a restored disk or a revocation."""
    counted = {entry.id for entry in peer.standing().chain}
    for entry_id, who in world.ledger.stood.items():
        if entry_id in counted:
            continue
        excuse = _excuse(world, peer, entry_id)
        if excuse is None:
            world.count(UNEXCUSED)
            raise Broken("what-stands-stays", f"{entry_id.hex()[:8]}, said by station {who}, is set aside")
        world.count(f"said to stand, and set aside by {excuse}")


def _excuse(world: World, peer: Peer, entry_id: bytes) -> str | None:
    if _chosen_away(peer, entry_id):
        return "a choice"
    if world.cloned:
        return "a clone"
    if world.restored:
        return "a restored disk"
    if world.counts["revocation"]:
        return "a revocation"
    return "a broken station" if world.malicious else None


def _chosen_away(peer: Peer, entry_id: bytes) -> bool:
    """Whether a choice lies on the record past the place where the branch of this entry leaves it."""
    node = peer._book.pen.nodes.get(entry_id)
    while node is not None and peer._book.pen.position(node.entry.id) is None:
        node = node.parent
    if node is None:
        return False
    place = peer._book.pen.position(node.entry.id)
    assert place is not None
    return any(later.epoch.step is Step.CHOSEN for later in peer.path()[place + 1 :])
