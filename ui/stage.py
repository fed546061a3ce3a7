"""A stage shows one face with one snapshot in a window, visible or not, and can take its picture.

The program, the gallery, rehearsals and tests all show faces through it. It needs `ready_application` first.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import Self

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QUrl
from PySide6.QtGui import QFontDatabase, QGuiApplication, QImage
from PySide6.QtQml import QQmlError
from PySide6.QtQuick import QQuickItem, QQuickView

from crewlink.snapshot import BoardSnapshot, Snapshot
from ui.bridge.board_view import BoardView, SaveIncidents, SubmitTo
from ui.bridge.court_view import CourtView
from ui.bridge.setup_view import SetupView
from ui.bridge.submit import Answer, Ask, Command, Submit
from ui.face import SHAPES, Face

_HERE = Path(__file__).parent
MODULES = _HERE / "modules"
FONTS = _HERE / "fonts"


class ThemeName(StrEnum):
    """The two themes: dark gym, bright gym."""

    DARK = "dark"
    BRIGHT = "bright"


class FaceFailed(RuntimeError):
    """A face could not be loaded; `problems` says why, one line each."""

    def __init__(self, face: Face, problems: list[str]) -> None:
        super().__init__(f"The {face} face can't be shown. " + " ".join(problems))
        self.face = face
        self.problems = problems


def load_fonts() -> None:
    """Make the bundled fonts known to the application."""
    for file in sorted(FONTS.glob("*.otf")):
        QFontDatabase.addApplicationFont(str(file))


class Stage:
    """One face in one window. Use as a context manager or call `close`.

    `now` is the clock of ages and pulses, in seconds; `size` in px. `warnings` keeps those of the engine.
    `ask` tells what the rules say to an act before it is done.
    `setup`: what the set-up face shows beside the court; one of its own without it. Table and net bring more
    devices in with it; without it they don't offer that.
    `board`: the courts of the board face; `submit_to` hands a command to one of them, else all go to
    `submit`; `save_incidents` writes the lists of all courts. `file`: a QML file to show in place of the
    face (a sheet of parts, seen from the table's side).
    """

    def __init__(
        self,
        face: Face,
        snapshot: Snapshot,
        submit: Submit,
        *,
        theme: ThemeName = ThemeName.DARK,
        size: tuple[int, int] | None = None,
        reduced_motion: bool = False,
        now: Callable[[], float] = monotonic,
        file: Path | None = None,
        ask: Ask | None = None,
        setup: SetupView | None = None,
        board: BoardSnapshot | None = None,
        submit_to: SubmitTo | None = None,
        save_incidents: SaveIncidents | None = None,
    ) -> None:
        shape = SHAPES[face]
        self.face = face
        self.warnings: list[str] = []
        self.board: BoardView | None = None

        def to_court(command: Command) -> Answer:
            """From the board a command goes to the court that is open."""
            if self.board is None or submit_to is None:
                return submit(command)
            return submit_to(int(self.board.opened), command)

        self.court = CourtView(
            snapshot, to_court, stand_side=shape.stand_side and file is None, ask=ask, now=now
        )
        self.setup: SetupView | None = None
        if face is Face.SETUP and file is None:
            self.setup = SetupView(now=now) if setup is None else setup
        if face in (Face.TABLE, Face.NET) and file is None:
            self.setup = setup
        if face is Face.BOARD and file is None:
            courts = BoardSnapshot(snapshot.taken, 0) if board is None else board
            to_one = (lambda _court, command: submit(command)) if submit_to is None else submit_to
            self.board = BoardView(courts, self.court, to_one, now=now, save_incidents=save_incidents)
        self.view = QQuickView()
        self.view.setResizeMode(QQuickView.ResizeMode.SizeRootObjectToView)
        self.view.setTitle(shape.title)
        self.view.resize(*(size or shape.sizes[0]))
        engine = self.view.engine()
        engine.addImportPath(str(MODULES))
        engine.warnings.connect(self._note)
        tokens = engine.singletonInstance("Crewlink.Ui", "Theme")
        if not isinstance(tokens, QObject):
            raise FaceFailed(face, self.warnings)
        self.theme = tokens
        self.theme.setProperty("bright", theme is ThemeName.BRIGHT)
        self.theme.setProperty("reducedMotion", reduced_motion)
        views: dict[str, QObject] = {"court": self.court}
        if self.setup is not None:
            views["setup" if face is Face.SETUP else "adding"] = self.setup
        if self.board is not None:
            views["board"] = self.board
        self.view.setInitialProperties(views)
        if file is None:
            self.view.loadFromModule("Crewlink.Ui", shape.component)
        else:
            self.view.setSource(QUrl.fromLocalFile(str(file)))
        if self.view.status() is not QQuickView.Status.Ready:
            problems = [error.toString() for error in self.view.errors()] + self.warnings
            self.close()
            raise FaceFailed(face, problems)

    def _note(self, errors: list[QQmlError]) -> None:
        self.warnings.extend(error.toString() for error in errors)

    @property
    def root(self) -> QQuickItem:
        """The face's root item."""
        return self.view.rootObject()

    def show(self) -> None:
        """Open the window."""
        self.view.show()

    def picture(self) -> QImage:
        """What the window shows now."""
        return self.view.grabWindow()

    def close(self) -> None:
        """Take all down in the one order that is quiet: window, engine's objects, then the view objects."""
        self.view.close()
        self.view.setSource(QUrl())
        self.view.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        self.court.deleteLater()
        if self.board is not None:
            self.board.deleteLater()
        if self.setup is not None:
            self.setup.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def ready_application(arguments: list[str] | None = None) -> QGuiApplication:
    """The one application object, made if there is none, with the fonts loaded."""
    application = QGuiApplication.instance()
    if not isinstance(application, QGuiApplication):
        application = QGuiApplication(arguments or ["crewlink"])
        application.setApplicationName("crewlink")
    load_fonts()
    return application
