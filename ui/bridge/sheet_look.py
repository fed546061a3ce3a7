"""A line-up sheet as QML sees it: six boxes, libero boxes, captain, signature, and what is wrong."""

from __future__ import annotations

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from crewlink.snapshot import Defect, SheetView
from ui.bridge.reading import or_nobody
from ui.bridge.roles import DefectRole
from ui.bridge.rows import RowModel

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


@QmlElement
class SheetLook(QObject):
    """A team's sheet. `numbers` by position 1 to 6, NOBODY where blank."""

    changed = Signal()

    def __init__(self, team: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._sheet = SheetView(team)
        self._defects: RowModel[Defect] = RowModel(DefectRole, lambda row: (row.box, row.text), self)

    def update(self, sheet: SheetView) -> None:
        """Show `sheet`."""
        if sheet == self._sheet:
            return
        self._sheet = sheet
        self._defects.show(sheet.defects)
        self.changed.emit()

    @Property(str, notify=changed)
    def team(self) -> str:
        return self._sheet.team

    @Property(str, notify=changed)
    def state(self) -> str:
        return self._sheet.state

    @Property(str, notify=changed)
    def numbersLine(self) -> str:
        """Numbers by position 1 to 6 with spaces between, "-" where blank."""
        return " ".join("-" if number is None else str(number) for number in self._sheet.numbers)

    @Property(str, notify=changed)
    def liberosText(self) -> str:
        return ", ".join(self._sheet.liberos) or "none"

    @Property(list, notify=changed)
    def numbers(self) -> list[int]:
        return [or_nobody(number) for number in self._sheet.numbers]

    @Property(list, notify=changed)
    def liberos(self) -> list[str]:
        return list(self._sheet.liberos)

    @Property(int, notify=changed)
    def captain(self) -> int:
        return or_nobody(self._sheet.captain)

    @Property(bool, notify=changed)
    def signed(self) -> bool:
        return self._sheet.signed

    @Property(QObject, constant=True)
    def defects(self) -> RowModel[Defect]:
        return self._defects
