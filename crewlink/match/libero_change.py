"""A libero who can play no longer, and the one named instead (re-designation)."""

from __future__ import annotations

from crewlink.match.answer import fine, refuse
from crewlink.match.commands import LiberoOut, NameLibero
from crewlink.match.facts import LiberoNamed, LiberoUnable
from crewlink.match.ruling import Decision
from crewlink.match.state import Match, active_liberos, found, with_court, with_squad
from crewlink.match.terms import LiberoOutCause, Phase
from crewlink.rules.profile import Unlisted

FOR_THE_SET = (LiberoOutCause.EXPULSION,)


def decide_out(match: Match, command: LiberoOut) -> Decision:
    """Any libero may become unable to play."""
    squad = match.squad(command.team)
    if command.number not in squad.liberos:
        return refuse(match, "no_libero", f"{command.number} is not a libero.")
    fact = LiberoUnable(command.team, command.number, command.cause)
    return fine(match, "libero_unable", f"Libero {command.number} can play no longer.", fact)


def decide_name(match: Match, command: NameLibero) -> Decision:
    """Only when no libero is left, or at the line-up check where the book allows it."""
    team, number = command.team, command.number
    court, squad = match.court(team), match.squad(team)
    replaced = next((n for n in squad.liberos if n not in active_liberos(squad, court)), None)
    enters_for = court.libero if command.enters and court.libero in court.must_leave else None
    fact = LiberoNamed(team, number, replaced, enters_for)
    if number in court.order:
        return refuse(match, "libero_not_possible", f"{number} is on court.")
    problem = _problem(match, command)
    if problem is not None:
        return refuse(match, "libero_not_possible", problem, fact)
    return fine(match, "libero_named", f"New libero {team}: {number}.", fact)


def _problem(match: Match, command: NameLibero) -> str | None:
    team, number = command.team, command.number
    court, squad = match.court(team), match.squad(team)
    active = active_liberos(squad, court)
    at_check = match.phase is Phase.CHECK and not squad.liberos
    if at_check and match.profile.libero.not_listed is not Unlisted.NAMED_AT_CHECK:
        whole = match.profile.libero.not_listed is Unlisted.NONE_MATCH
        return f"No libero was written down: none in this {'match' if whole else 'set'}."
    if not squad.liberos and not at_check:
        return "The team has no libero."
    if active:
        return f"Libero {active[0]} can still play."
    if squad.sheet.players and number not in squad.sheet.players:
        return f"{number} is not on the team list."
    if number == court.stands_for:
        return f"{number} is the player the libero stands for."
    if number in (*squad.out, *squad.liberos_out, *court.barred):
        return f"{number} may not play."
    if not match.profile.libero.named_anew_if_expelled and any(n in court.barred for n in squad.liberos):
        return "No new libero after an expulsion in this set."
    return None


def evolve_unable(match: Match, fact: LiberoUnable) -> Match:
    """Out for the match (an expulsion: for the set); on court, the libero must leave, no rally needed."""
    team, number = fact.team, fact.number
    court, squad = match.court(team), match.squad(team)
    if number not in squad.liberos:
        return found(match, "no_libero", f"{team}: {number} was not a libero.")
    if number == court.libero and number not in court.must_leave:
        match = with_court(match, team, must_leave=(*court.must_leave, number))
    if fact.cause in FOR_THE_SET:
        return with_court(match, team, barred=(*match.court(team).barred, number))
    return with_squad(match, team, liberos_out=(*squad.liberos_out, number))


def evolve_named(match: Match, fact: LiberoNamed) -> Match:
    """The new libero is the only one from now on; entering at once takes the place of the one on court."""
    team, number = fact.team, fact.number
    court, squad = match.court(team), match.squad(team)
    if number in court.order:
        return found(match, "libero_does_not_fit", f"{team}: libero {number} was on court.")
    again = fact.replaces is not None
    out = squad.liberos_out
    if again:
        out = (*out, *(n for n in squad.liberos if n not in out))
    match = with_squad(
        match, team, liberos=(number,), liberos_out=out, libero_named=squad.libero_named or again
    )
    if fact.enters_for is None:
        return match
    if fact.enters_for not in court.order:
        return found(match, "not_on_court", f"{team}: libero {fact.enters_for} was not on court.")
    order = tuple(number if n == fact.enters_for else n for n in court.order)
    left = tuple(n for n in court.must_leave if n != fact.enters_for)
    return with_court(match, team, order=order, libero=number, moved_at=match.completed, must_leave=left)
