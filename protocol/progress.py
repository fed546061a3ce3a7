"""How far this station has caught up: entries saved here, and entries that others say they have saved.

Reads the others' vectors. A log that is forked, or that is not taken any further here, is left out. Says
nothing of how the entries travel.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from protocol.book import Book
from protocol.links import Links
from protocol.session import Remote


@dataclass(frozen=True, slots=True)
class Progress:
    """`had`: entries saved here; `to_come`: more of them at stations that are linked now."""

    had: int
    to_come: int

    @property
    def total(self) -> int:
        return self.had + self.to_come


def progress(book: Book, links: Links) -> Progress:
    """Over all linked stations: what several of them have is counted once."""
    linked = [session.remote for session in links.current.values() if session.parts_at is None]
    had = sum(log.saved for log in book.journal.logs.values())
    return Progress(had, _to_come(book, links, linked))


def ahead(book: Book, links: Links, remote: Remote) -> int:
    """Entries that one station has saved and this one has not."""
    return _to_come(book, links, (remote,))


def _to_come(book: Book, links: Links, remotes: Iterable[Remote]) -> int:
    longest: dict[bytes, int] = {}
    for remote in remotes:
        for log, mark in (remote.vector or {}).items():
            if mark.fork is None and log not in links.declined:
                longest[log] = max(mark.length, longest.get(log, 0))
    here = book.journal.logs
    held = {log: here[log].saved for log in longest if log in here and here[log].fork is None}
    return sum(
        max(0, length - held.get(log, 0)) for log, length in longest.items() if log in held or log not in here
    )
