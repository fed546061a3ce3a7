"""Teams as faces show them: who stands where, who serves, what is used up."""

from __future__ import annotations

from crewlink.charter import Names
from crewlink.match.rotation import next_server
from crewlink.match.state import Match, OnCourt, Squad
from crewlink.match.teams import Team
from crewlink.match.terms import Card
from crewlink.snapshot import LiberoView, NextPoint, Spot, TeamView
from crewlink.spell import standing_at

_CARDS = {
    Card.WARNING: "yellow",
    Card.PENALTY: "red",
    Card.EXPULSION: "sent off for the set",
    Card.DISQUALIFICATION: "sent off for the match",
}


def team_view(match: Match, names: Names, team: Team) -> TeamView:
    """One team at this moment."""
    squad, court = match.squad(team), match.court(team)
    called = names.a if team is Team.A else names.b
    serves = match.serving is team
    order = court.order
    return TeamView(
        letter=str(team),
        name=called.name,
        short=called.short or called.name[:9],
        colour=called.colour,
        points=court.points,
        sets=squad.sets_won,
        serves=serves,
        server=order[0] if serves and order else None,
        next_server=next_server(match, team),
        spots=tuple(_spot(place, number, court, squad) for place, number in enumerate(order, start=1)),
        bench=_bench(squad, court),
        players=squad.sheet.players,
        liberos=tuple(_libero(number, court) for number in squad.liberos),
        captain=squad.captain,
        time_outs=court.time_outs,
        time_outs_allowed=match.profile.time_outs.per_set,
        substitutions=court.substitutions,
        substitutions_allowed=match.profile.substitutions.per_set,
        conduct=_conduct(squad),
        set_points=tuple(done.score[team.place] for done in match.sets),
    )


def _spot(place: int, number: int, court: OnCourt, squad: Squad) -> Spot:
    libero = number == court.libero
    captain = court.captain if court.captain is not None else squad.captain
    return Spot(
        position=place,
        number=number,
        libero=libero,
        captain=number == captain,
        stands_for=court.stands_for if libero else None,
    )


def _bench(squad: Squad, court: OnCourt) -> tuple[int, ...]:
    away = {*court.order, *squad.out, *court.barred, *squad.liberos, *squad.liberos_out}
    return tuple(number for number in sorted(squad.sheet.players) if number not in away)


def _libero(number: int, court: OnCourt) -> LiberoView:
    on_court = number == court.libero
    return LiberoView(number, court.stands_for if on_court else None, number in court.must_leave)


def _conduct(squad: Squad) -> tuple[str, ...]:
    lines = [f"{_CARDS[card.card]} {card.person.label}" for card in squad.cards]
    if squad.delays:
        lines.append("delay warning" if squad.delays == 1 else f"delays {squad.delays}")
    if squad.improper:
        lines.append("improper request")
    return tuple(lines)


def next_points(match: Match) -> tuple[NextPoint, ...]:
    """What one more point for either team would make of the score."""
    if not match.in_set:
        return ()
    found = []
    for team in Team:
        a, b = match.score
        score = (a + 1, b) if team is Team.A else (a, b + 1)
        found.append(NextPoint(str(team), f"{score[0]}:{score[1]}", _hint(match, team, score)))
    return tuple(found)


def _hint(match: Match, team: Team, score: tuple[int, int]) -> str:
    """The words beside a next score: what it would be the moment it is written."""
    kind, who = standing_at(match, match.score)
    if str(team) in who:
        return "wins the match" if kind == "match_point" else "wins the set"
    kind, who = standing_at(match, score)
    return kind.replace("_", " ") if str(team) in who else ""
