"""What stations tell and do on networks that block something: multicast, each other, datagrams."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path

from tests.network.hall import Crew, crew_of, until
from tests.network.lab import LabError
from tests.network.notices import CALM
from tests.network.place import address
from tests.network.switch import Gates

TOLD_SECONDS = 25.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """How it went: seconds from the start until the person was told, in which words; seconds until all
    was well, counted from what mends it (`how`). `tells`: the person has to be told something.
    """

    told_after: float | None
    told: str
    linked_after: float | None
    how: str
    tells: bool = True


def no_multicast(base: Path, seed: int) -> Outcome:
    """Nobody hears announcements; then an address is typed."""
    with crew_of(base, 2, seed, CALM) as crew:
        crew.lab.gates(Gates(multicast=False))
        first = crew.begin(0)
        crew.begin(1)
        told = _first_words(crew, first["at"])
        start, port = time.monotonic(), first["port"]
        crew.stations[1].ask("dial", f"{address(0)}:{port}")
        crew.settle()
        return Outcome(*told, time.monotonic() - start, "typed address")


def isolated(base: Path, seed: int) -> Outcome:
    """Announcements pass, nothing else does; then the network lets stations talk."""
    with crew_of(base, 2, seed, CALM) as crew:
        crew.lab.gates(Gates(unicast=False))
        first = crew.begin(0)
        crew.begin(1)
        told = _first_words(crew, first["at"])
        start = time.monotonic()
        crew.lab.gates(Gates())
        crew.settle()
        return Outcome(*told, time.monotonic() - start, "isolation ends")


def isolated_but_one(base: Path, seed: int) -> Outcome:
    """Two of three may only talk to the first, which passes everything on: nothing has to be told."""
    with crew_of(base, 3, seed, CALM) as crew:
        crew.lab.gates(Gates(unicast=False), [(0, 1), (0, 2)])
        crew.begin_all()
        until(lambda: _in_sync(crew, 0) == 2, "both linked to the first")
        start = time.monotonic()
        crew.stations[1].ask("call_all", 1, 0.0, 0.0)
        until(lambda: crew.stations[1].ask("owing") == 0, "answered by both")
        seconds = time.monotonic() - start
        return Outcome(None, "", seconds, "a notice, answered by all", False)


def no_udp(base: Path, seed: int) -> Outcome:
    """Datagrams to one station do not pass: notices do."""
    with crew_of(base, 3, seed, replace(CALM, loss=0.1)) as crew:
        crew.lab.gates(Gates(udp=False))
        crew.begin_all()
        crew.settle()
        start = time.monotonic()
        crew.stations[0].ask("call_all", 20, 0.05, 0.0)
        until(lambda: crew.stations[0].ask("owing") == 0, "answered by both")
        seconds = time.monotonic() - start
        return Outcome(None, "", seconds, "20 notices in 1 s, answered", False)


def _first_words(crew: Crew, start: int) -> tuple[float | None, str]:
    """Seconds from its start until the first station tells its person what is wrong, and what it tells."""
    try:
        until(lambda: crew.state(0)["told"] != "", "something is told", TOLD_SECONDS)
    except LabError:
        return None, "nothing"
    return time.monotonic() - start / 1e9, crew.state(0)["told"]


def _in_sync(crew: Crew, port: int) -> int:
    return sum(reach == "in sync" for reach in crew.state(port)["contacts"].values())


CASES = (
    ("multicast blocked", no_multicast),
    ("devices kept from talking", isolated),
    ("devices kept from talking, but one", isolated_but_one),
    ("datagrams blocked, 10 % lost", no_udp),
)
