"""What an admitted station can do that no honest one does, and what a broken one may send."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from protocol import acts, wire
from protocol.courier_words import Carry
from protocol.entry import NONE, Entry, Kind, Payload, header_bytes, log_id, write
from protocol.peer import Peer
from protocol.stamp import MAX_STAMP, stamp_of
from tests.sim.air import courier_of
from tests.sim.station import SimIdentity, Station

if TYPE_CHECKING:
    from tests.sim.world import World


def strike(world: World, station: Station) -> None:
    """One stroke from a station to one of those it is linked with."""
    links = world.network.links_of(station)
    if station.peer is None or station.peer.log is None or not links:
        return
    strokes = [_fork, _garbage, _stranger, _bad_signature, _not_holder, _huge, _replay, _flood]
    strokes.append(_wrong_anchor)
    stroke = world.rng.choice(strokes if world.profile.air is None else [*strokes, _by_datagram])
    world.malicious.add(station.number)
    frames = stroke(world, station)
    for frame in frames:
        world.network.send(world.rng.choice(links), frame)
    world.count(f"malice: {stroke.__name__[1:].replace('_', ' ')}")


def _chunk(*entries: Entry) -> bytes:
    return wire.encode(wire.Chunk(0, [wire.Packed(entry.body, entry.signature) for entry in entries]))


def _by_datagram(world: World, station: Station) -> list[bytes]:
    """What no honest station sends, sealed with its good keys; some of it asks others to hand it on."""
    assert station.peer is not None
    courier = courier_of(station.peer)
    lanes = [lane for lane in courier._lanes.values() if lane.port] if courier else []
    if courier is None or not lanes:
        return []
    forged = world.rng.choice((_bad_signature, _stranger, _not_holder))(world, station)
    entries = [item for frame in forged for item in wire.decode(frame).entries]  # type: ignore[union-attr]
    for lane in lanes:
        if courier._seals.can_seal(lane.device, station.clock()):
            to = world.rng.choice([None, world.rng.choice(lanes).device])
            for item in entries:
                courier._seal(lane, Carry(item.signature, item.body, to))
            courier._seals.seal(lane.device, world.rng.randbytes(world.rng.randrange(200)))
    station.act("malice", lambda peer, now, wall: None)
    return []


def _own(station: Station) -> list[Entry]:
    assert station.peer is not None and station.peer.log is not None
    return station.peer.journal.logs[station.peer.log].entries


def _any_stamp(station: Station) -> int:
    """Far behind, far ahead, or by a clock that is off: in turn, by how much the station has written."""
    stamps = (0, MAX_STAMP - 1, stamp_of(station.wall()), stamp_of(station.wall() + 172_800_000))
    return stamps[len(_own(station)) % len(stamps)]


def _another(station: Station, seq: int, kind: str, payload: tuple[str, dict[str | bytes, object]]) -> Entry:
    """A validly signed entry at a place of the station's own log."""
    entries = _own(station)
    return write(
        station.identity,
        log=entries[0].log,
        seq=seq,
        prev=entries[seq - 1].id,
        anchor=entries[-1].anchor,
        time=station.wall(),
        stamp=_any_stamp(station),
        kind=kind,
        payload=payload,  # type: ignore[arg-type]
    )


def _fork(world: World, station: Station) -> list[bytes]:
    """Two entries at one place: one here, another there. (Who forks away an admission ends the match.)"""
    entries = _own(station)
    first = 1 + max(entry.seq for entry in entries if entry.kind == Kind.ROSTER)
    if first >= len(entries):
        return []
    seq = world.rng.randrange(first, len(entries))
    rival = _another(station, seq, Kind.FREE, ("note", {"rival": world.rng.random()}))
    world.forked.add(rival.log)
    return [_chunk(rival)]


def _garbage(world: World, station: Station) -> list[bytes]:
    return [world.rng.randbytes(world.rng.randrange(200))]


