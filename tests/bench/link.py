"""Measures the link: from raising an entry at one station to its being posted at two others, on this machine.

Run from the root: `python -m tests.bench.link`. Posted: verified, stored with a synced commit, and folded
into the other station's court. Three processes, TCP and mutual TLS 1.3 over loopback. Beside it, in the same
run and in turns, the least program that does the same work without a court (sign, store, send, verify,
store). Also: catching up on many entries, and what an idle station costs. Numbers depend on the machine.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from protocol.identity import Identity
from tests.link.crew import ROOT, invite

SPACING_MS = 20


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
        self.port: int = self._answer()

    def ask(self, command: str) -> Any:
        assert self.child.stdin is not None
        print(command, file=self.child.stdin, flush=True)
        return self._answer()

    def close(self) -> None:
        assert self.child.stdin is not None
        with self.child, contextlib.suppress(BrokenPipeError):
            print("quit", file=self.child.stdin, flush=True)

    def _answer(self) -> Any:
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
    """Three running stations; the second and third call the first."""
    processes = [Process(kind, places[0])]
    try:
        processes += [Process(kind, place, processes[0].port) for place in places[1:]]
        processes[0].ask(f"ready {len(places) - 1}")
        yield processes
    finally:
        for process in processes:
            process.close()


def latencies(stations: list[Process], count: int) -> list[list[float]]:
    """Milliseconds from raised to posted, for each other station, over the entries raised now."""
    first, others = stations[0], stations[1:]
    before = [other.ask("count") for other in others]
    already = set(first.ask("times")["raised"])
    first.ask(f"raise {count} {SPACING_MS}")
    deadline = time.monotonic() + 60
    for other, had in zip(others, before, strict=True):
        while other.ask("count") < had + count:
            if time.monotonic() > deadline:
                raise SystemExit("entries did not arrive")
    raised = {key: at for key, at in first.ask("times")["raised"].items() if key not in already}
    posted = [other.ask("times")["posted"] for other in others]
    return [[(times[key] - at) / 1e6 for key, at in raised.items()] for times in posted]


def quantile(values: list[float], share: float) -> float:
    return sorted(values)[min(len(values) - 1, int(len(values) * share))]


def line(name: str, values: list[float]) -> tuple[float, float]:
    half, worst = quantile(values, 0.5), quantile(values, 0.99)
    print(f"  {name:<26} p50 {half:6.2f}  p99 {worst:6.2f}  max {max(values):6.2f} ms  of {len(values)}")
    return half, worst


def compare(base: Path, rounds: int, count: int) -> None:
    """Both kinds in turns, so that a slow moment of the machine hits both."""
    results: dict[str, list[list[float]]] = {"product": [[], []], "minimal": [[], []]}
    with (
        crew("product", folders(base, 3, 1)) as product,
        crew("minimal", folders(base, 3, 2)) as minimal,
    ):
        for stations in (product, minimal):
            latencies(stations, 20)
        for _ in range(rounds):
            for kind, stations in (("product", product), ("minimal", minimal)):
                for total, part in zip(results[kind], latencies(stations, count), strict=True):
                    total += part
    print("Raised at one station, posted at two others (each alone, then the last of both):")
    summary = {}
    for kind, (second, third) in results.items():
        line(f"{kind}, first other", second)
        line(f"{kind}, second other", third)
        summary[kind] = line(f"{kind}, last of both", [max(pair) for pair in zip(second, third, strict=True)])
    ratios = [summary["product"][n] / summary["minimal"][n] for n in (0, 1)]
    print(f"  ratio product / minimal, last of both: p50 {ratios[0]:.2f}, p99 {ratios[1]:.2f}")


def catch_up(base: Path, count: int) -> None:
    """A station that was away fetches everything, each signature verified, each row stored."""
    places = folders(base, 2, 3)
    first = Process("product", places[0])
    try:
        first.ask(f"raise {count} 0")
        while first.ask("count") < count:
            pass
        second = Process("product", places[1], first.port)
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
    reopened = Process("product", places[1])
    print(f"Starting again with {count} entries on the disk: {time.monotonic() - start:.2f} s")
    reopened.close()


def idle(base: Path, seconds: float) -> None:
    """What three linked stations cost while nothing happens."""
    with crew("product", folders(base, 3, 4)) as stations:
        for station in stations:
            assert station.child.stdin is not None
            print(f"idle {seconds}", file=station.child.stdin, flush=True)
        shares = [100 * float(station._answer()) for station in stations]
    print("Idle, linked to two others: " + ", ".join(f"{share:.2f} %" for share in shares) + " of one core")


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--count", type=int, default=100, help="entries a round")
    parser.add_argument("--catch-up", type=int, default=20_000, help="entries to catch up on; 0: leave out")
    parser.add_argument("--idle", type=float, default=20.0, help="seconds of idling; 0: leave out")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        base = Path(folder)
        compare(base, options.rounds, options.count)
        if options.catch_up:
            catch_up(base, options.catch_up)
        if options.idle:
            idle(base, options.idle)


if __name__ == "__main__":
    main()
