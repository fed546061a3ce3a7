"""A hundred seeds on every run, and proof that a seed is a run."""

from __future__ import annotations

import pytest

from tests.sim.run import play

BATCH = 10


@pytest.mark.parametrize("start", range(0, 100, BATCH))
def test_no_invariant_breaks(start: int) -> None:
    written = 0
    for seed in range(start, start + BATCH):
        world, fault = play(seed)
        assert fault is None, f"python3 -m tests.sim --seed {seed}: {fault}"
        written += world.counts["record written"]
    assert written > 0


@pytest.mark.parametrize("seed", range(5))
def test_a_seed_gives_the_same_run_again(seed: int) -> None:
    first, _ = play(seed)
    again, _ = play(seed)
    assert first.trace.hexdigest() == again.trace.hexdigest()
