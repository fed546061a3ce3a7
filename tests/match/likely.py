"""Commands as a table would press them: mostly legal, sometimes not, chosen by a source of randomness."""

import random

from crewlink.match import courts, libero
from crewlink.match.commands import (
    BeginSet,
    ChangeCourts,
    Delay,
    EndTimeOut,
    ImproperRequest,
    LiberoSwap,
    LineUp,
    MatchCommand,
    Pair,
    Point,
    Replay,
    Resume,
    Sanction,
    Substitute,
    TechnicalTimeOut,
    TimeOut,
    Toss,
)
from crewlink.match.pairing import regular_partners
from crewlink.match.state import Match
from crewlink.match.teams import Person, Role, Team
from crewlink.match.terms import Card, Phase
from tests.match.playing import BASE_A, BASE_B


def likely(match: Match, source: random.Random) -> MatchCommand:
    """The next command."""
    if match.phase in (Phase.BEFORE_MATCH, Phase.LINE_UPS_DUE, Phase.BETWEEN_SETS):
        return _before(match, source)
    if match.phase is Phase.CHECK:
        return BeginSet()
    if match.phase is Phase.TIME_OUT:
        return EndTimeOut()
    if not (match.court_a.order and match.court_b.order):
        return Resume()  # play was stopped, or ended, before the teams stood on court
    if courts.change_due(match):
        return ChangeCourts()
    owed = [due for due in (libero.due(match, team) for team in Team) if due is not None and due.comes_in]
    if owed and source.random() < 0.9:
        return LiberoSwap(owed[0].team, owed[0].comes_in or 0, owed[0].libero)
    return _in_play(match, source)


def _before(match: Match, source: random.Random) -> MatchCommand:
    if match.toss_due:
        return Toss(source.choice(list(Team)), source.choice(list(Team)))
    on_sheet = match.profile.libero.named_on == "line_up_sheet"
    if not match.court_a.order:
        return LineUp(Team.A, BASE_A, (20, 21) if on_sheet else (), 4)
    return LineUp(Team.B, BASE_B, (18, "X") if on_sheet else (), 8)


def _in_play(match: Match, source: random.Random) -> MatchCommand:
    team, chance = source.choice(list(Team)), source.random()
    if chance < 0.55:
        return Point(team)
    if chance < 0.75:
        return _libero(match, team, source)
    if chance < 0.87:
        return _substitute(match, team, source)
    if chance < 0.93:
        return TimeOut(team)
    person = source.choice((Person(number=source.choice(match.court(team).order)), Person(Role.COACH)))
    rare: tuple[MatchCommand, ...] = (
        Sanction(team, person, source.choice(list(Card))),
        Delay(team),
        ImproperRequest(team),
        Replay(),
        TechnicalTimeOut(),
    )
    return source.choice(rare)


def _libero(match: Match, team: Team, source: random.Random) -> MatchCommand:
    court, squad = match.court(team), match.squad(team)
    if court.libero is not None and court.stands_for is not None and source.random() < 0.7:
        return LiberoSwap(team, court.stands_for, court.libero)
    comes_in = source.choice(squad.liberos) if squad.liberos else 99
    return LiberoSwap(team, comes_in, source.choice(court.order))


def _substitute(match: Match, team: Team, source: random.Random) -> MatchCommand:
    court, pairs = match.court(team), list[Pair]()
    for goes_out in source.sample(court.order, source.choice((1, 1, 2))):
        taken = [p.comes_in for p in pairs]
        legal = [n for n in regular_partners(match, team, goes_out) if n not in taken]
        if legal and source.random() < 0.9:
            pairs.append(Pair(source.choice(legal), goes_out))
        else:
            pairs.append(Pair(source.choice(match.squad(team).sheet.players or (99,)), goes_out))
    return Substitute(team, tuple(pairs), same_request=source.random() < 0.3)
