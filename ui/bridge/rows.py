"""List models for faces: rows matched by key, so an update touches only the rows that changed."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Generic, TypeVar

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from ui.bridge.reading import NOBODY

Row = TypeVar("Row")
Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class Remove:
    """Take out the row at `at`."""

    at: int


@dataclass(frozen=True, slots=True)
class Insert:
    """Put new row `source` (place in the new list) in at `at`."""

    at: int
    source: int


@dataclass(frozen=True, slots=True)
class Move:
    """Move the row at `start` up to `at`."""

    start: int
    at: int


def edits(old: Sequence[Hashable], new: Sequence[Hashable]) -> Iterator[Remove | Insert | Move]:
    """Steps that turn the keys `old` into `new`, in order. Keys are unique in each list."""
    keys = list(old)
    kept = set(new)
    for place in range(len(keys) - 1, -1, -1):
        if keys[place] not in kept:
            del keys[place]
            yield Remove(place)
    for place, key in enumerate(new):
        if place < len(keys) and keys[place] == key:
            continue
        if key in keys:
            start = keys.index(key)
            keys.insert(place, keys.pop(start))
            yield Move(start, place)
        else:
            keys.insert(place, key)
            yield Insert(place, place)


def field_of(role: str) -> str:
    """The Python name of a role: "standsFor" gives "stands_for"."""
    return re.sub(r"([A-Z])", r"_\1", role).lower()


class RowModel(QAbstractListModel, Generic[Row]):
    """Rows (frozen dataclasses or structs) shown by the roles of an IntEnum; a role is a field's name.

    `key` gives a row's identity. A value of None reads as NOBODY, a tuple as a list.
    """

    def __init__(self, roles: type[IntEnum], key: Callable[[Row], Hashable], parent: QObject) -> None:
        super().__init__(parent)
        self._key = key
        self._names = {int(role): role.name.encode() for role in roles}
        self._fields = {int(role): field_of(role.name) for role in roles}
        self._rows: list[Row] = []

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows as they stand."""
        return tuple(self._rows)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Number of rows; a row has no children."""
        return 0 if parent.isValid() else len(self._rows)

    def roleNames(self) -> dict[int, bytes]:  # type: ignore[override]
        """Names of the roles in QML."""
        return self._names

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """The value of one role of one row."""
        field = self._fields.get(role)
        if field is None or not 0 <= index.row() < len(self._rows):
            return None
        value = getattr(self._rows[index.row()], field)
        if isinstance(value, tuple):
            return list(value)
        return NOBODY if value is None else value

    def show(self, rows: Sequence[Row]) -> None:
        """Turn the model into `rows`: move, insert, remove and change only what differs. Of rows with one key
        the first is shown.
        """
        if list(rows) == self._rows:
            return
        first: dict[Hashable, Row] = {}
        for row in rows:
            first.setdefault(self._key(row), row)
        rows = list(first.values())
        for edit in list(edits([self._key(row) for row in self._rows], [self._key(row) for row in rows])):
            self._apply(edit, rows)
        for place, row in enumerate(rows):
            if self._rows[place] != row:
                self._rows[place] = row
                self.dataChanged.emit(self.index(place), self.index(place))

    def _apply(self, edit: Remove | Insert | Move, rows: Sequence[Row]) -> None:
        nowhere = QModelIndex()
        match edit:
            case Remove(at):
                self.beginRemoveRows(nowhere, at, at)
                del self._rows[at]
                self.endRemoveRows()
            case Insert(at, source):
                self.beginInsertRows(nowhere, at, at)
                self._rows.insert(at, rows[source])
                self.endInsertRows()
            case Move(start, at):
                self.beginMoveRows(nowhere, start, start, nowhere, at)
                self._rows.insert(at, self._rows.pop(start))
                self.endMoveRows()
