"""What stands under the court at the table, and where the focus is, as QML sees it."""

from __future__ import annotations

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from ui.bridge.roles import ActRole, CrewRole, FaultRole, SheetBoxRole
from ui.bridge.rows import RowModel
from ui.line.acts import NO_ACTS, ActShown, acts_shown
from ui.line.crew import CrewShown, crew_shown, focus_key, warned
from ui.line.panel import (
    ExchangeShown,
    Fault,
    Panel,
    SheetBox,
    exchange,
    meant,
    panel,
    sheet_boxes,
    sheet_faults,
    sheet_title,
    signalled,
)
from ui.line.state import Line, Region
from ui.line.world import World

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


@QmlElement
class DeskPanel(QObject):
    """`kind` names the panel; `region` and `row` the focus; `stack` the ids of the notices on show."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._kind, self._region, self._row = Panel.HISTORY, Region.LINE, 0
        self._stack: tuple[str, ...] = ()
        self._waiting = 0
        self._live = False
        self._focus = ""
        self._wrong = ""
        self._meant = ("", -1)
        self._way = ""
        self._exchange = ExchangeShown()
        self._titles = ("", "")
        self._team = ""
        self._target = ""
        self._warned = ""
        self._crew: RowModel[CrewShown] = RowModel(CrewRole, lambda row: row.key, self)
        self._acts, self._listed = NO_ACTS, RowModel[ActShown](ActRole, lambda row: row.key, self)
        self._boxes: RowModel[SheetBox] = RowModel(SheetBoxRole, lambda row: row.key, self)
        self._faults: RowModel[Fault] = RowModel(FaultRole, lambda row: row.flag, self)

    def update(self, line: Line, world: World) -> None:
        """Show the panel as it stands; quiet when nothing differs."""
        before = self._state()
        self._kind, self._region, self._row = panel(line, world), line.region, line.row
        wrong = world.wrong
        self._wrong = "" if wrong is None else wrong.id
        ids = [one.id for one in world.stack]
        chosen = line.row if line.region is Region.NOTICES else 0
        after = max(1, chosen - 1)
        self._stack = (*ids[:1], *ids[after : after + 2])
        self._waiting = len(ids)
        self._live = bool(world.stack) and world.stack[0].state == "open"
        self._focus = ids[chosen] if line.region is Region.NOTICES and chosen < len(ids) else ""
        self._meant = meant(line, world)
        self._way = signalled(line)
        self._exchange = exchange(line, world)
        self._target = line.form.target if line.form is not None else ""
        self._acts = acts_shown(line, world)
        self._listed.show(self._acts.rows)
        self._warned = warned(line, world)
        if self._kind is Panel.CREW:
            self._crew.show(crew_shown(world, focus_key(line, world)))
        self._sheet(line, world)
        if self._state() != before:
            self.changed.emit()

    def _sheet(self, line: Line, world: World) -> None:
        form = line.form
        if form is None or self._kind is not Panel.SHEET:
            self._team, self._titles = "", ("", "")
            return
        faults = sheet_faults(form, world)
        self._faults.show(faults)
        self._boxes.show(sheet_boxes(form, faults))
        self._team, self._titles = form.team, sheet_title(form, faults)

    def _state(self) -> tuple[object, ...]:
        focus = (self._kind, self._region, self._row, self._target)
        return (
            *focus,
            self._stack,
            self._waiting,
            self._live,
            self._focus,
            self._wrong,
            self._meant,
            self._way,
            self._exchange,
            self._acts,
            self._warned,
            self._team,
            self._titles,
        )

    @Property(str, notify=changed)
    def kind(self) -> str:
        return str(self._kind)

    @Property(str, notify=changed)
    def region(self) -> str:
        return str(self._region)

    @Property(int, notify=changed)
    def row(self) -> int:
        return self._row

    @Property(list, notify=changed)
    def stack(self) -> list[str]:
        return list(self._stack)

    @Property(int, notify=changed)
    def waiting(self) -> int:
        """How many notices there are."""
        return self._waiting

    @Property(bool, notify=changed)
    def firstLive(self) -> bool:
        """The first notice is open, so its plate is whole."""
        return self._live

    @Property(str, notify=changed)
    def focusId(self) -> str:
        """The notice with the focus, "" if none has."""
        return self._focus

    @Property(str, notify=changed)
    def wrongId(self) -> str:
        return self._wrong

    @Property(str, notify=changed)
    def wayId(self) -> str:
        """The way that is being entered as R1's sign."""
        return self._way

    @Property(str, notify=changed)
    def meantTeam(self) -> str:
        return self._meant[0]

    @Property(int, notify=changed)
    def meantNumber(self) -> int:
        return self._meant[1]

    @Property(str, notify=changed)
    def target(self) -> str:
        """The entry of the history that the open form is about."""
        return self._target

    @Property(str, notify=changed)
    def actsTitle(self) -> str:
        """What the list of acts is called, "" while none is open."""
        return self._acts.title

    @Property(QObject, constant=True)
    def acts(self) -> RowModel[ActShown]:
        return self._listed

    @Property(QObject, constant=True)
    def crew(self) -> RowModel[CrewShown]:
        """What can be done about who writes, then the devices of the court."""
        return self._crew

    @Property(str, notify=changed)
    def warned(self) -> str:
        """What the act that is chosen there leads to, "" if one press does it."""
        return self._warned

    @Property(str, notify=changed)
    def exchangeTitle(self) -> str:
        return self._exchange.title

    @Property(str, notify=changed)
    def comesIn(self) -> str:
        return self._exchange.comes_in

    @Property(str, notify=changed)
    def goesOut(self) -> str:
        return self._exchange.goes_out

    @Property(str, notify=changed)
    def said(self) -> str:
        return self._exchange.said

    @Property(list, notify=changed)
    def reasons(self) -> list[str]:
        return list(self._exchange.reasons)

    @Property(str, notify=changed)
    def sheetTeam(self) -> str:
        return self._team

    @Property(str, notify=changed)
    def sheetTitle(self) -> str:
        return self._titles[0]

    @Property(str, notify=changed)
    def sheetDetail(self) -> str:
        return self._titles[1]

    @Property(QObject, constant=True)
    def boxes(self) -> RowModel[SheetBox]:
        return self._boxes

    @Property(QObject, constant=True)
    def faults(self) -> RowModel[Fault]:
        return self._faults
