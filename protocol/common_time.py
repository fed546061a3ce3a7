"""The time of a match as one clock: that of the one who writes. What the milliseconds of stamps are told by.

Each station reads it on its own clock, which nobody sets in a run, by the difference it knows:

- The first run of the opener is the beginning: there the common time is that clock, as it is.
- When the pen moves, the new writer's clock is what the others go by, but the time goes on without a jump:
  how far its clock is behind is read off the first entry that it stamped by a clock in its epoch, stamp less
  `time`. So it follows from entries alone, and is the same at all stations.
- The writer's clock less ours is measured (`clock`). While it cannot be, because it is away or has started
  anew, our own clock goes on with the difference that was known last.
- A new run knows nothing of earlier clocks, its own device's neither: they may have been set since. It goes
  by what others that go on have stamped by a clock; where nobody has, stamps are counted only. A writer that
  comes back so lets the time go on from the highest stamp it has seen.

A writer that lies about its clock moves the common time of all, together; order among them stays. Evidence
only: nothing of the record, the pen or acceptance rests on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import median_low

from protocol.branch import Node
from protocol.clock import Estimate
from protocol.journal import Journal, Log
from protocol.pen import Pen
from protocol.session import Remote
from protocol.stamp import AHEAD_MS, COUNT_BITS, MAX_MS, StampClock, by_clock, milliseconds_of, stamp_of

BLIND_MS = 86_400_000
"""A station without a clock believes stamps up to a day past the last one by who writes."""
TOLD_MS = 60_000
"""What others tell of the writer's clock puts right by so much, as it drifts. More is no drift."""


@dataclass(frozen=True, slots=True)
class Source:
    """Whose clock shows the common time, and how much it is behind it: `lead`, milliseconds."""

    log: bytes
    lead: int


class CommonTime:
    """The common time at one station. `clocks`: what is known of other devices, kept up by the links."""

    def __init__(self, journal: Journal) -> None:
        self.clocks: Mapping[bytes, Remote] = {}
        self.stamps = StampClock()
        self._journal = journal
        self._lead: float | None = None  # common time less our clock, as it was known last
        self._source: Source | None = None
        self._ranked: tuple[Pen, int] | None = None  # the tree from which the source was read

    def begin(self) -> None:
        """This run opens the match: the common time is its clock."""
        self._lead = 0.0

    def stamp(self, log: bytes, pen: Pen, wall_ms: int) -> int:
        """The stamp of an entry that is written now in our own `log`. `wall_ms`: our clock."""
        self.look(log, pen, wall_ms)
        if self._lead is None and pen.standing().holder_log == log:
            self._lead = float(milliseconds_of(self.stamps.highest) + 1 - wall_ms)
        return self.stamps.write(self._now(wall_ms))

    def look(self, log: bytes | None, pen: Pen, wall_ms: int) -> None:
        """Keep up with the clocks; `log`: our own, of this run."""
        source = self._read_source(pen)
        if self._lead is None:
            self._believe_without_a_clock(source)
        if source is not None:
            lead = self._lead_by(source, log)
            if lead is None and self._lead is None:
                lead = self._lead_by_others(source)
            self._lead = self._lead if lead is None else lead
        now = self._now(wall_ms)
        if now is not None:
            self.stamps.believe(now + AHEAD_MS)

    def _believe_without_a_clock(self, source: Source | None) -> None:
        there = None if source is None else self._journal.logs.get(source.log)
        last = there.entries[-1].stamp if there is not None and there.entries else stamp_of(MAX_MS)
        self.stamps.believe(milliseconds_of(last) + BLIND_MS)

    def _now(self, wall_ms: int) -> int | None:
        return None if self._lead is None else round(wall_ms + self._lead)

    def _read_source(self, pen: Pen) -> Source | None:
        """Whose clock it is; read anew when another branch counts, or until the writer shows its clock."""
        standing = pen.standing()
        ranked = (pen, pen.rankings)
        settled = self._source is not None and self._source.log == standing.holder_log
        if self._ranked != ranked or not settled:
            self._ranked, self._source = ranked, source_of(pen)
        return self._source

    def _estimate(self, source: Source) -> Estimate | None:
        """What is known of a source's clock, if that is of the run whose log it is."""
        log = self._journal.logs.get(source.log)
        remote = None if log is None else self.clocks.get(log.device)
        if log is None or remote is None or (estimate := remote.clock.estimate) is None:
            return None
        its = estimate.run is not None and log.header.run.startswith(estimate.run)
        return estimate if its else None

    def _lead_by(self, source: Source, log: bytes | None) -> float | None:
        """Common time less our clock, by the one whose clock it is."""
        if source.log == log:
            return float(source.lead)
        estimate = self._estimate(source)
        if estimate is None:
            return None
        lead = source.lead + estimate.offset_ms
        jump = 0.0 if self._lead is None else abs(lead - self._lead)
        return None if estimate.by is not None and jump > TOLD_MS else lead

    def _lead_by_others(self, source: Source) -> float | None:
        """Common time less our clock, by those that have stamped by a clock in their present run: the middle
        of what they say, the lesser one of two.
        """
        found = []
        for log in self._journal.logs.values():
            remote = self.clocks.get(log.device)
            if remote is None or remote.clock.run != log.header.run or remote.clock.best is None:
                continue
            lead = source.lead if log.id == source.log else self._lead_of(log)
            if lead is not None:
                found.append(lead + remote.clock.best.offset_ms)
        return median_low(found) if found else None

    def _lead_of(self, log: Log) -> int | None:
        """Common time less the clock of a log's author, as it was when it last read that clock."""
        told = (e for e in reversed(log.entries) if by_clock(e.stamp) and self.stamps.believes(e.stamp))
        last = next(told, None)
        return None if last is None else milliseconds_of(last.stamp) - last.time


def source_of(pen: Pen) -> Source | None:
    """Whose clock shows the common time, by the branch that counts; None before the match is opened."""
    path = pen.path()
    end = len(path)
    for epoch in reversed(pen.standing().epochs):
        start = pen.position(epoch.id)
        assert start is not None
        for node in path[start:end]:
            if _shows(node):
                return Source(epoch.holder, milliseconds_of(node.entry.stamp) - node.entry.time)
        end = start
    return Source(path[0].epoch.holder, 0) if path else None


def _shows(node: Node) -> bool:
    """Whether its writer read its clock here, and after what came before it.

    The opening of the match shows nothing: there the common time is the opener's clock.
    """
    entry, parent = node.entry, node.parent
    if parent is None or entry.log != node.epoch.holder:
        return False
    return by_clock(entry.stamp) and parent.entry.stamp < entry.stamp <= MAX_MS << COUNT_BITS
