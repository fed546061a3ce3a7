"""What one run of the lab measures: where, how much, in which weathers, by which ways."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import count
from pathlib import Path

from tests.network.notices import CALM
from tests.network.report import Report
from tests.network.switch import Weather

WAYS = ((False, "crewlink, TCP only"), (True, "crewlink"))
"""With datagrams beside the links or not, and what that is called."""


@dataclass(frozen=True, slots=True)
class Size:
    """How much of everything. Times in seconds."""

    notices: int = 200
    rounds: int = 10
    pairings: int = 40
    entries: int = 2_000
    outages: tuple[float, ...] = (2, 15, 30, 40)
    repeats: int = 2
    partitions: tuple[float, ...] = (2, 5, 15)
    narrow: float = 10.0


QUICK = Size(40, 4, 8, 500, (2, 30), 1, (2, 5), 5.0)


@dataclass(frozen=True, slots=True)
class Run:
    """One run: where stations keep their files, the seed, shares lost each way, how much, what came of it."""

    base: Path
    seed: int
    losses: tuple[float, ...]
    size: Size
    ways: tuple[tuple[bool, str], ...]
    report: Report
    _places: count[int] = field(default_factory=count)

    def place(self) -> Path:
        """A new empty folder."""
        place = self.base / str(next(self._places))
        place.mkdir()
        return place


def weather(loss: float) -> Weather:
    """3 +- 2 ms and this share lost, each way."""
    return replace(CALM, loss=loss)


def percent(loss: float) -> str:
    return f"{loss:.0%}"
