"""The life of a notice against the match: open, held, answered, closed, withdrawn, lapsed; and what is due.

`state` and `read` are pure: the moment comes in as `Moment`, which says what the record is at and how
the clocks of the devices stand to this one. Lapsing is always computed here and never an entry, because a
lapse written on a branch that loses would end a live notice; what the record itself ends is computed, too.
Times: shown again, raiser told, supervisor told after 5, 10, 20 s (NOW) and 10, 30, 60 s (SOON).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from enum import StrEnum

from msgspec import Struct

from crewlink.crew.kinds import Kind, all_kinds
from crewlink.crew.notice import EndKind, Notice, Raised
from crewlink.rules.profile import Profile

NOTE_LIFE_S = 120.0
STEPS: dict[str, tuple[tuple[str, float], ...]] = {
    "now": (("again", 5.0), ("told", 10.0), ("site", 20.0)),
    "soon": (("again", 10.0), ("told", 30.0), ("site", 60.0)),
    "note": (),
}
PHONE = ("phone", 15.0)
"""A call for medical help that nobody answered: send a person, phone."""


class State(StrEnum):
    """Where a notice stands as a whole, one for the match."""

    OPEN = "open"
    ANSWERED = "answered"
    CLOSED = "closed"
    WITHDRAWN = "withdrawn"
    LAPSED = "lapsed"


def _anybody(post: str, device: bytes) -> bool:
    """Posts never change hands where nobody says so."""
    return True


class Place(Struct, frozen=True, order=True):
    """A place in the record: its set and its count of completed rallies."""

    set_number: int
    rallies: int


class Moment(Struct, frozen=True):
    """The court as the life of notices sees it.

    `place(anchor)` finds an entry in the counted record; `true(subject)` tells whether what a notice is about
    is so now; `settled(id)` whether its decision is in the record; `wrote(anchor, facts)` whether one of
    these facts was written since; `local(time, device)` turns a device's clock reading into seconds on this
    clock, `knows(device)` whether that clock was ever compared with this one; `planned(ms)` turns a
    planned time (wall clock) into seconds on this clock; `died(anchor)` tells when the rally in which that
    entry was the newest ended, None while it has not. `dead_since` is when something was written last
    (seconds, this clock), `device` this station's own; `filled` the posts that somebody holds
    now (None: all); `holds(post, device)` whether a post is that device's now.
    """

    now: float
    here: Place
    place: Callable[[bytes], Place | None]
    true: Callable[[str], bool]
    settled: Callable[[bytes], bool]
    wrote: Callable[[bytes, tuple[str, ...]], bool]
    local: Callable[[int, bytes], float]
    knows: Callable[[bytes], bool]
    planned: Callable[[int], float]
    died: Callable[[bytes], float | None]
    dead_since: float
    profile: Profile
    device: bytes = b""
    filled: tuple[str, ...] | None = None
    holds: Callable[[str, bytes], bool] = _anybody


class Reading(Struct, frozen=True):
    """A notice as it stands.

    `ended`: by an act, whatever comes; `until`: when time alone changes the state (seconds, this clock);
    `steps`: the steps of the ladder that are not yet written, each with the second when it falls due.
    """

    notice: Notice
    state: State
    ended: bool
    until: float
    steps: tuple[tuple[str, float], ...]


def state(notice: Notice, moment: Moment) -> State:
    """The one state of a notice: endings by act first, then by the record, then lapses, then answers."""
    raised = notice.raised
    if raised is None:
        return State.OPEN
    kind, end = all_kinds()[raised.kind], notice.end
    if end is not None:
        return State.CLOSED if end.rank == EndKind.CLOSED else State.WITHDRAWN
    if _dealt_with(notice, raised, kind, moment):
        return State.CLOSED
    if _lapsed(raised, kind, moment):
        return State.LAPSED
    return State.OPEN if owing(notice, moment) else State.ANSWERED


def owing(notice: Notice, moment: Moment) -> tuple[str, ...]:
    """Posts that must still answer. One that nobody holds now is waited for no longer, if others know."""
    silent = notice.unanswered
    if moment.filled is None:
        return silent
    here = tuple(post for post in silent if post in moment.filled)
    somebody_knows = len(silent) < len(notice.asks)
    return here if here or somebody_knows else silent


def _dealt_with(notice: Notice, raised: Raised, kind: Kind, moment: Moment) -> bool:
    if kind.ends in ("answered", "rally") and not owing(notice, moment):
        return True
    if kind.ends in ("done", "missing"):
        return not moment.true(raised.subject)
    if not raised.closed_by and moment.settled(notice.id):
        return True
    return bool(kind.ends_on) and moment.wrote(raised.anchor, kind.ends_on)


def _lapsed(raised: Raised, kind: Kind, moment: Moment) -> bool:
    if kind.ends == "lapses":
        return not moment.true(raised.subject)
    place = moment.place(raised.anchor)
    past_set = place is not None and place.set_number < moment.here.set_number
    if kind.ends == "rally" and place is not None and place.rallies < moment.here.rallies:
        return True
    if raised.urgency == "note":
        return past_set or moment.now - moment.local(raised.time, raised.device) > NOTE_LIFE_S
    return raised.urgency == "soon" and kind.ends not in ("done", "missing") and past_set


def held(notice: Notice, moment: Moment) -> bool:
    """Whether a notice waits for the dead ball everywhere: raised with the ball in play and not for any who
    must still answer, or all of these hold it.
    """
    raised = notice.raised
    if raised is None:
        return False
    if _raised_for_later(notice, raised, moment) and _not_yet_dead(raised.anchor, moment):
        return True
    silent = owing(notice, moment)
    return bool(silent) and all(waits(notice, post, moment) for post in silent)


def _raised_for_later(notice: Notice, raised: Raised, moment: Moment) -> bool:
    """Whether it was raised in a rally and reaches none of those who must still answer before its end."""
    if not raised.in_play:
        return False
    kind = all_kinds()[raised.kind]
    silent = owing(notice, moment)
    reached = (kind.reaches_in_rally(post, moment.profile, raised.level) for post in silent)
    return raised.urgency != "now" or (bool(silent) and not any(reached))


def waits(notice: Notice, post: str, moment: Moment) -> bool:
    """Whether `post` holds the notice to the next dead ball, and that has not come yet."""
    wait = notice.waits.get(post)
    return wait is not None and _not_yet_dead(wait.anchor, moment)


def _not_yet_dead(anchor: bytes, moment: Moment) -> bool:
    place = moment.place(anchor)
    return place is not None and place.rallies >= moment.here.rallies


def started(notice: Notice, moment: Moment) -> float:
    """When the timers of a notice start (seconds, this clock): at the raise, or at the dead ball that it, or
    one who must answer, waited for.
    """
    raised = notice.raised
    assert raised is not None
    anchors = [notice.waits[post].anchor for post in owing(notice, moment) if post in notice.waits]
    if _raised_for_later(notice, raised, moment):
        anchors.append(raised.anchor)
    ends = [died for anchor in anchors if (died := moment.died(anchor)) is not None]
    return max([moment.local(raised.time, raised.device), *ends])


def ladder(raised: Raised) -> tuple[tuple[str, float], ...]:
    """The steps of a notice that nobody answers, each with its seconds; none for quiet kinds."""
    kind = all_kinds()[raised.kind]
    if kind.quiet:
        return ()
    steps = STEPS[raised.urgency]
    return tuple(sorted((*steps, PHONE), key=lambda step: step[1])) if kind.phone else steps


def read(notice: Notice, moment: Moment) -> Reading:
    """What a notice comes to now, and until when if nothing but time passes."""
    now = state(notice, moment)
    raised, until = notice.raised, math.inf
    if raised is not None and raised.urgency == "note" and now in (State.OPEN, State.ANSWERED):
        until = moment.local(raised.time, raised.device) + NOTE_LIFE_S
    steps = _steps(notice, moment) if now is State.OPEN else ()
    return Reading(notice, now, notice.end is not None, until, steps)


def _steps(notice: Notice, moment: Moment) -> tuple[tuple[str, float], ...]:
    raised = notice.raised
    if raised is None or raised.joins or held(notice, moment):
        return ()
    at = started(notice, moment)
    return tuple((step, at + after) for step, after in ladder(raised) if step not in notice.steps)
