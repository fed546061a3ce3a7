"""What a run of the lab came to: a row that fails does not end the run, and is not forgotten either."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from enum import IntEnum
from typing import TypeVar

from tests.network.table import Cell, show

T = TypeVar("T")
V = TypeVar("V")


class Exit(IntEnum):
    """What the exit code of a run tells."""

    ALL_WELL = 0
    NOT_MEASURED = 1  # some row has failed
    GOAL_MISSED = 3  # all was measured, some figure is past its goal


@dataclass(frozen=True, slots=True)
class Failed:
    """A row that could not be measured, and why."""

    reason: str


@dataclass(slots=True)
class Report:
    """Keeps count of rows, failures and missed goals."""

    rows: int = 0
    failed: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    def attempt(self, row: str, work: Callable[[], T]) -> T | Failed:
        """Measure; whatever goes wrong is told at once and belongs to this row only."""
        try:
            return work()
        except Exception as error:  # a broken row must not take the others with it
            reason = f"{error or type(error).__name__}"
            self.failed.append(f"{row}: {reason}")
            print(f"FAILED {row}: {reason}", file=sys.stderr, flush=True)
            return Failed(reason)

    def at_once(self, rows: Sequence[tuple[str, V]], work: Callable[[V], T]) -> list[T | Failed]:
        """The same for every row at the same time, for what leaves the machine idle most of the time."""
        with ThreadPoolExecutor(max(1, len(rows))) as pool:
            return list(pool.map(lambda row: self.attempt(row[0], lambda: work(row[1])), rows))

    def show(
        self,
        title: str,
        heads: Sequence[str],
        rows: Sequence[tuple[Sequence[str], Sequence[Cell] | Failed]],
        goals: Sequence[str] = (),
    ) -> None:
        """Print a table. A row: its names, then its figures, or why there are none."""
        lines: list[list[Cell]] = []
        for names, cells in rows:
            self.rows += 1
            line = [Cell(name) for name in names]
            line += [Cell(f"FAILED: {cells.reason}")] if isinstance(cells, Failed) else cells
            lines.append(line + [Cell("")] * (len(heads) - len(line)))
            self.missed += [
                f"{title.partition(',')[0]}, {', '.join(names)}: {head} {cell.text}"
                for head, cell in zip(heads, lines[-1], strict=True)
                if cell.met is False
            ]
        show(title, heads, lines, goals)

    def end(self, seconds: float) -> Exit:
        """Print what it came to."""
        print(f"\n### All together\n\n- {self.rows} rows, {len(self.failed)} failures, took {seconds:.0f} s")
        for text in self.failed:
            print(f"- FAILED {text}")
        for text in self.missed:
            print(f"- MISSED {text}")
        if not self.failed and not self.missed:
            print("- Every goal was met")
        print(end="", flush=True)
        if self.failed:
            return Exit.NOT_MEASURED
        return Exit.GOAL_MISSED if self.missed else Exit.ALL_WELL
