"""Two people check the positions: the scorer against the score sheet, R2 against the line-up sheet.

The rule: whoever begins the set has thereby checked; R2's own tick (or ready) is a free act that the ready
chain waits for before the first service. What does not fit is ticked with its fault and keeps the set from
beginning, until the line-up is written again, a substitution is made, or the one who found it ticks it as
right. In a crew without R2 the scorer's check is enough. After the change of courts both tick.
"""

from __future__ import annotations

from collections.abc import Iterable

from crewlink.court import Court
from crewlink.crew.posts import word
from crewlink.crew.reduction import Tick
from crewlink.match.teams import Team

POSITIONS, AGAIN = "positions", "positions_again"
CHECKS = (POSITIONS, AGAIN)
"""The duty of the check at the start of a set, and after the change of courts."""
_PUT_RIGHT = ("line_up_given", "substituted")


def ticks_here(court: Court, duty: str) -> dict[tuple[str, str], Tick]:
    """The newest tick of a duty by (post, team) in this set, or in the one to come.

    A fault of the positions that was put right since is left out: it has to be looked at again.
    """
    found: dict[tuple[str, str], Tick] = {}
    for tick in court.crew.ticks:  # the newest comes last, and stays
        place = court.place(tick.anchor)
        if tick.duty == duty and place is not None and place.set_number == court.here.set_number:
            if duty in CHECKS and not tick.team and not tick.fault:  # both teams stand right
                found = {who: old for who, old in found.items() if who[0] != tick.post}
            found[tick.post, tick.team] = tick
    if duty not in CHECKS:
        return found
    return {who: tick for who, tick in found.items() if not (tick.fault and _put_right(court, tick))}


def _put_right(court: Court, tick: Tick) -> bool:
    return court.wrote(tick.anchor, _PUT_RIGHT)


def mismatch(court: Court) -> str | None:
    """Why the set can't begin yet: somebody found that the positions differ from the sheet; else None."""
    return next((_found(tick) for tick in ticks_here(court, POSITIONS).values() if tick.fault), None)


def _found(tick: Tick) -> str:
    team = f", team {tick.team}" if tick.team else ""
    return f"{word(tick.post)} found{team}: {tick.fault}. Put it right, then {word(tick.post)} ticks."


def ticks_since(court: Court, post: str, anchor: bytes) -> dict[str, Tick]:
    """The newest tick of the positions by `post` for each team ("": both), at the entry `anchor` or later."""
    after, found = court.chain.index_of(anchor), dict[str, Tick]()
    for tick in court.crew.ticks:  # the newest comes last, and stays
        place = court.chain.index_of(tick.anchor)
        if tick.post == post and tick.duty in CHECKS and place is not None:
            if after is not None and place >= after:
                found = {tick.team: tick} if not tick.team and not tick.fault else {**found, tick.team: tick}
    return found


def checked_since(court: Court, post: str, anchor: bytes) -> bool:
    """Whether `post` ticked the positions of both teams as right at the entry `anchor` or later."""
    ticks = ticks_since(court, post, anchor)
    right = {team for team, tick in ticks.items() if not tick.fault or _put_right(court, tick)}
    return right == set(ticks) and ("" in right or right >= set(map(str, Team)))


def fault_since(court: Court, posts: Iterable[str], anchor: bytes) -> str | None:
    """What somebody found wrong on court since the entry `anchor`, until it is put right or ticked as right.

    A post that says ready after it has found something has seen it put right.
    """
    for post in posts:
        ready = max((mark.stamp for mark in court.crew.ready if mark.post == post), default=0)
        for tick in ticks_since(court, post, anchor).values():
            if tick.fault and tick.stamp >= ready and not _put_right(court, tick):
                return _found(tick)
    return None


def changed_courts(court: Court) -> bytes | None:
    """The line of the last change of courts in this set that counts, or None."""
    for place in range(len(court.lines) - 1, -1, -1):
        line = court.chain.line(place)
        if line.match.set_number != court.here.set_number:
            return None
        if court.lines[place].fact[0] == "courts_changed" and not line.struck:
            return line.entry_id
    return None
