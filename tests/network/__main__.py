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
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from tests.network import notices
from tests.network.lab import missing
from tests.network.notices import CALM, Plan, Result
from tests.network.table import figure, show

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Run:
    """What to measure: shares lost each way, how many notices."""

    base: Path
    seed: int
    losses: tuple[float, ...]
    notices: int

    def place(self, name: str) -> Path:
        place = self.base / name
        place.mkdir()
        return place


def side_by_side(work: Callable[[float], T], losses: Sequence[float]) -> list[T]:
    """The same for every loss at once, for what leaves the machine idle."""
    with ThreadPoolExecutor(len(losses)) as pool:
        return list(pool.map(work, losses))


def show_notices(run: Run) -> None:
    plans = {loss: Plan(run.notices, 0.1, replace(CALM, loss=loss)) for loss in run.losses}

    def compare(loss: float) -> Result:
        return notices.bare(run.place(f"bare{loss}"), run.seed, plans[loss])

    bare = side_by_side(compare, run.losses)
    rows: list[list[str]] = []
    for loss, compared in zip(run.losses, bare, strict=True):
        rows.append(notice_row(loss, "bare TCP", compared))
        measured = notices.product(run.place(f"notices{loss}"), run.seed, plans[loss])
        rows.append(notice_row(loss, "crewlink, TCP", measured))
    heads = ["loss", "link", "last of three, ms", "all answers back, ms", "kB a notice", "raiser's CPU, ms"]
    show(f"Notices, {run.notices} a cell, 10 a second: p50 / p99 / max", heads, rows)


def notice_row(loss: float, name: str, result: Result) -> list[str]:
    spreads = [spread.text(0.5, 0.99) for spread in (result.posted, result.answered)]
    return [f"{loss:.0%}", name, *spreads, figure(result.kilobytes), figure(result.cpu)]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--loss", type=int, nargs="+", default=[0, 10, 20, 30], help="per cent, each way")
    parser.add_argument("--quick", action="store_true", help="fewer of everything")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    if lack := missing():
        sys.exit(f"Nothing measured: {lack}.")
    start = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        losses = tuple(loss / 100 for loss in options.loss)
        show_notices(Run(Path(folder), options.seed, losses, 60 if options.quick else 250))
    print(f"\nTook {time.monotonic() - start:.0f} s")


if __name__ == "__main__":
    main()
