"""What the people at the stations do, and what goes wrong with devices and members, drawn from the seed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from protocol.entry import Kind, Payload, private_text
from protocol.peer import MovedOn, Peer, WriteError
from tests.sim import checks, malice
from tests.sim.station import Station

if TYPE_CHECKING:
    from tests.sim.world import World


def one_act(world: World, station: Station) -> None:
    """One act of one station: a stall, a stroke of malice, a pen act, a record entry or a free one."""
    rng, profile = world.rng, world.profile
    if rng.random() < profile.freeze:
        station.frozen_until = min(world.now + rng.uniform(1.0, 8.0), profile.span)
        world.count("long stall")
    if rng.random() < profile.malice:
        malice.strike(world, station)
    for chance, do in (
        (profile.grant, _grant),
        (profile.take, _take),
        (profile.force, _force),
        (profile.choose, _choose),
        (profile.seal, _sign_or_seal),
        (profile.revoke, _revoke),
    ):
        if rng.random() < chance:
            station.act(
                do.__name__[1:], lambda peer, now, wall, do=do: _try(world, do, station, peer, now, wall)
            )
    if rng.random() < profile.record:
        station.act("record", lambda peer, now, wall: _record(world, station, peer, now, wall))
    else:
        station.act("free", lambda peer, now, wall: _free(world, peer, now, wall))


def _try(world: World, do: object, station: Station, peer: Peer, now: float, wall: int) -> None:
    assert callable(do)
    try:
        do(world, station, peer, now, wall)
    except WriteError as refused:
        world.count(f"refused: {type(refused).__name__}")


def _record(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
    if not peer.may_write():
        return
    rng, before = world.rng, peer.standing()
    name = "set" if before.index and rng.random() < 0.04 else "point"
    payload: Payload = ("write", {"fact": [name, {"n": rng.randrange(1000)}]})
    anchor = None
    if len(before.chain) > 1 and rng.random() < 0.05:
        anchor = before.chain[-2].id  # decided on a head that is no longer the head
    try:
        entry = peer.author(Kind.RECORD, payload, now, wall, anchor=anchor)
    except MovedOn:
        world.count("stale anchor refused")
        return
    except WriteError:
        return
    if peer.standing().epoch != before.epoch:  # the pen was an earlier run's: an epoch was opened first
        before = checks.fold_of(peer.journal, without=entry.id)
    checks.written(world, station, peer, entry, before)
    world.count("record written")


def _free(world: World, peer: Peer, now: float, wall: int) -> None:
    fields: dict[str | bytes, object] = {"n": world.rng.randrange(1000)}
    private = None
    if world.rng.random() < world.profile.private:
        digest, private = private_text("invented", world.rng.randbytes(16))
        fields["text"] = {"hash": digest, "readers": ["R1", "R2"]}
    kind = Kind.FREE
    if private is None and world.rng.random() < 0.05:
        kind = "later"  # type: ignore[assignment]  # a kind that only a newer version knows
        world.count("unknown kind written")
    try:
        peer.author(kind, ("note", fields), now, wall, private=private)  # type: ignore[arg-type]
    except WriteError:
        world.count("not admitted yet")


def _take(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
    peer.take_pen(now, wall)
    world.count("take")


def _force(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
    if peer.holder_silent(now):
        peer.force_pen(now, wall)
        world.count("force")


def _grant(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
    other = world.rng.choice(world.stations)
    if other is not station:
        peer.grant_pen(other.identity.device, now, wall)
        world.count("grant")


def _choose(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
    standing = peer.standing()
    heads = [entry.id for entry in (*standing.chain, *standing.set_aside)][-6:]
    if heads:
        peer.choose(world.rng.choice(heads), world.rng.choice(world.stations).identity.device, now, wall)
        world.count("choice")


def _sign_or_seal(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
    if station.post == "R1" and peer.standing().chain:
        number = 1 + sum(entry.act == "sign_off" for entry in peer.journal.in_order())
        peer.author(Kind.FREE, ("sign_off", {"number": number}), now, wall)
        world.count("sign-off")
        return
    head = peer.standing().head
    signed = [entry for entry in peer.journal.in_order() if entry.act == "sign_off" and entry.anchor == head]
    if signed:
        peer.seal(signed[-1].id, now, wall)
        world.count("seal")


def _revoke(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
    other = world.rng.choice(world.stations)
    if other is not station:
        peer.revoke(other.identity.device, now, wall)
        world.count("revocation")
        if world.network.parted():
            world.count("revocation while parted")


def revoke_each_other(world: World) -> None:
    """Two stations take each other out before either can hear of it."""
    able = [station for station in world.stations if station.peer is not None and station.post != "site"]
    if world.quiet or len(able) < 2:
        return
    one, other = world.rng.sample(able, 2)
    for author, target in ((one, other), (other, one)):
        author.act(
            "revoke",
            lambda peer, now, wall, author=author, target=target: _try(
                world, _revoking(target), author, peer, now, wall
            ),
        )


def _revoking(target: Station) -> object:
    def revoke(world: World, station: Station, peer: Peer, now: float, wall: int) -> None:
        peer.revoke(target.identity.device, now, wall)
        world.count("revocation")

    return revoke
