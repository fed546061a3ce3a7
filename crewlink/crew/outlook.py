"""What the notices of a match come to, kept from one moment to the next.

A notice is read again when it has changed, when what all notices rest on has (the record, the crew, the
clocks), or when the time came at which it changes by itself. One that an act has ended is never read again.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct, structs

from crewlink.crew.life import Moment, Reading, State, read
from crewlink.crew.notice import Notice

LIVE = (State.OPEN, State.ANSWERED)


class Outlook(Struct, frozen=True):
    """All notices, each with its reading and the state in it.

    `live`: those that are raised and neither over nor lapsed, by id; `steps`: what is not yet written of
    their ladders, the next first: when it falls due (seconds, this clock), id, name; `until`: when time alone
    changes one of them; `rests_on`: what the readings were made from, besides the notices.
    """

    notices: Mapping[bytes, Notice] = {}
    rests_on: tuple[object, ...] = ()
    readings: dict[bytes, Reading] = {}
    states: dict[bytes, State] = {}
    live: tuple[bytes, ...] = ()
    steps: tuple[tuple[float, bytes, str], ...] = ()
    until: float = math.inf


def look(
    before: Outlook, notices: Mapping[bytes, Notice], moment: Moment, rests_on: tuple[object, ...]
) -> Outlook:
    """The outlook now; `before` only saves work. Equal `rests_on`: `moment` differs in its `now` alone."""
    same = before.rests_on == rests_on
    if same and before.notices is notices and moment.now <= before.until:
        return before
    kept = before.readings
    fresh = {
        id_: read(notice, moment)
        for id_, notice in notices.items()
        if (old := kept.get(id_)) is None
        or old.notice is not notice
        or not (old.ended or (same and moment.now <= old.until))
    }
    if not fresh and len(kept) == len(notices):
        return structs.replace(before, notices=notices, rests_on=rests_on)
    readings = {id_: fresh.get(id_) or kept[id_] for id_ in notices}
    live = sorted(id_ for id_, one in readings.items() if one.state in LIVE and one.notice.raised is not None)
    steps = [(at, id_, step) for id_ in live for step, at in readings[id_].steps]
    return Outlook(
        notices,
        rests_on,
        readings,
        {id_: one.state for id_, one in readings.items()},
        tuple(live),
        tuple(sorted(steps)),
        min([readings[id_].until for id_ in live], default=math.inf),
    )
