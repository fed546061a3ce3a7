"""The way of a snapshot from the link thread to the faces: one queued signal, the newest one wins."""

from __future__ import annotations

from typing import Generic, Protocol, TypeVar

from PySide6.QtCore import QObject, Qt, Signal, Slot

Picture = TypeVar("Picture")
Taken = TypeVar("Taken", contravariant=True)


class Shows(Protocol[Taken]):
    """A view that can be handed a new picture: a court, or the board."""

    def update(self, picture: Taken, /) -> None:
        """Show `picture`."""


class Feed(QObject, Generic[Picture]):
    """Lives in the GUI thread. `offer` may be called from any thread; older ones are passed over."""

    _arrived = Signal(object)

    def __init__(self, view: Shows[Picture], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self._newest: Picture | None = None
        self._arrived.connect(self._show, Qt.ConnectionType.QueuedConnection)

    def offer(self, snapshot: Picture) -> None:
        """Hand over a snapshot; returns at once."""
        self._newest = snapshot
        self._arrived.emit(snapshot)

    @Slot(object)
    def _show(self, snapshot: Picture) -> None:
        if snapshot is self._newest:
            self._view.update(snapshot)
