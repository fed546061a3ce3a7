"""How a match stands, worked out for those who look at it: all that a face shows, as plain values."""

from __future__ import annotations

from msgspec import Struct

from crewlink.match import courts, delay, interval, libero, lineup, scoring, timeout
from crewlink.match.facts import SetScore
from crewlink.match.rotation import FRONT, next_server, slot_at
from crewlink.match.state import CardShown, Match, RallyLine, StandStill, Swap, active_liberos
from crewlink.match.teams import Score, Team
from crewlink.match.terms import DelayStep, Phase


class Place(Struct, frozen=True):
    """Who stands in a position, 1 to 6.

    `slot`: place on the line-up sheet, 1 to 6. `stands_for`: the libero's partner.
    """

    position: int
    number: int
    slot: int
    front: bool
    libero: bool
    stands_for: int | None
    captain: bool


class Count(Struct, frozen=True):
    """So many used of so many allowed."""

    used: int
    allowed: int

    @property
    def left(self) -> int:
        """How many are left."""
        return max(0, self.allowed - self.used)


class Owed(Struct, frozen=True):
    """Something that must happen before the next service: stable code, team, one plain sentence."""

    code: str
    sentence: str
    team: Team | None = None


class Side(Struct, frozen=True):
    """One team as it stands. `on_left`: on the table's left. `bench`: players off court, no liberos."""

    team: Team
    on_left: bool
    points: int
    sets_won: int
    places: tuple[Place, ...]
    bench: tuple[int, ...]
    liberos: tuple[int, ...]
    line_up_in: bool
    time_outs: Count
    substitutions: Count
    swaps: tuple[Swap, ...]
    libero_slot: int | None
    improper: int
    delays: int
    next_delay: DelayStep
    warned: bool
    cards: tuple[CardShown, ...]
    out: tuple[int, ...]
    captain: int | None
    next_server: int | None


class Standing(Struct, frozen=True):
    """A match as it stands. `server`: number due to serve; `next_server`: the receivers' when they gain it.

    `rallies`: the completed ones of the set. `set_points`, `match_points`: teams one point from it;
    `near_set_point`: teams one point from a set point.
    """

    phase: Phase
    set_number: int
    deciding: bool
    score: Score
    sets: tuple[SetScore, ...]
    sets_won: Score
    serving: Team | None
    server: int | None
    next_server: int | None
    rallies: tuple[RallyLine, ...]
    set_points: tuple[Team, ...]
    match_points: tuple[Team, ...]
    near_set_point: tuple[Team, ...]
    toss_due: bool
    line_ups_due: tuple[Team, ...]
    courts_due: bool
    technical_due: int | None
    standstill: StandStill | None
    protest: Team | None
    owed: tuple[Owed, ...]
    winner: Team | None
    a: Side
    b: Side

    def side(self, team: Team) -> Side:
        """The team as it stands."""
        return self.a if team is Team.A else self.b


def standing(match: Match) -> Standing:
    """Work out how the match stands."""
    receivers = match.serving.other if match.serving is not None else None
    return Standing(
        phase=match.phase,
        set_number=match.set_number,
        deciding=match.format.is_deciding(match.set_number),
        score=match.score,
        sets=match.sets,
        sets_won=match.sets_won,
        serving=match.serving,
        server=match.server,
        next_server=next_server(match, receivers) if receivers is not None else None,
        rallies=match.rallies,
        set_points=scoring.set_points(match),
        match_points=scoring.match_points(match),
        near_set_point=scoring.one_before_set_point(match),
        toss_due=match.toss_due,
        line_ups_due=interval.line_ups_due(match),
        courts_due=courts.change_due(match),
        technical_due=timeout.technical_due(match),
        standstill=match.standstill,
        protest=match.protest,
        owed=owed(match),
        winner=match.winner,
        a=side(match, Team.A),
        b=side(match, Team.B),
    )


def side(match: Match, team: Team) -> Side:
    """Work out how one team stands."""
    squad, court = match.squad(team), match.court(team)
    rules = match.profile
    return Side(
        team=team,
        on_left=match.left is team,
        points=court.points,
        sets_won=squad.sets_won,
        places=places(match, team),
        bench=bench(match, team),
        liberos=active_liberos(squad, court),
        line_up_in=bool(court.order),
        time_outs=Count(court.time_outs, rules.time_outs.per_set),
        substitutions=Count(court.substitutions, rules.substitutions.per_set),
        swaps=court.swaps,
        libero_slot=None if court.libero_slot is None else court.libero_slot + 1,
        improper=squad.improper,
        delays=squad.delays,
        next_delay=delay.next_step(match, team),
        warned=squad.warned,
        cards=squad.cards,
        out=(*squad.out, *court.barred),
        captain=lineup.captain_on_court(match, team),
        next_server=next_server(match, team),
    )


def places(match: Match, team: Team) -> tuple[Place, ...]:
    """Who stands where, positions 1 to 6; empty before a line-up."""
    court, captain = match.court(team), lineup.captain_on_court(match, team)
    return tuple(
        Place(
            position=place + 1,
            number=number,
            slot=slot_at(court, place) + 1,
            front=place in FRONT,
            libero=number == court.libero,
            stands_for=court.stands_for if number == court.libero else None,
            captain=number == captain,
        )
        for place, number in enumerate(court.order)
    )


def bench(match: Match, team: Team) -> tuple[int, ...]:
    """Listed players, no liberos, who are not on court and may still play in this set."""
    squad, court = match.squad(team), match.court(team)
    gone = {*court.order, *squad.liberos, *squad.liberos_out, *squad.out, *court.barred}
    return tuple(n for n in squad.sheet.players if n not in gone)


def owed(match: Match) -> tuple[Owed, ...]:
    """All that must happen before the next service."""
    if match.phase not in scoring.PLAYING:
        return ()
    found: list[Owed] = []
    if courts.change_due(match):
        found.append(Owed("courts", "Change of courts."))
    for team in Team:
        replacement = libero.due(match, team)
        if replacement is not None:
            who = f"{replacement.comes_in} must come in for" if replacement.comes_in else "must leave:"
            found.append(Owed("libero", f"Team {team}: {who} libero {replacement.libero}.", team))
        court = match.court(team)
        gone = (n for n in court.must_leave if n != court.libero)
        found.extend(Owed("must_leave", f"Team {team}: {n} must be replaced.", team) for n in gone)
    captains = lineup.captain_due(match)
    found.extend(Owed("captain", f"Team {team}: who is captain on court?", team) for team in captains)
    return tuple(found)
