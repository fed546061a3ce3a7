"""Feeds every parser of outside bytes with spoilt input: `python -m tests.fuzz --inputs 1000000`.

Each target runs in a process of its own, with a bound on memory. With Atheris (the extra `fuzz`) inputs
follow coverage; without it samples are only mutated, and the first line says so. `--target NAME` (again for
more) picks some. A failure leaves its input in `build/fuzz` and ends the run with an error;
`--replay FILE --target NAME` runs it alone.
"""

from __future__ import annotations

import argparse
import hashlib
import importlib.util
import os
import subprocess
import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

from tests.fuzz.board import Board, Counts
from tests.fuzz.judge import measured
from tests.fuzz.target import Target
from tests.fuzz.targets import TARGETS, target

ROOT = Path(__file__).resolve().parents[2]
FAILURES = ROOT / "build" / "fuzz"
IN_MEMORY = Path("/dev/shm")
"""Where there is such a folder; a fuzzer asks nothing of the disk."""
HEAD = f"{'target':22}{'inputs':>10}{'accepted':>10}{'refused':>10}{'slowest ms':>12}{'peak kB':>9}"


def shares(targets: list[Target], inputs: int) -> list[tuple[Target, int]]:
    """So many inputs for each; never less than asked for in all."""
    whole = sum(each.share for each in targets)
    return [(each, -(-inputs * each.share // whole)) for each in targets]


def fuzz(each: Target, inputs: int, driver: str, seed: int) -> Counts | None:
    """Run one target; None after a failure, which is told."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY if os.access(IN_MEMORY, os.W_OK) else None) as folder:
        board = Board(Path(folder) / "board", each.longest)
        log = Path(folder) / "log"
        with log.open("wb") as errors:
            command = [sys.executable, "-m", "tests.fuzz.child", each.name, "--inputs", str(inputs)]
            command += ["--seed", str(seed), "--driver", driver, "--board", str(Path(folder) / "board")]
            there = {**os.environ, "TMPDIR": folder}  # a process that dies leaves its files to us
            done = subprocess.run(command, cwd=ROOT, env=there, stdout=errors, stderr=errors, check=False)
        counts = board.counts()
        code = done.returncode
        if code == 0 and counts.inputs == counts.accepted + counts.refused and counts.inputs >= inputs:
            return counts
        last = board.last_input()
        FAILURES.mkdir(parents=True, exist_ok=True)
        kept = FAILURES / f"{each.name.replace(' ', '-')}-{hashlib.sha256(last).hexdigest()[:12]}"
        kept.write_bytes(last)
        print(f"{each.name}: FAILED (code {code}) at input {counts.inputs}, kept as {kept}")
        print("\n".join(log.read_text(errors="replace").splitlines()[-40:]))
        return None


def line(name: str, counts: Counts) -> str:
    return (
        f"{name:22}{counts.inputs:>10,}{counts.accepted:>10,}{counts.refused:>10,}"
        f"{counts.slowest / 1e6:>12.1f}{counts.peak / 1024:>9.0f}"
    )


def replay(each: Target, file: Path) -> None:
    """One kept input, with whatever it does."""
    tracemalloc.start()
    print("accepted" if measured(each, each.make(), file.read_bytes()) else "refused")


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--target", action="append", default=[], choices=[each.name for each in TARGETS])
    parser.add_argument("--driver", choices=("atheris", "own"))
    parser.add_argument("--replay", type=Path)
    options = parser.parse_args()
    chosen = [target(name) for name in options.target] or list(TARGETS)
    if options.replay:
        replay(chosen[0], options.replay)
        return 0
    found = importlib.util.find_spec("atheris") is not None
    driver = options.driver or ("atheris" if found else "own")
    print("Inputs follow coverage (Atheris)." if driver == "atheris" else "Inputs are mutated samples only.")
    print(HEAD, flush=True)
    begin, total, failed = time.monotonic(), 0, 0
    for each, inputs in shares(chosen, options.inputs):
        counts = fuzz(each, inputs, driver, options.seed)
        if counts is None:
            failed += 1
            continue
        total += counts.inputs
        print(line(each.name, counts), flush=True)
    seconds = time.monotonic() - begin
    whole = len(chosen) - failed
    print(f"{total:,} inputs in {seconds:.0f} s, {whole} of {len(chosen)} targets without a fault")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
