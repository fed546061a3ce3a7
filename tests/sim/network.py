"""Links between simulated stations: delay, loss, duplicates, cuts in one or both directions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.sim.station import Station
    from tests.sim.world import World


@dataclass
class Wire:
    """One connection: the stations, the link number at each end, and when the last frame arrives each way."""

    ends: tuple[Station, Station]
    links: tuple[int, int]
    last: list[float]
    open: bool = True


class Network:
    def __init__(self, world: World) -> None:
        self.world = world
        self.calm = False
        self.cuts: dict[tuple[int, int], float] = {}  # direction -> until when
        self.wires: dict[tuple[int, int], Wire] = {}
        self.by_link: dict[int, tuple[Wire, int]] = {}
        self._links = 0
        self.frames = 0
        self.never: set[tuple[int, int]] = set()  # pairs that have no way to each other

    def cut(self, a: int, b: int) -> bool:
        return not self.calm and self.cuts.get((a, b), 0.0) > self.world.now

    def parted(self) -> bool:
        return any(until > self.world.now for until in self.cuts.values())

    def links_of(self, station: Station) -> list[int]:
        return [wire.links[wire.ends.index(station)] for wire in self.wires.values() if station in wire.ends]

    def dial_all(self) -> None:
        """Connect every pair that can be connected; comes again by itself."""
        rng = self.world.rng
        stations = self.world.stations
        for a in stations:
            for b in stations[a.number + 1 :]:
                able = a.peer is not None and b.peer is not None
                parted = self.cut(a.number, b.number) or self.cut(b.number, a.number)
                parted = parted or (a.number, b.number) in self.never
                if able and not parted and (a.number, b.number) not in self.wires and rng.random() < 0.7:
                    self._connect(a, b)
        self.world.after(rng.uniform(0.2, 0.6), self.dial_all)

    def _connect(self, a: Station, b: Station) -> None:
        self._links += 2
        wire = Wire((a, b), (self._links, self._links + 1), [0.0, 0.0])
        self.wires[a.number, b.number] = wire
        self.by_link[wire.links[0]] = (wire, 0)
        self.by_link[wire.links[1]] = (wire, 1)
        for end, other in ((0, b), (1, a)):
            delay = self._delay()
            wire.last = [max(last, self.world.now + delay) for last in wire.last]  # no frame comes before
            self.world.after(delay, lambda end=end, other=other: self._up(wire, end, other))

    def _up(self, wire: Wire, end: int, other: Station) -> None:
        if wire.open:
            link = wire.links[end]
            wire.ends[end].act(
                "up", lambda peer, now, wall: peer.link_up(link, other.identity.device, now, wall)
            )

    def _delay(self) -> float:
        profile, rng = self.world.profile, self.world.rng
        jitter = 0.0 if self.calm else rng.expovariate(1.0) * profile.jitter
        return profile.delay * rng.uniform(0.5, 1.5) + jitter

    def send(self, link: int, frame: bytes) -> None:
        held = self.by_link.get(link)
        if held is None:
            return
        wire, end = held
        profile, rng = self.world.profile, self.world.rng
        self.frames += 1
        copies = 1
        if not profile.stream and not self.calm:
            copies = 0 if rng.random() < profile.loss else 1 + (rng.random() < profile.duplicate)
        for _ in range(copies):
            at = self.world.now + self._delay()
            if self.world.slow in (wire.ends[0].number, wire.ends[1].number) and not self.calm:
                at = max(at, wire.last[end]) + len(frame) / profile.slow_rate
            if profile.stream:
                at = wire.last[end] = max(wire.last[end] + 1e-6, at)
            self.world.at(at, lambda: self._arrive(wire, end, frame))

    def _arrive(self, wire: Wire, end: int, frame: bytes) -> None:
        a, b = wire.ends[end], wire.ends[1 - end]
        if not wire.open:
            return
        if self.cut(a.number, b.number):
            if self.world.profile.stream:  # what a stream loses, it has lost for good: the link will die
                wire.last[end] = float("inf")
            return
        if wire.last[end] == float("inf"):
            return
        link = wire.links[1 - end]
        b.act("in", lambda peer, now, wall: b.hear(peer, a, link, frame), frame)

    def close(self, link: int) -> None:
        """One end closed its side; the other hears of it a little later."""
        held = self.by_link.get(link)
        if held is not None and held[0].open:
            self._close(held[0])
            wire, end = held
            other, other_link = wire.ends[1 - end], wire.links[1 - end]
            self.world.after(
                self._delay(),
                lambda: other.act("down", lambda peer, now, wall: peer.link_down(other_link, now)),
            )

    def _close(self, wire: Wire) -> None:
        wire.open = False
        self.wires.pop((wire.ends[0].number, wire.ends[1].number), None)
        for link in wire.links:
            self.by_link.pop(link, None)

    def station_gone(self, station: Station) -> None:
        for wire in list(self.wires.values()):
            if station in wire.ends:
                end = wire.ends.index(station)
                self.close(wire.links[end])

    def empty_slow_links(self) -> None:
        """A link on which more than a second of frames is still under way ends, and is dialled anew."""
        for wire in list(self.wires.values()):
            if self.world.now + 1.0 < max(wire.last) < float("inf"):
                self.close(wire.links[0])
                self.close(wire.links[1])

    def leave_out_pairs(self) -> None:
        """Some pairs can never connect; everybody still has a way to everybody, over others."""
        rng = self.world.rng
        numbers = [station.number for station in self.world.stations]
        rng.shuffle(numbers)
        tree = {tuple(sorted((n, rng.choice(numbers[:i])))) for i, n in enumerate(numbers) if i}
        pairs = [(a, b) for a in numbers for b in numbers if a < b]
        self.never = {pair for pair in pairs if pair not in tree and rng.random() < 0.8}

    def part(self, station: Station, until: float) -> None:
        """Nothing gets from one station to the others, or back."""
        for other in self.world.stations:
            if other is not station:
                self.cuts[station.number, other.number] = until
                self.cuts[other.number, station.number] = until
        self.world.count("cut in two")

    def cut_some(self) -> None:
        """Draw a cut: one direction, one pair, or the stations in two groups; comes again by itself."""
        profile, rng = self.world.profile, self.world.rng
        if self.calm:
            return
        until = self.world.now + rng.expovariate(1.0 / profile.cut_span)
        numbers = [station.number for station in self.world.stations]
        if rng.random() < profile.one_way:
            a, b = rng.sample(numbers, 2)
            self.cuts[a, b] = until
            self.world.count("cut one way")
        else:
            group = set(rng.sample(numbers, rng.randint(1, len(numbers) - 1)))
            for a in numbers:
                for b in numbers:
                    if (a in group) != (b in group):
                        self.cuts[a, b] = until
            self.world.count("cut in two")
        self.world.after(rng.expovariate(1.0 / profile.cut_every), self.cut_some)
