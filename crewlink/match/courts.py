"""The change of courts in the deciding set."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine, not_in_set, refuse
from crewlink.match.commands import ChangeCourts
from crewlink.match.facts import CourtsChanged
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING
from crewlink.match.state import Match, found
from crewlink.match.teams import Team


def change_due(match: Match) -> bool:
    """True from the moment a team reaches the mark until the courts are changed."""
    mark = match.format.court_change_at
    if mark is None or match.courts_changed or match.phase not in PLAYING:
        return False
    return match.format.is_deciding(match.set_number) and max(match.score) >= mark


def change_missed(match: Match) -> bool:
    """True if points were played since the change was due."""
    mark = match.format.court_change_at
    if not change_due(match) or mark is None or not match.rallies:
        return False
    before = match.rallies[-2].score if len(match.rallies) > 1 else match.start_score
    return max(before) >= mark


def decide(match: Match, command: ChangeCourts) -> Decision:
    """Change now, late if it was forgotten: the score stays as it is."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    fact = CourtsChanged((match.left or Team.A).other, match.score)
    if match.courts_changed:
        return refuse(match, "courts_changed", "The courts were already changed in this set.", fact)
    if not change_due(match):
        return refuse(match, "no_court_change", "No change of courts is due now.", fact)
    late = " It was forgotten: the score stays." if change_missed(match) else ""
    return fine(match, "court_change", f"Change of courts.{late} Check the positions again.", fact)


def evolve(match: Match, fact: CourtsChanged) -> Match:
    """The other team is on the table's left now."""
    if match.phase not in PLAYING:
        return found(match, "court_change_outside_set", "A change of courts while no set was played.")
    return structs.replace(match, left=fact.left, courts_changed=True)
