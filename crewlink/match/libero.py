"""Libero replacements: who for whom, the rally between two of them, the front row, the serving slot."""

from __future__ import annotations

from msgspec import Struct, structs

from crewlink.match.answer import delay, fine, not_in_set, refuse
from crewlink.match.commands import LiberoSwap
from crewlink.match.facts import LiberoReplaced
from crewlink.match.rotation import FRONT, position_of, slot_at
from crewlink.match.ruling import Decision
from crewlink.match.state import Match, OnCourt, active_liberos, found, with_squad
from crewlink.match.teams import Team
from crewlink.match.terms import DelayCause, Moment


class LiberoDue(Struct, frozen=True):
    """A replacement that must be made before the next service: `libero` leaves for `comes_in`."""

    team: Team
    libero: int
    comes_in: int | None
    why: str


def decide(match: Match, command: LiberoSwap) -> Decision:
    """Allow the replacement, or say what is wrong with it."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    team = command.team
    mistyped = _mistyped(match, command)
    if mistyped is not None:
        return refuse(match, *mistyped)
    fact = _fact(match, command)
    court = match.court(team)
    if command.goes_out != court.libero and court.libero not in (None, command.comes_in):
        sentence = f"Libero {court.libero} is on court already."
        return delay(match, team, "libero_partner", sentence, DelayCause.LIBERO)
    illegal = _illegal(match, command)
    if illegal is not None:
        return delay(match, team, *illegal, DelayCause.LIBERO, otherwise=(fact,))
    if match.interruption.replay and court.libero not in court.must_leave:
        # Officials' guides allow none before a replay but for an injury; no rule text names a sanction.
        return refuse(match, "libero_replay", "The rally is played again first: no libero change now.", fact)
    if command.moment is not Moment.DEAD_BALL:
        return _decide_late(match, command, fact)
    return fine(match, "libero", f"Team {team}: {command.comes_in} in for {command.goes_out}.", fact)


def _decide_late(match: Match, command: LiberoSwap, fact: LiberoReplaced) -> Decision:
    late = structs.replace(fact, late=True)
    team = command.team
    if match.squad(team).late_exchanges == 0 and command.moment is Moment.AFTER_WHISTLE:
        sentence = "After the whistle: the first time play goes on, then tell the captain."
        return fine(match, "libero_after_whistle_first", sentence, late)
    sentence = "Libero replacement after the whistle: stop at once."
    return delay(match, team, "libero_after_whistle", sentence, DelayCause.LIBERO, otherwise=(late,))


def _mistyped(match: Match, command: LiberoSwap) -> tuple[str, str] | None:
    court, squad = match.court(command.team), match.squad(command.team)
    comes_in, goes_out = command.comes_in, command.goes_out
    if goes_out not in court.order:
        return "not_on_court", f"{goes_out} is not on court."
    if comes_in == goes_out:
        return "same_number", f"{comes_in} for {goes_out}: two different numbers."
    if comes_in in court.order and not _moves_to_serve(match, command):
        return "already_on_court", f"{comes_in} is already on court."
    if squad.sheet.players and comes_in not in squad.sheet.players and comes_in not in squad.liberos:
        return "not_on_list", f"{comes_in} is not on the team list."
    if goes_out != court.libero and comes_in not in squad.liberos:
        return "no_libero", f"Neither {comes_in} nor {goes_out} is a libero."
    return None


def _illegal(match: Match, command: LiberoSwap) -> tuple[str, str] | None:
    team, comes_in, goes_out = command.team, command.comes_in, command.goes_out
    court, squad = match.court(team), match.squad(team)
    active = active_liberos(squad, court)
    if comes_in in (*squad.out, *squad.liberos_out, *court.barred):
        return "libero_partner", f"{comes_in} may not play."
    if goes_out == court.libero and comes_in not in active and comes_in != court.stands_for:
        return "libero_partner", f"Only {court.stands_for} or the other libero may come in for {goes_out}."
    if comes_in in active:
        where = _illegal_place(match, command)
        if where is not None:
            return where
    rallied = court.moved_at != match.completed
    if not rallied and not _needs_no_rally(match, command):
        return "libero_no_rally", "No completed rally since the last libero replacement."
    return None


def _illegal_place(match: Match, command: LiberoSwap) -> tuple[str, str] | None:
    """Why a libero may not come in at this place."""
    court, rules = match.court(command.team), match.profile.libero
    place = position_of(court, command.goes_out)
    if place in FRONT:
        return "libero_front_row", f"{command.goes_out} is in the front row: no libero there."
    if place != 0 or match.serving is not command.team:
        return None
    if not rules.may_serve:
        return "libero_serves", "A libero may not serve."
    if court.libero_slot is not None and court.libero_slot != slot_at(court, 0):
        return "libero_second_slot", "The libero may serve in one place of the order only."
    return None


def _moves_to_serve(match: Match, command: LiberoSwap) -> bool:
    """The libero on court goes straight to position 1 to serve; the partner comes back."""
    court = match.court(command.team)
    if command.comes_in != court.libero or command.goes_out != court.order[0]:
        return False
    return match.serving is command.team and match.profile.libero.to_serve_without_rally


def _needs_no_rally(match: Match, command: LiberoSwap) -> bool:
    court, rules = match.court(command.team), match.profile.libero
    if command.goes_out in court.must_leave:
        return True
    comes_to_serve = command.comes_in in match.squad(command.team).liberos
    serves = position_of(court, command.goes_out) == 0 and match.serving is command.team
    return rules.to_serve_without_rally and serves and comes_to_serve


def _fact(match: Match, command: LiberoSwap) -> LiberoReplaced:
    team, comes_in, goes_out = command.team, command.comes_in, command.goes_out
    court = match.court(team)
    place = position_of(court, goes_out) or 0
    is_libero = comes_in in match.squad(team).liberos
    stands_for = None
    if is_libero:
        stands_for = court.stands_for if goes_out == court.libero else goes_out
    serves = is_libero and place == 0 and match.serving is team
    return LiberoReplaced(team, comes_in, goes_out, place + 1, match.score, stands_for, serves)


def legal_swaps(match: Match, team: Team) -> tuple[LiberoSwap, ...]:
    """Every libero replacement that the rules allow now."""
    court, squad = match.court(team), match.squad(team)
    liberos = active_liberos(squad, court)
    pairs = [(number, goes_out) for number in liberos for goes_out in court.order]
    if court.libero is not None and court.stands_for is not None:
        pairs.append((court.stands_for, court.libero))
    asked = (LiberoSwap(team, comes_in, goes_out) for comes_in, goes_out in pairs)
    return tuple(swap for swap in asked if decide(match, swap).ruling.fine)


def due(match: Match, team: Team) -> LiberoDue | None:
    """The libero replacement a team owes before the next service, or None."""
    court = match.court(team)
    if court.libero is None:
        return None
    place = position_of(court, court.libero)
    if place in FRONT:
        return LiberoDue(team, court.libero, court.stands_for, "front_row")
    if court.libero in court.must_leave:
        return LiberoDue(team, court.libero, court.stands_for, "may_not_play")
    if place == 0 and match.serving is team and not match.profile.libero.may_serve:
        return LiberoDue(team, court.libero, court.stands_for, "serves")
    return None


def evolve(match: Match, fact: LiberoReplaced) -> Match:
    """Exchange the two; `stands_for` says whose place a libero holds afterwards."""
    team = fact.team
    court = match.court(team)
    if fact.comes_in == court.libero and court.stands_for is not None:
        court = _partner_back(court)
    place = position_of(court, fact.goes_out)
    if place is None or fact.comes_in in court.order:
        return found(
            match, "libero_does_not_fit", f"{team}: {fact.comes_in} for {fact.goes_out} does not fit."
        )
    slot = slot_at(court, place) if fact.to_serve else court.libero_slot
    on = fact.stands_for is not None
    made = structs.replace(
        court,
        order=(*court.order[:place], fact.comes_in, *court.order[place + 1 :]),
        libero=fact.comes_in if on else None,
        stands_for=fact.stands_for,
        moved_at=match.completed,
        libero_slot=slot,
        must_leave=tuple(n for n in court.must_leave if n != fact.goes_out),
    )
    if team is Team.A:
        match = structs.replace(match, court_a=made)
    else:
        match = structs.replace(match, court_b=made)
    if fact.late:
        return with_squad(match, team, late_exchanges=match.squad(team).late_exchanges + 1)
    return match


def _partner_back(court: OnCourt) -> OnCourt:
    """The court with the libero's partner back in the libero's place."""
    place = position_of(court, court.libero or 0) or 0
    partner = court.stands_for or 0
    order = (*court.order[:place], partner, *court.order[place + 1 :])
    return structs.replace(court, order=order, libero=None, stands_for=None)
