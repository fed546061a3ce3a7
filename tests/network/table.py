"""Figures of the lab as text: quantiles, rows, and how busy the machine was meanwhile."""

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

    def quantile(self, share: float) -> float | None:
        """The smallest value that at least this share do not exceed; what never came is the longest."""
        count = len(self.values) + self.missing
        rank = max(0, -int(-count * share // 1) - 1)
        return self.values[rank] if rank < len(self.values) else None

    @property
    def worst(self) -> float | None:
        return None if self.missing or not self.values else self.values[-1]

    def text(self, *shares: float) -> str:
        """Quantiles and the worst: "5.1 / 7.0 / 9.3"; a dash for what never came."""
        cells = [*(self.quantile(share) for share in shares), self.worst]
        tail = f" ({self.missing} missing)" if self.missing else ""
        return " / ".join(map(figure, cells)) + tail


def figure(value: float | None) -> str:
    """A number with about three digits."""
    if value is None:
        return "-"
    if value >= 100:
        return f"{value:,.0f}"
    return f"{value:.1f}" if value >= 10 else f"{value:.2f}"


def show(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table, and the load average of the last minute."""
    lines = [list(heads), *(list(row) for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(heads))]
    print(f"\n{title}  [load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors]")
    for line in lines:
        print("  " + "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip())
    print(end="", flush=True)
