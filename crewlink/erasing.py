"""Erasing what tells about persons: free words of a notice, the names of a match, all of it after some days.

The signed chain stays whole: words travel beside their entries, and only these are taken away. An act of
erasing reaches every station, also one that gets the words later. Who wrote words may erase them, and R1 and
the supervisor; names are erased by R1, the table or the supervisor.
"""

from __future__ import annotations

from crewlink.acting import Me, no
from crewlink.court import Court
from crewlink.crew.commands import EraseNames, EraseWords
from crewlink.crew.notice import Notice
from crewlink.crew.permissions import ERASERS
from crewlink.crew.posts import Post, word
from crewlink.crew.reduction import Crew, Erase
from crewlink.drafts import Accepted, Outcome, free
from crewlink.notice_acts import notice_of
from protocol.entry import Entry

NAMES_BY = frozenset(map(str, (Post.R1, Post.SITE, Post.SCORER)))
DAY_MS = 86_400_000


def erase(court: Court, me: Me, command: EraseWords | EraseNames) -> Outcome:
    """What becomes of a wish to erase."""
    return _words(court, me, command) if isinstance(command, EraseWords) else _names(court, me)


def _words(court: Court, me: Me, command: EraseWords) -> Outcome:
    """Have the free words of a notice erased at every station."""
    found = notice_of(court, command.notice)
    if found is None or found.raised is None:
        return no("no_such_notice", "That notice is not here.")
    if me.post not in ERASERS and me.post != found.raised.post:
        return no("not_your_job", f"{word(found.raised.post)} wrote it: they, R1 or the supervisor erase it.")
    return Accepted((free("erase", notice=found.id),))


def _names(court: Court, me: Me) -> Outcome:
    """Have the names of the match erased at every station, once it is over."""
    if me.post not in NAMES_BY:
        return no("not_your_job", "R1, the table or the supervisor erase the names.")
    if not court.match.finished:
        return no("not_over", "The match is still on. Erase the names when it is over.")
    return Accepted((free("erase", names=True),))


def words_gone(crew: Crew) -> frozenset[bytes]:
    """Raises (entry ids) whose free words are erased."""
    acts: dict[bytes, list[Erase]] = {}
    for act in crew.erased:
        if act.notice:
            acts.setdefault(act.notice, []).append(act)
    return frozenset(
        notice.raised.entry
        for notice in crew.notices.values()
        if notice.raised is not None and any(_may(act, notice) for act in _about(acts, notice))
    )


def names_gone(crew: Crew) -> bool:
    """Whether the names of the match are erased."""
    return any(act.names and act.post in NAMES_BY for act in crew.erased)


def names_erasable(court: Court, me: Me) -> bool:
    """Whether a post can have the names erased now, and they are not."""
    return me.post in NAMES_BY and court.match.finished and not names_gone(court.crew)


def kept_too_long(court: Court, wall_ms: int, *, alone: bool) -> bool:
    """Whether the event's days are over for what this station holds.

    Counted from the newest line or notice. A match that still goes on is let be unless nobody else is linked:
    a clock that is years off must not erase it. Nothing is old before something was written.
    """
    days = court.charter.settings.retention_days
    over = court.match.finished or alone
    newest = _newest(court)
    return bool(days) and over and newest > 0 and wall_ms - newest > days * DAY_MS


def _newest(court: Court) -> int:
    """When the newest line or notice of a match was made (ms, the clocks of their devices); 0: none yet."""
    raised = [one.raised.time for one in court.crew.notices.values() if one.raised is not None]
    return max([line.time for line in court.lines] + raised, default=0)


def due(court: Court, entries: tuple[Entry, ...], everything: bool) -> list[bytes]:
    """Which of these entries with private text lose it now."""
    if everything:
        return [entry.id for entry in entries]
    words, names = words_gone(court.crew), names_gone(court.crew)
    return [entry.id for entry in entries if entry.id in words or (names and entry.act == "names")]


def _about(acts: dict[bytes, list[Erase]], notice: Notice) -> list[Erase]:
    assert notice.raised is not None
    return [*acts.get(notice.id, ()), *acts.get(notice.raised.joins, ())]


def _may(act: Erase, notice: Notice) -> bool:
    return act.post in ERASERS or (notice.raised is not None and act.device == notice.raised.device)
