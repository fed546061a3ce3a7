"""Measures notices: from raised at one station to posted at the last of three, and all three answers back.

Posted in the product: verified, saved by a synced commit, folded into the court. In the comparison: verified.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from pathlib import Path

from tests.network.hall import BareCrew, Crew, crew_of, until
from tests.network.lab import LabError, lab_of
from tests.network.switch import Weather
from tests.network.table import Spread

SIZE = 4
CALM = Weather(delay=0.003, jitter=0.002)
TAIL_SECONDS = 20.0


@dataclass(frozen=True, slots=True)
class Plan:
    """How many notices, how far apart (seconds), in which weather."""

    count: int
    spacing: float
    weather: Weather


@dataclass(frozen=True, slots=True)
class Result:
    """Milliseconds; kB by all stations a notice; processor milliseconds of the raiser a notice."""

    posted: Spread
    answered: Spread
    kilobytes: float
    cpu: float | None


def product(base: Path, seed: int, plan: Plan, *, udp: bool) -> Result:
    """Notices of a product crew. `udp`: with the courier. Errors: LabError when one is lost for good."""
    with crew_of(base, SIZE, seed, CALM, udp=udp) as crew:
        crew.begin_all()
        crew.settle()
        warm_up(crew)
        spent = crew.stations[0].ask("cpu")
        result = _raise_all(crew, plan)
        cpu = (crew.stations[0].ask("cpu") - spent) / plan.count * 1000
        crew.lab.weather(CALM)
        until(lambda: crew.stations[0].ask("owing") == 0, "every notice answered in the end")
        return Result(result.posted, result.answered, result.kilobytes, cpu)


def bare(base: Path, seed: int, plan: Plan) -> Result:
    """The same with the bare comparison; what is owed some time after the end counts as missing."""
    with lab_of(SIZE, seed, CALM) as lab:
        crew = BareCrew(lab, base, SIZE, seed)
        crew.begin_all()
        warm_up(crew)
        return _raise_all(crew, plan)


def warm_up(crew: Crew | BareCrew) -> None:
    """A few notices in calm weather that are not counted."""
    crew.stations[0].ask("call_all", 5, 0.1, 0.0)
    until(lambda: crew.stations[0].ask("owing") == 0, "the first few answered")


def _raise_all(crew: Crew | BareCrew, plan: Plan) -> Result:
    raiser = crew.stations[0]
    already = set(raiser.ask("times")["raised"])
    crew.lab.weather(plan.weather)
    before = _bytes(crew)
    raiser.ask("call_all", plan.count, plan.spacing, 0.0)
    with contextlib.suppress(LabError):
        until(lambda: raiser.ask("owing") == 0, "all answered", TAIL_SECONDS)
    sent = (_bytes(crew) - before) / plan.count / 1000
    first, *others = [station.ask("times") for station in crew.stations]
    raised = {key: at for key, at in first["raised"].items() if key not in already}
    posted = [_last([other["posted"].get(key) for other in others], at) for key, at in raised.items()]
    answered = [_last([first["answered"].get(key)], at) for key, at in raised.items()]
    return Result(Spread.of(posted), Spread.of(answered), sent, None)


def _last(ends: list[int | None], start: int) -> float | None:
    """Milliseconds to the last of them; None when one is missing."""
    there = [end for end in ends if end is not None]
    return (max(there) - start) / 1e6 if len(there) == len(ends) else None


def _bytes(crew: Crew | BareCrew) -> int:
    return sum(count["bytes"] for count in crew.lab.counts())
