"""Positions at the service hit, judged by the feet; who must stand in order."""

import pytest

from crewlink.match.commands import Choose, PositionFault
from crewlink.match.position import Feet, Overlap, must_be_in_order, overlaps
from crewlink.match.ruling import Severity
from crewlink.match.teams import Team
from tests.match.playing import A, B, in_middle


def spread() -> dict[int, Feet]:
    """Six players in the middle of their places: front row 3 m from the centre line, back row 7 m."""

    def stand(depth: float, side: float) -> Feet:
        return Feet(depth - 0.2, depth + 0.2, side - 0.2, side + 0.2)

    return {
        4: stand(3, 1.5),
        3: stand(3, 4.5),
        2: stand(3, 7.5),
        5: stand(7, 1.5),
        6: stand(7, 4.5),
        1: stand(7, 7.5),
    }


def moved(position: int, **to: float) -> dict[int, Feet]:
    feet = spread()
    old = feet[position]
    values = {"near": old.near, "far": old.far, "left": old.left, "right": old.right} | to
    return feet | {position: Feet(**values)}


@pytest.mark.parametrize("level", [True, False])
def test_spread_out_nobody_overlaps(level: bool) -> None:
    assert overlaps(spread(), level) == ()


@pytest.mark.parametrize("level", [True, False])
@pytest.mark.parametrize(
    ("feet", "pair"),
    [
        (moved(1, near=1.0, far=1.5), Overlap(1, 2)),
        (moved(6, near=1.0, far=1.5), Overlap(6, 3)),
        (moved(5, near=1.0, far=1.5), Overlap(5, 4)),
        (moved(4, left=5.2, right=5.6), Overlap(4, 3)),
        (moved(2, left=3.0, right=3.6), Overlap(3, 2)),
        (moved(5, left=5.2, right=5.6), Overlap(5, 6)),
        (moved(1, left=3.0, right=3.6), Overlap(6, 1)),
    ],
)
def test_each_pair(feet: dict[int, Feet], pair: Overlap, level: bool) -> None:
    assert overlaps(feet, level) == (pair,)


@pytest.mark.parametrize("level", [True, False])
def test_the_server_is_left_out(level: bool) -> None:
    assert overlaps(moved(1, near=1.0, far=1.5), level, server=1) == ()


def test_players_not_next_to_each_other_are_not_compared() -> None:
    feet = spread()
    assert overlaps(feet | {4: Feet(8.0, 8.5, 1.0, 1.4), 5: Feet(8.6, 8.9, 1.0, 1.4)}, True) == ()


@pytest.mark.parametrize(
    ("profile", "teams"), [("INT", (B,)), ("OLD", (A, B)), ("USJ", (A, B)), ("USC", (A, B))]
)
def test_who_must_be_in_order(profile: str, teams: tuple[Team, ...]) -> None:
    assert must_be_in_order(in_middle((5, 5), A, profile).match) == teams


def test_servers_out_of_order_are_no_fault_unless_outside_the_court() -> None:
    table = in_middle((5, 5), A)
    assert table.ask(PositionFault(A)).ruling.code == "no_position_fault"
    outside = table.ask(PositionFault(A, outside=True))
    assert outside.ruling.severity is Severity.FAULT
    table.do(Choose(PositionFault(A, outside=True), "as_ruled"))
    assert (table.match.score, table.match.serving) == ((5, 6), B)
    assert in_middle((5, 5), A, "OLD").ask(PositionFault(A)).ruling.severity is Severity.FAULT


def test_receivers_out_of_order() -> None:
    table = in_middle((5, 5), A)
    table.do(Choose(PositionFault(B), "as_ruled"))
    assert (table.match.score, table.match.server) == ((6, 5), 4)
