"""What the program itself tells R2: a count that the second referee passes on to the coach and to R1.

The values that are announced are the profile's (second time-out, last two substitutions). Each notice has a
computed id, so that whoever notices first raises it once for all.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from crewlink.match.chain import Chain
from crewlink.match.facts import Fact, Substituted, TimeOutTaken
from crewlink.match.state import Match

LOOK_BACK = 6
"""Lines from the head in which a count that was just reached is looked for."""
_ORDINALS = {1: "1st", 2: "2nd", 3: "3rd"}


class Announcement(Struct, frozen=True):
    """A count to tell: its subject, the same on every station; the team; the words."""

    subject: str
    team: str
    detail: str


def announcements(chain: Chain) -> Iterator[Announcement]:
    """Counts reached in the last few lines of this set that the profile wants told."""
    for place in range(len(chain) - 1, max(-1, len(chain) - 1 - LOOK_BACK), -1):
        line = chain.line(place)
        if line.match.set_number != chain.match.set_number:
            return
        for fact in line.counts:
            yield from _of(fact, line.match)


def _of(fact: Fact, match: Match) -> Iterator[Announcement]:
    at = f"set {match.set_number}"
    if isinstance(fact, TimeOutTaken) and fact.count in match.profile.time_outs.announce:
        words = f"{_ordinal(fact.count)} time-out of {match.profile.time_outs.per_set} used"
        yield Announcement(f"time-out {fact.team} {at} count {fact.count}", str(fact.team), words)
    if isinstance(fact, Substituted):
        for pair in fact.pairs:
            if pair.count in match.profile.substitutions.announce:
                words = f"{_ordinal(pair.count)} substitution of {match.profile.substitutions.per_set} used"
                subject = f"substitution {fact.team} {at} count {pair.count}"
                yield Announcement(subject, str(fact.team), words)


def _ordinal(number: int) -> str:
    return _ORDINALS.get(number, f"{number}th")
