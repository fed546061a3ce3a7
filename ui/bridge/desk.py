"""The scorer's desk as QML sees it: the number line, the key strip and what they make of the face.

All rules of the keys are in `ui.line`; this keeps the line between two keys, asks the station what the
rules say, and sends what a key leads to.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Property, QObject, Qt, Signal, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtQml import QmlElement

from crewlink.match.commands import Command as MatchCommand
from crewlink.snapshot import Snapshot
from ui.bridge.desk_panel import DeskPanel
from ui.bridge.keyboard import key_of
from ui.bridge.line_look import LineLook
from ui.bridge.moment_looks import RefusalLook
from ui.bridge.submit import Ask, Door
from ui.line.keys import Key
from ui.line.regions import rows
from ui.line.result import Result, leave
from ui.line.state import Done, Line, Region
from ui.line.step import press, release
from ui.line.world import Verdict, World

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


@QmlElement
class Desk(QObject):
    """The table's keys. `themeAsked`: go to the other theme."""

    changed = Signal()
    themeAsked = Signal()
    judged = Signal(object, object)

    def __init__(
        self,
        snapshot: Snapshot,
        door: Door,
        ask: Ask | None,
        refusal: RefusalLook,
        now: Callable[[], float],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._door, self._ask, self._refusal, self._now = door, ask, refusal, now
        self._snapshot = snapshot
        self._state = Line()
        self._top, self._top_since = "", snapshot.taken - 1.0
        self._verdicts: dict[MatchCommand, Verdict | None] = {}
        self._look, self._panel = LineLook(self), DeskPanel(self)
        self.judged.connect(self._take_verdict, Qt.ConnectionType.AutoConnection)
        refusal.changed.connect(self._show)

    def update(self, snapshot: Snapshot) -> None:
        """The court moved."""
        old, self._snapshot = self._snapshot, snapshot
        if (snapshot.history, snapshot.phase, snapshot.a, snapshot.b) != (
            old.history,
            old.phase,
            old.a,
            old.b,
        ):
            self._verdicts.clear()
        self._note_written(old)
        top = self._world().top
        if (top.id if top else "") != self._top:
            self._top, self._top_since = top.id if top else "", self._now()
        self._show()

    def beat(self) -> None:
        """Time passed."""
        self._show()

    def _note_written(self, old: Snapshot) -> None:
        """A new line at the top of the history: it can be undone for a while."""
        line = next(iter(self._snapshot.history), None)
        before = next(iter(old.history), None)
        if line is None or (before is not None and before.entry == line.entry) or not self._snapshot.undo:
            return
        words = f"{line.lane} scored" if line.lane and line.text == f"Point {line.lane}" else line.text
        score = "" if line.score in words else line.score
        done = Done(line.entry, words, score, line.lane, self._now())
        self._state = replace(self._state, done=done)

    def _world(self) -> World:
        return World(self._snapshot, self._now(), self._judge, self._top_since)

    def _judge(self, command: MatchCommand) -> Verdict | None:
        if command not in self._verdicts and self._ask is not None:
            self._verdicts[command] = None
            self._ask(command, lambda verdict: self.judged.emit(command, verdict))
        return self._verdicts.get(command)

    @Slot(object, object)
    def _take_verdict(self, command: MatchCommand, verdict: Verdict) -> None:
        if command in self._verdicts:
            self._verdicts[command] = verdict
            self._show()

    def _show(self) -> None:
        world = self._world()
        sentence = str(self._refusal.sentence)
        self._look.update(self._state, world, sentence)
        self._panel.update(self._state, world)

    def _take(self, result: Result) -> None:
        self._state = result.line if result.then is None else result.then
        if result.refusal:
            self._door.refuse(result.refusal)
        if result.command is not None and not self._door.send(result.command):
            self._state = result.line
        if result.theme:
            self.themeAsked.emit()
        self._show()
        self.changed.emit()

    def _key(self, key: Key, *, up: bool = False) -> None:
        if not up:
            self._refusal.clear()
        self._take((release if up else press)(self._state, self._world(), key))

    @Slot(int, int, bool, result=bool)
    def press(self, key: int, scan: int, again: bool) -> bool:
        """A key went down; `again` is auto-repeat. True if it is one of the line's keys."""
        found = key_of(key, scan, QGuiApplication.platformName())
        if found is not None and not again:
            self._key(found)
        return found is not None

    @Slot(int, int, bool, result=bool)
    def lift(self, key: int, scan: int, again: bool) -> bool:
        """A key came up."""
        found = key_of(key, scan, QGuiApplication.platformName())
        if found is not None and not again:
            self._key(found, up=True)
        return found is not None

    @Slot(str)
    def tap(self, name: str) -> None:
        """A key of the strip, or an arrow of the line, was clicked."""
        self._key(Key(name))
        self._key(Key(name), up=True)

    @Slot(str, int)
    def pick(self, region: str, row: int) -> None:
        """A row of a region was clicked: the focus goes there."""
        world = self._world()
        chosen = replace(leave(self._state), region=Region(region), row=row)
        if row < rows(chosen, world):
            self._state = chosen
            if chosen.region is Region.CREW:
                self._key(Key.ENTER)
        self._show()

    @Slot()
    def showCrew(self) -> None:
        """The rail was clicked: who writes, and the devices of this court; again: away."""
        shown = self._state.region is Region.CREW
        self._state = replace(leave(self._state), region=Region.LINE if shown else Region.CREW, row=0)
        self._show()

    @Property(LineLook, constant=True)
    def line(self) -> LineLook:
        return self._look

    @Property(DeskPanel, constant=True)
    def panel(self) -> DeskPanel:
        return self._panel
