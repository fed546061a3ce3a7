"""The duties of the moment as QML sees them: the position checks, captains' hands, what is still to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from crewlink.crew.signed import SIGNED
from crewlink.snapshot import DutyView
from ui.bridge.roles import DutyRole
from ui.bridge.rows import RowModel

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

CHECKS = ("positions", "positions_again")
HAND = "captain_hand"
_REMINDED = ("liberos_in", "first_ball")
"""Duties that a face reminds of; nobody has to press anything for them."""
_TO_DO = ("open", "late", "wrong")
_CHECK_WORDS = {"done": "checked", "wrong": "differs"}


@dataclass(frozen=True, slots=True)
class DutyRow:
    """A duty: its code and team, whose it is, how it stands ("open", "done", "late", "wrong"), in words."""

    key: str
    code: str
    team: str
    who: str
    stage: str
    words: str


def check_words(duty: DutyView) -> str:
    """How a post's check of the positions stands: "checked", "not checked yet", "team A: 4 and 3 swapped"."""
    if duty.state == "wrong" and duty.fault:
        return f"team {duty.team}: {duty.fault}" if duty.team else duty.fault
    return _CHECK_WORDS.get(duty.state, "not checked yet")


def _row(duty: DutyView, words: str) -> DutyRow:
    return DutyRow(f"{duty.code}/{duty.word}/{duty.team}", duty.code, duty.team, duty.word, duty.state, words)


@QmlElement
class DutiesLook(QObject):
    """`checks`: the two checks of the positions; `hands`: captains' hands that this post ticks."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._duties: tuple[DutyView, ...] = ()
        self._checks: RowModel[DutyRow] = RowModel(DutyRole, lambda row: row.who, self)
        self._hands: RowModel[DutyRow] = RowModel(DutyRole, lambda row: row.key, self)

    def update(self, duties: Sequence[DutyView]) -> None:
        """Show `duties`; quiet when nothing differs."""
        if tuple(duties) == self._duties:
            return
        self._duties = tuple(duties)
        checks = [_row(one, check_words(one)) for one in duties if one.code in CHECKS]
        self._checks.show(sorted(checks, key=lambda row: row.who != "Table"))
        hands = (one for one in duties if one.code == HAND and one.mine and one.state != "not_needed")
        self._hands.show([_row(one, one.text) for one in hands])
        self.changed.emit()

    def _todo(self) -> list[DutyView]:
        passed = (*CHECKS, HAND, *_REMINDED, SIGNED)
        mine = [one for one in self._duties if one.mine and one.state in _TO_DO and one.code not in passed]
        return sorted(mine, key=lambda one: one.state != "late")

    @Property(QObject, constant=True)
    def checks(self) -> RowModel[DutyRow]:
        return self._checks

    @Property(QObject, constant=True)
    def hands(self) -> RowModel[DutyRow]:
        return self._hands

    @Property(bool, notify=changed)
    def checked(self) -> bool:
        """This post has ticked the positions of both teams as right."""
        return any(one.mine and one.code in CHECKS and one.state == "done" for one in self._duties)

    @Property(str, notify=changed)
    def checkDue(self) -> str:
        """The code of the position check that this post has still to make, "" if none is due."""
        due = (one.code for one in self._duties if one.mine and one.code in CHECKS and one.state in _TO_DO)
        return next(due, "")

    @Property(str, notify=changed)
    def checksText(self) -> str:
        """Who has checked the positions and who has not: "Table not checked yet, R2 checked"."""
        return ", ".join(f"{row.who} {row.words}" for row in self._checks.rows)

    @Property(str, notify=changed)
    def faultText(self) -> str:
        """Who found what on court: "R2: team A: 4 and 3 swapped"; "" if nobody found a difference."""
        wrong = (row for row in self._checks.rows if row.stage == "wrong")
        return ". ".join(f"{row.who}: {row.words}" for row in wrong)

    @Property(str, notify=changed)
    def reminder(self) -> str:
        """What comes right after the check and needs no press."""
        due = (one.text for one in self._duties if one.mine and one.code in _REMINDED and one.state in _TO_DO)
        return ". ".join(due)

    @Property(int, notify=changed)
    def count(self) -> int:
        """How many duties this post has still to tick."""
        return len(self._todo())

    @Property(str, notify=changed)
    def code(self) -> str:
        """The duty to do next, late ones first; "" if nothing is left."""
        return next((one.code for one in self._todo()), "")

    @Property(str, notify=changed)
    def team(self) -> str:
        return next((one.team for one in self._todo()), "")

    @Property(str, notify=changed)
    def words(self) -> str:
        """The duty to do next, in words."""
        return next((f"{one.text} {one.team}".strip() for one in self._todo()), "")

    @Property(bool, notify=changed)
    def late(self) -> bool:
        """The duty to do next is late."""
        return any(one.state == "late" for one in self._todo())

    @Property(str, notify=changed)
    def lateText(self) -> str:
        """Whose duties are late: "late: R1, Table"; "" if none is."""
        late = dict.fromkeys(one.word for one in self._duties if one.state == "late")
        return f"late: {', '.join(late)}" if late else ""
