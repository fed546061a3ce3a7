"""The life of a notice against the match: open, held, answered, closed, withdrawn, lapsed; and what is due.

`state` and `steps_due` are pure: the moment comes in as `Moment`, which says what the record is at and how
the clocks of the devices stand to this one. Lapsing is always computed here and never an entry, because a
lapse written on a branch that loses would end a live notice.
Times: shown again, raiser told, supervisor told after 5, 10, 20 s (NOW) and 10, 30, 60 s (SOON).
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

from msgspec import Struct

from crewlink.crew.kinds import Kind, all_kinds
from crewlink.crew.notice import EndKind, Notice

NOTE_LIFE_S = 120.0
STEPS: dict[str, tuple[tuple[str, float], ...]] = {
    "now": (("again", 5.0), ("told", 10.0), ("site", 20.0)),
    "soon": (("again", 10.0), ("told", 30.0), ("site", 60.0)),
    "note": (),
}
MEDICAL_PHONE_S = 15.0


class State(StrEnum):
    """Where a notice stands as a whole, one for the match."""

    OPEN = "open"
    ANSWERED = "answered"
    CLOSED = "closed"
    WITHDRAWN = "withdrawn"
    LAPSED = "lapsed"


class Place(Struct, frozen=True):
    """A place in the record: its set, its count of completed rallies, and when it was written (own clock of
    its writer, ms, and the writer's device); `known` is False for an entry this station has not got."""

    set_number: int
    rallies: int
    known: bool = True


class Moment(Struct, frozen=True):
    """The court as the life of notices sees it.

    `place(anchor)` finds an entry in the counted record; `spell` tells whether a set-point or match-point
    subject is true now; `local(time, device)` turns a device's clock reading into seconds on this clock.
    `dead_since` is when the ball died last (seconds, this clock).
    """

    now: float
    here: Place
    place: Callable[[bytes], Place | None]
    spell: Callable[[str], bool]
    local: Callable[[int, bytes], float]
    dead_since: float


def state(notice: Notice, moment: Moment) -> State:
    """The one state of a notice: endings by act first, then lapses, then answers."""
    raised = notice.raised
    if raised is None:
        return State.OPEN
    kind, end = all_kinds()[raised.kind], notice.end
    if end is not None:
        return State.CLOSED if end.rank == EndKind.CLOSED else State.WITHDRAWN
    if kind.ends == "answered" and notice.all_answered:
        return State.CLOSED
    if _lapsed(notice, kind, moment):
        return State.LAPSED
    return State.ANSWERED if notice.all_answered else State.OPEN


def _lapsed(notice: Notice, kind: Kind, moment: Moment) -> bool:
    raised = notice.raised
    assert raised is not None
    if kind.ends == "lapses":
        return not moment.spell(raised.subject)
    place = moment.place(raised.anchor)
    past_set = place is not None and place.set_number < moment.here.set_number
    if kind.level == "note":
        return past_set or moment.now - moment.local(raised.time, raised.device) > NOTE_LIFE_S
    return kind.level == "soon" and past_set


def held(notice: Notice, moment: Moment) -> bool:
    """Whether a notice raised with the ball in play still waits for the dead ball."""
    raised = notice.raised
    if raised is None or not raised.in_play or all_kinds()[raised.kind].level == "now":
        return False
    place = moment.place(raised.anchor)
    return place is not None and place.rallies >= moment.here.rallies


def started(notice: Notice, moment: Moment) -> float:
    """When the timers of a notice start (seconds, this clock): at the raise, or at the dead ball after it."""
    raised = notice.raised
    assert raised is not None
    at = moment.local(raised.time, raised.device)
    return max(at, moment.dead_since) if raised.in_play and not held(notice, moment) else at


def steps_due(notice: Notice, moment: Moment) -> tuple[str, ...]:
    """The steps of the ladder that are due and not yet written, in their order."""
    raised = notice.raised
    if raised is None or held(notice, moment) or state(notice, moment) != State.OPEN:
        return ()
    kind = all_kinds()[raised.kind]
    if kind.quiet:
        return ()
    waited = moment.now - started(notice, moment)
    return tuple(step for step, after in STEPS[kind.level] if waited >= after and step not in notice.steps)


def next_step_at(notice: Notice, moment: Moment) -> float | None:
    """When the next step of the ladder falls due (seconds, this clock), or None."""
    raised = notice.raised
    if raised is None or held(notice, moment) or state(notice, moment) != State.OPEN:
        return None
    kind = all_kinds()[raised.kind]
    if kind.quiet:
        return None
    at = started(notice, moment)
    times = [at + after for step, after in STEPS[kind.level] if step not in notice.steps]
    return min(times, default=None)
