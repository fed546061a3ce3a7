"""R1's own decision about score, service and orders, where no computed way fits. Always with a reason."""

from __future__ import annotations

from crewlink.match.answer import fine, not_in_set, refuse
from crewlink.match.commands import Adjust
from crewlink.match.facts import Corrected
from crewlink.match.ruling import Decision
from crewlink.match.state import Match
from crewlink.match.teams import Six, Team
from crewlink.match.terms import Cause


def decide(match: Match, command: Adjust) -> Decision:
    """Set what is given, keep the rest."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    if not command.reason.strip():
        return refuse(match, "no_reason", "Say why.")
    score = command.score or match.score
    if min(score) < 0:
        return refuse(match, "no_score", "A score is never below 0.")
    orders = command.orders or (_six(match, Team.A), _six(match, Team.B))
    if any(len(set(order)) != 6 for order in orders):
        return refuse(match, "number_twice", "Six different numbers are needed for each team.")
    serving = command.serving or match.serving or Team.A
    turns = (match.court_a.turns, match.court_b.turns)
    fact = Corrected(
        Cause.RULED, "ruled", score, serving, orders, turns, completed=False, reason=command.reason
    )
    return fine(match, "ruled", f"R1's decision: {score[0]}:{score[1]}, {serving} serves.", fact)


def _six(match: Match, team: Team) -> Six:
    one, two, three, four, five, six = match.court(team).order
    return one, two, three, four, five, six
