"""Measures the link on bad networks of its own making: `python -m tests.network [--loss 0 30] [--quick]`.

Needs Linux, network namespaces and /dev/net/tun. Each figure stands beside that of bare TCP in the same run,
or beside its goal. A row that fails says so, and the others go on. Exit code: 0 all well, 1 a row has failed,
3 a goal was missed.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from tests.network import show_coming, show_notices, show_outages
from tests.network.lab import missing
from tests.network.report import Report
from tests.network.run import QUICK, WAYS, Run, Size

SHOWS: dict[str, Callable[[Run], None]] = {
    "notices": show_notices.notices_in_time,
    "narrow": show_notices.narrow_line,
    "outages": show_outages.outages,
    "joining": show_coming.together,
    "catch-up": show_coming.catching_up,
    "blocked": show_coming.blocked_networks,
}


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--loss", type=int, nargs="+", help="per cent each way; 0 10 20 30 unless quick")
    parser.add_argument("--quick", action="store_true", help="less of everything, in about four minutes")
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
    report = Report()
    with tempfile.TemporaryDirectory() as folder:
        size = QUICK if options.quick else Size()
        size = replace(size, notices=options.notices or size.notices)
        losses_each_way = tuple(loss / 100 for loss in losses)
        run = Run(Path(folder), options.seed, losses_each_way, size, ways, report)
        for part in options.only:
            begun = time.monotonic()
            report.attempt(f"the whole part {part}", lambda part=part: SHOWS[part](run))
            print(f"- This part took {time.monotonic() - begun:.0f} s", flush=True)
    return report.end(time.monotonic() - start)


if __name__ == "__main__":
    sys.exit(main())
