"""A player who should not be on court: line-up, illegal substitution or libero replacement, not listed."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import AS_RULED, delay_fact, not_in_set, option, refuse
from crewlink.match.cancelling import (
    Found,
    as_it_is,
    beyond_the_record,
    exchanged,
    fact_of,
    for_closed_set,
    outcome,
)
from crewlink.match.commands import Pair, UnlistedPlayer, WrongPlayer
from crewlink.match.completed import judged
from crewlink.match.facts import Corrected, Exchange, SetScore, Substituted
from crewlink.match.pairing import objection
from crewlink.match.rotation import position_of
from crewlink.match.ruling import Decision, Option, Proposal, Ruling, Severity
from crewlink.match.scoring import PLAYING, points_to_win
from crewlink.match.state import Match
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Cause, DelayCause

RULES = {
    Cause.LINE_UP: "line_up_wrong",
    Cause.ILLEGAL_SUBSTITUTION: "illegal_substitution_played",
    Cause.ILLEGAL_LIBERO: "illegal_libero",
}


def decide(match: Match, command: WrongPlayer) -> Decision:
    """In time: put right. Played on: points cancelled as far as the book says, point and service."""
    if command.cause not in RULES:
        return refuse(match, "not_known", "Say what is wrong: line-up, substitution or libero.")
    if match.phase not in PLAYING and command.rallies != 0 and (played := judged(match)) is not None:
        return _decide_after_set(played, command)
    if match.finished or not match.court(command.team).order:
        return refuse(match, "not_now", "No set is being played.")
    return _decide_in_set(match, command)


def _decide_after_set(match: Match, command: WrongPlayer) -> Decision:
    """Found when the set was over: the set is open again."""
    decision = _decide_in_set(match, structs.replace(command, at_hit=False))
    if decision.proposal is None:
        return decision
    options = for_closed_set(match.set_number, decision.proposal.options)
    return structs.replace(decision, proposal=structs.replace(decision.proposal, options=options))


def _decide_in_set(match: Match, command: WrongPlayer) -> Decision:
    if command.rallies is not None and not 0 <= command.rallies <= len(match.rallies):
        return refuse(match, "no_such_rally", beyond_the_record(match))
    code = RULES[command.cause]
    in_time = match.phase not in PLAYING or (command.rallies == 0 and not command.at_hit)
    options = _in_time(match, command) if in_time else _played_on(match, command, code)
    severity = Severity.DELAY if in_time and command.cause is not Cause.LINE_UP else Severity.FAULT
    ruling = Ruling(code, severity, options[0].sentence, match.profile.reference(code))
    return Decision((), ruling, Proposal(code, options, options[0].code))


def _in_time(match: Match, command: WrongPlayer) -> tuple[Option, ...]:
    """Found before the service hit."""
    team, number, belongs = command.team, command.number, command.belongs
    back = f"{belongs} comes in, {number} leaves"
    put_right = _corrected(
        match, command, fact_of(match, command.cause, "put_right", as_it_is(match), team, number)
    )
    changed = (put_right,) if number in match.court(team).order else ()
    if command.cause is not Cause.LINE_UP:
        fact = delay_fact(match, team, DelayCause.ILLEGAL_REQUEST)
        sentence = f"{back}. Delay {fact.step.value} for team {team}."
        return (option("put_right", sentence, *changed, fact),)
    found = [
        option(
            "put_right",
            f"{back}: no sanction.",
            *changed,
            reference=match.profile.reference("line_up_put_right"),
        )
    ]
    keep = _kept_by_substitution(match, command)
    return (*found, keep) if keep is not None else tuple(found)


def _kept_by_substitution(match: Match, command: WrongPlayer) -> Option | None:
    """The coach may keep the player by a regular substitution."""
    team, court = command.team, match.court(command.team)
    if objection(match, team, Pair(command.number, command.belongs)) is not None:
        return None
    place = position_of(court, command.belongs) or 0
    pair = Exchange(command.belongs, command.number, place + 1, court.substitutions + 1)
    sentence = f"The coach keeps {command.number}: substitution for {command.belongs}, counted."
    return option("keep", sentence, Substituted(team, (pair,), match.score))


def _played_on(match: Match, command: WrongPlayer, code: str) -> tuple[Option, ...]:
    """Found after the hit or later."""
    team, reference = command.team, match.profile.reference(code)
    reach = match.profile.wrong_server.illegal_player_reach
    made: list[Option] = []
    for rallies, name in ((command.rallies, "fault"), (None, "moment_unknown")):
        if rallies is None and name == "fault":
            continue
        result = outcome(match, Found(team, rallies, command.at_hit, False, reach, True))
        fact = _corrected(match, command, fact_of(match, command.cause, name, result, team, command.number))
        lost = sum(result.cancelled)
        before = f"{lost} point{'s' if lost != 1 else ''} of team {team} cancelled. " if lost else ""
        if name == "moment_unknown":
            before = "Moment unknown, no points cancelled. "
        given = f"Point and service to {team.other}." if result.completed else "The earlier points stand."
        made.append(option(name, f"{before}{given}", fact, reference=reference))
    return tuple(made)


def _corrected(match: Match, command: WrongPlayer, fact: Corrected) -> Corrected:
    """The correction with the right player in the place; an illegal substitution is struck out."""
    number, belongs = command.number, command.belongs
    orders = list(fact.orders)
    place = command.team.place
    orders[place] = exchanged(orders[place], number, belongs)
    pair = (belongs, number) if command.cause is Cause.ILLEGAL_SUBSTITUTION else None
    return structs.replace(fact, orders=(orders[0], orders[1]), strikes_pair=pair)


def decide_unlisted(match: Match, command: UnlistedPlayer) -> Decision:
    """Sets with an unlisted player are scored anew; point and service in the current set."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    team, opponent = command.team, command.team.other
    order = match.court(team).order
    if command.number in order and command.replacement in order:
        return refuse(match, "already_on_court", f"{command.replacement} is already on court.")
    fact = _unlisted(match, command)
    sets = "".join(f" Set {s.number}: {s.score[0]}:{s.score[1]}." for s in fact.sets if s not in match.sets)
    sentence = f"{command.number} is not on the team list.{sets} Point and service to {opponent}."
    ruling = Ruling("unlisted_player", Severity.FAULT, sentence, match.profile.reference("unlisted_player"))
    choice = option(AS_RULED, sentence, fact, reference=ruling.reference)
    return Decision((), ruling, Proposal("unlisted_player", (choice,), AS_RULED))


