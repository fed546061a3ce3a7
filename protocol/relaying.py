"""What others have just written: to whom it is passed on only later, because its writer brings it itself.

Knows when entries of others were saved here, and sessions. Copies of everything from everybody would fill a
narrow line. All times are our monotonic seconds.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable

from protocol import wire
from protocol.entry import Entry
from protocol.journal import Log
from protocol.session import MOST_RELAY_SECONDS, Session


class Relaying:
    """`due`: when something that was held back may be passed on; None when nothing is."""

    def __init__(self) -> None:
        self.due: float | None = None
        self._fresh: dict[bytes, OrderedDict[int, float]] = {}  # logs of others -> number -> when saved here

    def passes(self, now: float) -> None:
        """Time has passed: whoever waited for `due` is looked at again."""
        if self.due is not None and now >= self.due:
            self.due = None

    def came(self, entries: Iterable[Entry], now: float) -> None:
        """Entries of others have just been saved here: most likely everybody else has them, too, by now."""
        for log, fresh in list(self._fresh.items()):
            while fresh and now - next(iter(fresh.values())) >= MOST_RELAY_SECONDS:
                fresh.popitem(last=False)
            if not fresh:
                del self._fresh[log]
        for entry in entries:
            self._fresh.setdefault(entry.log, OrderedDict()).setdefault(entry.seq, now)

    def held(self, session: Session, behind: Iterable[Log], now: float) -> dict[bytes, int]:
        """Of which logs a station that is behind gets no more yet, from which place on: it wrote them, or is
        linked with who did, and may still get them from there.
        """
        held: dict[bytes, int] = {}
        for log in behind if self._fresh else ():
            start, fresh = session.length(log.id), self._fresh.get(log.id)
            since = fresh.get(start) if fresh else None
            if since is None:
                continue
            since = max(since, session.remote.grew.get(log.id, since))
            patience = session.relay_patience(log.saved - start, now)
            if now - since < patience and _has_from_writer(session, log):
                held[log.id] = start
                self.due = min(self.due or since + patience, since + patience)
        return held


def _has_from_writer(session: Session, log: Log) -> bool:
    """Whether the other end is the run that wrote a log, or says that it is linked with its writer."""
    if log.device == session.remote.device and log.header.run == session.remote.run:
        return True
    return log.device[: wire.NEAR_SIZE] in session.near
