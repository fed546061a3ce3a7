"""Positions at the service hit: which pairs must keep their order, who stood wrongly, judged by the feet."""

from __future__ import annotations

from msgspec import Struct

from crewlink.match.state import Match
from crewlink.match.teams import Team

BEHIND = ((1, 2), (6, 3), (5, 4))
"""(back, front): the back player stands behind the front one."""
BESIDE = ((4, 3), (3, 2), (5, 6), (6, 1))
"""(left, right), as seen from behind the own end line."""
SIDES = frozenset((4, 2, 5, 1))


class Feet(Struct, frozen=True):
    """Where a player's feet touch the floor, in metres on the own court.

    `near`, `far`: smallest and greatest distance of any part of a foot from the centre line. `left`, `right`:
    smallest and greatest distance from the left side line, as seen from behind the own end line. A player in
    the air keeps the last floor contact.
    """

    near: float
    far: float
    left: float
    right: float


class Overlap(Struct, frozen=True):
    """Two positions that stood wrongly to one another."""

    first: int
    second: int


def must_be_in_order(match: Match) -> tuple[Team, ...]:
    """Teams that must stand in order at the hit."""
    if match.serving is None:
        return ()
    if match.profile.positions.serving_team_in_order:
        return tuple(Team)
    return (match.serving.other,)


def overlaps(feet: dict[int, Feet], level_is_legal: bool, server: int | None = None) -> tuple[Overlap, ...]:
    """Pairs out of order; `feet` by position 1 to 6; the server's position is left out of it."""
    wrong = [
        Overlap(back, front)
        for back, front in BEHIND
        if server not in (back, front) and _too_near(feet[back], feet[front], level_is_legal)
    ]
    for left, right in BESIDE:
        if server in (left, right):
            continue
        if _crossed(feet, left, right, level_is_legal):
            wrong.append(Overlap(left, right))
    return tuple(wrong)


def _too_near(back: Feet, front: Feet, level_is_legal: bool) -> bool:
    """The newer wording: part of a foot of the back player level with the front one's foremost, or behind."""
    if level_is_legal:
        return back.far < front.near
    return front.near >= back.near


def _crossed(feet: dict[int, Feet], left: int, right: int, level_is_legal: bool) -> bool:
    """The side player needs part of a foot nearer to the own side line than the centre player's."""
    if left in SIDES:
        side, other = feet[left].left, feet[right]
        return side > other.right if level_is_legal else side >= other.left
    side, other = feet[right].right, feet[left]
    return side < other.left if level_is_legal else side <= other.right
