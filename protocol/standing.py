"""The record as one set of entries gives it: the chain that counts, who writes, what is set aside."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from protocol.branch import Epoch
from protocol.entry import NONE, Entry


@dataclass(frozen=True, slots=True)
class Standing:
    """The record as one set of entries gives it.

    `chain`: the record entries that count, in order. `head`: id of the last of them, or of the opening entry.
    `epoch`: id of the current epoch. `holder_log`: who writes (None before the match is opened).
    `set_aside`: record entries on branches that do not count, by index, then id. `firm`: whether what is
    written now can be said to stand. `sealed`: the record has ended. `epochs`: along the chain, oldest first.
    """

    chain: tuple[Entry, ...] = ()
    head: bytes = NONE
    epoch: bytes = NONE
    holder_log: bytes | None = None
    set_aside: tuple[Entry, ...] = ()
    sealed: bool = False
    firm: bool = False
    voters: tuple[bytes, ...] = ()
    epochs: tuple[Epoch, ...] = ()

    @property
    def index(self) -> int:
        """Index that the next record entry gets."""
        return len(self.chain)

    @property
    def majority(self) -> int:
        return len(self.voters) // 2 + 1


def set_aside_heads(aside: Iterable[Entry]) -> tuple[bytes, ...]:
    """Last entries of the branches that lost: what to ask about once per branch, not once per line."""
    entries = list(aside)
    continued = {entry.anchor for entry in entries}
    return tuple(entry.id for entry in entries if entry.id not in continued)
