"""Two people check the positions: the scorer against the score sheet, R2 against the line-up sheet.

The rule: whoever begins the set has thereby checked; R2's own tick (or ready) is a free act that the ready
chain waits for before the first service. What does not fit is ticked with its fault and keeps the set from
beginning, until the line-up is written again, a substitution is made, or the one who found it ticks it as
right. In a crew without R2 the scorer's check is enough.
"""

from __future__ import annotations

from crewlink.court import Court
from crewlink.crew.posts import word
from crewlink.crew.reduction import Tick
from crewlink.match.teams import Team

POSITIONS = "positions"
_PUT_RIGHT = ("line_up_given", "substituted")


def ticks_here(court: Court, duty: str) -> dict[tuple[str, str], Tick]:
    """The newest tick of a duty by (post, team) in this set, or in the one to come.

    A fault of the positions that was put right since is left out: it has to be looked at again.
    """
    found: dict[tuple[str, str], Tick] = {}
    for tick in court.crew.ticks:  # sorted by time: the newest stays
        place = court.place(tick.anchor)
        if tick.duty == duty and place is not None and place.set_number == court.here.set_number:
            found[tick.post, tick.team] = tick
    if duty != POSITIONS:
        return found
    return {who: tick for who, tick in found.items() if not (tick.fault and _put_right(court, tick))}


def _put_right(court: Court, tick: Tick) -> bool:
    return court.wrote(tick.anchor, _PUT_RIGHT)


def mismatch(court: Court) -> str | None:
    """Why the set can't begin yet: somebody found that the positions differ from the sheet; else None."""
    for tick in ticks_here(court, POSITIONS).values():
        if tick.fault:
            team = f", team {tick.team}" if tick.team else ""
            return f"{word(tick.post)} found{team}: {tick.fault}. Put it right, then {word(tick.post)} ticks."
    return None


def checked_since(court: Court, post: str, anchor: bytes, duty: str = POSITIONS) -> bool:
    """Whether `post` ticked the positions of both teams as right at the entry `anchor` or later."""
    after = court.chain.index_of(anchor)
    right: set[str] = set()
    for tick in court.crew.ticks:
        place = court.chain.index_of(tick.anchor)
        if tick.post == post and tick.duty == duty and not tick.fault and place is not None:
            if after is not None and place >= after:
                right.add(tick.team)
    return "" in right or right >= set(map(str, Team))
