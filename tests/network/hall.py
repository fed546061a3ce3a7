"""Crews in a lab: product stations and bare ones, one at each port, and waiting on what they tell."""

from __future__ import annotations

import contextlib
import random
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from protocol.beacon import Beacon
from protocol.identity import Identity
from protocol.roster import Invitation
from tests.link.crew import POSTS, invite
from tests.network.lab import Child, Lab, LabError, lab_of
from tests.network.place import address
from tests.network.switch import CLEAR, Weather

LOOK_SECONDS = 0.05


def until(condition: Callable[[], bool], what: str, seconds: float = 60.0) -> None:
    """Wait on a condition that is looked at some times a second. Errors: LabError."""
    deadline = time.monotonic() + seconds
    while not condition():
        if time.monotonic() > deadline:
            raise LabError(f"not within {seconds:.0f} s: {what}")
        time.sleep(LOOK_SECONDS)


def folders(base: Path, size: int, seed: int) -> list[Path]:
    """A folder with identity and invitation for each station of a crew; the scorer's comes first."""
    rng = random.Random(seed)
    identities = [Identity.create(rng.randbytes) for _ in range(size)]
    invitation = invite(identities, rng.randbytes(16))
    places = [base / f"{seed}-{post}" for post in POSTS[:size]]
    for identity, place in zip(identities, places, strict=True):
        identity.save(place)
        invitation.save(place / "invitation.json")
    return places


class Crew:
    """Stations of the product, of one match, at ports 0 to `size` - 1 of a lab. `udp`: with the courier."""

    def __init__(self, lab: Lab, base: Path, size: int, seed: int, *, udp: bool = True) -> None:
        self.lab = lab
        self.size = size
        self.udp = udp
        self.posts = POSTS[:size]
        self.folders = folders(base, size, seed)
        match = Invitation.load(self.folders[0] / "invitation.json").match
        self.names = [Beacon.of(Identity.load(place).device, match, "").instance for place in self.folders]
        self.stations = [lab.start(port, "tests.network.station") for port in range(size)]

    def begin(self, port: int, manual: Sequence[str] = (), *, watching: bool = False) -> dict[str, int]:
        """Start a station: its TCP port, and when it started."""
        begun: dict[str, int] = self.stations[port].ask(
            "begin", str(self.folders[port]), self.size - 1, [*manual], self.udp, watching
        )
        return begun

    def begin_all(self, *, watching: bool = False) -> None:
        for port in range(self.size):
            self.begin(port, watching=watching)

    def state(self, port: int) -> dict[str, Any]:
        state: dict[str, Any] = self.stations[port].ask("state")
        return state

    def linked(self, ports: Sequence[int] | None = None) -> bool:
        """Whether these stations (all, unless named) are in sync with one another."""
        wanted = range(self.size) if ports is None else ports
        posts = {self.posts[port] for port in wanted}
        return all(
            reach == "in sync"
            for port in wanted
            for post, reach in self.state(port)["contacts"].items()
            if post in posts
        )

    def settle(self, seconds: float = 60.0) -> None:
        until(self.linked, "all linked", seconds)

    def held(self) -> list[int]:
        return [station.ask("held") for station in self.stations]


class BareCrew:
    """The bare comparison: one station at each port, the first connected to all others."""

    def __init__(self, lab: Lab, base: Path, size: int, seed: int) -> None:
        self.lab = lab
        self.size = size
        places = folders(base, size, seed)
        self.stations: list[Child] = [
            lab.start(port, "tests.network.bare", str(place)) for port, place in enumerate(places)
        ]

    def begin_all(self) -> None:
        ports = [station.ask("listen") for station in self.stations[1:]]
        self.stations[0].ask("call", [[address(number + 1), port] for number, port in enumerate(ports)])


@contextlib.contextmanager
def crew_of(
    base: Path, size: int, seed: int, weather: Weather = CLEAR, *, udp: bool = True
) -> Iterator[Crew]:
    """A crew in a lab of its own, not begun."""
    with lab_of(size, seed, weather) as lab:
        yield Crew(lab, base, size, seed, udp=udp)
