"""Set point and match point as spells: one unbroken run of being one point away is one notice.

A spell's subject ("set_point A set 2 spell 1") is the same on every station; it ends when it is no longer
true, and the next time it is true again it is a new spell. At one point below a cap with both teams level
it is one spell of both.
"""

from __future__ import annotations

from crewlink.match.scoring import wins_with_next
from crewlink.match.state import Match
from crewlink.match.teams import Score, Team

KINDS = ("set_point", "match_point")


def standing_at(match: Match, score: Score) -> tuple[str, str]:
    """(kind, who) at a score of the present set: kind "set_point", "match_point" or ""; who "A", "B" or
    "AB".
    """
    who = [team for team in Team if wins_with_next(match, team, score)]
    if not who:
        return "", ""
    needed = match.format.sets_to_win
    decides = needed is not None and all(match.squad(team).sets_won + 1 >= needed for team in who)
    return ("match_point" if decides else "set_point"), "".join(map(str, who))


def current(match: Match) -> tuple[str, str, str]:
    """(kind, who, subject) that is true now, or three empty strings."""
    if not match.in_set:
        return "", "", ""
    kind, who = standing_at(match, match.score)
    if not kind:
        return "", "", ""
    return kind, who, f"{kind} {who} set {match.set_number} spell {_spells(match, kind, who)}"


def _spells(match: Match, kind: str, who: str) -> int:
    """Which spell of this kind and team it is in the set: 1 for the first."""
    count, before = 0, ("", "")
    for score in (match.start_score, *(line.score for line in match.rallies), match.score):
        now = standing_at(match, score)
        if now == (kind, who) and now != before:
            count += 1
        before = now
    return max(count, 1)
