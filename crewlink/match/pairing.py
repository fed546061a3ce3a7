"""Who may be exchanged for whom: the two schools of pairing, and the exceptional substitution."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from crewlink.match.commands import Pair
from crewlink.match.rotation import place_of, regulars, slot_at
from crewlink.match.state import Match, OnCourt
from crewlink.match.teams import Team
from crewlink.match.terms import SubstitutionKind
from crewlink.rules.profile import Pairing


class Objection(Struct, frozen=True):
    """Why a pair may not be exchanged. `mistyped`: the numbers cannot be meant; costs the team nothing."""

    code: str
    sentence: str
    mistyped: bool = False

    @property
    def impossible(self) -> bool:
        """True if no decision of R1 could make it fit."""
        return self.code in ("not_on_court", "already_on_court")


def objection(match: Match, team: Team, pair: Pair) -> Objection | None:
    """Why this regular substitution is not legal, or None."""
    problem = numbers_objection(match, team, pair)
    if problem is not None:
        return problem
    court = match.court(team)
    limit = match.profile.substitutions.per_set
    rule = SCHOOLS[match.profile.substitutions.pairing]
    sentence = rule(court, pair)
    if sentence is not None:
        return Objection("illegal_substitution", sentence)
    if court.substitutions >= limit:
        return Objection("substitutions_used_up", f"Team {team} has used its {limit} substitutions.")
    return None


def numbers_objection(match: Match, team: Team, pair: Pair) -> Objection | None:
    """Why these two numbers cannot change at all, or None."""
    court, squad = match.court(team), match.squad(team)
    comes_in, goes_out = pair.comes_in, pair.goes_out
    off = goes_out == court.stands_for and court.libero is not None
    if off and goes_out not in court.must_leave:
        return Objection(
            "off_for_libero", f"{goes_out} is off for the libero: bring {goes_out} back first.", True
        )
    if not off and goes_out not in court.order:
        return Objection("not_on_court", f"{goes_out} is not on court.", True)
    if comes_in in court.order or comes_in == court.stands_for:
        return Objection("already_on_court", f"{comes_in} is already on court.", True)
    if squad.sheet.players and comes_in not in squad.sheet.players:
        return Objection("not_on_list", f"{comes_in} is not on the team list.", True)
    if goes_out in squad.liberos or comes_in in squad.liberos:
        return Objection("libero_by_substitution", "A libero is not exchanged by substitution.")
    if comes_in in squad.out or comes_in in squad.liberos_out:
        return Objection("out_for_match", f"{comes_in} is out for the match.")
    if comes_in in court.barred:
        return Objection("out_for_set", f"{comes_in} is out for this set.")
    return None


def _starter_and_substitute(court: OnCourt, pair: Pair) -> str | None:
    """A starter goes out once and comes back once; a substitute comes in once, for a starter only."""
    place = place_of(court, pair.goes_out) or 0
    slot = slot_at(court, place)
    starter = court.line_up[slot]
    history = [s for s in court.swaps if s.slot == slot and s.kind is not SubstitutionKind.EXCEPTIONAL]
    comes_in, goes_out = pair.comes_in, pair.goes_out
    if comes_in in court.line_up:
        if starter != comes_in:
            own = court.line_up.index(comes_in)
            holder = regulars(court)[(own - court.turns) % 6]
            return f"{comes_in} may only come back for {holder}."
        if len(history) != 1:
            return f"{comes_in} has already gone out and come back."
        return None
    if _has_played(court, comes_in):
        return f"{comes_in} has already played in this set."
    if history:
        if len(history) == 1:
            return f"Only {starter} may come in for {goes_out}."
        return f"{starter} has already gone out and come back."
    return None if goes_out == starter else f"{goes_out} may not be replaced by a substitution."


def _has_played(court: OnCourt, number: int) -> bool:
    return number in court.played or any(s.comes_in == number for s in court.swaps)


def _one_position(court: OnCourt, pair: Pair) -> str | None:
    """Anyone may come in again and again, but in one place of the order only."""
    slot = slot_at(court, place_of(court, pair.goes_out) or 0)
    own = _slot_of_player(court, pair.comes_in)
    if own is None or own == slot:
        return None
    holder = regulars(court)[(own - court.turns) % 6]
    return f"{pair.comes_in} has played in another place: may only come in for {holder}."


def _slot_of_player(court: OnCourt, number: int) -> int | None:
    if number in court.line_up:
        return court.line_up.index(number)
    return next((s.slot for s in court.swaps if s.comes_in == number), None)


SCHOOLS: dict[Pairing, Callable[[OnCourt, Pair], str | None]] = {
    Pairing.STARTER_AND_SUBSTITUTE: _starter_and_substitute,
    Pairing.ONE_POSITION: _one_position,
}


def regular_partners(match: Match, team: Team, goes_out: int) -> tuple[int, ...]:
    """Listed players who may come in for `goes_out` by a regular substitution now."""
    listed = match.squad(team).sheet.players
    return tuple(n for n in listed if objection(match, team, Pair(n, goes_out)) is None)


def legal_pairs(match: Match, team: Team) -> tuple[Pair, ...]:
    """Every regular substitution that the list allows now."""
    pairs = ((n, out) for out in match.court(team).order for n in regular_partners(match, team, out))
    return tuple(Pair(comes_in, goes_out) for comes_in, goes_out in pairs)


def exceptional_objection(match: Match, team: Team, pair: Pair) -> Objection | None:
    """Why an exceptional substitution is not possible: only when no regular one is, never with a libero."""
    problem = numbers_objection(match, team, pair)
    if problem is not None:
        return problem
    court = match.court(team)
    expelled = pair.goes_out in court.barred or pair.goes_out in match.squad(team).out
    if expelled and not match.profile.substitutions.exceptional_for_expelled:
        return Objection("exceptional_not_possible", "Not for a player sent off: the team is incomplete.")
    regular = regular_partners(match, team, pair.goes_out)
    if regular:
        who = " or ".join(str(n) for n in regular)
        return Objection("exceptional_not_possible", f"A regular substitution is possible: {who}.")
    return None
