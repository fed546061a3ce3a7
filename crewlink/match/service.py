"""Service out of order: first what the table may have got wrong itself, then the fault and what it costs."""

from __future__ import annotations

from typing import cast

from msgspec import structs

from crewlink.match.answer import not_in_set, option, refuse
from crewlink.match.cancelling import (
    Found,
    Outcome,
    as_it_is,
    beyond_the_record,
    exchanged,
    fact_of,
    for_closed_set,
    outcome,
)
from crewlink.match.commands import Pair, WrongInformation, WrongServer
from crewlink.match.completed import judged
from crewlink.match.facts import Corrected, Exchange, LiberoReplaced, SimpleFact, Substituted
from crewlink.match.pairing import objection
from crewlink.match.rotation import slot_at
from crewlink.match.ruling import Decision, Option, Proposal, Ruling, Severity
from crewlink.match.state import Match, active_liberos, listed
from crewlink.match.teams import Score, Six, Team
from crewlink.match.terms import Cause

ALIKE = (frozenset("69"), frozenset("17"), frozenset("38"), frozenset("56"), frozenset("08"))


def decide(match: Match, command: WrongServer) -> Decision:
    """Explanations first, then the fault; R1 decides."""
    played = judged(match)
    if played is None:
        return refuse(match, "set_not_begun", "The set has not begun yet.")
    if played is not match:
        return _decide_after_set(played, command)
    return _decide_in_set(match, command)


def _decide_after_set(match: Match, command: WrongServer) -> Decision:
    """Found when the set was over: the last rally of the set counts as finished."""
    rallies = 1 if command.rallies == 0 else command.rallies
    decision = _decide_in_set(match, structs.replace(command, rallies=rallies, at_hit=False))
    if decision.proposal is None:
        return decision
    options = for_closed_set(match.set_number, decision.proposal.options)
    return structs.replace(decision, proposal=structs.replace(decision.proposal, options=options))


def _decide_in_set(match: Match, command: WrongServer) -> Decision:
    wrong_question = _contradicted(match, command)
    if wrong_question is not None:
        return refuse(match, *wrong_question)
    options = (*_explanations(match, command), *_faults(match, command))
    suggested = "moment_unknown" if command.rallies is None else "wrong_server"
    if not listed(match.squad(command.team), command.number):
        suggested = "not_on_list"
    if not any(o.code == suggested for o in options):
        suggested = options[-1].code
    chosen = next(o for o in options if o.code == suggested)
    ruling = Ruling("wrong_server", Severity.FAULT, chosen.sentence, match.profile.reference("wrong_server"))
    return Decision((), ruling, Proposal("wrong_server", options, suggested))


def _contradicted(match: Match, command: WrongServer) -> tuple[str, str] | None:
    """What the record says against the question: no such rally, the other team served, the right player."""
    team, number, rallies = command.team, command.number, command.rallies
    if rallies is not None and not 0 <= rallies <= len(match.rallies):
        return "no_such_rally", beyond_the_record(match)
    if (command.at_hit or rallies == 0) and match.serving is not team:
        return "not_serving", f"Team {team} does not serve."
    if rallies:
        line = match.rallies[-rallies]
        if line.serving is not team or not line.played:
            return "not_serving", f"Team {team} did not serve in that rally."
    elif not command.at_hit and rallies is None:
        return None
    if number == _due(match, command) and not _libero_out_of_slot(match, command):
        return "right_server", f"{number} {'was' if rallies else 'is'} the right server."
    return None


def _due(match: Match, command: WrongServer) -> int:
    """Who should have served when the fault began."""
    rallies = command.rallies
    if rallies is not None and 0 < rallies <= len(match.rallies):
        line = match.rallies[-rallies]
        if line.serving is command.team and line.server is not None:
            return line.server
    return match.court(command.team).order[0]


def _libero_out_of_slot(match: Match, command: WrongServer) -> bool:
    """True if a libero was due to serve in the place of another player, and may not in that place."""
    court = match.court(command.team)
    if command.number not in match.squad(command.team).liberos:
        return False
    slot = (court.turns - _gained_since(match, command.team, command.rallies or 0)) % 6
    return not match.profile.libero.may_serve or court.libero_slot != slot


def _gained_since(match: Match, team: Team, rallies: int) -> int:
    """How often a team has gained the service in the last `rallies`; it rotated as often."""
    lines = match.rallies[len(match.rallies) - rallies :]
    return sum(line.winner is team and line.serving is not team for line in lines)


