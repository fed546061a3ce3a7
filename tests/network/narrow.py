"""Measures a narrow line: one of four stations behind 200 kbit/s each way, another writing steadily."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from pathlib import Path

from tests.network.hall import BareCrew, Crew, crew_of, until
from tests.network.lab import LabError, lab_of
from tests.network.notices import CALM, SIZE, TAIL_SECONDS
from tests.network.table import Spread

RATE = 200_000 / 8
QUEUE = 32_768.0
PER_SECOND = 30


@dataclass(frozen=True, slots=True)
class Narrow:
    """Milliseconds until posted behind the narrow line; kB/s that went in at its ends; what found no room."""

    posted: Spread
    sent: float
    dropped: int


def product(base: Path, seed: int, seconds: float, *, udp: bool) -> Narrow:
    with crew_of(base, SIZE, seed, CALM, udp=udp) as crew:
        crew.begin_all()
        crew.settle()
        crew.lab.line(SIZE - 1, RATE, QUEUE)
        before = crew.lab.counts()
        crew.stations[0].ask("note_all", int(seconds * PER_SECOND), 1 / PER_SECOND)
        return _result(crew, "noted", seconds, before)


def bare(base: Path, seed: int, seconds: float) -> Narrow:
    """The same with the bare comparison, each message answered by every other station."""
    with lab_of(SIZE, seed, CALM) as lab:
        crew = BareCrew(lab, base, SIZE, seed)
        crew.begin_all()
        lab.line(SIZE - 1, RATE, QUEUE)
        before = lab.counts()
        crew.stations[0].ask("call_all", int(seconds * PER_SECOND), 1 / PER_SECOND, 0.0)
        return _result(crew, "raised", seconds, before)


def _result(crew: Crew | BareCrew, what: str, seconds: float, before: list[dict[str, int]]) -> Narrow:
    after = crew.lab.counts()
    written: dict[str, int] = crew.stations[0].ask("times")[what]

    def all_there() -> bool:
        return written.keys() <= crew.stations[-1].ask("times")["posted"].keys()

    with contextlib.suppress(LabError):
        until(all_there, "all there", TAIL_SECONDS)
    posted = crew.stations[-1].ask("times")["posted"]
    delays = [(posted[key] - at) / 1e6 if key in posted else None for key, at in written.items()]
    sent, dropped = (
        sum(now[key] - then[key] for now, then in zip(after, before, strict=True))
        for key in ("bytes", "queued_out")
    )
    return Narrow(Spread.of(delays), sent / seconds / 1000, dropped)
