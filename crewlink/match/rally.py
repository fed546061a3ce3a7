"""The rally: who won it, positional faults at the service, and the rally played again."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import AS_RULED, fine, not_in_set, option, refuse
from crewlink.match.commands import Point, PositionFault, Replay
from crewlink.match.completed import award, score_after
from crewlink.match.facts import RallyWon, Replayed
from crewlink.match.ruling import Decision, Proposal, Ruling, Severity
from crewlink.match.scoring import PLAYING
from crewlink.match.state import Match, found
from crewlink.match.teams import Team
from crewlink.match.terms import Phase, RallyFault, ReplayCause

AT_THE_HIT = (RallyFault.SERVICE_FOOT, RallyFault.SERVICE_TIME, RallyFault.SERVICE_TOSS)


def won(match: Match, team: Team, fault: RallyFault | None = None, number: int | None = None) -> RallyWon:
    """The fact that `team` won the rally now served."""
    return RallyWon(team, match.serving or team, match.server, score_after(match, team), fault, number)


def decide_point(match: Match, command: Point) -> Decision:
    """A rally can be won whenever a set is being played; a running time-out ends by it."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    fact = won(match, command.team, command.fault, command.number)
    if match.phase is Phase.STOPPED:
        return refuse(match, "stopped", "Play is stopped. Resume first.", fact)
    a, b = fact.score
    return fine(match, "point", f"Point {command.team}. {a}:{b}.", fact)


def decide_position_fault(match: Match, command: PositionFault) -> Decision:
    """Out of order at the hit: a fault of the receivers; of the servers only where the book says so."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    team = command.team
    if command.service in AT_THE_HIT and match.serving is not None:
        return _server_first(match, match.serving, command.service)
    call = RallyFault.OUTSIDE_COURT if command.outside else RallyFault.POSITION
    fact = won(match, team.other, call, command.number)
    free = team is match.serving and not match.profile.positions.serving_team_in_order
    if free and not command.outside:
        return refuse(
            match, "no_position_fault", f"No fault: team {team} serves and may stand anywhere.", fact
        )
    sentence = f"Positional fault of team {team}: point and service to {team.other}."
    ruling = Ruling("position_fault", Severity.FAULT, sentence, match.profile.reference("position_fault"))
    choice = option(AS_RULED, sentence, fact, reference=ruling.reference)
    return Decision((), ruling, Proposal("position_fault", (choice,), AS_RULED), (fact,))


def _server_first(match: Match, serving: Team, fault: RallyFault | None) -> Decision:
    """The server's fault at the hit comes before any positional fault."""
    fact = won(match, serving.other, fault, match.server)
    sentence = f"The server's fault counts first: point and service to {serving.other}."
    ruling = Ruling(
        "server_fault_first", Severity.FAULT, sentence, match.profile.reference("server_fault_first")
    )
    choice = option(AS_RULED, sentence, fact, reference=ruling.reference)
    return Decision((), ruling, Proposal("server_fault_first", (choice,), AS_RULED), (fact,))


def decide_replay(match: Match, command: Replay) -> Decision:
    """The rally is played again: no point."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    return fine(match, "replay", "Replay. No point.", Replayed(command.reason))


def evolve_won(match: Match, fact: RallyWon) -> Match:
    """Give the point; a running time-out or stop is over by it."""
    if match.phase not in PLAYING or match.serving is None:
        return found(match, "point_outside_set", "A point was written while no set was played.")
    if match.phase is not Phase.PLAY:
        match = structs.replace(match, phase=Phase.PLAY, standstill=None)
    return award(match, fact.team)


def evolve_replayed(match: Match, fact: Replayed) -> Match:
    """No completed rally, so until the next one no request is in order unless it is forced."""
    if match.phase not in PLAYING:
        return found(match, "replay_outside_set", "A replay was written while no set was played.")
    if fact.cause is ReplayCause.SERVED_BEFORE_WHISTLE:
        return match  # no rally had begun: the pause goes on as it was
    pause = structs.replace(match.interruption, replay=True)
    return structs.replace(match, interruption=pause)
