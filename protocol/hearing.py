"""Who counts as silent at this station, and who as in reach. Local judgement, by our own monotonic clock.

Knows signs of life, direct and passed on, and that one who has been stalled could hear nobody. What is
decided from it stands in `taking`; nothing in the fold rests on it.
"""

from __future__ import annotations

from protocol.book import Book
from protocol.links import Links
from protocol.session import SUSPECT_SECONDS

STALL_SECONDS = 2.0


class Hearing:
    """All times are our monotonic seconds."""

    def __init__(self, book: Book, links: Links, now: float) -> None:
        self._book = book
        self._links = links
        self._listening = now  # since when this station has been listening without a long stall
        self._now = now

    def passes(self, now: float) -> None:
        """Time passes. Who has not been running could hear nobody: silence is counted anew."""
        if now - self._now >= STALL_SECONDS:
            self._listening = now
        self._now = now

    def holder_silent(self, now: float) -> bool:
        """Whether the one who writes counts as silent here."""
        holder = self._book.standing().holder_log
        if holder is None or holder == self._book.log:
            return False
        log = self._book.journal.logs.get(holder)
        if log is None:
            return now - self._listening >= SUSPECT_SECONDS
        gone = self._book.member(log.device) is None or self._book.roster.past_cut(holder, len(log.entries))
        closed = any(holder in later.header.closes for later in self._book.journal.logs_of(log.device))
        if gone or closed:
            return True
        alive = self._links.alive(log.device)
        heard = self._listening if alive is None else max(self._listening, alive)
        return now - heard >= SUSPECT_SECONDS

    def in_reach(self, now: float) -> int:
        """Voters of the current epoch that are heard, directly or over others; this station among them."""
        mine = self._book.identity.device
        return sum(
            voter == mine or not self._links.suspect(voter, now) for voter in self._book.standing().voters
        )
