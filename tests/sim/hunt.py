"""`python3 -m tests.sim.hunt [--jobs J] [NAME ...]`: plant each known fault, one at a time, and say after how
many seeds the simulation has found it, and by which invariant.
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
from dataclasses import dataclass

from tests.sim.broken import Broken
from tests.sim.planted import PLANTED, Planted
from tests.sim.profile import drawn
from tests.sim.run import play


@dataclass(frozen=True)
class Found:
    """What the hunt for one planted fault gave: after how many seeds, the last of them, and what showed."""

    seeds: int
    seed: int
    fault: Exception | None

    def wrong(self, planted: Planted) -> str | None:
        """Why this does not count; None when it was found by an invariant that it is known to break."""
        if self.fault is None:
            return f"not found in {planted.within} seeds"
        if not isinstance(self.fault, Broken):
            return f"found by an accident: {self.fault!r}"
        return None if self.fault.invariant in planted.breaks else f"found by another invariant: {self.fault}"


def hunt(planted: Planted) -> Found:
    """The first fault that shows."""
    for number, seed in enumerate(range(planted.start, planted.start + planted.within), 1):
        with planted.plant():
            _, fault = play(seed, drawn(seed, planted.profiles))
        if fault is not None:
            return Found(number, seed, fault)
    return Found(planted.within, planted.start + planted.within - 1, None)


def _row(name: str) -> tuple[str, bool]:
    planted = next(one for one in PLANTED if one.name == name)
    found = hunt(planted)
    wrong = found.wrong(planted)
    begun = f" from seed {planted.start}" if planted.start else ""
    where = " or ".join(profile.name for profile in planted.profiles)
    where = where if len(planted.profiles) < 4 else "all that carry datagrams"
    seeds = f"{found.seeds} seed{'s' if found.seeds > 1 else ''}{begun}"
    return f"{name:26} {seeds:22} {where:28} {wrong or found.fault}", wrong is None


def main() -> int:
    parser = argparse.ArgumentParser(prog="tests.sim.hunt")
    parser.add_argument("names", nargs="*", metavar="NAME", help="of these faults only")
    parser.add_argument("--jobs", type=int, default=1, help="on how many processes")
    options = parser.parse_args()
    known = [planted.name for planted in PLANTED]
    if strange := [name for name in options.names if name not in known]:
        parser.error(f"no planted fault is called {strange[0]!r}; there are: {', '.join(known)}")
    rows: list[bool] = []
    with multiprocessing.Pool(options.jobs) as pool:
        for line, right in pool.imap(_row, options.names or known):
            print(line, flush=True)
            rows.append(right)
    print(f"{sum(rows)} of {len(rows)} planted faults found")
    return 0 if all(rows) else 1


if __name__ == "__main__":
    sys.exit(main())