def _unlisted(match: Match, command: UnlistedPlayer) -> Corrected:
    team = command.team
    came_on = {played.number: played.score for played in command.played}
    reach = match.profile.wrong_server.illegal_player_reach
    result = outcome(match, Found(team, None, True, False, reach, False))
    now = came_on.get(match.set_number)
    if now is not None:
        result = structs.replace(result, score=_with_points(result.score, team, now[team.place]))
    fact = fact_of(match, Cause.UNLISTED_PLAYER, AS_RULED, result, team, command.number)
    orders = list(fact.orders)
    orders[team.place] = exchanged(orders[team.place], command.number, command.replacement)
    sets = tuple(_set_anew(match, team, one, came_on.get(one.number)) for one in match.sets)
    lost = match.score[team.place] - result.score[team.place]
    cancelled = (lost, 0) if team is Team.A else (0, lost)
    since = 0 if now is None else sum(now)
    touched = sum(sum(line.score) > since for line in match.rallies) if lost else 0
    return structs.replace(
        fact, orders=(orders[0], orders[1]), sets=sets, cancelled=cancelled, rallies=touched
    )


def _with_points(score: Score, team: Team, own: int) -> Score:
    return (own, score[1]) if team is Team.A else (score[0], own)


def _set_anew(match: Match, team: Team, one: SetScore, came_on: Score | None) -> SetScore:
    """A finished set as lost from the moment the player came on."""
    if came_on is None:
        return one
    own = came_on[team.place]
    at = (own, 0) if team is Team.A else (0, own)
    score = points_to_win(match.format, one.number, at, team.other)
    return SetScore(one.number, score, team.other)
