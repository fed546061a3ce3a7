"""The shell: one process, one face, started and taken down without a sound."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QTimer
from PySide6.QtGui import QColor, QFontDatabase, QFontInfo, QGuiApplication

from crewlink.snapshot import Snapshot
from tests.gallery.scene import built_faces, scenes
from tests.gallery.states import dead_ball, set_point
from tests.ui.conftest import OpenFace
from tests.ui.rig import Said
from ui.app import run
from ui.bridge.submit import Command
from ui.face import SHAPES, Face
from ui.line.world import Verdict
from ui.stage import FaceFailed, Stage, ThemeName

ROOT = Path(__file__).resolve().parents[2]


class Played:
    """A source that plays one more snapshot from a thread of its own, then closes the window."""

    def __init__(self) -> None:
        self.sent: list[Command] = []
        self.stopped = False

    def snapshot(self) -> Snapshot:
        return dead_ball("R1")

    def submit(self, command: Command) -> Said:
        self.sent.append(command)
        return Said()

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        thread = threading.Thread(target=heard, args=(set_point("R1"),))
        thread.start()
        thread.join()

    def ask(self, command: Command, heard: Callable[[Verdict], None]) -> None:
        pass

    def refresh(self) -> None:
        pass

    def stop(self) -> None:
        self.stopped = True


def test_a_face_runs_and_ends(application: QGuiApplication) -> None:
    """The window opens, shows what the source plays, and closing it ends the program with status 0."""
    source = Played()
    scores: list[str] = []

    def look() -> None:
        window = next(one for one in QGuiApplication.topLevelWindows() if one.isVisible())
        figure = window.rootObject().findChild(object, "wrist.score.A")
        scores.append(figure.property("text"))
        if scores[-1] == "24":
            ticks.stop()
            window.close()

    ticks = QTimer()
    ticks.timeout.connect(look)
    ticks.start(10)
    assert run(Face.WRIST, source, theme=ThemeName.BRIGHT) == 0
    assert scores[-1] == "24"
    assert source.stopped


@pytest.mark.parametrize("name", built_faces())
@pytest.mark.parametrize("theme", list(ThemeName))
def test_a_face_fills_its_window(face: OpenFace, name: Face, theme: ThemeName) -> None:
    """No white window: the corner has the ground colour and things were made."""
    for size in SHAPES[name].sizes:
        rig = face(name, next(iter(scenes(name).values())), theme=theme, size=size)
        picture = rig.picture()
        ground = QColor(rig.stage.theme.property("ground"))
        assert (picture.width(), picture.height()) == size
        assert QColor(picture.pixel(size[0] // 2, 2)) == ground
        assert len(list(rig.items())) > 10
        assert rig.stage.view.title()


def test_all_faces_in_turn_leave_no_warning(application: QGuiApplication) -> None:
    """Opening and closing many faces in one process stays quiet."""
    for name in built_faces():
        for scene in scenes(name).values():
            stage = Stage(name, scene.snapshot, lambda command: Said())
            stage.show()
            QGuiApplication.processEvents()
            stage.court.update(replace(scene.snapshot, left="B"))
            stage.close()
            QGuiApplication.processEvents()
            assert stage.warnings == []


def test_a_face_that_cannot_load_says_why(application: QGuiApplication, tmp_path: Path) -> None:
    """One clear sentence with the place of the fault."""
    file = tmp_path / "Broken.qml"
    file.write_text("import QtQuick\nItem { nonsense: 3 }\n")
    with pytest.raises(FaceFailed, match=r"The wrist face can't be shown\. .*Broken\.qml:2.*nonsense"):
        Stage(Face.WRIST, dead_ball("R1"), lambda command: Said(), file=file)


def test_the_bundled_fonts_are_used(face: OpenFace) -> None:
    """Inter comes with the program; a face does not look different on another machine."""
    assert "Inter" in QFontDatabase.families()
    rig = face("wrist", "calm")
    assert QFontInfo(rig.item("wrist.score.A").property("font")).family() == "Inter"


def test_the_binding_keeps_its_references() -> None:
    """Thousands of signals in a process of their own do not abort the interpreter."""
    script = (
        "from PySide6.QtCore import QObject, Signal\n"
        "class One(QObject):\n    spoke = Signal(bool)\n"
        "one = One(); one.spoke.connect(lambda value: None)\n"
        "for _ in range(3000): one.spoke.emit(True)\n"
    )
    assert subprocess.run([sys.executable, "-c", script], cwd=ROOT, check=False).returncode == 0


class Moved(Played):
    """A source whose device gets another job; the next window is closed by its person."""

    def __init__(self) -> None:
        super().__init__()
        self.post = "R2"
        self.windows = 0

    def snapshot(self) -> Snapshot:
        return dead_ball(self.post)

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        self.windows += 1
        if self.windows == 1:
            self.post = "scorer"
            heard(dead_ball("scorer"))
        else:
            QTimer.singleShot(0, lambda: QGuiApplication.quit())


def test_a_device_with_another_job_goes_over_to_that_face(application: QGuiApplication) -> None:
    """The station goes on; only the last window ends it."""
    faces = {"R2": Face.NET, "scorer": Face.TABLE}
    shown: list[Face] = []
    source = Moved()

    def face_of(post: str) -> Face:
        shown.append(faces[post])
        return faces[post]

    assert run(Face.NET, source, face_of=face_of) == 0
    assert (source.windows, source.stopped) == (2, True)
    assert list(dict.fromkeys(shown)) == [Face.NET, Face.TABLE]


class Stays(Moved):
    """The same, and its person closes the window once the news is there."""

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        super().listen(heard)
        QTimer.singleShot(0, lambda: QGuiApplication.quit())


def test_without_faces_for_jobs_the_window_stays(application: QGuiApplication) -> None:
    """A face that was asked for by name is kept whatever the job."""
    source = Stays()
    assert run(Face.NET, source) == 0
    assert (source.windows, source.post) == (1, "scorer")
