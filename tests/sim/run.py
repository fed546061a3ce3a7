"""Plays seeds."""

from __future__ import annotations

import gc
from contextlib import nullcontext

from tests.sim.profile import Profile
from tests.sim.shared import worked_out_once
from tests.sim.world import World

GARBAGE_EVERY = 100_000  # a run makes many small objects and hardly a circle


def play(
    seed: int, profile: Profile | None = None, *, afresh: bool = False
) -> tuple[World, Exception | None]:
    """One run; the fault that it showed, if any. `afresh`: nothing is worked out once for all stations."""
    world = World(seed, profile)
    before = gc.get_threshold()
    gc.set_threshold(GARBAGE_EVERY, 20, 100)
    try:
        with nullcontext() if afresh else worked_out_once():
            world.run()
    except Exception as fault:
        return world, fault
    finally:
        gc.set_threshold(*before)
    return world, None
