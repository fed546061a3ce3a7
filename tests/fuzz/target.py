"""One parser of outside bytes as the fuzzer sees it, and what counts as a failure there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tests.fuzz.mutation import Form

Run = Callable[[bytes], bool]
"""True when the bytes are accepted, False when an error that the parser names refuses them; others escape."""


@dataclass(frozen=True, slots=True)
class Target:
    """A parser.

    `make`: what runs it, made in the process that fuzzes. `samples`: good inputs. `share`: its part of a
    run's inputs, next to the other targets. Bounds for one input: its size (bytes), the most time (seconds
    of the processor), the most memory held at once (kB; traced allocations of Python and its extensions).
    """

    name: str
    form: Form
    make: Callable[[], Run]
    samples: Callable[[], Sequence[bytes]]
    share: int
    longest: int = 4096
    most_seconds: float = 2.0
    most_kb: int = 4096


class TooSlow(AssertionError):
    """An input took longer than the target's bound."""


class TooLarge(AssertionError):
    """An input held more memory than the target's bound."""
