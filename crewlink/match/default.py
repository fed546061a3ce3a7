"""A team that cannot go on with six, refuses to play, does not appear, or comes late."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine, refuse
from crewlink.match.commands import Default, Incomplete, LateMinute
from crewlink.match.completed import close_set, closed_if_won, score_after, with_sets
from crewlink.match.facts import DeclaredIncomplete, Defaulted, LatePoint, SetScore
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING, points_to_win
from crewlink.match.state import Match, found, with_court
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Scope
from crewlink.rules.profile import Late


def decide_incomplete(match: Match, command: Incomplete) -> Decision:
    """The opponent is given what it still needs; the incomplete team keeps what it has."""
    if match.finished:
        return refuse(match, "match_over", "The match is over.")
    team = command.team
    score = points_to_win(match.format, match.set_number, match.score, team.other)
    fact = DeclaredIncomplete(team, command.scope, score)
    what = "set" if command.scope is Scope.SET else "match"
    return fine(match, "incomplete", f"Team {team} is incomplete: {what} to team {team.other}.", fact)


def decide_default(match: Match, command: Default) -> Decision:
    """Set or match lost to nil."""
    if match.finished:
        return refuse(match, "match_over", "The match is over.")
    team = command.team
    fact = Defaulted(team, command.scope)
    if command.scope is Scope.SET and match.phase in PLAYING:
        return refuse(match, "set_begun", "The set has begun: a team in it is incomplete.", fact)
    what = "set" if command.scope is Scope.SET else "match"
    return fine(match, "default", f"Team {team} in default: {what} to team {team.other}, to nil.", fact)


def decide_late(match: Match, command: LateMinute) -> Decision:
    """A point a minute, only where the event says so, only before the set."""
    team = command.team
    if match.finished or match.phase in PLAYING:
        return refuse(match, "set_begun", "The set has begun.")
    fact = LatePoint(team, score_after(match, team.other))
    if match.profile.match.late is not Late.POINTS_BY_MINUTE:
        return refuse(match, "no_late_points", "No points for minutes at this event.", fact)
    return fine(match, "late_point", f"Team {team} is late: point {team.other}.", fact)


def evolve_incomplete(match: Match, fact: DeclaredIncomplete) -> Match:
    """Give the opponent the points of this set; for the match, the sets that are left, too."""
    if match.finished:
        return found(match, "after_match", f"Team {fact.team} declared incomplete after the match.")
    winner = fact.team.other
    match = _given(match, winner, points_to_win(match.format, match.set_number, match.score, winner))
    while fact.scope is Scope.MATCH and not match.finished:
        match = _given(match, winner, points_to_win(match.format, match.set_number, match.score, winner))
    return match


def _given(match: Match, winner: Team, score: Score) -> Match:
    match = with_court(with_court(match, Team.A, points=score[0]), Team.B, points=score[1])
    return structs.replace(close_set(match, winner), closed=None)


def evolve_default(match: Match, fact: Defaulted) -> Match:
    """To nil: the coming set, or every set that a win takes."""
    if match.finished:
        return found(match, "after_match", f"Team {fact.team} declared in default after the match.")
    winner = fact.team.other
    if fact.scope is Scope.SET:
        return _given(match, winner, _to_nil(match, match.set_number, winner))
    needed = match.format.sets_to_win or match.format.max_sets
    sets = tuple(SetScore(n, _to_nil(match, n, winner), winner) for n in range(1, needed + 1))
    done = with_sets(match, sets)
    last = sets[-1].score
    shown = with_court(with_court(done, Team.A, points=last[0]), Team.B, points=last[1])
    return structs.replace(shown, set_number=needed, closed=None)


def _to_nil(match: Match, set_number: int, winner: Team) -> Score:
    points = match.format.target(set_number)
    return (points, 0) if winner is Team.A else (0, points)


def evolve_late(match: Match, fact: LatePoint) -> Match:
    """The opponent starts the set with one point more; it may be lost by that."""
    if match.finished or match.phase in PLAYING:
        return found(match, "late_point_in_set", f"A point for lateness of {fact.team} out of place.")
    team = fact.team.other
    match = with_court(match, team, points=match.court(team).points + 1)
    return closed_if_won(structs.replace(match, start_score=match.score))
