"""The roles of the board's lists."""

from __future__ import annotations

from enum import IntEnum

from PySide6.QtCore import Qt

_FIRST = int(Qt.ItemDataRole.UserRole)


class TileRole(IntEnum):
    """A court's tile (`TileRow`)."""

    court = _FIRST + 1
    phase = _FIRST + 2
    doing = _FIRST + 3
    nameA = _FIRST + 4
    nameB = _FIRST + 5
    pointsA = _FIRST + 6
    pointsB = _FIRST + 7
    linked = _FIRST + 8
    level = _FIRST + 9
    age = _FIRST + 10
    pulsing = _FIRST + 11
    lit = _FIRST + 12
    spoken = _FIRST + 13
    sets = _FIRST + 14
    pending = _FIRST + 15


class OpenRole(IntEnum):
    """An open notice (`OpenRow`)."""

    key = _FIRST + 1
    court = _FIRST + 2
    notice = _FIRST + 3
    title = _FIRST + 4
    second = _FIRST + 5
    level = _FIRST + 6
    age = _FIRST + 7
    pulsing = _FIRST + 8
    lit = _FIRST + 9
    spoken = _FIRST + 10
    pending = _FIRST + 11


class NextRole(IntEnum):
    """A match that comes next (`NextRow`)."""

    key = _FIRST + 1
    due = _FIRST + 2
    court = _FIRST + 3
    teams = _FIRST + 4
