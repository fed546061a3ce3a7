"""What the event decides about a court that is being opened, as QML sees it.

The usual stands until it is touched.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.crew.posts import Post
from crewlink.opening import CourtPlan, PlanDefect
from ui.bridge.rows import RowModel
from ui.bridge.setup_code import job_phrase, job_word
from ui.bridge.setup_roles import Fault, FaultRole

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

PLACES = ("responsible", "retention_days", "medical_post")
"""Where a defect of the event may be."""

KEPT_DAYS = (0, 1, 3, 7, 14, 30, 60, 90, 180, 365)
MEDICAL = (Post.SITE, Post.R1, Post.R2, Post.SCORER)


@QmlElement
class EventForm(QObject):
    """The choices of the event. Flags are 0 where all is well, else the number of the line that says why."""

    changed = Signal()

    def __init__(self, edited: Callable[[], None] | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._edited = edited
        self._worn, self._names = True, True
        self._kept, self._medical = 0, 0
        self._responsible = ""
        self._flags: dict[str, int] = {}
        self._faults: RowModel[Fault] = RowModel(FaultRole, lambda row: row.flag, self)

    def decide(self, plan: CourtPlan) -> CourtPlan:
        """A plan with what was chosen here."""
        return replace(
            plan,
            worn=self._worn,
            names=self._names,
            retention_days=KEPT_DAYS[self._kept],
            medical_post=str(MEDICAL[self._medical]),
            responsible=self._responsible,
        )

    def show(self, defects: tuple[PlanDefect, ...]) -> None:
        """Flag these defects."""
        self._flags = {defect.place: place + 1 for place, defect in enumerate(defects)}
        self._faults.show([Fault(place + 1, defect.sentence) for place, defect in enumerate(defects)])
        self.changed.emit()

    @Slot()
    def turnWorn(self) -> None:
        """Worn devices allowed, or not."""
        self._worn = not self._worn
        self._tell()

    @Slot()
    def turnNames(self) -> None:
        """Teams by name, or by letter alone."""
        self._names = not self._names
        self._tell()

    @Slot(int)
    def stepDays(self, by: int) -> None:
        """Keep names and reports longer, or less long."""
        self._kept = max(0, min(self._kept + by, len(KEPT_DAYS) - 1))
        self._tell()

    @Slot(int)
    def nextMedical(self, by: int) -> None:
        """Go to the next job that may close a head injury."""
        self._medical = (self._medical + by) % len(MEDICAL)
        self._tell()

    @Slot(str)
    def putResponsible(self, text: str) -> None:
        """Who answers for names and reports."""
        self._responsible = text
        self._tell()

    def _tell(self) -> None:
        if self._edited is not None:
            self._edited()

    def _differences(self) -> list[str]:
        """What is not as usual, in words."""
        days, medical = KEPT_DAYS[self._kept], job_word(MEDICAL[self._medical])
        differs = (
            (not self._worn, "table only"),
            (not self._names, "no team names"),
            (days > 0, f"kept {_days(days)}"),
            (self._medical > 0, f"head injury: {medical}"),
            (self._responsible.strip() != "", "a named person"),
        )
        return [words for differ, words in differs if differ]

    @Property(str, notify=changed)
    def summary(self) -> str:
        """What is not as usual, in one line."""
        found = self._differences()
        more = f" + {len(found) - 2} more" if len(found) > 2 else ""
        text = ", ".join(found[:2]) + more
        return text[:1].upper() + text[1:] if found else "All as usual"

    @Property(bool, notify=changed)
    def worn(self) -> bool:
        return self._worn

    @Property(bool, notify=changed)
    def names(self) -> bool:
        return self._names

    @Property(str, notify=changed)
    def keptText(self) -> str:
        days = KEPT_DAYS[self._kept]
        return f"for {_days(days)}" if days else "until someone erases them"

    @Property(str, notify=changed)
    def keptNote(self) -> str:
        if KEPT_DAYS[self._kept]:
            return "Then every device erases them by itself. The score stays."
        return "The table or the supervisor erases the names after the match."

    @Property(str, notify=changed)
    def medicalText(self) -> str:
        word = job_word(MEDICAL[self._medical])
        return word[0].upper() + word[1:]

    @Property(str, notify=changed)
    def medicalNote(self) -> str:
        return f"Only {job_phrase(MEDICAL[self._medical])} can say that it is dealt with."

    @Property(str, notify=changed)
    def responsible(self) -> str:
        return self._responsible

    @Property(int, notify=changed)
    def responsibleFlag(self) -> int:
        return self._flags.get("responsible", 0)

    @Property(QObject, constant=True)
    def faults(self) -> RowModel[Fault]:
        return self._faults


def _days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"
