"""`python3 -m tests.sim --seeds N [--from S] [--profile NAME] [--jobs J] [--minutes M] [--seed S]`

Run seeds, name the faults, say how often each rare state came about. Stopped early, by hand or by time, it
tells of what it has run.
"""

from __future__ import annotations

import argparse
import contextlib
import multiprocessing
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tests.sim.broken import Broken
from tests.sim.counting import report
from tests.sim.profile import PROFILES, drawn
from tests.sim.run import play

CHUNK = 4


@dataclass(frozen=True)
class Part:
    """What some seeds gave: how many were run, what was counted, and of each fault what to print."""

    seeds: int
    counts: Counter[str]
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Task:
    """Seeds to play, of one profile if it is named. `afresh`: see `run.play`."""

    seeds: Sequence[int]
    profile: str | None
    afresh: bool = False


def play_part(task: Task) -> Part:
    """Play some seeds."""
    name = task.profile
    chosen = tuple(profile for profile in PROFILES if name in (None, profile.name))
    counts: Counter[str] = Counter()
    faults: list[str] = []
    for seed in task.seeds:
        world, fault = play(seed, drawn(seed, chosen), afresh=task.afresh)
        counts.update(world.counts)
        counts[f"profile {world.profile.name}"] += 1
        if fault is not None:
            kind = "" if isinstance(fault, Broken) else f"{type(fault).__name__}: "
            again = f"--profile '{name}' " if name else ""
            faults.append(
                f"seed {seed} ({world.profile.name}, {world.profile.stations} stations): {kind}{fault}\n"
                f"  again: python3 -m tests.sim {again}--seed {seed}"
            )
    return Part(len(task.seeds), counts, tuple(faults))


def played(task: Task, jobs: int) -> Iterator[Part]:
    """The parts, as they are done."""
    starts = range(0, len(task.seeds), CHUNK)
    tasks = [replace(task, seeds=task.seeds[start : start + CHUNK]) for start in starts]
    if jobs == 1:
        yield from map(play_part, tasks)
        return
    with multiprocessing.Pool(jobs, initializer=_end_with_the_parent) as pool:
        yield from pool.imap_unordered(play_part, tasks)


def _end_with_the_parent() -> None:
    """A stop by hand goes to all processes: the parent hears it, tells what there is and ends the others."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)


def show_one(seed: int, name: str | None, *, afresh: bool) -> int:
    """Play one seed and show its last steps, the hash of all of them and the fault, if there is one."""
    chosen = tuple(profile for profile in PROFILES if name in (None, profile.name))
    world, fault = play(seed, drawn(seed, chosen), afresh=afresh)
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
    parser.add_argument("--afresh", action="store_true", help="work everything out at every station anew")
    options = parser.parse_args()
    if options.seed is not None:
        return show_one(options.seed, options.profile, afresh=options.afresh)
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # as if it were stopped by hand
    seeds = range(options.start, options.start + options.seeds)
    parts = played(Task(seeds, options.profile, options.afresh), options.jobs)
    return 1 if told(parts, len(seeds), options.minutes) else 0


def told(parts: Iterator[Part], asked: int, minutes: float | None) -> int:
    """Tell of parts as they come, and of all of them in the end, early or not; how many faults there were."""
    counts: Counter[str] = Counter()
    done = faults = 0
    began = time.monotonic()
    with contextlib.suppress(KeyboardInterrupt):
        for part in parts:
            done += part.seeds
            counts.update(part.counts)
            faults += len(part.faults)
            for fault in part.faults:
                print(fault, flush=True)
            if minutes is not None and time.monotonic() - began >= 60 * minutes:
                break
    span = time.monotonic() - began
    early = "" if done == asked else f" of the {asked} asked for: stopped early"
    print(f"{done} seeds{early}, {faults} faults, {span:.1f} s, {done / span:.1f} seeds a second")
    print(report(counts))
    return faults


if __name__ == "__main__":
    sys.exit(main())