def _huge(world: World, station: Station) -> list[bytes]:
    """A message that announces far more than it holds."""
    return [b"\xdd\xff\xff\xff\xff" * 3, b"\x82\xa1t\xa6vector\xa4logs\xdd\x7f\xff\xff\xff"]


def _stranger(world: World, station: Station) -> list[bytes]:
    """The log of somebody who was never admitted, under an admission that is another's."""
    nobody = SimIdentity(f"nobody {world.seed}")
    assert station.peer is not None
    payload = (
        acts.LOG,
        {
            "match": station.peer.journal.match,
            "key": nobody.public_key,
            "run": hashlib.sha256(b"run").digest()[:16],
            "admission": station.peer.roster.admission_of(station.identity.device),
            "closes": {},
        },
    )
    log = log_id(header_bytes(payload))  # type: ignore[arg-type]
    entry = write(
        nobody,
        log=log,
        seq=0,
        prev=NONE,
        anchor=NONE,
        time=0,
        stamp=_any_stamp(station),
        kind=Kind.ROSTER,
        payload=payload,  # type: ignore[arg-type]
    )
    world.strange.add(entry.id)
    return [_chunk(entry)]


def _bad_signature(world: World, station: Station) -> list[bytes]:
    """Somebody else's next entry, signed by the wrong station."""
    assert station.peer is not None
    logs = [log for log in station.peer.journal.logs.values() if log.device != station.identity.device]
    if not logs:
        return []
    log = world.rng.choice(logs)
    entry = write(
        station.identity,
        log=log.id,
        seq=len(log.entries),
        prev=log.entries[-1].id if log.entries else NONE,
        anchor=NONE,
        time=0,
        stamp=_any_stamp(station),
        kind=Kind.FREE,
        payload=("note", {"forged": True}),
    )
    world.strange.add(entry.id)
    return [_chunk(entry)]


def _not_holder(world: World, station: Station) -> list[bytes]:
    """A record entry by one who has not got the pen, in the station's own log and so properly signed."""
    peer = station.peer
    assert peer is not None
    standing = peer.standing()
    if standing.holder_log == peer.log:
        return []
    fields: dict[str | bytes, object] = {
        "epoch": standing.epoch,
        "index": standing.index,
        "fact": ["false", {}],
    }
    entry = _another(station, len(_own(station)), Kind.RECORD, ("write", fields))
    world.usurped.add(entry.id)
    world.forked.add(entry.log)  # its own station does not know of it, and will sign another there
    return [_chunk(entry)]


def _wrong_anchor(world: World, station: Station) -> list[bytes]:
    """The one who writes goes wrong: it names a head that is not the place where the entry's number belongs,
    and holds and sends that as any other entry of its own.
    """

    def go_wrong(peer: Peer, now: float, wall: int) -> None:
        standing = peer.standing()
        if peer.log is None or standing.holder_log != peer.log or len(standing.chain) < 2:
            return
        entries = peer.journal.logs[peer.log].entries
        fields: dict[str | bytes, object] = {
            "epoch": standing.epoch,
            "index": standing.index,
            "fact": ["false", {}],
        }
        payload: Payload = ("write", fields)  # type: ignore[assignment]
        anchor = standing.chain[-2].id
        entry = peer._book._append(Kind.RECORD, payload, wall, len(entries), entries[-1].id, anchor, None)
        peer._keep_own([entry])
        world.usurped.add(entry.id)
        world.count("record entry on a head that is not its place")

    station.act("malice", go_wrong)
    return []


def _replay(world: World, station: Station) -> list[bytes]:
    """Everything that this station holds, sent again, entries of others too, last things first."""
    assert station.peer is not None
    entries = list(station.peer.journal.in_order())
    chosen = world.rng.sample(entries, min(20, len(entries)))
    return [_chunk(entry) for entry in chosen]


def _flood(world: World, station: Station) -> list[bytes]:
    """Hundreds of questions and of chunks that bring nothing new."""
    known = _chunk(*_own(station)[:3])
    return [wire.encode(wire.Ping(number, [])) for number in range(150)] + [known] * 50
