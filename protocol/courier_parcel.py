"""One entry on its way to one station by datagram, and one copy of it that is due. Times in seconds."""

from __future__ import annotations

from dataclasses import dataclass

from protocol.courier_words import Carry


@dataclass(slots=True)
class Parcel:
    """One entry on its way to one station. `copies`: sent so far; `due`: when the next goes.

    `wait`: so long after `born` the first copy goes, if the stream has not brought the entry until then;
    `waits`: it has not gone yet.
    """

    log: bytes
    seq: int
    carry: Carry
    born: float
    until: float  # then it is left to the stream, if the other is heard
    due: float
    urgent: bool = False
    wait: float = 0.0
    waits: bool = False
    copies: int = 0
    twin: bool = False
    first: int = 0  # counter of the first copy; 0 before it went
    most: int | None = None  # no more copies than this


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy that is due now. `extra`: it counts against the budget; `ask`: over a third station, too;
    `direct`: on the straight way."""

    parcel: Parcel
    extra: bool
    ask: bool
    direct: bool = True
