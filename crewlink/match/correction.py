"""Corrections of the record: which lines count once the strikes and amendments after them are read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from crewlink.match.facts import Amended, Fact, ProtestDecided, Struck


class Standing(Struct, frozen=True):
    """What a line counts for, the correction that did it, and what is wrong with a correction itself."""

    counts: tuple[Fact, ...]
    by: bytes | None = None
    problem: str | None = None


def corrected(record: Sequence[tuple[bytes, Fact]], places: Mapping[bytes, int]) -> dict[int, Standing]:
    """The lines that do not simply count for themselves: corrections, and what they struck or changed.

    `places`: place by entry id. A later correction is read before an earlier one, so a strike can be struck.
    An upheld protest strikes all lines between the one it goes back to and itself.
    """
    done: dict[int, Standing] = {}
    for place in range(len(record) - 1, -1, -1):
        entry_id, fact = record[place]
        target_id = _target(fact)
        if target_id is None:
            continue
        if place in done:  # struck or amended itself: it corrects nothing
            done[place] = Standing((), done[place].by)
            continue
        own = (fact,) if isinstance(fact, ProtestDecided) else ()
        target = places.get(target_id)
        if target is None or target >= place:
            done[place] = Standing(own, None, "The line it corrects is not in the record.")
            continue
        done[place] = Standing(own)
        if isinstance(fact, ProtestDecided):
            for between in range(target + 1, place):
                done.setdefault(between, Standing((), entry_id))
        else:
            done.setdefault(target, Standing(fact.facts if isinstance(fact, Amended) else (), entry_id))
    return done


def is_correction(fact: Fact) -> bool:
    """True if the fact changes what earlier lines count for."""
    return _target(fact) is not None


def _target(fact: Fact) -> bytes | None:
    if isinstance(fact, Struck | Amended):
        return fact.target
    return fact.after if isinstance(fact, ProtestDecided) and fact.upheld else None
