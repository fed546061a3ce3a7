"""One fuzzing process: one target, so many inputs, totals on a board. Started by `python -m tests.fuzz`."""

from __future__ import annotations

import argparse
import faulthandler
import gc
import importlib
import sys
import tempfile
import time
import tracemalloc
import warnings
from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.fuzz.target import Target

HANG_SECONDS = 120
ADDRESS_SPACE = 4 << 30
WATCH_SECONDS = 5.0  # the watch costs something to set, so it is set anew only so often


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("target")
    parser.add_argument("--inputs", type=int, required=True)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--driver", choices=("atheris", "own"), required=True)
    parser.add_argument("--board", type=Path, required=True)
    options = parser.parse_args()
    warnings.simplefilter("ignore")
    if options.driver == "atheris":
        atheris = importlib.import_module("atheris")
        with atheris.instrument_imports(include=["protocol", "crewlink"]):
            importlib.import_module("tests.fuzz.targets")
    target = importlib.import_module("tests.fuzz.targets").target(options.target)
    one, samples = prepared(target, options.board)
    if options.driver == "own":
        by_mutation(target, one, samples, options.inputs, options.seed)
    else:
        by_coverage(target, one, samples, options.inputs, options.seed)


def prepared(target: Target, board_file: Path) -> tuple[Callable[[bytes], None], Sequence[bytes]]:
    """What runs one input, watched and counted; and the inputs to begin with."""
    from tests.fuzz.board import Board
    from tests.fuzz.judge import measured, seeds

    samples = [sample[: target.longest] for sample in seeds(target)]
    run, board = target.make(), Board(board_file, target.longest)
    limit_memory()
    gc.collect()
    gc.freeze()
    tracemalloc.start()
    watched = -WATCH_SECONDS

    def told(accepted: bool, nanoseconds: int, peak: int) -> None:
        board.end(accepted=accepted, nanoseconds=nanoseconds, peak=peak)

    def one(data: bytes) -> None:
        nonlocal watched
        now = time.monotonic()
        if now - watched >= WATCH_SECONDS:
            faulthandler.dump_traceback_later(HANG_SECONDS, exit=True)
            watched = now
        board.begin(data)
        measured(target, run, data, told)

    return one, samples


def limit_memory() -> None:
    """Whatever asks for gigabytes fails at once."""
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))


def by_mutation(
    target: Target, one: Callable[[bytes], None], samples: Sequence[bytes], inputs: int, seed: int
) -> None:
    """Spoilt samples, one after the other; coverage is not looked at."""
    from tests.fuzz.mutation import mutated

    rng = Random(seed)
    for number in range(inputs):
        if number < len(samples):
            data = samples[number]
        else:
            data = mutated(rng, rng.choice(samples), target.form, samples)
        one(data[: target.longest])


def by_coverage(
    target: Target, one: Callable[[bytes], None], samples: Sequence[bytes], inputs: int, seed: int
) -> None:
    """Atheris keeps what reaches new code; half of its mutations are ours, which know the form."""
    from tests.fuzz.mutation import mutated

    atheris = importlib.import_module("atheris")

    def mutate(data: bytes, longest: int, chance: int) -> bytes:
        rng = Random(chance)
        if rng.random() < 0.5:
            return bytes(atheris.Mutate(data, longest))
        return mutated(rng, data or samples[0], target.form, samples)[:longest]

    with tempfile.TemporaryDirectory() as corpus:
        for number, sample in enumerate(samples):
            Path(corpus, f"sample-{number}").write_bytes(sample)
        options = [
            *(sys.argv[0], corpus, f"-runs={inputs}", f"-seed={seed}", f"-max_len={target.longest}"),
            *(f"-timeout={HANG_SECONDS}", "-rss_limit_mb=0", "-verbosity=0", "-len_control=0"),
            f"-artifact_prefix={corpus}/",
        ]
        atheris.Setup(options, one, custom_mutator=mutate)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