def _makes_room(match: Match, command: WrongServer) -> bool:
    """True if the libero on court stands in the serving place now and may not serve there."""
    court = match.court(command.team)
    on = command.number == court.libero == court.order[0]
    return on and (not match.profile.libero.may_serve or court.libero_slot != slot_at(court, 0))


def _fault(match: Match, command: WrongServer, name: str, result: Outcome) -> Corrected:
    """The fault as a fact; a libero who may not serve makes room for the player it stood for."""
    team = command.team
    fact = fact_of(match, Cause.WRONG_SERVER, name, result, team, command.number)
    partner = match.court(team).stands_for
    if partner is None or not _makes_room(match, command):
        return fact
    orders = list(fact.orders)
    orders[team.place] = exchanged(orders[team.place], command.number, partner)
    return structs.replace(fact, orders=(orders[0], orders[1]))


def _faults(match: Match, command: WrongServer) -> list[Option]:
    """The fault by the profile: with points cancelled as far as it reaches, and with the moment unknown."""
    rules, team = match.profile.wrong_server, command.team
    reference = match.profile.reference("wrong_server")
    found: list[Option] = []
    if command.rallies == 0 and not command.at_hit:
        sentence = "The wrong player has not hit the ball: no fault. Let the right one serve."
        return [option("no_fault", sentence, reference=reference)]
    if command.rallies is not None:
        fault = Found(team, command.rallies, command.at_hit, rules.single_point, rules.reach, False)
        result = outcome(match, fault)
        fact = _fault(match, command, "wrong_server", result)
        found.append(option("wrong_server", _says(team, result, match), fact, reference=reference))
    unknown = Found(team, None, command.at_hit, rules.single_point, rules.reach, False)
    result = outcome(match, unknown)
    fact = _fault(match, command, "moment_unknown", result)
    sentence = f"Moment unknown: no points cancelled. Point to {team.other}."
    found.append(option("moment_unknown", sentence, fact, reference=reference))
    return found


def _says(team: Team, result: Outcome, match: Match) -> str:
    if not result.completed:
        return f"Team {team.other} has served since: the points stand, the order is put right."
    lost = sum(result.cancelled)
    before = f"{lost} point{'s' if lost != 1 else ''} of team {team} cancelled. " if lost else ""
    if result.score[team.other.place] > match.score[team.other.place]:
        return f"{before}Point and service to {team.other}."
    return f"{before}{team.other} keeps its point and serves."


def _explanations(match: Match, command: WrongServer) -> list[Option]:
    """The table's own errors that would explain it; each keeps the score."""
    made = [
        _misread(match, command),
        _not_listed(match, command),
        _substitution_missing(match, command),
        _libero_missing(match, command),
        _line_up_typed(match, command),
        _told_wrongly(match, command),
        _score_to_check(match, command),
    ]
    return [one for one in made if one is not None]


def _misread(match: Match, command: WrongServer) -> Option | None:
    due = _due(match, command)
    if not look_alike(due, command.number):
        return None
    sentence = f"{due} was read as {command.number}: right server, nothing changes."
    return option("misread", sentence, explanation=True)


def _not_listed(match: Match, command: WrongServer) -> Option | None:
    """Nobody of that number may play: it was read wrongly, or the case is that of an unlisted player."""
    if listed(match.squad(command.team), command.number):
        return None
    sentence = (
        f"{command.number} is not on the list of team {command.team}: read the number again. "
        f"If {command.number} really plays, ask about an unlisted player."
    )
    reference = match.profile.reference("unlisted_player")
    return option("not_on_list", sentence, explanation=True, reference=reference)


def look_alike(one: int, other: int) -> bool:
    """True if two different numbers are easily taken for each other on a shirt."""
    a, b = str(one), str(other)
    if one == other or len(a) != len(b):
        return False
    if a == b[::-1]:
        return True
    return all(x == y or frozenset((x, y)) in ALIKE for x, y in zip(a, b, strict=True))


def _substitution_missing(match: Match, command: WrongServer) -> Option | None:
    team, court, due = command.team, match.court(command.team), _due(match, command)
    if objection(match, team, Pair(command.number, due)) is not None:
        return None
    pair = Exchange(due, command.number, court.order.index(due) + 1, court.substitutions + 1)
    sentence = f"Substitution not written: {command.number} in for {due}."
    return option("substitution_missing", sentence, Substituted(team, (pair,), match.score), explanation=True)


