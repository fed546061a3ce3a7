"""One more device beside a face that runs: opened by tap, left by pad or Escape, given way to a NOW."""

from __future__ import annotations

from dataclasses import replace

import pytest
from msgspec.structs import replace as with_fields
from PySide6.QtCore import Qt

from tests.gallery.scene import Scene, scenes
from tests.gallery.setup_states import DIGITS, NEWS, SQUARE, RecordingDesk, crew
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from ui.bridge.setup_port import Knock, ShownCode
from ui.face import Face

OPENED = replace(NEWS, opened=True, crew=crew())
CODE = ShownCode("R2", DIGITS, 1e9, 3, "47", "a", SQUARE, "Court 7", "crown giant berry")


def beside(face: OpenFace, name: str) -> tuple[Rig, RecordingDesk]:
    """The face with its devices shown, and a desk that notes what it is asked."""
    desk = RecordingDesk()
    scene = scenes(Face(name))["crew"]
    rig = face(name, Scene(scene.snapshot, scene.act, desk=desk))
    return rig, desk


def tell(rig: Rig, news: object) -> None:
    assert rig.stage.setup is not None
    rig.stage.setup.update(news)  # type: ignore[arg-type]
    rig.settle()


@pytest.mark.parametrize("name", ["table", "net"])
def test_a_code_is_shown_again_once_set_up_is_over(face: OpenFace, name: str) -> None:
    """Add a device, a free job, its code, the knock, yes; Back takes a code away."""
    rig, desk = beside(face, name)
    begun: list[bool] = []
    assert rig.stage.setup is not None
    rig.stage.setup.addingAsked.connect(lambda: begun.append(True))
    rig.tap("adding.start")
    assert begun == [True] and desk.asked == []
    tell(rig, OPENED)
    rig.tap("setup.here.R2")
    assert desk.asked == [("code", "R2")]
    tell(rig, replace(OPENED, code=CODE))
    assert {"Code for R2", "Court 7: crown giant berry (the other device shows the same)"} <= set(rig.texts())
    tell(rig, replace(OPENED, code=CODE, knock=Knock("Lena's tablet, for R2", "R2")))
    rig.tap("setup.knock.yes")
    assert desk.asked[-1] == ("admit", True)
    rig.tap("adding.back")
    assert desk.asked[-1] == ("code", "")
    assert not rig.item("adding.back").isVisible()
    assert rig.sent == []


@pytest.mark.parametrize("name", ["table", "net"])
def test_escape_leads_back_and_keys_do_nothing_behind_the_page(face: OpenFace, name: str) -> None:
    rig, desk = beside(face, name)
    rig.tap("adding.start")
    tell(rig, OPENED)
    rig.key(Qt.Key.Key_Left)
    rig.key(Qt.Key.Key_Space)
    assert rig.sent == []
    rig.key(Qt.Key.Key_Escape)
    assert desk.asked == [("code", "")]
    assert not rig.item("adding.back").isVisible()


@pytest.mark.parametrize("name", ["table", "net"])
def test_a_now_takes_the_face_back(face: OpenFace, name: str) -> None:
    rig, desk = beside(face, name)
    rig.tap("adding.start")
    tell(rig, OPENED)
    urgent = scenes(Face(name))["wrong_server_from_r2" if name == "table" else "wrong_server"].snapshot
    rig.stage.court.update(with_fields(urgent, taken=urgent.taken))
    rig.settle()
    assert rig.stage.court.top.level == "now"
    assert not rig.item("adding.back").isVisible()
    assert desk.asked == [("code", "")]


@pytest.mark.parametrize("name", ["table", "net"])
def test_without_a_desk_nothing_is_offered(face: OpenFace, name: str) -> None:
    rig = face(name, "crew")
    assert "Add a device" not in rig.texts()


def test_a_phone_is_too_small_for_it(face: OpenFace) -> None:
    desk = RecordingDesk()
    scene = scenes(Face.NET)["crew"]
    rig = face("net", Scene(scene.snapshot, scene.act, desk=desk), size=(360, 760))
    assert "Add a device" not in rig.texts()
