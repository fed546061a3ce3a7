"""Substitutions: one request an interruption, several pairs, pairing by profile, exceptional, forced."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import delay, fine, improper, refuse
from crewlink.match.commands import Pair, Substitute
from crewlink.match.facts import Exchange, Substituted
from crewlink.match.pairing import Objection, exceptional_objection, objection
from crewlink.match.rotation import place_of, position_of, slot_at
from crewlink.match.ruling import Decision
from crewlink.match.state import Match, OnCourt, Swap, found, with_court, with_squad
from crewlink.match.teams import Team
from crewlink.match.terms import DelayCause, Moment, RequestKind, SubstitutionKind
from crewlink.rules.profile import Return, Several

ABOUT = RequestKind.SUBSTITUTION
HOW_THEY_COME = {
    Several.TOGETHER: "All in the zone together, pair by pair.",
    Several.ONE_BY_ONE: "One in the zone at a time.",
}
REGULAR, EXCEPTIONAL = SubstitutionKind.REGULAR, SubstitutionKind.EXCEPTIONAL


def decide(match: Match, command: Substitute) -> Decision:
    """Check the request first, then pair by pair; legal pairs go through even if another is refused."""
    team = command.team
    if match.finished or not match.court(team).order:
        return refuse(match, "not_now", "No substitution now.")
    if not command.pairs:
        return refuse(match, "no_pair", "Who comes in, who goes out?")
    everything = _fact(match, command, command.pairs)
    reason = _request_objection(match, command)
    if reason is not None:
        code, sentence = reason
        return improper(match, team, code, sentence, ABOUT, command.cost_time, otherwise=(everything,))
    if not command.ready:
        sentence = "The substitute is not ready to play."
        return delay(match, team, "not_ready", sentence, DelayCause.NOT_READY, otherwise=(everything,))
    return _decide_pairs(match, command, everything)


def _decide_pairs(match: Match, command: Substitute, everything: Substituted) -> Decision:
    team = command.team
    tried, legal, wrong = match, list[Pair](), list[Objection]()
    for pair in command.pairs:
        problem = _objection(tried, team, pair, command.kind)
        if problem is None:
            legal.append(pair)
            tried = evolve(tried, _fact(tried, command, (pair,)))
        else:
            wrong.append(problem)
    if not wrong:
        return fine(match, "substitution", _sentence(match, everything), everything)
    granted = (_fact(match, command, tuple(legal)),) if legal else ()
    first = wrong[0]
    if first.impossible:
        return refuse(match, first.code, first.sentence)
    if first.mistyped or command.kind is not REGULAR:
        return refuse(match, first.code, first.sentence, everything)
    if first.code == "substitutions_used_up":
        sentence = _more_than_left(match, team, legal) if legal else first.sentence
        return improper(match, team, first.code, sentence, ABOUT, command.cost_time, granted, (everything,))
    code = "some_pairs_illegal" if legal else first.code
    cause = DelayCause.ILLEGAL_REQUEST
    return delay(match, team, code, first.sentence, cause, granted, (everything,))


def _more_than_left(match: Match, team: Team, legal: list[Pair]) -> str:
    """More pairs than substitutions left: the first asked for go through, but the coach may choose."""
    left = len(legal)
    count = f"{left} substitution{'s' if left > 1 else ''}"
    return f"Team {team} has only {count} left; the coach may choose: then ask again with those."


def _objection(match: Match, team: Team, pair: Pair, kind: SubstitutionKind) -> Objection | None:
    if kind is EXCEPTIONAL:
        return exceptional_objection(match, team, pair)
    return objection(match, team, pair)


def _request_objection(match: Match, command: Substitute) -> tuple[str, str] | None:
    """Why the request itself is improper; forced and exceptional changes are always in order."""
    team, pause = command.team, match.interruption
    if command.kind is not REGULAR:
        return None
    if command.moment is not Moment.DEAD_BALL:
        when = "in the rally" if command.moment is Moment.IN_RALLY else "after the service whistle"
        return command.moment.value, f"Asked {when}: too late."
    if pause.replay:
        return "replay_due", "The rally is played again first: only a forced change before it."
    if team in pause.blocked:
        return "blocked_after_delay", "Warned for delay: no more requests before the next rally."
    if team in pause.asked and not command.same_request:
        return "second_request", "Only one substitution request per team before the next rally."
    return None


def _fact(match: Match, command: Substitute, pairs: tuple[Pair, ...]) -> Substituted:
    court = match.court(command.team)
    count, made = court.substitutions, list[Exchange]()
    for pair in pairs:
        count += command.kind is not EXCEPTIONAL
        place = place_of(court, pair.goes_out)
        position = 0 if place is None else place + 1
        made.append(Exchange(pair.goes_out, pair.comes_in, position, count, command.kind))
        if pair.goes_out in court.order:
            order = tuple(pair.comes_in if n == pair.goes_out else n for n in court.order)
            court = structs.replace(court, order=order)
    return Substituted(command.team, tuple(made), match.score)


def _sentence(match: Match, fact: Substituted) -> str:
    rules = match.profile.substitutions
    done = ", ".join(f"{p.comes_in} in for {p.goes_out}" for p in fact.pairs)
    count = fact.pairs[-1].count
    if fact.pairs[-1].kind is EXCEPTIONAL:
        return f"Team {fact.team}: exceptional substitution, {done}. Not counted."
    sentence = f"Team {fact.team}: {done}. {count} of {rules.per_set}."
    if len(fact.pairs) > 1:
        sentence += f" {HOW_THEY_COME[rules.several]}"
    if any(p.count in rules.announce for p in fact.pairs):
        sentence += f" Tell the coach and R1: number {count}."
    return sentence


def evolve(match: Match, fact: Substituted) -> Match:
    """Exchange the pairs that still fit; one that does not becomes a finding."""
    team = fact.team
    for pair in fact.pairs:
        match = _exchange(match, team, pair)
    if any(pair.kind is REGULAR for pair in fact.pairs):
        pause = match.interruption
        match = structs.replace(match, interruption=structs.replace(pause, asked=(*pause.asked, team)))
    return match


def _exchange(match: Match, team: Team, pair: Exchange) -> Match:
    court = match.court(team)
    place = position_of(court, pair.goes_out)
    if pair.comes_in in court.order or pair.comes_in == court.stands_for:
        return found(match, "already_on_court", f"{team}: {pair.comes_in} was already on court.")
    if place is None and pair.goes_out != court.stands_for:
        return found(match, "not_on_court", f"{team}: {pair.goes_out} was not on court.")
    counted = court.substitutions + (pair.kind is not EXCEPTIONAL)
    if counted > match.profile.substitutions.per_set:
        match = found(match, "substitutions_used_up", f"Team {team} has more substitutions than allowed.")
    return _leave(with_court(match, team, **_exchanged(match, court, place, pair, counted)), team, pair)


def _exchanged(
    match: Match, court: OnCourt, place: int | None, pair: Exchange, counted: int
) -> dict[str, object]:
    if place is None:  # the player is off for the libero: the partner of the libero changes
        at = place_of(court, pair.goes_out) or 0
        order = court.order
        stands_for: int | None = pair.comes_in
    else:
        at = place
        order = (*court.order[:place], pair.comes_in, *court.order[place + 1 :])
        stands_for = court.stands_for
    swap = Swap(slot_at(court, at), pair.goes_out, pair.comes_in, pair.kind, match.score)
    return {
        "order": order,
        "stands_for": stands_for,
        "substitutions": counted,
        "swaps": (*court.swaps, swap),
        "must_leave": tuple(n for n in court.must_leave if n != pair.goes_out),
    }


def _leave(match: Match, team: Team, pair: Exchange) -> Match:
    """Who is replaced exceptionally stays out for the match, or for the set, by profile."""
    if pair.kind is not EXCEPTIONAL:
        return match
    if match.profile.substitutions.exceptional_return is Return.NEVER:
        return with_squad(match, team, out=(*match.squad(team).out, pair.goes_out))
    return with_court(match, team, barred=(*match.court(team).barred, pair.goes_out))
