"""`python3 -m tests.sim --seeds N [--from S] [--profile NAME] [--seed S]`: run seeds, name the faults."""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter

from tests.sim.broken import Broken
from tests.sim.profile import PROFILES, drawn
from tests.sim.run import play


def main() -> int:
    parser = argparse.ArgumentParser(prog="tests.sim")
    parser.add_argument("--seeds", type=int, default=100, help="how many seeds to run")
    parser.add_argument("--from", type=int, default=0, dest="start", help="first seed")
    parser.add_argument("--seed", type=int, help="run this one seed and show its last steps")
    parser.add_argument("--profile", choices=[profile.name for profile in PROFILES])
    options = parser.parse_args()
    chosen = tuple(p for p in PROFILES if options.profile in (None, p.name))
    seeds = (
        [options.seed] if options.seed is not None else range(options.start, options.start + options.seeds)
    )
    counts: Counter[str] = Counter()
    faults = 0
    began = time.monotonic()
    for seed in seeds:
        world, fault = play(seed, drawn(seed, chosen))
        counts.update(world.counts)
        if fault is not None:
            faults += 1
            again = f"--profile {options.profile} " if options.profile else ""
            print(f"seed {seed} ({world.profile.name}, {world.profile.stations} stations): {fault}")
            print(f"  again: python3 -m tests.sim {again}--seed {seed}")
            if options.seed is not None:
                print("\n".join(world.last))
                if not isinstance(fault, Broken):
                    raise fault
    span = time.monotonic() - began
    print(f"{len(seeds)} seeds, {faults} faults, {span:.1f} s")
    for name, number in sorted(counts.items()):
        print(f"  {number:8} {name}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
