"""A window driven by control lines, for rehearsals: what a station obeys, and pictures, keys and taps.

    {"id": 1, "picture": "table.png"}      out  {"id": 1, "written": "table.png"}
    {"id": 2, "key": "Right"}              out  {"id": 2, "done": true}
    {"id": 3, "tap": "wrist.notice.answer"}

Lines are read on a thread of their own; what touches the window is done on the window's thread.
"""

from __future__ import annotations

import json
import sys
import threading
from concurrent.futures import Future
from typing import Any

from PySide6.QtCore import QObject, QPoint, QPointF, Qt, Signal, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtQuick import QQuickItem
from PySide6.QtTest import QTest

from crewlink.control import obey
from crewlink.running import RunningStation
from ui.stage import Stage

WINDOW_S = 20.0


class Obedient(QObject):
    """Carries out control lines on a stage and its station; lives in the window's thread."""

    _asked = Signal(object, object)

    def __init__(self, stage: Stage, station: RunningStation) -> None:
        super().__init__()
        self._stage = stage
        self._station = station
        self._lock = threading.Lock()
        self._changes = 0
        self._asked.connect(self._on_window, Qt.ConnectionType.QueuedConnection)

    def begin(self) -> None:
        """Read lines until the input ends or says stop; then the window closes."""
        threading.Thread(target=self._read, daemon=True).start()

    def changed(self) -> None:
        """Say that the court or the links changed."""
        self._changes += 1
        self._say({"changed": self._changes})

    def _read(self) -> None:
        self._say({"ready": True})
        for line in sys.stdin:
            if not line.strip():
                continue
            answer = self._answer(line)
            self._say(answer)
            if answer.get("stopped"):
                break
        self._asked.emit({"quit": True}, Future())

    def _answer(self, line: str) -> dict[str, Any]:
        try:
            asked = json.loads(line)
        except (ValueError, RecursionError) as error:
            return {"error": f"Not a JSON line: {error}"}
        if not isinstance(asked, dict) or not {"picture", "key", "tap"} & set(asked):
            return obey(self._station, line)
        done: Future[dict[str, Any]] = Future()
        self._asked.emit(asked, done)
        return {"id": asked.get("id"), **done.result(WINDOW_S)}

    @Slot(object, object)
    def _on_window(self, asked: dict[str, Any], done: Future[dict[str, Any]]) -> None:
        if "quit" in asked:
            QGuiApplication.quit()
            return
        try:
            done.set_result(self._do(asked))
        except Exception as error:  # the asker waits on another thread: it gets every error as a line
            done.set_result({"error": str(error)})

    def _do(self, asked: dict[str, Any]) -> dict[str, Any]:
        if "picture" in asked:
            path = str(asked["picture"])
            saved = self._stage.picture().save(path)
            return {"written": path} if saved else {"error": f"{path}: cannot be written."}
        if "key" in asked:
            key = getattr(Qt.Key, f"Key_{asked['key']}", None)
            if key is None:
                return {"error": f"There is no key {asked['key']}; names are those of Qt: Right, F6, 7."}
            QTest.keyClick(self._stage.view, key)
            return {"done": True}
        item = _found(self._stage.root, str(asked["tap"]))
        if item is None:
            return {"error": f"There is no {asked['tap']} on this face now."}
        middle = item.mapToScene(QPointF(item.width() / 2, item.height() / 2))
        QTest.mouseClick(
            self._stage.view,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
            QPoint(round(middle.x()), round(middle.y())),
        )
        return {"done": True}

    def _say(self, line: dict[str, Any]) -> None:
        with self._lock:
            sys.stdout.write(json.dumps(line) + "\n")
            sys.stdout.flush()


def _found(item: QQuickItem, name: str) -> QQuickItem | None:
    """The visible item of that object name below `item`; rows of lists are only found by walking."""
    if not item.isVisible():
        return None
    if item.objectName() == name:
        return item
    return next((found for child in item.childItems() if (found := _found(child, name))), None)
