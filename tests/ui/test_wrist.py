"""The wrist face: R1's one glance and one tap."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint

from crewlink.crew.commands import AnswerNotice, Shown
from tests.gallery.scene import scenes
from tests.gallery.states import conduct_notice, dead_ball, hold_notice, with_notices, wrong_server
from tests.ui.conftest import OpenFace
from tests.ui.walks import all_faults
from ui.face import SHAPES, Face
from ui.stage import ThemeName

FLOOR, LEAST = 29, 120


@pytest.mark.parametrize("theme", list(ThemeName))
@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
@pytest.mark.parametrize("state", list(scenes(Face.WRIST)))
def test_every_state_is_readable(face: OpenFace, state: str, size: tuple[int, int], theme: ThemeName) -> None:
    """No text is cut, overlaps or is too small; every target is large enough, named and inside."""
    rig = face("wrist", state, theme=theme, size=size)
    assert all_faults(rig, FLOOR, LEAST) == []


def test_r1_sees_the_half_turn(face: OpenFace) -> None:
    """With A on the table's left, R1 has B on the left."""
    rig = face("wrist", "calm")
    assert rig.rect(rig.item("wrist.score.B")).center().x() < rig.rect(rig.item("wrist.score.A")).center().x()


def test_a_notice_takes_the_face(face: OpenFace) -> None:
    """A wrong server shows whom and who is due, and nothing of the score."""
    rig = face("wrist", "calm")
    rig.stage.court.update(wrong_server("R1"))
    rig.settle()
    assert {"NOW", "Wrong server", "B 9", "due", "3", "Got it", "from the table"} <= set(rig.texts())
    assert not rig.seen("wrist.calm.tell")


def test_got_it_answers_the_notice_on_show(face: OpenFace) -> None:
    """One tap sends one answer, for the notice that the plate shows."""
    rig = face("wrist", "wrong_server")
    rig.until(rig.item("wrist.notice.answer"), "armed", True)
    rig.tap("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-server")]


def test_a_fresh_plate_is_deaf(face: OpenFace) -> None:
    """A tap in the first 400 ms, meant for what was there before, answers nothing."""
    rig = face("wrist", "calm")
    rig.slow("arming")
    rig.stage.court.update(wrong_server("R1"))
    rig.tap("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == []


def test_a_plate_that_changes_under_the_finger_is_not_answered(face: OpenFace) -> None:
    """The finger is down on one notice, a more urgent one takes its place, the finger comes up: no answer."""
    rig = face("wrist", "conduct")
    pad = rig.item("wrist.notice.answer")
    rig.until(pad, "armed", True)
    place = rig.middle("wrist.notice.answer")
    rig.press(place)
    rig.stage.court.update(with_notices(dead_ball("R1"), hold_notice("R1"), conduct_notice("R1")))
    rig.until(pad, "armed", True)
    rig.lift(place)
    assert rig.of_kind(AnswerNotice) == []
    rig.tap("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-hold")]


def test_sliding_off_cancels(face: OpenFace) -> None:
    """Nothing acts on the press, nor when the finger leaves the pad."""
    rig = face("wrist", "wrong_server")
    rig.until(rig.item("wrist.notice.answer"), "armed", True)
    place = rig.middle("wrist.notice.answer")
    rig.press(place)
    assert rig.of_kind(AnswerNotice) == []
    rig.slide(QPoint(place.x(), 100))
    rig.lift(QPoint(place.x(), 100))
    assert rig.of_kind(AnswerNotice) == []


def test_a_screen_reader_can_answer(face: OpenFace) -> None:
    """The assistive press acts as a tap does, and the plate reads itself out."""
    rig = face("wrist", "wrong_server")
    rig.until(rig.item("wrist.notice.answer"), "armed", True)
    rig.assist("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-server")]
    assert rig.named("NOW. Wrong server. Team B, 9 hit. Due: 3. From the table.")


def test_shown_is_said_for_each_plate(face: OpenFace) -> None:
    """After 400 ms on the face the crew hears that a notice was shown; the next plate is told of too."""
    rig = face("wrist", "wrong_server")
    rig.eventually(lambda: rig.of_kind(Shown) == [Shown("n-server")])
    rig.stage.court.update(with_notices(dead_ball("R1"), conduct_notice("R1")))
    rig.eventually(lambda: rig.of_kind(Shown) == [Shown("n-server"), Shown("n-conduct")])


def test_an_arriving_notice_is_announced(face: OpenFace) -> None:
    """A screen reader says a NOW at once, anything else when it has finished."""
    rig = face("wrist", "calm")
    rig.stage.court.update(wrong_server("R1"))
    assert rig.stage.root.property("announced") == "NOW. Wrong server. Team B, 9 hit. Due: 3. From the table."
    rig.stage.court.update(dead_ball("R1"))
    assert rig.stage.root.property("announced") == ""


def test_several_waiting_show_the_most_urgent_first(face: OpenFace) -> None:
    """Two notices: the first of the snapshot is on show, with "1 of 2"."""
    rig = face("wrist", "two_waiting")
    assert {"Hold service", "1 of 2"} <= set(rig.texts())
    assert "Conduct" not in rig.texts()


def test_in_a_rally_nothing_can_be_tapped(face: OpenFace) -> None:
    """Score and server only, dim, no pad."""
    rig = face("wrist", "rally")
    assert rig.texts() == ["B", "21", "A", "23", "7"]


def test_age_runs_with_the_clock(face: OpenFace) -> None:
    """The plate's age grows by the face's own elapsed time."""
    rig = face("wrist", "wrong_server")
    assert "0:03" in rig.texts()
    rig.wait(9.0)
    assert "0:12" in rig.texts()
