"""What a fault found later costs: points cancelled, service, rotations; and how its correction counts.

The score sheet's order is the right one, whoever really stood there; rotations once gained stay, only points
go.
"""

from __future__ import annotations

from typing import cast

from msgspec import Struct, structs

from crewlink.match.completed import closed_if_won, judged
from crewlink.match.facts import Corrected, SetScore
from crewlink.match.rotation import rotate
from crewlink.match.ruling import Option
from crewlink.match.scoring import PLAYING, match_over, match_winner
from crewlink.match.state import NO_REQUESTS, Match, Note, OnCourt, RallyLine, found, with_court
from crewlink.match.teams import Score, Six, Team
from crewlink.match.terms import Cause, Phase, RemarkKind
from crewlink.rules.profile import Reach


class Found(Struct, frozen=True):
    """When a fault of `team` came to light: `rallies` finished since it began (None: unknown), or at a hit.

    `single`: a faulty rally that the opponent won counts once. `reach`: how far back points go.
    `turns_last`: where the opponent has served since, only the last rally is turned round.
    """

    team: Team
    rallies: int | None
    at_hit: bool
    single: bool
    reach: Reach
    turns_last: bool


class Outcome(Struct, frozen=True):
    """What it leads to: score, service, places rotated by A and B, points cancelled, rallies touched."""

    score: Score
    serving: Team
    turns: tuple[int, int]
    cancelled: Score = (0, 0)
    rallies: int | None = None
    completed: bool = True


def outcome(match: Match, fault: Found) -> Outcome:
    """Work out score, service and rotations once the fault is put right."""
    if fault.rallies is None or not match.rallies:
        return _settled(match, fault.team, fault.rallies, 0, 1)
    if fault.reach is Reach.SERVICE_TERM:
        return _within_term(match, fault)
    touched = match.rallies[len(match.rallies) - _touched(match, fault.rallies) :]
    lost = sum(line.winner is fault.team for line in touched)
    return _settled(match, fault.team, len(touched), lost, _points_given(match, fault))


def beyond_the_record(match: Match) -> str:
    """Says how many rallies of the set are known, and what to do where the fault is older."""
    known = len(match.rallies)
    count = "no rally" if not known else "only 1 rally" if known == 1 else f"only {known} rallies"
    return f"The record knows {count} of this set. Give a rally it knows, or say that the moment is unknown."


def _touched(match: Match, rallies: int) -> int:
    return max(0, min(rallies, len(match.rallies)))


def _points_given(match: Match, fault: Found) -> int:
    """One point, unless the faulty rally itself already gave it."""
    last = match.rallies[-1]
    faulty = last.played and last.serving is fault.team and bool(fault.rallies)
    if not fault.at_hit and fault.single and faulty and last.winner is fault.team.other:
        return 0
    return 1


def _within_term(match: Match, fault: Found) -> Outcome:
    """Only the current term of service is corrected; what lies before it stands."""
    team, last = fault.team, match.rallies[-1]
    if not fault.at_hit and last.serving is not team:
        return _last_turned(match, fault)
    touched = 0
    for line in reversed(match.rallies[len(match.rallies) - _touched(match, fault.rallies or 0) :]):
        if line.serving is not team:
            break
        touched += 1
    lines = match.rallies[len(match.rallies) - touched :]
    lost = sum(line.winner is team for line in lines)
    won_already = not fault.at_hit and last.winner is team.other
    return _settled(match, team, touched, lost, 0 if won_already else 1)


def _last_turned(match: Match, fault: Found) -> Outcome:
    """The opponent has served since: earlier points stand; at most the last rally is turned round."""
    team, last = fault.team, match.rallies[-1]
    if not fault.turns_last or last.winner is not team:
        serving = match.serving or team.other
        return Outcome(match.score, serving, _turns(match), rallies=0, completed=False)
    turns = list(_turns(match))
    turns[team.place] = (turns[team.place] - 1) % 6
    score = _moved(match.score, team, -1, 1)
    return Outcome(score, team.other, (turns[0], turns[1]), _cancelled(team, 1), 1)


def _settled(match: Match, team: Team, rallies: int | None, lost: int, given: int) -> Outcome:
    """Take `lost` points from `team`, give `given` and the service to the opponent, who rotates for it."""
    turns = list(_turns(match))
    if match.serving is team:
        turns[team.other.place] = (turns[team.other.place] + 1) % 6
    score = _moved(match.score, team, -lost, given)
    return Outcome(score, team.other, (turns[0], turns[1]), _cancelled(team, lost), rallies)


def _turns(match: Match) -> tuple[int, int]:
    return match.court_a.turns, match.court_b.turns


def _moved(score: Score, team: Team, own: int, other: int) -> Score:
    a, b = score
    if team is Team.A:
        return max(0, a + own), b + other
    return a + other, max(0, b + own)


def _cancelled(team: Team, points: int) -> Score:
    return (points, 0) if team is Team.A else (0, points)


def turned_order(court: OnCourt, turns: int) -> Six:
    """The order on court once it has rotated `turns` places in the set."""
    return cast(Six, rotate(court.order, turns - court.turns))


def exchanged(order: Six, goes_out: int, comes_in: int) -> Six:
    """The order with one number in the place of another; unchanged if that does not fit."""
    if goes_out not in order or comes_in in order:
        return order
    return cast(Six, tuple(comes_in if n == goes_out else n for n in order))


