"""How far this station has caught up: entries saved here, and entries that others say they have saved.

Reads the others' vectors. A log that is forked, or that is not taken any further here, is left out. Says
nothing of how the entries travel.
"""

from __future__ import annotations

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
    longest: dict[bytes, int] = {}
    for session in links.current.values():
        if session.parts_at is None:
            for log, length in _said(links, session.remote).items():
                longest[log] = max(length, longest.get(log, 0))
    return Progress(sum(log.saved for log in book.journal.logs.values()), _to_come(book, longest))


def ahead(book: Book, links: Links, remote: Remote) -> int:
    """Entries that one station has saved and this one has not."""
    return _to_come(book, _said(links, remote))


def _said(links: Links, remote: Remote) -> dict[bytes, int]:
    """How much of each log a station says to have saved, where that is to be had."""
    vector = remote.vector or {}
    return {log: mark.length for log, mark in vector.items() if not mark.fork and log not in links.declined}


def _to_come(book: Book, lengths: dict[bytes, int]) -> int:
    """How much longer these logs are than what is saved of them here."""
    found = 0
    for id_, length in lengths.items():
        log = book.journal.logs.get(id_)
        if log is None:
            found += length
        elif log.fork is None and length > log.saved:
            found += length - log.saved
    return found
