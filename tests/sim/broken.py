"""The one error of the simulation."""

from __future__ import annotations


class Broken(AssertionError):
    """An invariant does not hold."""

    def __init__(self, invariant: str, detail: str) -> None:
        super().__init__(f"{invariant}: {detail}")
        self.invariant = invariant