def _libero_missing(match: Match, command: WrongServer) -> Option | None:
    team, court, number = command.team, match.court(command.team), command.number
    able = number in active_liberos(match.squad(team), court) and number not in court.order
    if not match.profile.libero.may_serve or not able:
        return None
    if court.libero_slot is not None and court.libero_slot != slot_at(court, 0):
        return None
    due = court.order[0]
    if court.libero not in (None, due):  # the other libero is on court in another place
        return None
    stands_for = court.stands_for if due == court.libero else due
    fact = LiberoReplaced(team, number, due, 1, match.score, stands_for, True)
    return option(
        "libero_missing", f"Libero {number} came in for {due}: not written.", fact, explanation=True
    )


def _line_up_typed(match: Match, command: WrongServer) -> Option | None:
    """Two numbers of the line-up changed places when it was typed."""
    team, court, number = command.team, match.court(command.team), command.number
    due = _due(match, command)
    typed = due in court.line_up and number in court.line_up and number in court.order and number != due
    if not typed or any({due, number} & {s.goes_out, s.comes_in} for s in court.swaps):
        return None
    facts = _swapped(match, team, due, number)
    sentence = f"Line-up typed wrongly: {due} and {number} are swapped."
    return option("line_up_typed", sentence, *facts, explanation=True)


def _swapped(match: Match, team: Team, one: int, other: int) -> tuple[SimpleFact, ...]:
    change = {one: other, other: one}
    orders, sheets = [], []
    for each in Team:
        court = match.court(each)
        swap = change if each is team else {}
        orders.append(cast(Six, tuple(swap.get(n, n) for n in court.order)))
        sheets.append(cast(Six, tuple(swap.get(n, n) for n in court.line_up)))
    fact = fact_of(match, Cause.LINE_UP, "line_up_typed", as_it_is(match), team, other)
    return (structs.replace(fact, orders=(orders[0], orders[1]), line_ups=(sheets[0], sheets[1])),)


def _told_wrongly(match: Match, command: WrongServer) -> Option | None:
    if command.rallies is None or not 0 < command.rallies <= len(match.rallies):
        return None
    fact = _back_to_moment(match, command.team, command.rallies)
    sentence = "The table named the wrong server: back to then."
    return option("wrong_information", sentence, fact, explanation=True)


def _score_to_check(match: Match, command: WrongServer) -> Option | None:
    """The player before or after in the order serves: perhaps a rally is missing, or written twice."""
    court = match.court(command.team)
    if command.number not in (court.order[1], court.order[5]):
        return None
    sentence = "A rally is missing or written twice? Check the score."
    return option("check_score", sentence, explanation=True)


def decide_information(match: Match, command: WrongInformation) -> Decision:
    """The scorer named the wrong server: back to the moment, no fault of the team."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    if not 0 <= command.rallies <= len(match.rallies):
        return refuse(match, "no_such_rally", "There were not so many rallies in this set.")
    fact = _back_to_moment(match, command.team, command.rallies)
    a, b = fact.score
    sentence = f"The table's mistake: back to {a}:{b}, {fact.serving} serves. Cards and sanctions stay."
    ruling = Ruling(
        "wrong_information", Severity.FAULT, sentence, match.profile.reference("wrong_information")
    )
    return Decision(
        (), ruling, Proposal("wrong_information", (option("as_ruled", sentence, fact),), "as_ruled")
    )


def _back_to_moment(match: Match, team: Team, rallies: int) -> Corrected:
    touched = match.rallies[len(match.rallies) - rallies :]
    before = match.rallies[: len(match.rallies) - rallies]
    score: Score = before[-1].score if before else match.start_score
    turns = [match.court_a.turns, match.court_b.turns]
    for line in touched:
        if line.winner is not line.serving:
            turns[line.winner.place] = (turns[line.winner.place] - 1) % 6
    serving = touched[0].serving if touched else match.serving or team
    lost = (match.score[0] - score[0], match.score[1] - score[1])
    result = Outcome(score, serving, (turns[0], turns[1]), lost, rallies, False)
    return fact_of(match, Cause.WRONG_INFORMATION, "wrong_information", result, team, None)
