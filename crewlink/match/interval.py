"""Before a set: toss, sides, first service, and the begin of the set with the penalties that wait for it."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine, refuse
from crewlink.match.commands import BeginSet, Toss
from crewlink.match.completed import award, prepared_phase
from crewlink.match.facts import SetBegun, TossMade
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING
from crewlink.match.state import Match, found, with_squad
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Phase


def decide_toss(match: Match, command: Toss) -> Decision:
    """A toss before the first and before a deciding set; corrected as long as the set has not begun."""
    if match.finished:
        return refuse(match, "match_over", "The match is over.")
    if match.phase in PLAYING:
        return refuse(match, "set_begun", "The set has begun: no toss now.")
    deciding = match.format.is_deciding(match.set_number)
    if match.set_number > 1 and not deciding and not match.toss_due:
        return refuse(match, "no_toss", "No toss before this set.")
    fact = TossMade(command.first_server, command.left_team, match.set_number)
    sentence = f"Team {command.first_server} serves first; team {command.left_team} is on the left."
    return fine(match, "toss", sentence, fact)


def decide_begin(match: Match, command: BeginSet) -> Decision:
    """Begin when toss and both line-ups are in and the positions were checked."""
    missing = _missing(match)
    if missing is not None:
        return refuse(match, *missing)
    fact = SetBegun(match.set_number, _score_with_pending(match))
    return fine(match, "set_begun", f"Set {match.set_number} begins.", fact)


def _missing(match: Match) -> tuple[str, str] | None:
    if match.finished:
        return "match_over", "The match is over."
    if match.phase in PLAYING:
        return "set_begun", "The set has already begun."
    if match.toss_due:
        return "toss_missing", "The toss is missing."
    late = line_ups_due(match)
    if late:
        return "line_up_missing", f"The line-up of team {late[0]} is missing."
    return None


def line_ups_due(match: Match) -> tuple[Team, ...]:
    """Teams whose line-up for the coming set is missing."""
    if match.finished:
        return ()
    return tuple(team for team in Team if not match.court(team).order)


def _score_with_pending(match: Match) -> Score:
    a, b = match.score
    return a + match.b.pending, b + match.a.pending


def evolve_toss(match: Match, fact: TossMade) -> Match:
    """Sides and first service."""
    if match.phase in PLAYING or match.finished:
        return found(match, "toss_in_set", "A toss was written in a set that had begun.")
    tossed = structs.replace(
        match, serving=fact.first_server, first_server=fact.first_server, left=fact.left, toss_due=False
    )
    return structs.replace(tossed, phase=prepared_phase(tossed))


def evolve_begun(match: Match, fact: SetBegun) -> Match:
    """Play begins; each penalty given before it is a point and the service for the opponent."""
    if match.phase in PLAYING or match.finished:
        return found(
            match, "set_already_begun", f"The begin of set {fact.set_number} was written out of place."
        )
    if match.serving is None or line_ups_due(match):
        return found(match, "set_not_ready", "The set began without a toss or a line-up.")
    begun = structs.replace(match, phase=Phase.PLAY, closed=None)
    for team in (match.serving, match.serving.other):  # the team due to serve is penalised first
        for _ in range(match.squad(team).pending):
            begun = award(begun, team.other, played=False)
    if match.a.pending or match.b.pending:
        begun = with_squad(with_squad(begun, Team.A, pending=0), Team.B, pending=0)
    return begun
