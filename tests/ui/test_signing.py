"""Signing on the faces: Enter at the table, a tap at net and wrist; a sign of another takes two."""

from __future__ import annotations

import pytest

from crewlink.crew.commands import EraseNames, NextMatch, Sign
from tests.gallery.scene import Scene
from tests.gallery.states import SIGNERS
from tests.gallery.table_states import SCENES, keys
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig


def press(rig: Rig, text: str) -> None:
    """Press and release keys by name."""
    for key in keys(text):
        rig.key(key)


def signs(rig: Rig) -> list[object]:
    """What was signed."""
    return [one for one in rig.sent if isinstance(one, Sign)]


def test_at_the_table_enter_signs_for_who_signs_there(face: OpenFace) -> None:
    """The captains sign with a mark at the table."""
    rig = face("table", "signing")
    assert {"Captain A signs", "Signed: Table"} <= set(rig.texts())
    press(rig, "Enter")
    assert signs(rig) == [Sign("captain_a")]


def test_at_the_table_a_sign_of_r2_takes_enter_twice(face: OpenFace) -> None:
    """R2 signs on another device; the table can enter it as a sign."""
    rig = face("table", "signing_r2")
    assert "R2 signs on their own device" in rig.texts()
    press(rig, "Enter")
    assert signs(rig) == []
    press(rig, "Enter")
    assert signs(rig) == [Sign("R2")]


def test_what_was_found_is_ticked_first(face: OpenFace) -> None:
    """Nothing signs by Enter while findings were not looked at."""
    rig = face("table", "found")
    assert "Team A has 7 substitutions, allowed are 6." in rig.texts()
    press(rig, "Enter")
    assert signs(rig) == []


def test_a_locked_match_says_so_and_leads_to_the_next_one(face: OpenFace) -> None:
    """Enter opens the act, a second one does it."""
    rig = face("table", "sealed")
    assert "Finished and locked" in rig.texts()
    press(rig, "Enter")
    assert rig.sent == []
    press(rig, "Enter")
    assert rig.sent == [NextMatch()]


def test_the_names_of_a_match_are_erased_at_the_table_by_enter_twice(face: OpenFace) -> None:
    """Down leads there once the match is over; one Enter alone does nothing."""
    rig = face("table", Scene(SCENES["erase_names"].snapshot))
    press(rig, "Down Down")
    assert {"Erase the names", "On all devices, for good. Enter twice"} <= set(rig.texts())
    press(rig, "Enter")
    assert rig.sent == []
    assert "Enter again: all names are gone" in rig.texts()
    press(rig, "Enter")
    assert rig.sent == [EraseNames()]


def test_names_that_are_gone_or_not_yet_to_go_are_no_act(face: OpenFace) -> None:
    """The list of acts has no line for it."""
    for state in ("sealed", "dead_ball"):
        rig = face("table", state)
        press(rig, "Down")
        assert "Other acts" in rig.texts()
        assert "Erase the names" not in rig.texts()


def test_at_the_net_one_tap_signs(face: OpenFace) -> None:
    """R2's own signature."""
    rig = face("net", "signing")
    rig.tap("net.sign")
    assert signs(rig) == [Sign()]


def test_at_the_net_the_sign_of_r1_takes_two_taps(face: OpenFace) -> None:
    """Nobody signs for R1 by a tap too many."""
    rig = face("net", "signing_r1")
    assert any("(by sign, Table)" in text for text in rig.texts())
    rig.tap("net.sign")
    assert signs(rig) == []
    rig.tap("net.sign")
    assert signs(rig) == [Sign()]


def test_on_the_wrist_one_tap_signs_and_tell_stays(face: OpenFace) -> None:
    """R1 signs last; a medical call is still one tap away."""
    rig = face("wrist", "signing")
    assert rig.seen("wrist.calm.tell")
    rig.tap("wrist.sign")
    assert signs(rig) == [Sign()]


@pytest.mark.parametrize("state", ["finished", "calm"])
def test_without_a_signature_due_there_is_no_pad(face: OpenFace, state: str) -> None:
    """The wrist of a match that goes on, or that waits for others, offers nothing to sign."""
    rig = face("wrist", state)
    assert not rig.seen("wrist.sign")
    assert len(SIGNERS) == 5
