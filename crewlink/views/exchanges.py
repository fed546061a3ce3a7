"""Which substitutions a team could make now, and why not: asked of the rules pair by pair."""

from __future__ import annotations

from crewlink.match import engine
from crewlink.match.commands import Pair, Substitute
from crewlink.match.state import Match
from crewlink.match.teams import Team
from crewlink.snapshot import ExchangeView


def exchanges(match: Match, team: Team, bench: tuple[int, ...]) -> tuple[ExchangeView, ...]:
    """Every pair of a number on the bench and a number on court; none outside a set."""
    court = match.court(team)
    if not match.in_set:
        return ()
    going = [number for number in court.order if number != court.libero]
    again = team in match.interruption.asked
    return tuple(_exchange(match, team, Pair(comes, goes), again) for comes in bench for goes in going)


def _exchange(match: Match, team: Team, pair: Pair, again: bool) -> ExchangeView:
    decision = engine.decide(match, Substitute(team, (pair,), same_request=again))
    ruling = decision.ruling
    legal = ruling.fine and bool(decision.facts)
    return ExchangeView(pair.comes_in, pair.goes_out, legal, "" if legal else ruling.sentence)