def fact_of(
    match: Match, cause: Cause, option: str, result: Outcome, team: Team, number: int | None
) -> Corrected:
    """The correction as a fact, complete."""
    orders = (
        turned_order(match.court_a, result.turns[0]),
        turned_order(match.court_b, result.turns[1]),
    )
    return Corrected(
        cause,
        option,
        result.score,
        result.serving,
        orders,
        result.turns,
        before=match.score,
        team=team,
        number=number,
        cancelled=result.cancelled,
        rallies=result.rallies,
        completed=result.completed,
    )


def as_it_is(match: Match, rallies: int = 0) -> Outcome:
    """Nothing changes in score, service and rotations."""
    return Outcome(match.score, match.serving or Team.A, _turns(match), rallies=rallies, completed=False)


def for_closed_set(number: int, options: tuple[Option, ...]) -> tuple[Option, ...]:
    """The options that can still correct a set that is closed: they open it again."""
    made = []
    for one in options:
        facts = [f for f in one.facts if isinstance(f, Corrected)]
        if len(facts) == len(one.facts):
            again = tuple(structs.replace(f, reopens=True, set_number=number) for f in facts)
            made.append(structs.replace(one, facts=again))
    return tuple(made)


def evolve(match: Match, fact: Corrected) -> Match:
    """Set what was decided; a set or match that is won by it is closed."""
    played = judged(match) if fact.reopens else match
    if played is None or played.phase not in PLAYING:
        sentence = "A correction of score or order while no set was played."
        return found(match, "correction_outside_set", sentence)
    match = played
    if fact.before is not None and fact.before != match.score:
        (a, b), (c, d) = fact.before, match.score
        match = found(match, "decided_at_other_score", f"Decided at {a}:{b}, now {c}:{d}: decide again.")
    after = structs.replace(
        match,
        serving=fact.serving,
        rallies=_kept(match, fact),
        completed=match.completed + fact.completed,
        interruption=NO_REQUESTS if fact.completed else match.interruption,
    )
    for team in Team:
        after = _court_corrected(after, fact, team)
    if fact.cause is Cause.WRONG_INFORMATION:
        after = structs.replace(
            after, notes=(*after.notes, Note(match.line, RemarkKind.SCORER_MISTAKE, fact.team))
        )
    if fact.sets:
        after = _sets_corrected(after, fact.sets)
    return after if after.phase is Phase.FINISHED else closed_if_won(after)


def _court_corrected(match: Match, fact: Corrected, team: Team) -> Match:
    court, order = match.court(team), fact.orders[team.place]
    on = court.libero in order
    changes: dict[str, object] = {
        "points": fact.score[team.place],
        "order": order,
        "turns": fact.turns[team.place],
        "libero": court.libero if on else None,
        "stands_for": court.stands_for if on else None,
        "must_leave": tuple(n for n in court.must_leave if n in order or n == court.stands_for),
    }
    if fact.line_ups is not None:
        changes["line_up"] = fact.line_ups[team.place]
    if fact.strikes_pair is not None and fact.team is team:
        left = tuple(s for s in court.swaps if (s.goes_out, s.comes_in) != fact.strikes_pair)
        changes |= {"swaps": left, "substitutions": court.substitutions - (len(court.swaps) - len(left))}
    return with_court(match, team, **changes)


def _kept(match: Match, fact: Corrected) -> tuple[RallyLine, ...]:
    """The set's rallies without the cancelled ones, scores counted anew, the given point as the last line."""
    touched = min(fact.rallies or 0, len(match.rallies))
    whole = match.rallies[: len(match.rallies) - touched]
    tail = match.rallies[len(match.rallies) - touched :]
    if fact.cause is Cause.WRONG_INFORMATION:
        return whole
    if sum(fact.cancelled) == 0:
        kept = match.rallies
    else:
        kept = (
            *whole,
            *_counted_anew(match, whole, tuple(line for line in tail if line.winner is not fact.team)),
        )
    before = kept[-1].score if kept else match.start_score
    if fact.completed and before != fact.score:
        kept = (
            *kept,
            RallyLine(match.serving or fact.serving, match.server, fact.serving, fact.score, False),
        )
    return kept


def _counted_anew(match: Match, whole: tuple[RallyLine, ...], tail: tuple[RallyLine, ...]) -> list[RallyLine]:
    a, b = whole[-1].score if whole else match.start_score
    counted = []
    for line in tail:
        a, b = (a + 1, b) if line.winner is Team.A else (a, b + 1)
        counted.append(structs.replace(line, score=(a, b)))
    return counted


def _sets_corrected(match: Match, sets: tuple[SetScore, ...]) -> Match:
    """Finished sets scored anew: the match may be over by them."""
    kept: list[SetScore] = []
    won = [0, 0]
    for one in sets:
        kept.append(one)
        if one.winner is not None:
            won[one.winner.place] += 1
        if match_over(match.format, len(kept), (won[0], won[1])):
            break
    counted = structs.replace(
        match,
        sets=tuple(kept),
        a=structs.replace(match.a, sets_won=won[0]),
        b=structs.replace(match.b, sets_won=won[1]),
    )
    if match_over(match.format, len(kept), (won[0], won[1])):
        return structs.replace(counted, phase=Phase.FINISHED, winner=match_winner((won[0], won[1])))
    return counted
