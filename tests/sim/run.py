"""Plays seeds. What is the same at every station is worked out once: signatures, bytes that are read. Frames
and entries are never changed once they are read, so that saves time and nothing else.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from typing import TypeVar
from unittest.mock import patch

from protocol import book, intake, wire
from protocol.entry import Entry, read, verify
from tests.sim.profile import Profile
from tests.sim.world import World

_R = TypeVar("_R")
_KEPT = 50_000
_GARBAGE_EVERY = 100_000  # a run makes many small objects and hardly a circle


def _once(work: Callable[..., _R]) -> Callable[..., _R]:
    """Work whose answer is remembered; an error is not, so that it is found again."""
    known: dict[tuple[object, ...], _R] = {}

    def remembered(*given: object) -> _R:
        answer = known.get(given)
        if answer is None:
            if len(known) >= _KEPT:
                known.clear()
            answer = known[given] = work(*given)
        return answer

    return remembered


@contextmanager
def worked_out_once() -> Iterator[None]:
    """While this holds, a frame is decoded once, an entry read once, and a signature checked once."""
    good: set[tuple[bytes, bytes, bytes]] = set()

    def remembered(entry: Entry, public_key: bytes) -> None:
        name = (entry.id, entry.signature, public_key)
        if name not in good:
            verify(entry, public_key)
            good.add(name)

    reading = _once(read)
    with ExitStack() as stack:
        stack.enter_context(patch.object(book, "verify", remembered))
        stack.enter_context(patch.object(book, "read", reading))
        stack.enter_context(patch.object(intake, "read", reading))
        stack.enter_context(patch.object(wire, "decode", _once(wire.decode)))
        yield


def play(seed: int, profile: Profile | None = None) -> tuple[World, Exception | None]:
    """One run; the fault that it showed, if any."""
    world = World(seed, profile)
    before = gc.get_threshold()
    gc.set_threshold(_GARBAGE_EVERY, 20, 100)
    try:
        with worked_out_once():
            world.run()
    except Exception as fault:
        return world, fault
    finally:
        gc.set_threshold(*before)
    return world, None
