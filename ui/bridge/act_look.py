"""What was done here last and can still be taken back: stands for six seconds."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtQml import QmlElement

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

UNDO_SECONDS = 6


@QmlElement
class ActLook(QObject):
    """The last act of this face. `way`: how it is undone, "notice" (take back) or "line" (cross out)."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._words = self._way = ""
        self._since = self._now = 0.0
        self._remaining = 0
        self._newest = self._before = self._entry = ""

    def follow(self, entries: Sequence[str]) -> None:
        """The match history by entry id, newest first: the first line after the act is the act's own."""
        self._newest = entries[0] if entries else ""
        if self._way != "line" or self._entry or self._newest == self._before:
            return
        place = entries.index(self._before) if self._before in entries else len(entries)
        self._entry = entries[place - 1]
        self.changed.emit()

    def beat(self, now: float) -> None:
        """Let time pass; the act goes after six seconds."""
        self._now = now
        left = UNDO_SECONDS - (now - self._since)
        remaining = max(0, int(left + 0.999)) if self._words else 0
        if remaining != self._remaining:
            self._remaining = remaining
            if not remaining:
                self._words = self._way = ""
            self.changed.emit()

    @Slot(str, str)
    def done(self, words: str, way: str) -> None:
        """`words` was done just now."""
        self._words, self._way, self._since = words, way, self._now
        self._before, self._entry = self._newest, ""
        self._remaining = UNDO_SECONDS
        self.changed.emit()

    @Slot()
    def forget(self) -> None:
        """It was taken back, or something else was done."""
        self._words = self._way = ""
        self._remaining = 0
        self.changed.emit()

    @Property(bool, notify=changed)
    def present(self) -> bool:
        return bool(self._words)

    @Property(str, notify=changed)
    def words(self) -> str:
        return self._words

    @Property(str, notify=changed)
    def way(self) -> str:
        return self._way

    @Property(str, notify=changed)
    def entry(self) -> str:
        """The line that came of it, "" until it is written."""
        return self._entry

    @Property(int, notify=changed)
    def remaining(self) -> int:
        """Seconds left to undo it, 6 to 1."""
        return self._remaining
