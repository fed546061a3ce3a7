"""The table face: what every state shows, and that it can be read."""

from __future__ import annotations

from dataclasses import replace as changed

import pytest
from msgspec.structs import replace

from crewlink.crew.commands import Shown
from tests.gallery.scene import scenes
from tests.gallery.states import (
    conduct_notice,
    dead_ball,
    help_notice,
    hold_notice,
    score_note,
    with_notices,
    wrong_server,
)
from tests.gallery.table_states import LONG_LINE, SCENES, wrong_server_told
from tests.ui.conftest import OpenFace
from tests.ui.walks import all_faults, outside, overlapping, truncated
from ui.face import SHAPES, Face
from ui.stage import ThemeName

FLOOR, LEAST = 17, 44


USUAL, LARGE = SHAPES[Face.TABLE].sizes
DRAWN = [(USUAL, ThemeName.DARK), (USUAL, ThemeName.BRIGHT), (LARGE, ThemeName.DARK)]


@pytest.mark.parametrize(("size", "theme"), DRAWN)
@pytest.mark.parametrize("state", list(scenes(Face.TABLE)))
def test_every_state_is_readable(face: OpenFace, state: str, size: tuple[int, int], theme: ThemeName) -> None:
    """No text is cut, overlaps or is too small; every target is large enough, named and inside."""
    rig = face("table", state, theme=theme, size=size)
    assert all_faults(rig, FLOOR, LEAST) == []


@pytest.mark.parametrize(
    "state", ["dead_ball", "wrong_server", "toss", "sheet_faulty", "finished", "bench_focus"]
)
def test_long_names_have_room(face: OpenFace, state: str) -> None:
    """Names of sixteen wide letters fit everywhere."""
    scene = SCENES[state]
    a = replace(scene.snapshot.a, name="Wolverton Mammut")
    b = replace(scene.snapshot.b, name="Moorweg Wammham")
    rig = face("table", changed(scene, snapshot=replace(scene.snapshot, a=a, b=b)))
    assert all_faults(rig, FLOOR, LEAST) == []


@pytest.mark.parametrize("size", [(1366, 768), (1440, 900), (1600, 1200), (2560, 1080)])
def test_the_page_grows_with_the_window(face: OpenFace, size: tuple[int, int]) -> None:
    """Whatever the shape of the window, line and keys stand at its foot and nothing leaves it."""
    rig = face("table", "dead_ball", size=size)
    assert all_faults(rig, FLOOR, LEAST) == []
    assert rig.rect(rig.item("table.line")).bottom() < size[1]
    assert rig.rect(rig.item("table.bench.right")).right() < size[0]


def test_what_is_too_long_is_cut_and_lies_on_nothing(face: OpenFace) -> None:
    """The event's name and a line of the history may be too long: what follows stays clear."""
    event = "Regional championship of the girls under sixteen"
    long = replace(dead_ball("scorer"), event=event, history=(LONG_LINE, *dead_ball("scorer").history))
    rig = face("table", long)
    assert overlapping(rig) + outside(rig) == []
    assert len(truncated(rig)) == 2


def test_the_score_sides_and_lines(face: OpenFace) -> None:
    """Points, sets, who serves and next scores stand on the table's own sides."""
    rig = face("table", "dead_ball")
    assert {"23", "21", "serves", "next server", "24:21", "set point", "23:22"} <= set(rig.texts())
    rig.stage.court.update(replace(dead_ball("scorer"), left="B"))
    rig.settle()
    a, b = rig.item("table.bench.A.points"), rig.item("table.bench.B.points")
    assert rig.rect(b).x() < rig.rect(a).x()


def test_an_arriving_notice_leaves_the_focus_alone(face: OpenFace) -> None:
    """A NOW comes up while a number is being typed: the line keeps the keys, and the notice is announced."""
    rig = face("table", "typed_number")
    before = rig.stage.view.activeFocusItem()
    rig.stage.court.update(wrong_server("scorer"))
    rig.settle()
    rig.stage.court.update(with_notices(dead_ball("scorer"), hold_notice("scorer")))
    rig.settle()
    assert rig.stage.view.activeFocusItem() is before
    assert rig.stage.root.property("announced").startswith("NOW. Hold service.")
    assert "17" in rig.texts()


def test_conduct_is_neutral_at_the_table(face: OpenFace) -> None:
    """Benches can read the screen: no team, no person, no word of what it is about."""
    rig = face("table", "conduct")
    shown = " ".join(rig.texts())
    assert {"R1 deals with it", "Stay at the table."} <= set(rig.texts())
    assert "Conduct" not in shown.replace("Delays, conduct", "")
    assert "Spectator" not in shown


def test_the_stack_shows_three_and_counts_the_rest(face: OpenFace) -> None:
    """The first plate whole, two in a row each, the rest as a count; each on show is told as shown."""
    notices = (hold_notice("scorer"), conduct_notice("scorer"), help_notice("scorer"), score_note("scorer"))
    rig = face("table", with_notices(dead_ball("scorer"), *notices))
    assert {"Hold service", "R1 deals with it", "R2 asks for the spare ball", "+ 1 more"} <= set(rig.texts())
    rig.eventually(lambda: len(rig.of_kind(Shown)) == 3)
    assert {command.notice for command in rig.of_kind(Shown)} == {"n-hold", "n-conduct", "n-help"}


def test_a_wrong_server_lists_what_may_have_happened(face: OpenFace) -> None:
    """The table's own errors first, each with its score and server; the line waits for R1."""
    rig = face("table", wrong_server_told())
    texts = rig.texts()
    assert texts.index("Substitution not written: 9 for 3") < texts.index("Wrong server, 9 for 3")
    assert {"Waits for R1", "23:21", "A 7 serves", "due", "R1", "3 s", "raised here"} <= set(texts)
    assert rig.named("4. Wrong server, 9 for 3. Leads to 23:21, A 7 serves. Suggested.")


def test_a_post_out_of_reach_is_said_quietly(face: OpenFace) -> None:
    """What is safe, who is away, what to do; scoring goes on."""
    rig = face("table", "links")
    assert {"23:21 saved here, on 2 of 3", "out of reach 0:42", "24:21"} <= set(rig.texts())


def test_the_undo_strip_stands_six_seconds(face: OpenFace) -> None:
    """Six steps, one a second; then the line offers the next point again."""
    rig = face("table", "scored")
    assert "Undo for 6 s" in rig.texts()
    rig.wait(3.0)
    assert "Undo for 3 s" in rig.texts()
    rig.wait(3.0)
    assert not any(text.startswith("Undo for") for text in rig.texts())
    assert "25:21" in rig.texts()


def test_the_theme_word_changes_the_theme(face: OpenFace) -> None:
    """The last word of the rail, by pointer and by Tab and Enter."""
    rig = face("table", "dead_ball")
    rig.tap("table.rail.theme")
    assert "dark" in rig.texts()


def test_the_face_reads_itself_out(face: OpenFace) -> None:
    """The line, the benches and the boxes have names for a screen reader."""
    rig = face("table", "dead_ball")
    assert rig.named("Number line. Left: A scores 24:21 set point. Right: B scores 23:22.")
    assert rig.named("Team A, Harbour Kites, 23 points, sets 0, time-outs 1 of 2")
    rig = face("table", "sheet_faulty")
    assert rig.named("position 2 14, fault 1")
