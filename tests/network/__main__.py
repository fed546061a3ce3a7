"""Measures the link on bad networks of its own making: `python -m tests.network [--loss 0 30] [--quick]`.

Needs Linux, network namespaces and /dev/net/tun. Each figure stands beside that of bare TCP in the same run.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from itertools import count
from pathlib import Path
from typing import TypeVar

from tests.network import blocked, joining, narrow, notices, outages
from tests.network.lab import missing
from tests.network.notices import CALM, Plan, Result
from tests.network.outages import Healed
from tests.network.switch import Weather
from tests.network.table import Spread, figure, show

T = TypeVar("T")
V = TypeVar("V")
WAYS = ((False, "crewlink, TCP"), (True, "crewlink, courier"))


@dataclass(frozen=True, slots=True)
class Size:
    """How much of everything. Times in seconds."""

    notices: int = 200
    rounds: int = 10
    entries: int = 2_000
    outages: tuple[float, ...] = (2, 15, 40)
    partitions: tuple[float, ...] = (2, 5, 15)
    narrow: float = 10.0


QUICK = Size(40, 4, 500, (2, 5), (2, 5), 5.0)


@dataclass(frozen=True, slots=True)
class Run:
    """One run: where its stations keep their files, the seed, shares lost each way, how much."""

    base: Path
    seed: int
    losses: tuple[float, ...]
    size: Size
    ways: tuple[tuple[bool, str], ...]
    _places: count[int] = field(default_factory=count)

    def place(self) -> Path:
        place = self.base / str(next(self._places))
        place.mkdir()
        return place


def at_once(work: Callable[[V], T], values: Sequence[V]) -> list[T]:
    """The same for every value at the same time, for what leaves the machine idle most of the time."""
    with ThreadPoolExecutor(max(1, len(values))) as pool:
        return list(pool.map(work, values))


def weather(loss: float) -> Weather:
    return replace(CALM, loss=loss)


# -- notices


def show_notices(run: Run) -> None:
    plans = {loss: Plan(run.size.notices, 0.1, weather(loss)) for loss in run.losses}
    compared = at_once(lambda loss: notices.bare(run.place(), run.seed, plans[loss]), run.losses)
    rows: list[list[str]] = []
    for loss, bare in zip(run.losses, compared, strict=True):
        rows.append(_notice_row(loss, "bare TCP", bare))
        for udp, name in run.ways:
            measured = notices.product(run.place(), run.seed, plans[loss], udp=udp)
            rows.append(_notice_row(loss, name, measured))
    title = f"Notices, {run.size.notices} a row, 10 a second; milliseconds: p50 / p99 / max"
    heads = ["loss", "link", "posted at the last of three", "all answers back", "kB each", "raiser's CPU"]
    show(title, heads, rows)


def _notice_row(loss: float, name: str, result: Result) -> list[str]:
    spreads = [spread.text(0.5, 0.99) for spread in (result.posted, result.answered)]
    return [f"{loss:.0%}", name, *spreads, figure(result.kilobytes), figure(result.cpu)]


# -- outages


def show_outages(run: Run) -> None:
    rejoined: list[list[str]] = []
    healed: list[list[str]] = []
    for udp, name in run.ways:
        with ThreadPoolExecutor(2 * len(run.losses)) as pool:
            back = [
                pool.submit(outages.rejoin, run.place(), run.seed, weather(loss), run.size.outages, udp=udp)
                for loss in run.losses
            ]
            heal = [
                pool.submit(outages.heal, run.place(), run.seed, weather(loss), run.size.partitions, udp=udp)
                for loss in run.losses
            ]
        for loss, one, other in zip(run.losses, back, heal, strict=True):
            rejoined.append([f"{loss:.0%}", name, *map(figure, one.result())])
            healed.append([f"{loss:.0%}", name, *map(_healed, other.result())])
    heads = ["loss", "link", *(f"after {outage:g} s" for outage in run.size.outages)]
    show("One station back after an outage: seconds until all three hold what each wrote", heads, rejoined)
    heads = ["loss", "link", *(f"after {partition:g} s" for partition in run.size.partitions)]
    title = "Partition healed, two and two: seconds to first / a notice raised at the heal / whole backlog"
    show(title, heads, healed)


def _healed(one: Healed) -> str:
    return " / ".join(map(figure, (one.first, one.new, one.backlog)))


# -- coming together


def show_joining(run: Run) -> None:
    """The calm network by itself, because its figures are held against fixed times."""
    rows = [row for group in (run.losses[:1], run.losses[1:]) for row in _joined(run, group)]
    title = f"Coming together, {run.size.rounds} times, others running; seconds: p50 / p90 / max"
    heads = ["loss", "found by each other", "in sync with all three", "code to admitted", "code to in sync"]
    show(title, heads, rows)


def _joined(run: Run, losses: Sequence[float]) -> list[list[str]]:
    rounds = run.size.rounds
    found = at_once(lambda loss: joining.discovery(run.place(), run.seed, weather(loss), rounds), losses)
    paired = at_once(lambda loss: joining.pairing(run.place(), run.seed, weather(loss), rounds), losses)
    return [
        [f"{loss:.0%}", *_seconds(one.heard, one.in_sync, other.admitted, other.in_sync)]
        for loss, one, other in zip(losses, found, paired, strict=True)
    ]


def _seconds(*spreads: Spread) -> list[str]:
    return [spread.text(0.5, 0.9) for spread in spreads]


def show_catch_up(run: Run) -> None:
    rows = []
    for loss in run.losses:
        given = (run.seed, weather(loss), run.size.entries)
        bare = joining.bare_catch_up(run.place(), *given)
        rows.append([f"{loss:.0%}", figure(joining.catch_up(run.place(), *given)), figure(bare)])
    title = f"Catching up on {run.size.entries:,} entries, from the start of the station; seconds"
    show(title, ["loss", "crewlink, from its start", "bare TCP, connected"], rows)


# -- hard networks


def show_narrow(run: Run) -> None:
    seconds = run.size.narrow
    results = [("bare TCP", narrow.bare(run.place(), run.seed, seconds))]
    results += [(name, narrow.product(run.place(), run.seed, seconds, udp=udp)) for udp, name in run.ways]
    rows = [[name, one.posted.text(0.5, 0.99), figure(one.sent), str(one.dropped)] for name, one in results]
    rate = f"{narrow.RATE * 8 / 1000:.0f} kbit/s"
    heads = ["link", "posted behind it: p50 / p99 / max", "kB/s by all four", "frames without room"]
    show(f"{narrow.PER_SECOND} entries a second past a line of {rate}; milliseconds", heads, rows)


def show_blocked(run: Run) -> None:
    outcomes = at_once(lambda case: case(run.place(), run.seed), blocked.CASES)
    rows = [
        [one.network, figure(one.told_after), one.told, figure(one.linked_after), one.how] for one in outcomes
    ]
    heads = ["network", "told after s", "what the person is told", "s", "until"]
    show("Networks that block something", heads, rows)


SHOWS: dict[str, Callable[[Run], None]] = {
    "notices": show_notices,
    "outages": show_outages,
    "joining": show_joining,
    "catch-up": show_catch_up,
    "narrow": show_narrow,
    "blocked": show_blocked,
}


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--loss", type=int, nargs="+", help="per cent each way; 0 10 20 30 unless quick")
    parser.add_argument("--quick", action="store_true", help="less of everything, in under three minutes")
    parser.add_argument("--notices", type=int, help="how many a row, instead")
    parser.add_argument("--only", nargs="+", choices=SHOWS, default=list(SHOWS), help="parts to measure")
    parser.add_argument("--link", choices=("both", "tcp", "courier"), default="both")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    if lack := missing():
        sys.exit(f"Nothing measured: {lack}.")
    losses = options.loss or ([0, 30] if options.quick else [0, 10, 20, 30])
    ways = {"both": WAYS, "tcp": WAYS[:1], "courier": WAYS[1:]}[options.link]
    start = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        size = QUICK if options.quick else Size()
        size = replace(size, notices=options.notices or size.notices)
        run = Run(Path(folder), options.seed, tuple(loss / 100 for loss in losses), size, ways)
        for part in options.only:
            SHOWS[part](run)
    print(f"\nTook {time.monotonic() - start:.0f} s")


if __name__ == "__main__":
    main()
