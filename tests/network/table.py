"""Figures of the lab as text: quantiles, cells with goals, tables, and how busy the machine was meanwhile."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Spread:
    """Measured values in one unit, and how many never came."""

    values: tuple[float, ...]
    missing: int = 0

    @classmethod
    def of(cls, values: Iterable[float | None]) -> Spread:
        """None is one that never came."""
        all_of_them = list(values)
        there = sorted(value for value in all_of_them if value is not None)
        return cls(tuple(there), len(all_of_them) - len(there))

    @property
    def count(self) -> int:
        """How many there should be."""
        return len(self.values) + self.missing

    def quantile(self, share: float) -> float | None:
        """The smallest value that at least this share do not exceed; what never came is the longest."""
        rank = max(0, -int(-self.count * share // 1) - 1)
        return self.values[rank] if rank < len(self.values) else None

    @property
    def worst(self) -> float | None:
        return None if self.missing or not self.values else self.values[-1]

    def text(self, *shares: float) -> str:
        """Quantiles and the worst: "5.1 / 7.0 / 9.3"; a dash for what never came."""
        cells = [*(self.quantile(share) for share in shares), self.worst]
        tail = f" ({self.missing} missing)" if self.missing else ""
        return " / ".join(map(figure, cells)) + tail

    def counted(self, *shares: float) -> str:
        """The same, and how many of how many came: "0.41 / 1.20 (8 of 8)"."""
        cells = [*(self.quantile(share) for share in shares), self.worst]
        return " / ".join(map(figure, cells)) + f" ({len(self.values)} of {self.count})"


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure of a row. `met`: whether it meets its goal; None where there is none."""

    text: str
    met: bool | None = None

    def __str__(self) -> str:
        return f"{self.text} MISSED" if self.met is False else self.text


def figure(value: float | None) -> str:
    """A number with about three digits."""
    if value is None:
        return "-"
    if value >= 100:
        return f"{value:,.0f}"
    return f"{value:.1f}" if value >= 10 else f"{value:.2f}"


def below(value: float | None, limit: float | None) -> bool | None:
    """Whether a figure is under its limit; None without a limit. What never came is not."""
    if limit is None:
        return None
    return value is not None and value < limit


def show(title: str, heads: Sequence[str], rows: Iterable[Sequence[Cell]], goals: Sequence[str] = ()) -> None:
    """Print a table as a report takes it, its goals, and the load average of the last minute."""
    lines = [list(heads), *([str(cell) for cell in row] for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heads))]
    load = f"load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors"
    print(f"\n### {title}\n")
    for number, line in enumerate(lines):
        cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        print("| " + " | ".join(cells) + " |")
        if number == 0:
            print("|" + "|".join("-" * (width + 2) for width in widths) + "|")
    print()
    for goal in goals:
        print(f"- Goal: {goal}")
    print(f"- Measured at {load}", flush=True)
