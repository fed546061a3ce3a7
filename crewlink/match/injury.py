"""Play stands still: injuries, interference, facility; who may replace a hurt player, recovery time."""

from __future__ import annotations

from msgspec import Struct, structs

from crewlink.match.answer import fine, not_in_set, refuse
from crewlink.match.commands import GiveRecovery, Pair, RestartSet, Resume, Stop
from crewlink.match.facts import RecoveryGiven, Resumed, SetRestarted, Stopped
from crewlink.match.pairing import exceptional_objection, regular_partners
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING
from crewlink.match.state import NO_REQUESTS, Match, OnCourt, StandStill, found, listed, with_squad
from crewlink.match.teams import Team
from crewlink.match.terms import Phase, StopCause


class WaysOn(Struct, frozen=True):
    """How a team goes on without a player, in this order: regular, exceptional, recovery time, incomplete.

    `regular`, `exceptional`: who may come in. `recovery`: the player has not had recovery time in this match.
    """

    regular: tuple[int, ...]
    exceptional: tuple[int, ...]
    recovery: bool

    @property
    def incomplete(self) -> bool:
        """True if nothing is left but to declare the team incomplete."""
        return not (self.regular or self.exceptional or self.recovery)


def ways_on(match: Match, team: Team, number: int) -> WaysOn:
    """What is possible for a player who cannot go on, or must leave. Needs a team list."""
    court, squad = match.court(team), match.squad(team)
    regular: tuple[int, ...] = ()
    if court.substitutions < match.profile.substitutions.per_set:
        regular = regular_partners(match, team, number)
    able = squad.sheet.players
    exceptional = tuple(n for n in able if exceptional_objection(match, team, Pair(n, number)) is None)
    sent_off = number in court.must_leave
    return WaysOn(regular, exceptional, not sent_off and number not in squad.recovered)


def decide_stop(match: Match, command: Stop) -> Decision:
    """Play can be stopped at any moment of a set."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    fact = Stopped(command.cause, command.team, command.number, command.in_rally)
    again = " The rally is played again." if command.in_rally else ""
    team, number = command.team, command.number
    known = team is None or number is None or listed(match.squad(team), number)
    # play is stopped whatever the number: who is hurt is asked afterwards
    strange = "" if known else f" {number} is not on the list of team {team}: check the number."
    return fine(match, "stopped", f"Play is stopped.{again}{strange}", fact)


def decide_resume(match: Match, command: Resume) -> Decision:
    """Go on after a stop; an open protest must be decided first."""
    if match.phase is not Phase.STOPPED:
        return refuse(match, "not_stopped", "Play is not stopped.")
    if match.protest is not None:
        return refuse(match, "protest_open", "Decide the protest first.", Resumed())
    return fine(match, "resumed", "Play goes on.", Resumed())


def decide_restart(match: Match, command: RestartSet) -> Decision:
    """After a long stop on another court the set is played again."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    if match.phase is not Phase.STOPPED:
        return refuse(match, "not_stopped", "Play is not stopped.", SetRestarted(match.set_number))
    sentence = f"Set {match.set_number} starts again, same line-ups. Sanctions stay."
    return fine(match, "set_restarted", sentence, SetRestarted(match.set_number))


def decide_recovery(match: Match, command: GiveRecovery) -> Decision:
    """Recovery time once a player and match, when nobody may come in for the player."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    team, number = command.team, command.number
    fact = RecoveryGiven(team, number)
    if number not in match.court(team).order:
        return refuse(match, "not_on_court", f"{number} is not on court.")
    if number in match.squad(team).recovered:
        return refuse(match, "recovery", f"{number} has already had recovery time in this match.", fact)
    ways = ways_on(match, team, number)
    possible = ways.regular or ways.exceptional
    if possible:
        who = " or ".join(str(n) for n in possible[:3])
        return refuse(match, "recovery", f"A substitution is possible: {who}.", fact)
    minutes = match.profile.times.recovery // 60
    return fine(match, "recovery", f"{minutes} minutes to recover for {team} {number}.", fact)


def evolve_stopped(match: Match, fact: Stopped) -> Match:
    """Play stands still; a rally that was cut off will be played again."""
    if match.phase not in PLAYING:
        return found(match, "stop_outside_set", "A stop was written while no set was played.")
    pause = match.interruption
    if fact.in_rally:
        pause = structs.replace(pause, replay=True)
    still = StandStill(fact.cause, fact.team, fact.number)
    return structs.replace(match, phase=Phase.STOPPED, standstill=still, interruption=pause)


def evolve_resumed(match: Match, fact: Resumed) -> Match:
    """Back to play."""
    if match.phase is not Phase.STOPPED:
        return match
    return structs.replace(match, phase=Phase.PLAY, standstill=None)


def evolve_restarted(match: Match, fact: SetRestarted) -> Match:
    """Line-ups as handed in, start score, first service; who was sent off stays off."""
    if match.phase not in PLAYING:
        return found(match, "restart_outside_set", "A restart was written while no such set was played.")
    start = match.format.start_of(match.set_number)
    return structs.replace(
        match,
        court_a=_from_sheet(match.court_a, start[0]),
        court_b=_from_sheet(match.court_b, start[1]),
        phase=Phase.CHECK,
        serving=match.first_server,
        start_score=start,
        rallies=(),
        interruption=NO_REQUESTS,
        courts_changed=False,
        technical=0,
        standstill=None,
    )


def _from_sheet(court: OnCourt, points: int) -> OnCourt:
    gone = tuple(n for n in court.line_up if n in court.barred)
    return OnCourt(
        points=points,
        line_up=court.line_up,
        order=court.line_up,
        barred=court.barred,
        must_leave=gone,
        captain=court.captain,
    )


def evolve_recovery(match: Match, fact: RecoveryGiven) -> Match:
    """Keep that the player has had recovery time; it runs now."""
    if match.phase not in PLAYING:
        return found(match, "recovery_outside_set", "Recovery time was written while no set was played.")
    squad = match.squad(fact.team)
    after = with_squad(match, fact.team, recovered=(*squad.recovered, fact.number))
    still = StandStill(StopCause.INJURY, fact.team, fact.number, recovery=True)
    return structs.replace(after, phase=Phase.STOPPED, standstill=still)
