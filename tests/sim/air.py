"""Datagrams between simulated stations: lost, late, twice, again much later, spoilt.

They take no notice of links: a cut in one direction stops them, the end of a link does not.
"""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from protocol.courier import Cast, Courier
from protocol.entry import id_of
from protocol.peer import Peer
from tests.sim.broken import Broken

if TYPE_CHECKING:
    from tests.sim.station import Station
    from tests.sim.world import World

PORT = 1000
KEPT = 200
TWICE, AGAIN, SPOILT, STRAY = 0.05, 0.05, 0.05, 0.02


def courier_of(peer: Peer) -> Courier | None:
    return peer._links.desk.courier


class Air:
    """`take` is where all that a courier sends goes in."""

    def __init__(self, world: World) -> None:
        self.world = world
        self._old: deque[tuple[Station, int, bytes]] = deque(maxlen=KEPT)
        self._opened: dict[tuple[int, bytes], Peer] = {}  # which run has opened a datagram

    def take(self, sender: Station, cast: Cast) -> None:
        world, rng = self.world, self.world.rng
        receiver = cast.port - PORT
        world.count("datagram")
        assert world.stations[receiver].identity.device == cast.device
        if world.network.calm:
            self._fly(sender, receiver, cast.datagram)
            return
        self._old.append((sender, receiver, cast.datagram))
        loss = world.profile.air or 0.0
        if rng.random() >= loss:
            self._fly(sender, receiver, cast.datagram)
        if rng.random() < TWICE:
            self._fly(sender, receiver, cast.datagram)
        if rng.random() < SPOILT:
            self._fly(sender, receiver, self._spoilt(cast.datagram), spoilt=True)
        if rng.random() < AGAIN:
            world.count("datagram replayed")
            self._fly(*rng.choice(self._old))
        if rng.random() < STRAY:
            self._fly(sender, rng.randrange(len(world.stations)), cast.datagram)

    def _spoilt(self, datagram: bytes) -> bytes:
        rng = self.world.rng
        self.world.count("datagram spoilt")
        spoilt = bytearray(datagram)
        spoilt[rng.randrange(len(spoilt))] ^= 1 << rng.randrange(8)
        return bytes(spoilt[: rng.randrange(1, len(spoilt))]) if rng.random() < 0.3 else bytes(spoilt)

    def _fly(self, sender: Station, receiver: int, datagram: bytes, *, spoilt: bool = False) -> None:
        profile, rng = self.world.profile, self.world.rng
        delay = profile.delay * rng.uniform(0.5, 1.5)
        if not self.world.network.calm:
            delay += rng.expovariate(1.0) * profile.jitter
        self.world.after(delay, lambda: self._arrive(sender, receiver, datagram, spoilt))

    def _arrive(self, sender: Station, receiver: int, datagram: bytes, spoilt: bool) -> None:
        station = self.world.stations[receiver]
        if self.world.network.cut(sender.number, receiver):
            return

        def hear(peer: Peer, now: float, wall: int) -> None:
            courier = courier_of(peer)
            if courier is None:
                return
            before = courier.opened
            arrival = courier.receive(datagram, now)
            if courier.opened != before:
                self._is_opened(station, peer, datagram, spoilt)
                station.heard[sender.identity.device] = now
            if arrival is not None:
                peer.carried(arrival, now, wall)
                self.world.count("entry by datagram")

        station.act("air", hear, datagram)

    def _is_opened(self, station: Station, peer: Peer, datagram: bytes, spoilt: bool) -> None:
        """A datagram opens once, in the run for which it was sealed, and only as it was sealed."""
        if spoilt:
            raise Broken("datagrams-open-once", f"station {station.number} opened a spoilt one")
        if self._opened.get((station.number, datagram)) is not None:
            raise Broken("datagrams-open-once", f"station {station.number} opened one twice")
        self._opened[station.number, datagram] = peer


def check(station: Station, peer: Peer) -> None:
    """What a courier may be about to send, and whose keys it may hold, at every moment."""
    courier = courier_of(peer)
    if courier is None:
        return
    for parcel in courier.parcels():
        body = parcel.carry.body
        if body not in station.carried:  # what is on the disk stays there while the process lives
            if id_of(body) not in station.disk:
                raise Broken("saved-survives", f"station {station.number} sent by datagram what is not saved")
            station.carried.add(body)
    belong = (peer.roster, courier.devices())
    if station.belong is None or station.belong[0] is not belong[0] or station.belong[1] != belong[1]:
        station.belong = belong
        if any(peer.member(device) is None for device in belong[1]):
            raise Broken("keys-end", f"station {station.number} holds keys of one who was taken out")
