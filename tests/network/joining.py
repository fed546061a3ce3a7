"""Measures how stations come together: found and linked, paired by a code, brought up to date."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tests.network.hall import BareCrew, Crew, crew_of, folders, until
from tests.network.lab import LabError, lab_of
from tests.network.notices import CALM, SIZE
from tests.network.place import address
from tests.network.switch import Weather
from tests.network.table import Spread

FIND_SECONDS = 30.0
GOODBYE_SECONDS = 5.0
FIRST_NEW, MOST_NEW = 99, 150
"""Ports that are on no switch: their addresses are for new devices."""


@dataclass(frozen=True, slots=True)
class Found:
    """Seconds from a station's start: until each of the others had an address of it, until it had one of each
    of them, until it was in sync with all of them.
    """

    heard: Spread
    hears: Spread
    in_sync: Spread


def discovery(base: Path, seed: int, weather: Weather, rounds: int) -> Found:
    """A station starts again and again beside three that run and look."""
    heard: list[float | None] = []
    hears: list[float | None] = []
    in_sync: list[float | None] = []
    with crew_of(base, SIZE, seed, CALM) as crew:
        others = range(SIZE - 1)
        for port in others:
            crew.begin(port)
        until(lambda: crew.linked(others), "the others are linked")
        crew.lab.weather(weather)
        for _ in range(rounds):
            until(lambda: all(_is_gone(crew, port) for port in others), "it is known to be gone")
            deaf = _without_it(crew)
            start = crew.begin(SIZE - 1, watching=True)["at"]
            with suppress(LabError):
                until(lambda at=start: _synced(crew, at) is not None, "in sync", FIND_SECONDS)
            ways = [*((port, SIZE - 1) for port in deaf), *((SIZE - 1, port) for port in others)]
            with suppress(LabError):
                until(lambda at=start, ways=ways: _all_found(crew, ways, at), "all found", FIND_SECONDS)
            in_sync.append(_synced(crew, start))
            times = [_first_found(crew, *way, start) for way in ways]
            heard += times[: len(deaf)]
            hears += times[len(deaf) :]
            crew.stations[-1].ask("end")
    return Found(Spread.of(heard), Spread.of(hears), Spread.of(in_sync))


def _is_gone(crew: Crew, port: int) -> bool:
    return crew.state(port)["contacts"][crew.posts[-1]] not in ("verified", "in sync")


def _without_it(crew: Crew) -> list[int]:
    """The others that have heard its goodbye. One to which all of that was lost keeps the address: for it
    there is nothing to find, and nothing to measure.
    """

    def deaf() -> list[int]:
        others = range(SIZE - 1)
        return [port for port in others if crew.names[-1] not in crew.stations[port].ask("hears")]

    with suppress(LabError):
        until(lambda: len(deaf()) == SIZE - 1, "its goodbye is heard", GOODBYE_SECONDS)
    return deaf()


def _synced(crew: Crew, start: int) -> float | None:
    """Seconds until the newest station was in sync with all others at once."""
    there: set[str] = set()
    for at, post, reach in crew.stations[-1].ask("reaches"):
        (there.add if reach == "in sync" else there.discard)(post)
        if len(there) == crew.size - 1:
            return (at - start) / 1e9
    return None


def _all_found(crew: Crew, ways: list[tuple[int, int]], start: int) -> bool:
    return all(_first_found(crew, *way, start) is not None for way in ways)


def _first_found(crew: Crew, port: int, other: int, start: int) -> float | None:
    """Seconds until a station first had an address of another."""
    found = crew.stations[port].ask("found")
    times = [at for at, name in found if name == crew.names[other] and at >= start]
    return (min(times) - start) / 1e9 if times else None


@dataclass(frozen=True, slots=True)
class Paired:
    """Seconds until the court's name is seen; from the last digit: admitted, the other person saying yes at
    once; in sync with the host. `told`: what was told to those that did not get in.
    """

    looked: Spread
    admitted: Spread
    in_sync: Spread
    told: tuple[str, ...]


def pairing(base: Path, seed: int, weather: Weather, rounds: int) -> Paired:
    """A new device gets into a new court by its code, again and again; as in set-up, it looks first."""
    looked: list[float | None] = []
    admitted: list[float | None] = []
    in_sync: list[float | None] = []
    told: list[str] = []
    with lab_of(2, seed, CALM) as lab:
        host, joiner = (lab.start(port, "tests.network.newcomer") for port in (0, 1))
        for number in range(rounds):
            place = folders(base / f"host{number}", 1, seed + number)[0]
            lab.weather(CALM)
            host.ask("begin", str(place), 1, [], True, False)
            port, secret = host.ask("show_code", "R2")
            joiner.ask("move", address(FIRST_NEW + number % MOST_NEW))
            lab.weather(weather)
            looked.append(joiner.ask("look", address(0), port))
            heard = looked[-1] is not None
            folder = str(base / f"joiner{number}")
            one, other, said = joiner.ask("join", address(0), port, secret, folder, heard)
            admitted.append(one)
            in_sync.append(other)
            told += [said] if said else []
            for station in (joiner, host):
                station.ask("end")
    return Paired(Spread.of(looked), Spread.of(admitted), Spread.of(in_sync), tuple(told))


def catch_up(base: Path, seed: int, weather: Weather, count: int) -> float:
    """Seconds from the start of a station until it has saved `count` entries of another."""
    with crew_of(base, 2, seed, CALM) as crew:
        crew.begin(0)
        crew.stations[0].ask("note_all", count, 0)
        held = crew.stations[0].ask("held")
        until(lambda: crew.stations[0].ask("held") >= count, "written")
        crew.lab.weather(weather)
        start = crew.begin(1)["at"]
        until(lambda: crew.stations[1].ask("held") >= held, "caught up", 120.0)
        noted = crew.stations[0].ask("times")["noted"]
        until(lambda: noted.keys() <= _posted(crew, 1).keys(), "and posted")
        posted = _posted(crew, 1)
        return (max(posted[key] for key in noted) - start) / 1e9


def _posted(crew: Crew, port: int) -> dict[str, int]:
    posted: dict[str, int] = crew.stations[port].ask("times")["posted"]
    return posted


def bare_catch_up(base: Path, seed: int, weather: Weather, count: int) -> float:
    """Seconds for as many messages over one bare connection that stands already."""
    with lab_of(2, seed, CALM) as lab:
        crew = BareCrew(lab, base, 2, seed)
        crew.begin_all()
        lab.weather(weather)
        crew.stations[0].ask("call_all", count, 0.0, 0.0)
        until(lambda: len(crew.stations[1].ask("times")["posted"]) == count, "all there", 120.0)
        first, second = (station.ask("times") for station in crew.stations)
        return (max(second["posted"].values()) - min(first["raised"].values())) / 1e9
