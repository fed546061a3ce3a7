"""Set point and match point as spells: one unbroken run of being one point away is one notice.

A spell's subject ("set_point A set 2 spell 1") is the same on every station; it ends when it is no longer
true, and the next time it is true again it is a new spell. At one point below a cap with both teams level
it is one spell of both.
"""

from __future__ import annotations

from crewlink.match.state import Match
from crewlink.match.teams import Score
from crewlink.rules.format import Format

KINDS = ("set_point", "match_point")


def standing_at(form: Format, set_number: int, sets_won: Score, score: Score) -> tuple[str, str]:
    """(kind, who) at a score: kind "set_point", "match_point" or ""; who "A", "B" or "AB".

    A set point is a score from which one more point wins the set: x + 1 >= target and x + 1 - y >= lead, or
    x + 1 = cap (FIVB Official Volleyball Rules 2025-2028, 6.2 and 6.3.2, for when a set is won).
    """
    who = "".join(team for team, own, other in (("A", *score), ("B", *score[::-1])) if _one_away(form, set_number, own, other))
    if not who:
        return "", ""
    need = form.sets_to_win
    wins = [sets_won["AB".index(team)] + 1 for team in who]
    decides = need is not None and all(won >= need for won in wins)
    return ("match_point" if decides else "set_point"), who


def _one_away(form: Format, set_number: int, own: int, other: int) -> bool:
    cap = form.cap_of(set_number)
    if cap is not None and own + 1 == cap:
        return True
    return own + 1 >= form.target(set_number) and own + 1 - other >= form.lead


def current(match: Match) -> tuple[str, str, str]:
    """(kind, who, subject) that is true now, or three empty strings."""
    if not match.in_set:
        return "", "", ""
    kind, who = standing_at(match.format, match.set_number, match.sets_won, match.score)
    if not kind:
        return "", "", ""
    return kind, who, f"{kind} {who} set {match.set_number} spell {_spells(match, kind, who)}"


def _spells(match: Match, kind: str, who: str) -> int:
    """Which spell of this kind and team it is in the set: 1 for the first."""
    count, before = 0, ("", "")
    for score in (match.start_score, *(line.score for line in match.rallies), match.score):
        now = standing_at(match.format, match.set_number, match.sets_won, score)
        if now == (kind, who) and now != before:
            count += 1
        before = now
    return max(count, 1)
