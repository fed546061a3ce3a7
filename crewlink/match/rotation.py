"""Rotation and service order: who stands where, whose turn it is, which place on the sheet a position holds.

Positions are counted 0 to 5 here for positions 1 to 6; a *slot* is a place on the line-up sheet, 0 to 5.
"""

from __future__ import annotations

from crewlink.match.state import Match, OnCourt, Order
from crewlink.match.teams import Team

FRONT = (1, 2, 3)
BACK = (0, 4, 5)


def rotate(order: Order, places: int = 1) -> Order:
    """Move each player one place on (2 to 1, 1 to 6, ...), `places` times; negative: back."""
    if not order:
        return order
    places %= 6
    return order[places:] + order[:places]


def slot_at(court: OnCourt, position: int) -> int:
    """The place on the sheet that stands in `position` now."""
    return (position + court.turns) % 6


def position_of(court: OnCourt, number: int) -> int | None:
    """The position of a player on court, or None."""
    return court.order.index(number) if number in court.order else None


def place_of(court: OnCourt, number: int) -> int | None:
    """The position a player holds: on court, or through the libero who stands for the player."""
    if number == court.stands_for and court.libero is not None:
        return position_of(court, court.libero)
    return position_of(court, number)


def regulars(court: OnCourt) -> Order:
    """The order with the libero's partner put back: the players whose turns these are."""
    if court.libero is None or court.stands_for is None:
        return court.order
    return tuple(court.stands_for if number == court.libero else number for number in court.order)


def server_due(match: Match) -> tuple[Team, int] | None:
    """Team and number of the player due to serve, or None before line-ups."""
    if match.serving is None or match.server is None:
        return None
    return match.serving, match.server


def next_server(match: Match, team: Team) -> int | None:
    """Who serves for `team` when it next gains the service (the serving team: after the present server)."""
    court = match.court(team)
    return court.order[1] if court.order else None


def front_row(court: OnCourt, position: int) -> bool:
    """True for positions 2, 3, 4."""
    return position in FRONT
