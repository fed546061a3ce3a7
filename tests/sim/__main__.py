"""`python3 -m tests.sim --seeds N [--from S] [--profile NAME] [--jobs J] [--seed S]`: run seeds, name the
faults, say how often each rare state came about.
"""

from __future__ import annotations

import argparse
import contextlib
import multiprocessing
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tests.sim.broken import Broken
from tests.sim.counting import report
from tests.sim.profile import PROFILES, drawn
from tests.sim.run import play

CHUNK = 25


@dataclass(frozen=True)
class Part:
    """What some seeds gave: how many were run, what was counted, and of each fault what to print."""

    seeds: int
    counts: Counter[str]
    faults: tuple[str, ...]


def play_part(task: tuple[Sequence[int], str | None]) -> Part:
    """Play some seeds, of one profile if it is named."""
    seeds, name = task
    chosen = tuple(profile for profile in PROFILES if name in (None, profile.name))
    counts: Counter[str] = Counter()
    faults: list[str] = []
    for seed in seeds:
        world, fault = play(seed, drawn(seed, chosen))
        counts.update(world.counts)
        counts[f"profile {world.profile.name}"] += 1
        if fault is not None:
            kind = "" if isinstance(fault, Broken) else f"{type(fault).__name__}: "
            again = f"--profile '{name}' " if name else ""
            faults.append(
                f"seed {seed} ({world.profile.name}, {world.profile.stations} stations): {kind}{fault}\n"
                f"  again: python3 -m tests.sim {again}--seed {seed}"
            )
    return Part(len(seeds), counts, tuple(faults))


def played(seeds: Sequence[int], name: str | None, jobs: int) -> Iterator[Part]:
    """The parts, as they are done."""
    tasks = [(seeds[start : start + CHUNK], name) for start in range(0, len(seeds), CHUNK)]
    if jobs == 1:
        yield from map(play_part, tasks)
        return
    with multiprocessing.Pool(jobs) as pool:
        yield from pool.imap_unordered(play_part, tasks)


def show_one(seed: int, name: str | None) -> int:
    """Play one seed and show its last steps, the hash of all of them and the fault, if there is one."""
    chosen = tuple(profile for profile in PROFILES if name in (None, profile.name))
    world, fault = play(seed, drawn(seed, chosen))
    print("\n".join(world.last))
    print(f"trace {world.trace.hexdigest()}")
    print(f"seed {seed} ({world.profile.name}, {world.profile.stations} stations): {fault or 'no fault'}")
    if fault is not None and not isinstance(fault, Broken):
        raise fault
    return 1 if fault else 0


def main() -> int:
    parser = argparse.ArgumentParser(prog="tests.sim")
    parser.add_argument("--seeds", type=int, default=100, help="how many seeds to run")
    parser.add_argument("--from", type=int, default=0, dest="start", help="first seed")
    parser.add_argument("--seed", type=int, help="run this one seed and show its last steps")
    parser.add_argument("--jobs", type=int, default=1, help="on how many processes")
    parser.add_argument("--minutes", type=float, help="stop after so long, whatever has been run")
    parser.add_argument("--profile", choices=[profile.name for profile in PROFILES])
    options = parser.parse_args()
    if options.seed is not None:
        return show_one(options.seed, options.profile)
    counts: Counter[str] = Counter()
    done = faults = 0
    began = time.monotonic()
    seeds = range(options.start, options.start + options.seeds)
    with contextlib.suppress(KeyboardInterrupt):  # then what has been run is reported
        for part in played(seeds, options.profile, options.jobs):
            done += part.seeds
            counts.update(part.counts)
            faults += len(part.faults)
            for fault in part.faults:
                print(fault, flush=True)
            if options.minutes is not None and time.monotonic() - began >= 60 * options.minutes:
                break
    print(f"{done} seeds, {faults} faults, {time.monotonic() - began:.1f} s")
    print(report(counts))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
