"""The number line and the key strip as QML sees them: what `ui.line` says, property by property."""

from __future__ import annotations

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from ui.bridge.roles import SlotRole
from ui.bridge.rows import RowModel
from ui.line.shown import LineShown, SlotShown
from ui.line.state import Line
from ui.line.strip import USUAL, strip_shown
from ui.line.words import line_shown
from ui.line.world import World

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


@QmlElement
class LineLook(QObject):
    """The line: idle with two arrows (`verb` is ""), or a verb with boxes, or a statement."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._line, self._strip = LineShown(), USUAL
        self._slots: RowModel[SlotShown] = RowModel(SlotRole, lambda row: row.key, self)

    def update(self, line: Line, world: World, refusal: str) -> None:
        """Show the line as it stands; quiet when nothing differs."""
        shown, strip = line_shown(line, world, refusal), strip_shown(line, world)
        if (shown, strip) == (self._line, self._strip):
            return
        self._line, self._strip = shown, strip
        self._slots.show(shown.slots)
        self.changed.emit()

    @Property(str, notify=changed)
    def verb(self) -> str:
        return self._line.verb

    @Property(str, notify=changed)
    def mark(self) -> str:
        """Name of a mark before the verb: "cross", "hold", "wait", "answered", "unlinked" or ""."""
        return self._line.mark

    @Property(str, notify=changed)
    def lane(self) -> str:
        return self._line.lane

    @Property(str, notify=changed)
    def value(self) -> str:
        return self._line.value

    @Property(str, notify=changed)
    def hint(self) -> str:
        return self._line.hint

    @Property(str, notify=changed)
    def message(self) -> str:
        return self._line.message

    @Property(str, notify=changed)
    def said(self) -> str:
        """What the rules say: "yes", "no" or "" where nothing is known."""
        return self._line.said

    @Property(str, notify=changed)
    def prompt(self) -> str:
        return self._line.prompt

    @Property(str, notify=changed)
    def pressing(self) -> str:
        """The arrow that is down and will act when it comes up."""
        return self._line.pressing

    @Property(bool, notify=changed)
    def guarded(self) -> bool:
        """A point must be pressed twice: R1 decides first."""
        return self._line.guarded

    @Property(int, notify=changed)
    def undoLeft(self) -> int:
        """Seconds the undo strip still stands, -1 without one."""
        return self._line.left

    @Property(str, notify=changed)
    def leftWord(self) -> str:
        return self._line.at_left.word

    @Property(str, notify=changed)
    def leftValue(self) -> str:
        return self._line.at_left.value

    @Property(str, notify=changed)
    def leftHint(self) -> str:
        return self._line.at_left.hint

    @Property(str, notify=changed)
    def rightWord(self) -> str:
        return self._line.at_right.word

    @Property(str, notify=changed)
    def rightValue(self) -> str:
        return self._line.at_right.value

    @Property(str, notify=changed)
    def rightHint(self) -> str:
        return self._line.at_right.hint

    @Property(QObject, constant=True)
    def slots(self) -> RowModel[SlotShown]:
        return self._slots

    @Property(list, notify=changed)
    def keyWords(self) -> list[str]:
        """The words of the seven keys, in their places."""
        return [key.word for key in self._strip.keys]

    @Property(list, notify=changed)
    def keyHints(self) -> list[str]:
        return [key.hint for key in self._strip.keys]

    @Property(list, notify=changed)
    def keysLit(self) -> list[bool]:
        return [key.lit for key in self._strip.keys]

    @Property(list, notify=changed)
    def keysIdle(self) -> list[bool]:
        return [key.idle for key in self._strip.keys]

    @Property(str, notify=changed)
    def spoken(self) -> str:
        """The line for a screen reader."""
        shown = self._line
        if not shown.verb:
            ends = [("Left", shown.at_left), ("Right", shown.at_right)]
            arrows = [f"{side}: {end.word} {end.value} {end.hint}".strip() for side, end in ends if end.word]
            return ". ".join([*arrows, shown.prompt]) + "."
        boxes = [f"{slot.label} {slot.value or 'empty'}" for slot in shown.slots]
        verdict = {"yes": "legal", "no": "not legal"}.get(shown.said, "")
        parts = [f"{shown.verb} {shown.value}".strip(), *boxes, verdict, shown.hint, shown.message]
        return ". ".join(part for part in parts if part) + "."
