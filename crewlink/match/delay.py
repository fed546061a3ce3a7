"""Delays and improper requests: the team's ladder through the match."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import delay_fact, fine, improper, refuse
from crewlink.match.commands import Delay, ImproperRequest
from crewlink.match.completed import award
from crewlink.match.facts import Delayed, ImproperRequested
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING
from crewlink.match.state import Match, found, with_squad
from crewlink.match.teams import Team
from crewlink.match.terms import DelayCause, DelayStep

REJECTED_REQUESTS = (
    DelayCause.ILLEGAL_REQUEST,
    DelayCause.REPEATED_IMPROPER,
    DelayCause.NOT_READY,
    DelayCause.PROLONGED,
)


def decide(match: Match, command: Delay) -> Decision:
    """The next step of the ladder: warning first, then penalties."""
    if match.finished:
        return refuse(match, "match_over", "The match is over.")
    fact = delay_fact(match, command.team, command.cause)
    if fact.step is DelayStep.WARNING:
        return fine(match, "delay", f"Delay warning for team {command.team}.", fact)
    when = "" if match.phase in PLAYING else " at the start of the set"
    sentence = f"Delay penalty for team {command.team}: point and service to {command.team.other}{when}."
    return fine(match, "delay", sentence, fact)


def decide_improper(match: Match, command: ImproperRequest) -> Decision:
    """A request that was waved off: written down the first time, a delay after that."""
    if match.finished:
        return refuse(match, "match_over", "The match is over.")
    team = command.team
    if match.squad(team).improper == 0 and not command.cost_time:
        sentence = f"Improper request of team {team}: written down, nothing else."
        return fine(match, "improper_request", sentence, ImproperRequested(team, command.about))
    return improper(match, team, "improper_request", "Improper request.", command.about, command.cost_time)


def next_step(match: Match, team: Team) -> DelayStep:
    """What the next delay of a team leads to."""
    return DelayStep.WARNING if match.squad(team).delays == 0 else DelayStep.PENALTY


def evolve_delayed(match: Match, fact: Delayed) -> Match:
    """Count the step; a penalty gives point and service, before a set it waits for its start."""
    if match.finished:
        return found(match, "sanction_after_match", f"A delay of {fact.team} after the match.")
    team = fact.team
    delays = match.squad(team).delays + 1
    if fact.step is DelayStep.PENALTY:
        if match.phase in PLAYING:
            return award(with_squad(match, team, delays=delays), team.other, played=False)
        return with_squad(match, team, delays=delays, pending=match.squad(team).pending + 1)
    after = with_squad(match, team, delays=delays)
    if fact.cause in REJECTED_REQUESTS and match.profile.substitutions.blocked_after_delay_warning:
        pause = after.interruption
        return structs.replace(after, interruption=structs.replace(pause, blocked=(*pause.blocked, team)))
    return after


def evolve_improper(match: Match, fact: ImproperRequested) -> Match:
    """Count it."""
    return with_squad(match, fact.team, improper=match.squad(fact.team).improper + 1)
