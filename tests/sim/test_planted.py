"""Each planted fault is found, by an invariant that it is known to break."""

from __future__ import annotations

import pytest

from tests.sim.broken import Broken
from tests.sim.planted import PLANTED, Planted
from tests.sim.profile import drawn
from tests.sim.run import play


@pytest.mark.slow
@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.name)
def test_a_planted_fault_is_found(planted: Planted) -> None:
    fault, seeds = hunt(planted)
    assert fault is not None, f"not found in {planted.within} seeds"
    assert isinstance(fault, Broken), f"found by an accident: {fault!r}"
    assert fault.invariant in planted.breaks, str(fault)
    print(f"{planted.name}: {seeds} seeds, {fault}")


def hunt(planted: Planted) -> tuple[Exception | None, int]:
    """The first fault that shows, and after how many seeds."""
    for seed in range(planted.start, planted.start + planted.within):
        with planted.plant():
            _, fault = play(seed, drawn(seed, planted.profiles))
        if fault is not None:
            return fault, seed + 1 - planted.start
    return None, planted.within
