"""What stations tell each other of the clocks of third ones: who needs to know, and what it says here.

Knows how offsets and errors add up on the way. Evidence and display only, like all of `clock`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import ceil

from protocol import wire
from protocol.clock import Estimate
from protocol.session import Remote, Session

MOST_ERROR = 2**31 - 1


def clocks_for(session: Session, remotes: Mapping[bytes, Remote]) -> list[wire.ClockOf]:
    """The clocks to tell the other end of: of devices that it has no link with, and did not tell us of."""
    found: list[wire.ClockOf] = []
    for device, remote in remotes.items():
        name, there = device[: wire.NEAR_SIZE], session.remote.device
        known = None if device == there or name in session.near else remote.clock.estimate
        if known is not None and known.run is not None and known.by != there:
            # Whole milliseconds; one more at each station, so that a word that comes back is the worse one.
            error = min(MOST_ERROR, ceil(known.error_ms) + 1)
            run = known.run[: wire.NEAR_SIZE]
            found.append(wire.ClockOf(name, round(known.offset_ms), error, run))
    return found[: wire.MAX_IDS]


def take_clocks(
    session: Session, clocks: Iterable[wire.ClockOf], remotes: Mapping[bytes, Remote], now: float
) -> None:
    """The other end told of clocks, by its own; put on ours, as far as its own was measured here."""
    there = session.remote
    best = there.clock.best
    if best is None or there.clock.run != session.run:
        return
    by_name = {device[: wire.NEAR_SIZE]: remote for device, remote in remotes.items() if remote is not there}
    for told in clocks:
        if (remote := by_name.get(told.name)) is not None:
            error = told.error + best.delay_ms / 2
            remote.clock.hear_of(Estimate(told.offset + best.offset_ms, error, now, there.device, told.run))
