"""One face under test: its stage, a clock that moves when told, what it sent, and hands to use it with."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QEventLoop, QObject, QPoint, QPointF, QRectF, Qt, QTimer
from PySide6.QtGui import QAccessible, QGuiApplication, QImage
from PySide6.QtQuick import QQuickItem
from PySide6.QtTest import QTest

from crewlink.snapshot import RefusalView
from tests.gallery.scene import Scene
from ui.bridge.submit import Command
from ui.face import Face
from ui.stage import Stage, ThemeName


@dataclass(frozen=True, slots=True)
class Said:
    """A station's answer."""

    refusal: RefusalView | None = None


class Rig:
    """A shown face. `sent` are the commands it submitted, `sent_to` those to one court of the board.

    Set `refuse` to have the next ones refused.
    """

    def __init__(
        self,
        face: Face,
        scene: Scene,
        *,
        theme: ThemeName = ThemeName.DARK,
        size: tuple[int, int] | None = None,
        reduced_motion: bool = False,
        file: Path | None = None,
    ) -> None:
        self.now = scene.snapshot.taken
        self.sent: list[Command] = []
        self.sent_to: list[tuple[int, Command]] = []
        self._saving: list[Callable[[str], None]] = []
        self.refuse: RefusalView | None = None
        self.stage = Stage(
            face,
            scene.snapshot,
            self._submit,
            theme=theme,
            size=size,
            reduced_motion=reduced_motion,
            now=lambda: self.now,
            file=file,
            ask=scene.ask,
            setup=scene.setup(lambda: self.now),
            board=scene.board,
            submit_to=self._submit_to,
            save_incidents=self._saving.append,
        )
        self.stage.show()
        self.settle()
        if scene.act is not None:
            scene.act(self.stage)
            self.settle()

    def _submit(self, command: Command) -> Said:
        self.sent.append(command)
        return Said(self.refuse)

    def _submit_to(self, court: int, command: Command) -> Said:
        self.sent_to.append((court, command))
        return self._submit(command)

    def saved(self, told: str) -> None:
        """Say what became of every wish to save the incidents so far."""
        for tell in self._saving:
            tell(told)
        self.settle()

    def of_kind(self, kind: type) -> list[Command]:
        """The commands of one kind that were sent."""
        return [command for command in self.sent if isinstance(command, kind)]

    def settle(self) -> None:
        """Let everything that waits happen, and draw a frame."""
        QGuiApplication.processEvents()
        self.stage.view.grabWindow()
        QGuiApplication.processEvents()

    def wait(self, seconds: float) -> None:
        """Move the clock and let the face's time pass in beats of a quarter second."""
        end = self.now + seconds
        while self.now < end - 1e-9:
            self.now = min(end, self.now + 0.25)
            self.stage.court.beat()
        self.settle()

    def items(self) -> Iterator[QQuickItem]:
        """All items that can be seen, parents first."""
        yield from _visible(self.stage.root)

    def item(self, name: str) -> QQuickItem:
        """The item with this object name."""
        for item in _all(self.stage.root):
            if item.objectName() == name:
                return item
        raise LookupError(f"no item {name!r}; there are {sorted(self.names())}")

    def seen(self, name: str) -> bool:
        """An item of this name can be seen now."""
        return any(item.objectName() == name for item in self.items())

    def names(self) -> set[str]:
        """Object names of all items that can be seen."""
        return {item.objectName() for item in self.items() if item.objectName()}

    def named(self, words: str) -> QQuickItem:
        """The item that can be seen whose accessible name starts with `words`."""
        for item in self.items():
            if spoken(item).startswith(words):
                return item
        raise LookupError(f"nothing is called {words!r}")

    def texts(self) -> list[str]:
        """What can be read, in drawing order."""
        return [
            str(item.property("text")) for item in self.items() if is_text(item) and item.property("text")
        ]

    def rect(self, item: QQuickItem) -> QRectF:
        """Where the item is in the window, px."""
        return QRectF(item.mapToScene(QPointF(0, 0)), item.mapToScene(QPointF(item.width(), item.height())))

    def middle(self, name: str) -> QPoint:
        """The middle of an item that can be seen, strictly inside the window."""
        self.settle()
        assert self.seen(name), f"{name} can't be seen"
        point = self.rect(self.item(name)).center().toPoint()
        window = self.stage.view
        assert 0 < point.x() < window.width() - 1, f"{name} is outside"
        assert 0 < point.y() < window.height() - 1, f"{name} is outside"
        return point

    def tap(self, name: str) -> None:
        """Click an item."""
        self.click(self.middle(name))

    def click(self, point: QPoint) -> None:
        """Click a place."""
        QTest.mouseClick(self.stage.view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, point)
        self.settle()

    def press(self, point: QPoint) -> None:
        """Put the pointer down."""
        QTest.mousePress(self.stage.view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, point)
        QGuiApplication.processEvents()

    def slide(self, point: QPoint) -> None:
        """Move the pointer while it is down."""
        QTest.mouseMove(self.stage.view, point)
        QGuiApplication.processEvents()

    def lift(self, point: QPoint) -> None:
        """Take the pointer up."""
        QTest.mouseRelease(self.stage.view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, point)
        self.settle()

    def key(self, key: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        """Press and release a key."""
        QTest.keyClick(self.stage.view, key, modifier)
        self.settle()

    def assist(self, name: str) -> None:
        """Press as a screen reader does."""
        interface = QAccessible.queryAccessibleInterface(self.item(name))
        interface.actionInterface().doAction("Press")
        self.settle()

    def eventually(self, happened: Callable[[], bool], seconds: float = 5.0) -> None:
        """Let real time pass until something has happened; for press and hold only."""
        limit = QTimer()
        limit.setSingleShot(True)
        limit.start(int(seconds * 1000))
        while not happened() and limit.isActive():
            QGuiApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 20)
        assert happened()

    def slow(self, name: str) -> None:
        """Stretch a time of the theme ("arming", "holding") so far that it can't run out during a test."""
        self.stage.theme.setProperty(name, 600_000)

    def until(self, item: QObject, name: str, value: object, seconds: float = 5.0) -> None:
        """Wait for a property to have a value."""
        self.eventually(lambda: item.property(name) == value, seconds)

    def picture(self) -> QImage:
        """What the window shows."""
        return self.stage.picture()

    def close(self) -> list[str]:
        """Take the face down; gives what the engine warned of."""
        self.stage.close()
        return self.stage.warnings


def _all(item: QQuickItem) -> Iterator[QQuickItem]:
    yield item
    for child in item.childItems():
        yield from _all(child)


def _visible(item: QQuickItem) -> Iterator[QQuickItem]:
    if not item.isVisible() or item.opacity() == 0:
        return
    yield item
    for child in item.childItems():
        yield from _visible(child)


def spoken(item: QQuickItem) -> str:
    """The accessible name of an item, or ""."""
    interface = QAccessible.queryAccessibleInterface(item)
    return interface.text(QAccessible.Text.Name) if interface is not None else ""


def is_text(item: QQuickItem) -> bool:
    """An item of Text (or of a type made from it)."""
    return item.inherits("QQuickText")
