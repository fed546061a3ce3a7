"""A switch for Ethernet frames that treats them as a bad network would. Pure: times and chance handed in.

Knows ports, addresses of frames, delay, loss, duplicates, reordering, queues, cuts and gates. Knows no device
and no clock: `receive` takes a frame at a time, `due` gives what is to go out by then. Times in seconds,
rates in bytes a second.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable
from dataclasses import dataclass, field
from random import Random
from typing import NamedTuple

BROADCAST = b"\xff" * 6
IPV4 = b"\x08\x00"
ETHERNET_HEADER = 14
PROTOCOL_AT = ETHERNET_HEADER + 9  # the protocol number in an IPv4 header (RFC 791)
TCP, UDP = 6, 17
MOST_WAITING = 100_000


@dataclass(frozen=True, slots=True)
class Weather:
    """What happens to a frame between two stations, each direction by itself.

    `loss`, `duplicate`, `reorder`: shares of the frames. `delay` plus or minus `jitter`, evenly spread.
    A frame keeps its place behind those before it, but for the share `reorder`, which waits up to three
    times `jitter` longer and may be overtaken. `burst`: mean length of the times in which everything is lost;
    0: each frame is lost or not by itself.
    """

    loss: float = 0.0
    delay: float = 0.0
    jitter: float = 0.0
    duplicate: float = 0.0
    reorder: float = 0.0
    burst: float = 0.0


CLEAR = Weather()


@dataclass(frozen=True, slots=True)
class Line:
    """The line between a station and the switch, each way: `rate` (0: without limit) and room to queue."""

    rate: float = 0.0
    queue: float = 64 * 1024.0


@dataclass(frozen=True, slots=True)
class Gates:
    """What the network lets through at all. `unicast` false: stations are kept from each other (isolation).

    `udp` means datagrams to one station; `multicast` those to many. Questions for an address (broadcast)
    pass wherever unicast passes.
    """

    unicast: bool = True
    multicast: bool = True
    udp: bool = True


OPEN = Gates()


class Delivery(NamedTuple):
    """A frame that leaves the switch now."""

    port: int
    frame: bytes


@dataclass(slots=True)
class Count:
    """What came in from a port, in frames and bytes; how many copies of it were lost, by what."""

    frames: int = 0
    bytes: int = 0
    tcp_bytes: int = 0
    udp_bytes: int = 0
    lost: int = 0
    queued_out: int = 0
    stopped: int = 0


@dataclass(slots=True)
class _Burst:
    """Good and bad times of one direction."""

    bad: bool = False
    until: float = 0.0


@dataclass(slots=True)
class Switch:
    """Ports 0 to `ports` - 1. One source of chance decides everything, so a seed gives the same again."""

    ports: int
    random: Random
    weather: Weather = CLEAR
    gates: Gates = OPEN
    lines: dict[int, Line] = field(default_factory=dict)
    counts: list[Count] = field(default_factory=list)
    _friends: frozenset[tuple[int, int]] = frozenset()
    _cut: frozenset[tuple[int, int]] = frozenset()
    _where: dict[bytes, int] = field(default_factory=dict)
    _waiting: list[tuple[float, int, int, int, bytes]] = field(default_factory=list)
    _number: int = 0
    _free: dict[tuple[int, str], float] = field(default_factory=dict)
    _last: dict[tuple[int, int], float] = field(default_factory=dict)
    _bursts: dict[tuple[int, int], _Burst] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.counts = [Count() for _ in range(self.ports)]

    # -- how the network is

    def part(self, groups: Iterable[Iterable[int]]) -> None:
        """Only ports of one group reach each other; a port in no group is alone."""
        together = {(a, b) for group in map(tuple, groups) for a in group for b in group}
        everyone = range(self.ports)
        self._cut = frozenset((a, b) for a in everyone for b in everyone if (a, b) not in together)

    def cut(self, source: int, target: int) -> None:
        """Nothing passes from one port to another, in this direction."""
        self._cut |= {(source, target)}

    def heal(self) -> None:
        """End every partition."""
        self._cut = frozenset()

    def gate(self, gates: Gates, friends: Iterable[tuple[int, int]] = ()) -> None:
        """Let only this through; `friends` are pairs of ports that reach each other nevertheless."""
        pairs = [*friends]
        self.gates = gates
        self._friends = frozenset([*pairs, *((b, a) for a, b in pairs)])

    # -- frames

    def receive(self, port: int, frame: bytes, now: float) -> None:
        """A frame came in from a port."""
        if len(frame) < ETHERNET_HEADER:
            return
        count = self.counts[port]
        count.frames += 1
        count.bytes += len(frame)
        kind = _protocol(frame)
        count.tcp_bytes += len(frame) * (kind == TCP)
        count.udp_bytes += len(frame) * (kind == UDP)
        target, source = frame[:6], frame[6:12]
        self._where[source] = port
        at = self._through(port, "up", len(frame), now)
        if at is None:
            return
        known = None if target[0] & 1 else self._where.get(target)
        for out in range(self.ports) if known is None else (known,):
            if out != port:
                self._send(port, out, frame, at)

    def due(self, now: float) -> list[Delivery]:
        """What leaves the switch up to now, in order."""
        out: list[Delivery] = []
        while self._waiting and self._waiting[0][0] <= now:
            at, _, source, port, frame = heapq.heappop(self._waiting)
            if source < 0:
                out.append(Delivery(port, frame))
            elif (end := self._through(port, "down", len(frame), at, source)) is not None:
                self._wait(end, -1, port, frame)
        return out

    def next_due(self) -> float | None:
        """When `due` has something next."""
        return self._waiting[0][0] if self._waiting else None

    def _send(self, source: int, target: int, frame: bytes, at: float) -> None:
        count = self.counts[source]
        if not self._open(source, target, frame):
            count.stopped += 1
            return
        if self._is_lost(source, target, at):
            count.lost += 1
            return
        copies = 2 if self._draws(self.weather.duplicate) else 1
        for _ in range(copies):
            self._wait(self._arrival(source, target, at), source, target, frame)

    def _wait(self, at: float, source: int, target: int, frame: bytes) -> None:
        if len(self._waiting) < MOST_WAITING:
            self._number += 1
            heapq.heappush(self._waiting, (at, self._number, source, target, frame))

    def _open(self, source: int, target: int, frame: bytes) -> bool:
        pair = (source, target)
        if pair in self._cut:
            return False
        if pair in self._friends:
            return True
        many = bool(frame[0] & 1)
        if many and frame[:6] != BROADCAST:
            return self.gates.multicast
        if not many and not self.gates.udp and _protocol(frame) == UDP:
            return False
        return self.gates.unicast

    def _is_lost(self, source: int, target: int, at: float) -> bool:
        weather = self.weather
        if not weather.burst:
            return self._draws(weather.loss)
        if not 0 < weather.loss < 1:
            return weather.loss >= 1
        burst = self._bursts.setdefault((source, target), _Burst(bad=True))
        while burst.until <= at:
            burst.bad = not burst.bad
            mean = weather.burst if burst.bad else weather.burst * (1 - weather.loss) / weather.loss
            burst.until += self.random.expovariate(1 / mean)
        return burst.bad

    def _arrival(self, source: int, target: int, at: float) -> float:
        weather = self.weather
        arrival = at + weather.delay
        if weather.jitter:
            arrival += self.random.uniform(-weather.jitter, weather.jitter)
        if self._draws(weather.reorder):
            return arrival + self.random.uniform(0, 3 * weather.jitter)
        arrival = max(arrival, self._last.get((source, target), 0.0))
        self._last[source, target] = arrival
        return arrival

    def _through(self, port: int, way: str, size: int, at: float, source: int | None = None) -> float | None:
        """When a frame is through the line of a port; None when its queue has no room for it."""
        line = self.lines.get(port)
        if line is None or not line.rate:
            return at
        free = max(at, self._free.get((port, way), 0.0))
        if (free - at) * line.rate + size > line.queue:
            self.counts[port if source is None else source].queued_out += 1
            return None
        self._free[port, way] = end = free + size / line.rate
        return end

    def _draws(self, share: float) -> bool:
        return share > 0 and self.random.random() < share


def _protocol(frame: bytes) -> int | None:
    """The protocol number inside an IPv4 packet; None for everything else."""
    if frame[12:14] != IPV4 or len(frame) <= PROTOCOL_AT:
        return None
    return frame[PROTOCOL_AT]
