"""The way of news from the set-up's thread to its face: one queued signal, the newest one wins."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal, Slot

from ui.bridge.setup_port import SetupNews
from ui.bridge.setup_view import SetupView


class SetupFeed(QObject):
    """Lives in the GUI thread. `offer` may be called from any thread."""

    _arrived = Signal(object)

    def __init__(self, view: SetupView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self._newest: SetupNews | None = None
        self._arrived.connect(self._show, Qt.ConnectionType.QueuedConnection)

    def offer(self, news: SetupNews) -> None:
        """Hand over news; returns at once."""
        self._newest = news
        self._arrived.emit(news)

    @Slot(object)
    def _show(self, news: SetupNews) -> None:
        if news is self._newest:
            self._view.update(news)
