"""The match before its first fact: from a set-up to a state, at the start or in the middle."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.facts import SetScore
from crewlink.match.setup import MatchSetup, MidMatch, TeamStart
from crewlink.match.start_check import faults
from crewlink.match.state import CardShown, Match, OnCourt, Order, Squad, Swap
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Card, Phase, SubstitutionKind
from crewlink.rules.format import resolve
from crewlink.rules.loading import override, read, shipped


class SetupError(ValueError):
    """A set-up that cannot be played: what is wrong, in one sentence.

    `place`: where, by the names of its fields ("start, A, positions"), "" for no single one.
    """

    def __init__(self, reason: str, place: str = "") -> None:
        super().__init__(reason)
        self.place = place


def begin(setup: MatchSetup) -> Match:
    """The match as it stands before its first fact.

    Errors: `SetupError`, `ProfileError`, `FormatError`.
    """
    given = read(setup.profile_text, setup.profile) if setup.profile_text else shipped(setup.profile)
    profile = override(given.profile, setup.overrides)
    form = resolve(profile.format(), setup.format)
    start = form.start_of(1)
    match = Match(
        setup=setup,
        profile=profile,
        format=form,
        a=_squad(setup, Team.A),
        b=_squad(setup, Team.B),
        court_a=OnCourt(points=start[0]),
        court_b=OnCourt(points=start[1]),
        start_score=start,
    )
    return match if setup.start is None else _taken_up(match, setup.start)


def _squad(setup: MatchSetup, team: Team) -> Squad:
    sheet = setup.sheet(team)
    doubled = [n for n in sheet.players if sheet.players.count(n) > 1]
    if doubled:
        raise SetupError(f"team {team}: {doubled[0]} is on the list twice", f"teams, {team}, players")
    strange = [n for n in sheet.liberos if sheet.players and n not in sheet.players]
    if strange:
        raise SetupError(
            f"team {team}: libero {strange[0]} is not on the team list", f"teams, {team}, liberos"
        )
    if sheet.players and sheet.captain is not None and sheet.captain not in sheet.players:
        raise SetupError(
            f"team {team}: captain {sheet.captain} is not on the team list", f"teams, {team}, captain"
        )
    return Squad(sheet=sheet, liberos=sheet.liberos, captain=sheet.captain)


def _taken_up(match: Match, start: MidMatch) -> Match:
    fault = next(faults(match, start), None)
    if fault is not None:
        raise SetupError(fault.reason, f"start, {fault.place}")
    won = _won(start.sets)
    return structs.replace(
        match,
        a=_squad_in_middle(match, Team.A, start.a, start, won[0]),
        b=_squad_in_middle(match, Team.B, start.b, start, won[1]),
        court_a=_court_in_middle(Team.A, start.a, start.score[0]),
        court_b=_court_in_middle(Team.B, start.b, start.score[1]),
        phase=Phase.PLAY,
        set_number=start.set_number,
        serving=start.serving,
        first_server=start.first_server or start.serving,
        left=start.left,
        toss_due=False,
        start_score=start.score,
        sets=start.sets,
        courts_changed=start.courts_changed,
        technical=sum(max(start.score) >= mark for mark in match.profile.time_outs.technical_at),
    )


def _won(sets: tuple[SetScore, ...]) -> Score:
    return sum(s.winner is Team.A for s in sets), sum(s.winner is Team.B for s in sets)


def _squad_in_middle(match: Match, team: Team, start: TeamStart, at: MidMatch, won: int) -> Squad:
    cards = tuple(CardShown(c.person, c.card, at.set_number, at.score) for c in start.cards)
    return structs.replace(
        match.squad(team),
        sets_won=won,
        improper=start.improper,
        delays=start.delays,
        warned=start.warned or any(c.card is Card.WARNING for c in start.cards),
        cards=cards,
        out=(*start.out, *_disqualified(start)),
        liberos_out=start.liberos_out,
        recovered=start.recovered,
        late_exchanges=start.late_exchanges,
    )


def _disqualified(start: TeamStart) -> tuple[int, ...]:
    shown = (c.person.number for c in start.cards if c.card is Card.DISQUALIFICATION)
    return tuple(number for number in shown if number is not None)


def _court_in_middle(team: Team, start: TeamStart, points: int) -> OnCourt:
    order: Order = start.positions
    libero, stands_for = start.libero or (None, None)
    regular = tuple(stands_for if n == libero and stands_for is not None else n for n in order)
    swaps, on_sheet = _swaps(start, regular)
    line_up: Order = start.line_up or on_sheet
    for used in start.pairs:
        if used.starter not in line_up:
            raise SetupError(f"team {team}: {used.starter} is not in the line-up", f"start, {team}, pairs")
    turns = _turns(team, line_up, swaps, regular)
    return OnCourt(
        points=points,
        line_up=line_up,
        order=order,
        turns=turns,
        time_outs=start.time_outs,
        substitutions=max(start.substitutions, len(swaps)),
        swaps=tuple(structs.replace(s, slot=line_up.index(_starter(start, s))) for s in swaps),
        libero=libero,
        stands_for=stands_for,
        libero_slot=None if start.libero_slot is None else start.libero_slot - 1,
        played=start.played,
    )


def _swaps(start: TeamStart, regular: Order) -> tuple[tuple[Swap, ...], Order]:
    """The substitutions that the used pairs stand for, and the order with the starters put back."""
    swaps: list[Swap] = []
    starters = {p.substitute: p.starter for p in start.pairs if not p.closed}
    for used in start.pairs:
        swaps.append(Swap(0, used.starter, used.substitute, SubstitutionKind.REGULAR, (0, 0)))
        if used.closed:
            swaps.append(Swap(0, used.substitute, used.starter, SubstitutionKind.REGULAR, (0, 0)))
    return tuple(swaps), tuple(starters.get(n, n) for n in regular)


def _starter(start: TeamStart, swap: Swap) -> int:
    starters = {p.starter for p in start.pairs}
    return swap.goes_out if swap.goes_out in starters else swap.comes_in


def _turns(team: Team, line_up: Order, swaps: tuple[Swap, ...], regular: Order) -> int:
    """How many places the team has rotated from its line-up to the order on court."""
    back = {s.comes_in: s.goes_out for s in swaps if s.goes_out in line_up}
    starters = tuple(n if n in line_up else back.get(n, n) for n in regular)
    for turns in range(6):
        if line_up[turns:] + line_up[:turns] == starters:
            return turns
    raise SetupError(f"team {team}: the players on court do not fit the line-up", f"start, {team}, line_up")
