"""Fixtures of the interface's tests: a window system without a screen, and `face`, which opens a face."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_QUICK_BACKEND", "software")

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtGui import QAccessible, QGuiApplication

from crewlink.snapshot import Snapshot
from tests.gallery.scene import Scene, scenes
from tests.ui.rig import Rig
from ui.face import Face
from ui.stage import ThemeName, load_fonts

OpenFace = Callable[..., Rig]
OpenPart = Callable[..., Rig]

PART_PAGE = """
import QtQuick
import Crewlink.Views
import Crewlink.Ui
Face { id: page
%s
}
"""


@pytest.fixture(scope="session")
def qapp_cls() -> type[QGuiApplication]:
    """The program has no widgets; neither have its tests."""
    return QGuiApplication


@pytest.fixture(scope="session")
def application(qapp: QGuiApplication) -> QGuiApplication:
    """The application with the bundled fonts and the accessible tree switched on."""
    load_fonts()
    QAccessible.setActive(True)
    return qapp


@pytest.fixture
def face(application: QGuiApplication) -> Iterator[OpenFace]:
    """`face("wrist", "calm", theme=..., size=...)` opens a face in a scene (or a snapshot).

    Every face opened is closed at the end, and any warning of the engine fails the test.
    """
    opened: list[Rig] = []

    def open_face(
        name: str,
        state: str | Scene | Snapshot,
        theme: ThemeName = ThemeName.DARK,
        size: tuple[int, int] | None = None,
        reduced_motion: bool = False,
    ) -> Rig:
        if isinstance(state, str):
            scene = scenes(Face(name))[state]
        else:
            scene = state if isinstance(state, Scene) else Scene(state)
        rig = Rig(Face(name), scene, theme=theme, size=size, reduced_motion=reduced_motion)
        opened.append(rig)
        return rig

    yield open_face
    warnings = [warning for rig in opened for warning in rig.close()]
    assert warnings == []


@pytest.fixture
def part(application: QGuiApplication, tmp_path: Path) -> Iterator[OpenPart]:
    """`part("Pad { ... }", snapshot)` shows parts on a page `page` (a Face: `page.court`), as QML text."""
    opened: list[Rig] = []

    def open_part(
        qml: str,
        snapshot: Snapshot,
        theme: ThemeName = ThemeName.DARK,
        size: tuple[int, int] = (800, 600),
        reduced_motion: bool = False,
    ) -> Rig:
        file = tmp_path / f"page{len(opened)}.qml"
        file.write_text(PART_PAGE % qml)
        rig = Rig(
            Face.WRIST, Scene(snapshot), theme=theme, size=size, reduced_motion=reduced_motion, file=file
        )
        opened.append(rig)
        return rig

    yield open_part
    warnings = [warning for rig in opened for warning in rig.close()]
    assert warnings == []
