"""Whether a match can be taken up where a set-up says: results, score, players on the list, liberos, counts.

What can be on court only by someone's fault stays allowed (a libero at the service line, a player sent off):
such moments are what a match is taken up for.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from crewlink.match.facts import SetScore
from crewlink.match.rotation import FRONT
from crewlink.match.scoring import match_over, set_winner
from crewlink.match.setup import MidMatch, TeamStart
from crewlink.match.state import Match, listed
from crewlink.match.teams import Score, Team
from crewlink.rules.format import Format

POSITION_4 = 3
"""Place in the order where a libero stands for a moment, when the team has just gained the service."""


class Fault(Struct, frozen=True):
    """What can't be so: where it stands (names of the fields, with commas) and why, in one sentence."""

    place: str
    reason: str


def faults(match: Match, start: MidMatch) -> Iterator[Fault]:
    """All that keeps `match`, as it is before its first fact, from being taken up at `start`."""
    yield from _result_faults(match.format, start)
    for team, at in ((Team.A, start.a), (Team.B, start.b)):
        for fault in _team_faults(match, team, at, start.serving is team):
            yield Fault(f"{team}, {fault.place}", f"team {team}: {fault.reason}")


def _result_faults(form: Format, start: MidMatch) -> Iterator[Fault]:
    number = start.set_number
    if not 1 <= number <= form.max_sets:
        yield Fault("set", f"there is no set {number} in this format; it has {form.max_sets}")
        return
    if len(start.sets) not in (0, number - 1):
        many = f"{number - 1} results" if number > 2 else "one result" if number == 2 else "no result"
        yield Fault(
            "set_scores",
            f"set {number} needs the results of the sets before it ({many}), or none; not {len(start.sets)}",
        )
        return
    for done in start.sets:
        if not _can_end(form, done):
            yield Fault("set_scores", f"set {done.number} can't end {_said(done.score)} in this format")
            return
    won = (sum(one.winner is Team.A for one in start.sets), sum(one.winner is Team.B for one in start.sets))
    if start.sets and match_over(form, len(start.sets), won):
        yield Fault("set_scores", f"at {_said(won)} in sets the match was over: there is no set {number}")
    if not _can_stand(form, number, start.score):
        yield Fault("score", f"set {number} can't stand at {_said(start.score)} in this format")


def _said(score: Score) -> str:
    return f"{score[0]}:{score[1]}"


def _can_end(form: Format, done: SetScore) -> bool:
    """True if a set can end so: won, and not won before the last point of the winner."""
    winner = set_winner(form, done.number, done.score)
    if winner is None or winner is not done.winner or min(done.score) < 0:
        return False
    a, b = done.score
    before = (a - 1, b) if winner is Team.A else (a, b - 1)
    return set_winner(form, done.number, before) is None


def _can_stand(form: Format, number: int, score: Score) -> bool:
    """True if a set that is being played can stand so."""
    a, b = score
    if min(score) < 0 or set_winner(form, number, score) is not None:
        return False
    before = [one for one in ((a - 1, b), (a, b - 1)) if min(one) >= 0]
    return not before or any(set_winner(form, number, one) is None for one in before)


def _team_faults(match: Match, team: Team, at: TeamStart, serves: bool) -> Iterator[Fault]:
    doubled = next((n for n in at.positions if at.positions.count(n) > 1), None)
    if doubled is not None:
        yield Fault("positions", f"six different numbers are needed on court, {doubled} is there twice")
    yield from _libero_faults(match, team, at, serves)
    yield from _pair_faults(match, team, at)
    yield from _count_faults(match, at)


def strangers(match: Match, start: MidMatch) -> Iterator[tuple[Team, int, Fault]]:
    """Numbers at the start that are on no list; no fault of the set-up, such a player may be found later."""
    for team, at in ((Team.A, start.a), (Team.B, start.b)):
        for place, number in _unlisted(match, team, at):
            yield team, number, Fault(f"{team}, {place}", f"team {team}: {number} is not on the team list")


def _unlisted(match: Match, team: Team, at: TeamStart) -> Iterator[tuple[str, int]]:
    named: dict[str, tuple[int | None, ...]] = {
        "positions": at.positions,
        "line_up": at.line_up or (),
        "libero_for": (at.libero[1],) if at.libero else (),
        "pairs": tuple(n for pair in at.pairs for n in (pair.starter, pair.substitute)),
        "played": at.played,
        "cards": tuple(card.person.number for card in at.cards),
    }
    squad = match.squad(team)
    for place, numbers in named.items():
        for number in numbers:
            if number is not None and not listed(squad, number):
                yield place, number


def _libero_faults(match: Match, team: Team, at: TeamStart, serves: bool) -> Iterator[Fault]:
    squad = match.squad(team)
    libero, stands_for = at.libero or (None, None)
    for number in at.positions:
        if number in squad.liberos and number != libero:
            yield Fault("positions", f'{number} is a libero: write "L{number}", with `libero_for`')
    if libero is None:
        return
    if libero not in at.positions:
        yield Fault("positions", f"libero {libero} is not on court")
        return
    if (squad.sheet.players or squad.liberos) and libero not in squad.liberos:
        yield Fault("positions", f"{libero} is not one of its liberos")
    place = at.positions.index(libero)
    if place in FRONT and not (place == POSITION_4 and serves):
        yield Fault("positions", f"libero {libero} can't stand in the front row, position {place + 1}")
    if stands_for in at.positions or stands_for in squad.liberos:
        yield Fault("libero_for", f"{stands_for} is on court or a libero: name the player who went off")


def _pair_faults(match: Match, team: Team, at: TeamStart) -> Iterator[Fault]:
    libero, stands_for = at.libero or (None, None)
    on = {stands_for if number == libero else number for number in at.positions}
    for pair in at.pairs:
        both = f"{pair.substitute} in for {pair.starter}"
        if {pair.starter, pair.substitute} <= on:
            yield Fault("pairs", f"{both}: both are on court")
        if {pair.starter, pair.substitute} & set(match.squad(team).liberos):
            yield Fault("pairs", f"{both}: a libero is not exchanged by substitution")


def _count_faults(match: Match, at: TeamStart) -> Iterator[Fault]:
    made = sum(2 if pair.closed else 1 for pair in at.pairs)
    limits = {
        "time_outs": (at.time_outs, match.profile.time_outs.per_set),
        "substitutions": (max(at.substitutions, made), match.profile.substitutions.per_set),
    }
    for place, (used, most) in limits.items():
        if not 0 <= used <= most:
            yield Fault(place, f"{used} {place.replace('_', '-')} in a set; 0 to {most} are possible")
    for place, used in {"improper": at.improper, "delays": at.delays}.items():
        if used < 0:
            yield Fault(place, f"{used} can't be a count")
