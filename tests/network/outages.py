"""Measures what follows an outage: when a station that was cut off has all, when notices pass again."""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tests.network.hall import Crew, crew_of, until
from tests.network.lab import LabError
from tests.network.notices import CALM
from tests.network.switch import Weather

NOTICES = 8
HEAL_SECONDS = 60.0


@dataclass(frozen=True, slots=True)
class Healed:
    """Seconds from a heal: the first that passes, a notice raised at the heal at the last, all there."""

    first: float
    new: float
    backlog: float


def rejoin(
    base: Path, seed: int, weather: Weather, outages: tuple[float, ...], *, udp: bool
) -> list[float | None]:
    """One station of three is cut off for so long: seconds from the end of that until all three hold what
    each wrote meanwhile; nothing where that never came about.
    """
    seconds: list[float | None] = []
    with crew_of(base, 3, seed, CALM, udp=udp) as crew:
        crew.begin_all()
        crew.settle()
        crew.lab.weather(weather)
        for outage in outages:
            crew.lab.part([0, 1])
            _write(crew, after=outage / 2)
            time.sleep(outage / 2)  # the outage is what is measured
            healed = crew.lab.heal()
            held = None
            with suppress(LabError):
                held = _seconds(_all_held(crew), healed)
            seconds.append(held)
            crew.settle()
    return seconds


def heal(
    base: Path, seed: int, weather: Weather, partitions: tuple[float, ...], *, udp: bool
) -> list[Healed]:
    """Two against two, the first raising notices meanwhile and one at the heal."""
    results: list[Healed] = []
    with crew_of(base, 4, seed, CALM, udp=udp) as crew:
        crew.begin_all()
        crew.settle()
        crew.lab.weather(weather)
        for partition in partitions:
            before = set(crew.stations[0].ask("times")["raised"])
            crew.lab.part([0, 1], [2, 3])
            crew.stations[0].ask("call_all", NOTICES, partition / NOTICES, partition / NOTICES)
            healed = crew.lab.heal()
            crew.stations[0].ask("call_all", 1, 0.0, 0.0)
            until(lambda: crew.stations[0].ask("owing") == 0, "every notice answered", HEAL_SECONDS)
            results.append(_healed(crew, before, healed))
            crew.settle()
    return results


def _healed(crew: Crew, before: set[str], healed: int) -> Healed:
    raised = {key: at for key, at in crew.stations[0].ask("times")["raised"].items() if key not in before}
    beyond = [crew.stations[port].ask("times")["posted"] for port in (2, 3)]
    late = [max(posted[key] for posted in beyond) for key in raised]
    first = min(posted[key] for posted in beyond for key in raised)
    newest = max(raised, key=lambda key: raised[key])
    new = max(posted[newest] for posted in beyond)
    return Healed(*(_seconds(at, healed) for at in (first, new, max(late))))


def _write(crew: Crew, after: float) -> None:
    """Each station writes something in the middle of the outage."""
    time.sleep(after)
    for station in crew.stations:
        station.ask("note_all", 1, 0)


def _all_held(crew: Crew) -> int:
    """When the last of them had posted the newest note of each other."""
    noted = [station.ask("times")["noted"] for station in crew.stations]
    notes = [max(each, key=lambda key, each=each: each[key]) for each in noted]

    def there() -> bool:
        return all(set(notes) <= station.ask("times")["posted"].keys() for station in crew.stations)

    until(there, "all hold all", HEAL_SECONDS)
    return max(station.ask("times")["posted"][note] for station in crew.stations for note in notes)


def _seconds(at: int, start: int) -> float:
    return (at - start) / 1e9
