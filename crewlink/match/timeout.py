"""Time-outs: counted by team and set, asked for by those entitled; technical ones at the marks."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine, improper, not_in_set, refuse
from crewlink.match.commands import EndTimeOut, TechnicalTimeOut, TimeOut
from crewlink.match.facts import TechnicalTimeOutTaken, TimeOutEnded, TimeOutTaken
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING
from crewlink.match.state import Match, found, with_court
from crewlink.match.teams import Team
from crewlink.match.terms import Moment, Phase, RequestKind

ABOUT = RequestKind.TIME_OUT


def decide(match: Match, command: TimeOut) -> Decision:
    """Grant a time-out, or say why the request is improper."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    team, taken = command.team, match.court(command.team).time_outs
    fact = TimeOutTaken(team, taken + 1, match.score)
    reason = _improper(match, command)
    if reason is not None:
        code, sentence = reason
        return improper(match, team, code, sentence, ABOUT, command.cost_time, otherwise=(fact,))
    rules = match.profile.time_outs
    sentence = f"Time-out {team}, {taken + 1} of {rules.per_set}."
    if taken + 1 in rules.announce:
        sentence += " Tell the coach and R1: it is the last one."
    return fine(match, "time_out", sentence, fact)


def _improper(match: Match, command: TimeOut) -> tuple[str, str] | None:
    team = command.team
    if command.moment is not Moment.DEAD_BALL:
        when = "in the rally" if command.moment is Moment.IN_RALLY else "after the service whistle"
        return command.moment.value, f"Asked {when}: too late."
    if command.by.value not in match.profile.time_outs.requested_by:
        return "not_entitled", "This person may not ask for a time-out."
    if match.interruption.replay:
        return "replay_due", "The rally is played again first: no requests before it."
    if team in match.interruption.blocked:
        return "blocked_after_delay", "Warned for delay: no more requests before the next rally."
    if match.court(team).time_outs >= match.profile.time_outs.per_set:
        return "time_outs_used_up", f"Team {team} has no time-out left in this set."
    return None


def technical_due(match: Match) -> int | None:
    """The mark (8, 16) at which a technical time-out is due now, or None."""
    rules = match.profile.time_outs
    if match.phase not in PLAYING or match.technical >= len(rules.technical_at):
        return None
    if match.format.is_deciding(match.set_number) and not rules.technical_in_deciding_set:
        return None
    mark = rules.technical_at[match.technical]
    return mark if max(match.score) >= mark else None


def decide_technical(match: Match, command: TechnicalTimeOut) -> Decision:
    """The technical time-out that is due."""
    mark = technical_due(match)
    if mark is None:
        return refuse(match, "no_technical_time_out", "No technical time-out is due.")
    return fine(match, "technical_time_out", "Technical time-out.", TechnicalTimeOutTaken(mark, match.score))


def decide_end(match: Match, command: EndTimeOut) -> Decision:
    """End the running time-out."""
    if match.phase is not Phase.TIME_OUT:
        return refuse(match, "no_time_out", "No time-out is running.")
    return fine(match, "time_out_ended", "Time-out over.", TimeOutEnded())


def evolve_taken(match: Match, fact: TimeOutTaken) -> Match:
    """Count it; where the book says so, it opens a new substitution request."""
    if match.phase not in PLAYING:
        return found(match, "time_out_outside_set", f"A time-out of {fact.team} while no set was played.")
    if match.court(fact.team).time_outs >= match.profile.time_outs.per_set:
        match = found(match, "time_outs_used_up", f"Team {fact.team} has more time-outs than allowed.")
    pause = match.interruption
    opens = match.profile.substitutions.time_out_opens_request
    pause = structs.replace(
        pause, timed_out=(*pause.timed_out, fact.team), asked=() if opens else pause.asked
    )
    counted = with_court(match, fact.team, time_outs=match.court(fact.team).time_outs + 1)
    return structs.replace(counted, phase=_paused(match), interruption=pause)


def evolve_technical(match: Match, fact: TechnicalTimeOutTaken) -> Match:
    """Count a technical time-out."""
    if match.phase not in PLAYING:
        return found(match, "time_out_outside_set", "A technical time-out while no set was played.")
    return structs.replace(match, phase=_paused(match), technical=match.technical + 1)


def evolve_ended(match: Match, fact: TimeOutEnded) -> Match:
    """Back to play."""
    if match.phase is not Phase.TIME_OUT:
        return match
    return structs.replace(match, phase=Phase.PLAY)


def _paused(match: Match) -> Phase:
    return match.phase if match.phase is Phase.STOPPED else Phase.TIME_OUT


def left(match: Match, team: Team) -> int:
    """Time-outs a team still has in this set."""
    return max(0, match.profile.time_outs.per_set - match.court(team).time_outs)
