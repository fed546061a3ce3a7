"""Measures the link: an entry raised at one of three stations, posted at all, answered by the others.

Run from the root: `python -m tests.bench.link`; `--where` prints the mean time of each stage instead. Posted:
verified, stored with a synced commit, and shown to the floor above. Answered: both answers, entries like any
other, are posted at the raiser. Three processes, TCP and mutual TLS 1.3 over loopback. In the same run, in
turns: the least program that gives the same promises (`minimal`), the product without a court (`transport`)
and whole stations, court folded (`station`). Also: entries a second when all three write as fast as they can,
catching up on many entries, and what an idle station costs. Numbers depend on the machine and its load.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from protocol.identity import Identity
from tests.bench import where
from tests.link.crew import ROOT, invite

SPACING_MS = 20
KINDS = ("minimal", "transport", "station")


class Process:
    """One station; `ask` gives a command and waits for its answer."""

    def __init__(self, kind: str, folder: Path, *ports: int) -> None:
        self.child = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.link_stations", kind, str(folder), *map(str, ports)],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.port: int = self.answer()

    def ask(self, command: str) -> Any:
        self.tell(command)
        return self.answer()

    def tell(self, command: str) -> None:
        assert self.child.stdin is not None
        print(command, file=self.child.stdin, flush=True)

    def close(self) -> None:
        assert self.child.stdin is not None
        with self.child, contextlib.suppress(BrokenPipeError):
            print("quit", file=self.child.stdin, flush=True)

    def answer(self) -> Any:
        assert self.child.stdout is not None
        line = self.child.stdout.readline()
        if not line:
            raise SystemExit("a station ended before its time")
        return json.loads(line)


def folders(base: Path, size: int, seed: int) -> list[Path]:
    """A folder with identity and invitation for each station of a crew."""
    rng = random.Random(seed)
    identities = [Identity.create(rng.randbytes) for _ in range(size)]
    invitation = invite(identities, rng.randbytes(16))
    places = [base / f"{seed}-{number}" for number in range(size)]
    for identity, place in zip(identities, places, strict=True):
        identity.save(place)
        invitation.save(place / "invitation.json")
    return places


@contextlib.contextmanager
def crew(kind: str, places: list[Path]) -> Iterator[list[Process]]:
    """Running stations, each linked to every other."""
    processes: list[Process] = []
    try:
        for place in places:
            processes.append(Process(kind, place, *(process.port for process in processes)))
        for process in processes:
            process.ask(f"ready {len(places) - 1}")
        yield processes
    finally:
        for process in processes:
            process.close()


class Measured(NamedTuple):
    """Milliseconds from raised, an entry each: to posted at the last of all stations; to all answers."""

    posted: list[float]
    answered: list[float]


def until(done: Callable[[], bool], seconds: float = 60.0) -> None:
    """Wait for the stations. Ends the program when they do not come to it."""
    deadline = time.monotonic() + seconds
    while not done():
        if time.monotonic() > deadline:
            raise SystemExit("entries did not arrive")
        time.sleep(0.005)


def arrived(stations: list[Process], counts: list[int]) -> None:
    """Wait until each station has posted so many entries."""
    until(lambda: all(one.ask("count") >= count for one, count in zip(stations, counts, strict=True)))


def latencies(stations: list[Process], count: int) -> Measured:
    """Raise so many entries at the first station and wait for all answers."""
    first, others = stations[0], stations[1:]
    already = set(first.ask("times")["raised"])
    answers = first.ask("count answers")
    first.ask(f"raise {count} {SPACING_MS}")
    until(lambda: first.ask("count answers") >= answers + count * len(others))
    until(lambda: all(other.ask("count") >= first.ask("count") for other in others))
    told = [station.ask("times") for station in stations]
    raised = {key: at for key, at in told[0]["raised"].items() if key not in already}
    return Measured(
        [(max(one["posted"][key] for one in told) - at) / 1e6 for key, at in raised.items()],
        [(max(told[0]["answers"][key]) - at) / 1e6 for key, at in raised.items()],
    )


def quantile(values: list[float], share: float) -> float:
    return sorted(values)[min(len(values) - 1, int(len(values) * share))]


def compare(base: Path, rounds: int, count: int) -> None:
    """All kinds in turns, so that a slow moment of the machine hits all; with processes of their own in each
    round, so that none is lucky with its place on the machine all the time.
    """
    results = {kind: Measured([], []) for kind in KINDS}
    for number in range(rounds):
        with contextlib.ExitStack() as stack:
            crews = {
                kind: stack.enter_context(crew(kind, folders(base, 3, 100 + 3 * number + place)))
                for place, kind in enumerate(KINDS)
            }
            for stations in crews.values():
                for station in stations[1:]:
                    station.ask("answer")
                latencies(stations, 20)
            for kind, stations in crews.items():
                for total, part in zip(results[kind], latencies(stations, count), strict=True):
                    total += part
    report("Raised to posted at the last of three", {kind: one.posted for kind, one in results.items()})
    report("Raised to all answers at the raiser", {kind: one.answered for kind, one in results.items()})


def report(title: str, results: dict[str, list[float]]) -> None:
    """Print one measure of all kinds, and the ratios to the least program."""
    print(f"{title} (load {os.getloadavg()[0]:.1f}):")
    least = results["minimal"]
    for kind, values in results.items():
        half, worst = quantile(values, 0.5), quantile(values, 0.99)
        ratios = f"{half / quantile(least, 0.5):5.2f} {worst / quantile(least, 0.99):5.2f}"
        print(f"  {kind:<10} p50 {half:6.2f}  p99 {worst:6.2f}  max {max(values):6.2f} ms  ratios {ratios}")


def stages(base: Path, kind: str, count: int) -> None:
    """Where the microseconds go."""
    with crew(kind, folders(base, 3, 5)) as stations:
        latencies_without_answers(stations, 20)
        for station in stations:
            station.ask("where")
        raised = latencies_without_answers(stations, count)
        posted = [station.ask("times")["posted"] for station in stations[1:]]
        spans = [station.ask("spans") for station in stations]
    print(f"Mean of {count} entries, {kind}, raised to posted at the last (load {os.getloadavg()[0]:.1f}):")
    rows = where.table(raised, posted, spans[0], spans[1:])
    for name, spent in rows:
        print(f"  {name:<32} {spent:7.0f} us")
    print(f"  {'all':<32} {sum(spent for _, spent in rows):7.0f} us")


def processor(base: Path, count: int) -> None:
    """What one raise with its answers costs each station; tells something on a loaded machine, too."""
    print("Processor time for one raise and its two answers:")
    for number, kind in enumerate(KINDS, 10):
        with crew(kind, folders(base, 3, number)) as stations:
            for station in stations[1:]:
                station.ask("answer")
            latencies(stations, 50)
            before = [float(station.ask("cpu")) for station in stations]
            answers = stations[0].ask("count answers") + count * 2
            stations[0].ask(f"raise {count} {SPACING_MS}")
            until(lambda: bool(stations[0].ask("count answers") >= answers))  # noqa: B023 - called at once
            after = [float(station.ask("cpu")) for station in stations]
        raiser, *others = [1000 * (end - start) / count for start, end in zip(before, after, strict=True)]
        told = f"raiser {raiser:.2f}, answerers {others[0]:.2f} and {others[1]:.2f}"
        print(f"  {kind:<10} {told}, all {raiser + sum(others):.2f} ms (load {os.getloadavg()[0]:.1f})")


def latencies_without_answers(stations: list[Process], count: int) -> dict[str, int]:
    """Raise so many entries and wait until they are posted; when each was raised."""
    before = set(stations[0].ask("times")["raised"])
    counts = [station.ask("count") for station in stations]
    stations[0].ask(f"raise {count} {SPACING_MS}")
    arrived(stations, [had + count for had in counts])
    return {key: at for key, at in stations[0].ask("times")["raised"].items() if key not in before}


def sustained(base: Path, count: int) -> None:
    """All three stations write as fast as their entries are saved; until all is stored everywhere."""
    for number, kind in enumerate(("transport", "station"), 6):
        with crew(kind, folders(base, 3, number)) as stations:
            before = [station.ask("count") for station in stations]
            start = time.monotonic()
            for station in stations:
                station.tell(f"flood {count // 3}")
            for station in stations:
                station.answer()
            arrived(stations, [had + count // 3 * 3 for had in before])
            seconds = time.monotonic() - start
        rate = f"{count / seconds:.0f} entries/s (load {os.getloadavg()[0]:.1f})"
        print(f"Sustained, {kind}, each of three writes, all stored at all: {rate}")


def catch_up(base: Path, count: int) -> None:
    """A station that was away fetches everything, each signature verified, each row stored."""
    places = folders(base, 2, 9)
    first = Process("station", places[0])
    try:
        first.ask(f"flood {count}")
        until(lambda: bool(first.ask("count") >= count), 120)
        second = Process("station", places[1], first.port)
        start = time.monotonic()
        try:
            while second.ask("count") < count:
                time.sleep(0.01)
            seconds = time.monotonic() - start
        finally:
            second.close()
    finally:
        first.close()
    print(f"Catching up on {count} entries: {seconds:.2f} s, {count / seconds:.0f} entries/s")
    start = time.monotonic()
    reopened = Process("station", places[1])
    print(f"Starting again with {count} entries on the disk: {time.monotonic() - start:.2f} s")
    reopened.close()


def idle(base: Path, seconds: float) -> None:
    """What three linked stations cost while nothing happens."""
    with crew("station", folders(base, 3, 4)) as stations:
        for station in stations:
            station.tell(f"idle {seconds}")
        shares = [100 * float(station.answer()) for station in stations]
    print("Idle, linked to two others: " + ", ".join(f"{share:.2f} %" for share in shares) + " of one core")


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--count", type=int, default=100, help="entries a round")
    parser.add_argument("--where", action="store_true", help="print the mean time of each stage, no more")
    parser.add_argument("--cpu", action="store_true", help="print the processor time of a raise, no more")
    parser.add_argument("--sustained", type=int, default=3000, help="entries to write at once; 0: leave out")
    parser.add_argument("--catch-up", type=int, default=20_000, help="entries to catch up on; 0: leave out")
    parser.add_argument("--idle", type=float, default=20.0, help="seconds of idling; 0: leave out")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        base = Path(folder)
        if options.where:
            for kind in ("transport", "station"):
                stages(base / kind, kind, options.count)
            return
        if options.cpu:
            processor(base, options.rounds * options.count)
            return
        compare(base, options.rounds, options.count)
        if options.sustained:
            sustained(base, options.sustained)
        if options.catch_up:
            catch_up(base, options.catch_up)
        if options.idle:
            idle(base, options.idle)


if __name__ == "__main__":
    main()
