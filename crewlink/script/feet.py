"""Who stands wrongly at the service hit, judged by the feet that a script describes."""

from __future__ import annotations

from crewlink.match.position import Feet, overlaps
from crewlink.script.seen import Seen
from crewlink.script.steps.play import Feet as FeetStep

FOOT = 0.3
FRONT, BACK, LEFT, MIDDLE, RIGHT = 2.0, 6.5, 1.5, 4.5, 7.5
PLACES = {
    1: (BACK, RIGHT),
    2: (FRONT, RIGHT),
    3: (FRONT, MIDDLE),
    4: (FRONT, LEFT),
    5: (BACK, LEFT),
    6: (BACK, MIDDLE),
}
"""Middle of each position: metres from the centre line, metres from the left side line."""


def overlapping(now: Seen, step: FeetStep) -> tuple[tuple[int, int], ...]:
    """Pairs out of order, the back or the left player first; none if the team need not be in order."""
    serves = step.team is now.serves
    rules = now.profile.positions
    order = now.positions.of(step.team)
    if not order or (serves and not rules.serving_team_in_order):
        return ()
    feet = {place: _feet(place, number, step) for place, number in enumerate(order, 1)}
    found = overlaps(feet, rules.level_is_legal, server=1 if serves else None)
    return tuple((order[pair.first - 1], order[pair.second - 1]) for pair in found)


def _feet(place: int, number: int, step: FeetStep) -> Feet:
    depth, side = PLACES[place]
    given = next((one for one in step.standing if one.player == number), None)
    near = depth if given is None or given.near is None else given.near
    left = side if given is None or given.left is None else given.left
    far = near + FOOT if given is None or given.far is None else given.far
    right = left + FOOT if given is None or given.right is None else given.right
    return Feet(near, far, left, right)
