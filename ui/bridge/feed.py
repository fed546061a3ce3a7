"""The way of a snapshot from the link thread to the faces: one queued signal, the newest one wins."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal, Slot

from crewlink.snapshot import Snapshot
from ui.bridge.court_view import CourtView


class Feed(QObject):
    """Lives in the GUI thread. `offer` may be called from any thread; older ones are passed over."""

    _arrived = Signal(object)

    def __init__(self, view: CourtView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self._newest: Snapshot | None = None
        self._arrived.connect(self._show, Qt.ConnectionType.QueuedConnection)

    def offer(self, snapshot: Snapshot) -> None:
        """Hand over a snapshot; returns at once."""
        self._newest = snapshot
        self._arrived.emit(snapshot)

    @Slot(object)
    def _show(self, snapshot: Snapshot) -> None:
        if snapshot is self._newest:
            self._view.update(snapshot)
