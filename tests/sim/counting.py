"""How often each rare state came about: a series in which one never does has not tested it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from protocol import acts
from protocol.branch import Node, Step
from protocol.entry import Entry, Kind, decoded
from protocol.peer import Peer
from tests.sim.said import UNEXCUSED

if TYPE_CHECKING:
    from tests.sim.world import World

RARE = (
    UNEXCUSED,
    "said to stand, and set aside by a choice",
    "said to stand, and set aside by a clone",
    "said to stand, and set aside by a restored disk",
    "said to stand, and set aside by a revocation",
    "certified take",
    "forced writer certified by itself",
    "restarted writer certified by itself",
    "other writer certified by itself",
    "opened: chosen",
    "opened: grant",
    "opened: forced",
    "opened: restart",
    "two takes in one round",
    "two openings left one epoch",
    "grant against take",
    "forced fork",
    "fork proof",
    "fork proof of a cloned process",
    "revocation",
    "revocation while parted",
    "mutual revocation",
    "record entry past a cut",
    "record sealed",
    "late branch after a set",
    "late branch after a seal",
    "clone of a disk",
    "clone of a process",
    "clone told",
    "clone that left no trace",
    "restored",
    "torn tail",
    "crash after the disk, before the answer",
    "crash at a step",
    "disk stalled",
    "disk full",
    "disk read-only",
    "commit refused: disk full",
    "commit refused: disk read-only",
    "crash while the disk full",
    "crash while the disk read-only",
    "start refused: disk read-only",
    "long stall",
    "sleep, the monotonic clock stood still",
    "sleep, the monotonic clock ran on",
    "wall clock set forward",
    "wall clock set back",
    "wall clock set right",
    "slow link",
    "clock that drifts 200 ppm",
    "unknown kind written",
    "stale anchor refused",
    "lost for good",
)


def count_states(world: World, peer: Peer) -> None:
    """Count what one group of stations has come to."""
    standing = peer.standing()
    world.counts["record entries counted"] += len(standing.chain)
    world.counts["record entries set aside"] += len(standing.set_aside)
    world.counts["record sealed"] += standing.sealed
    _count_openings(world.counts, peer)
    _count_branches(world.counts, peer)
    _count_revocations(world.counts, peer)
    takes = Counter((take.epoch, take.round) for _, take in peer._book.pen.takes.values())
    world.counts["two takes in one round"] += sum(number > 1 for number in takes.values())
    for log in peer.journal.logs.values():
        if log.fork is not None:
            world.count("fork proof of a cloned process" if world.cloned else "fork proof")


def _count_openings(counts: Counter[str], peer: Peer) -> None:
    epochs = peer.epochs()
    known = {epoch.id: epoch for epoch in epochs}
    device_of = peer.journal.device_of
    left: dict[bytes | None, set[Step]] = {}
    for epoch in epochs[1:]:
        how = _how(peer, epoch.id) if epoch.step is Step.FORCED else epoch.step.name.lower()
        counts[f"opened: {how}"] += 1
        before = left.setdefault(epoch.left, set())
        counts["two openings left one epoch"] += len(before) == 1
        before.add(epoch.step)
        if epoch.step is Step.CERTIFIED and epoch.left is not None:
            old = known[epoch.left]
            if device_of(epoch.holder) != device_of(old.holder):
                counts["certified take"] += 1
            else:
                was = _how(peer, old.id) if old.step is Step.FORCED else "other"
                was = {"forced": "forced", "restart": "restarted"}.get(was, "other")
                counts[f"{was} writer certified by itself"] += 1
    counts["grant against take"] += sum({Step.GRANT, Step.CERTIFIED} <= steps for steps in left.values())


def _how(peer: Peer, epoch: bytes) -> str:
    entry = peer.journal.get(epoch)
    opening = decoded(entry.fields, acts.Opening) if entry else None
    return opening.how if opening else "other"


def _count_branches(counts: Counter[str], peer: Peer) -> None:
    path = peer.path()
    for place, node in enumerate(path):
        for child in node.children if len(node.children) > 1 else ():
            if place + 1 < len(path) and child is path[place + 1]:
                continue
            counts["forced fork"] += _forced(peer, child) or _forced(peer, path[place + 1])
            if any(later.is_record for later in (child, *child.children)):
                later = path[place + 1 :]
                counts["late branch after a set"] += any(_ends_set(node.entry) for node in later)
                counts["late branch after a seal"] += any(node.is_seal for node in later)


def _forced(peer: Peer, node: Node) -> bool:
    opens = node.epoch.id == node.entry.id and node.epoch.step is Step.FORCED
    return opens and _how(peer, node.entry.id) == acts.FORCED


def _ends_set(entry: Entry) -> bool:
    fact = entry.fields.get("fact")
    return isinstance(fact, list) and fact[0] == "set"


def _count_revocations(counts: Counter[str], peer: Peer) -> None:
    pairs = set()
    for entry in peer.journal.in_order():
        if entry.kind == Kind.ROSTER and entry.act == acts.REVOKE:
            revoke = decoded(entry.fields, acts.Revoke)
            if revoke is not None:
                pairs.add((peer.journal.device_of(entry.log), revoke.device))
    counts["mutual revocation"] += sum((b, a) in pairs for a, b in pairs) // 2
    counts["record entry past a cut"] += sum(
        node.is_record and peer.roster.past_cut(node.entry.log, node.entry.seq)
        for node in peer._book.pen.nodes.values()
    )


def report(counts: Counter[str]) -> str:
    """Every rare state with its number, zero too; then whatever else was counted."""
    lines = ["rare states"]
    lines += [f"  {counts[name]:9} {name}" for name in RARE]
    lines.append("everything else")
    lines += [f"  {number:9} {name}" for name, number in sorted(counts.items()) if name not in RARE]
    return "\n".join(lines)
