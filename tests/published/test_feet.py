"""Where feet may stand at the service hit, by edition."""

from crewlink.match.position import Feet, Overlap, overlaps
from crewlink.rules.loading import shipped
from tests.match.test_position import spread


def level_feet() -> dict[int, Feet]:
    """Front left and back left stand with all four feet exactly level (positions 4 and 5)."""
    feet = spread()
    return feet | {5: Feet(3.0, 3.3, 1.0, 1.4), 4: Feet(3.0, 3.3, 1.5, 1.9)}


def test_level_is_legal_since_2021() -> None:
    """FIVB Official Volleyball Rules 2025-2028 and 2021-2024 (Polish federation rendering), 7.4.3.1."""
    assert overlaps(level_feet(), shipped("INT").profile.positions.level_is_legal) == ()


def test_level_was_a_fault_before() -> None:
    """FIVB Official Volleyball Rules 2013-2016, 7.4.3."""
    assert overlaps(level_feet(), shipped("OLD").profile.positions.level_is_legal) == (Overlap(5, 4),)


def test_side_player_level_with_the_centre_player() -> None:
    """R21, R25 7.4.3.2: level or closer is enough; 2013-2016 7.4.3: must be closer."""
    feet = spread() | {4: Feet(2.8, 3.2, 4.3, 4.7)}
    assert overlaps(feet, shipped("INT").profile.positions.level_is_legal) == ()
    assert overlaps(feet, shipped("OLD").profile.positions.level_is_legal) == (Overlap(4, 3),)
