"""Runs one input through a target and holds it to its bounds of time and memory."""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.fuzz.target import Run, Target, TooLarge, TooSlow

CORPUS = Path(__file__).parent / "corpus"

Told = Callable[[bool, int, int], None]


def measured(target: Target, run: Run, data: bytes, told: Told | None = None) -> bool:
    """Whether the input is accepted. `told` gets that, the processor's time (ns), the most memory (bytes).

    Errors: TooSlow, TooLarge; and what the parser lets escape. Needs tracemalloc to be on.
    """
    tracemalloc.reset_peak()
    held = tracemalloc.get_traced_memory()[0]
    begin = time.process_time_ns()
    accepted = run(data)
    spent = time.process_time_ns() - begin
    peak = tracemalloc.get_traced_memory()[1] - held
    if told is not None:
        told(accepted, spent, peak)
    if spent > target.most_seconds * 1e9:
        raise TooSlow(f"{target.name}: {spent / 1e9:.1f} s for {data[:60]!r}")
    if peak > target.most_kb * 1024:
        raise TooLarge(f"{target.name}: {peak / 1024:.0f} kB for {data[:60]!r}")
    return accepted


def seeds(target: Target) -> Sequence[bytes]:
    """Good inputs, and those that once broke something."""
    return [*target.samples(), *kept(target)]


def kept(target: Target) -> Sequence[bytes]:
    """Inputs that once broke this parser."""
    return [path.read_bytes() for path in sorted((CORPUS / target.name.replace(" ", "-")).glob("*"))]
