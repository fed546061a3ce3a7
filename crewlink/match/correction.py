"""Corrections of the record: which lines count once the strikes and amendments after them are read."""

from __future__ import annotations

from msgspec import Struct

from crewlink.match.facts import Amended, Fact, Struck

Entries = tuple[tuple[bytes, Fact], ...]


class Standing(Struct, frozen=True):
    """What a line counts for: its facts, the correction that did it, and what is wrong with it as a
    correction.
    """

    counts: tuple[Fact, ...]
    by: bytes | None = None
    problem: str | None = None


def effective(entries: Entries) -> tuple[Standing, ...]:
    """What each line counts for. A later correction is read before an earlier one, so a strike can be
    struck.
    """
    places = {entry_id: place for place, (entry_id, _) in reversed(tuple(enumerate(entries)))}
    done: dict[int, Standing] = {}
    for place in range(len(entries) - 1, -1, -1):
        entry_id, fact = entries[place]
        if place in done:
            if isinstance(fact, Struck | Amended):  # a correction that was struck or amended itself
                done[place] = Standing((), done[place].by)
            continue
        if not isinstance(fact, Struck | Amended):
            done[place] = Standing((fact,))
            continue
        target = places.get(fact.target)
        if target is None or target >= place:
            done[place] = Standing((), None, "The line it corrects is not in the record.")
            continue
        done[place] = Standing(())
        if target not in done:
            counts = fact.facts if isinstance(fact, Amended) else ()
            done[target] = Standing(counts, entry_id)
    return tuple(done[place] for place in range(len(entries)))
