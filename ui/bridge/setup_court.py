"""The court as it is being written: names, rules, format, and the job of the one who opens it."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.opening import CourtPlan, PlanDefect, profile_title, usual_format
from crewlink.rules.format import Format, FormatOptions
from crewlink.rules.loading import SHIPPED
from ui.bridge.rows import RowModel
from ui.bridge.setup_roles import Fault, FaultRole

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

LENGTHS: tuple[tuple[str, FormatOptions], ...] = (
    ("Best of 5", FormatOptions(best_of=5)),
    ("Best of 3", FormatOptions(best_of=3)),
    ("One set", FormatOptions(best_of=1)),
    ("2 sets, both played", FormatOptions(all_sets=2)),
    ("3 sets, all played", FormatOptions(all_sets=3)),
)
MOST_POINTS = 40


@QmlElement
class CourtForm(QObject):
    """The boxes of the court. Flags are 0 where all is well, else the number of the line that says why."""

    changed = Signal()

    def __init__(self, edited: Callable[[], None] | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._edited = edited
        self._court = ""
        self._event = ""
        self._post = "scorer"
        self._flags: dict[str, int] = {}
        self._faults: RowModel[Fault] = RowModel(FaultRole, lambda row: row.flag, self)
        self._profile = SHIPPED[0]
        self._format: Format = usual_format(self._profile)
        self._length = _usual_length(self._format)

    @property
    def plan(self) -> CourtPlan:
        """What was written, without the teams."""
        made, usual = self._format, usual_format(self._profile)
        length = LENGTHS[self._length][1]
        options = replace(
            length,
            points=_changed(made.points, usual.points),
            deciding_points=_changed(made.deciding_points, usual.deciding_points),
            cap=_changed(made.cap or 0, usual.cap or 0),
            deciding_cap=_changed(_last_cap(made) or 0, usual.deciding_cap or 0) if self._has_last else None,
            court_change_at=_changed(made.court_change_at or 0, usual.court_change_at or 0),
        )
        return CourtPlan(self._court, self._event, self._post, self._profile, options)

    @property
    def post(self) -> str:
        """The job of the one at this device."""
        return self._post

    def choose_post(self, post: str) -> None:
        """Take a job."""
        self._post = post
        self._tell()

    def show(self, defects: tuple[PlanDefect, ...]) -> None:
        """Flag these defects."""
        self._flags = {defect.place: place + 1 for place, defect in enumerate(defects)}
        self._faults.show([Fault(place + 1, defect.sentence) for place, defect in enumerate(defects)])
        self.changed.emit()

    @Slot(str, str)
    def put(self, box: str, text: str) -> None:
        """Text stands in the box "court" or "event"."""
        if box == "court":
            self._court = text
        else:
            self._event = text
        self._tell()

    @Slot(int)
    def nextProfile(self, by: int) -> None:
        """Go to the next rule profile; the format becomes its own."""
        self._take_profile(SHIPPED[(SHIPPED.index(self._profile) + by) % len(SHIPPED)])
        self._tell()

    @Slot(int)
    def nextLength(self, by: int) -> None:
        """Go to the next length of the match."""
        self._length = (self._length + by) % len(LENGTHS)
        self._tell()

    @Slot(str, int)
    def step(self, value: str, by: int) -> None:
        """One more or one less: "points", "last", "cap" or "change"."""
        made = self._format
        if value == "points":
            points = _within(made.points + by, 1, MOST_POINTS)
            cap = made.cap and made.cap + points - made.points
            self._format = replace(made, points=points, cap=cap)
        elif value == "last":
            self._format = replace(made, deciding_points=_within(made.deciding_points + by, 1, MOST_POINTS))
        elif value == "cap":
            self._format = replace(made, cap=_cap(made, by))
        else:
            change = (made.court_change_at or 0) + by
            self._format = replace(made, court_change_at=_within(change, 0, MOST_POINTS) or None)
        self._tell()

    def _take_profile(self, profile: str) -> None:
        self._profile = profile
        self._format = usual_format(profile)
        self._length = _usual_length(self._format)

    @property
    def _has_last(self) -> bool:
        """Whether the last set is played as a deciding one."""
        best_of = LENGTHS[self._length][1].best_of
        return best_of is not None and best_of > 1

    def _tell(self) -> None:
        if self._edited is not None:
            self._edited()

    @Property(str, notify=changed)
    def court(self) -> str:
        return self._court

    @Property(str, notify=changed)
    def eventName(self) -> str:
        return self._event

    @Property(str, notify=changed)
    def profileTitle(self) -> str:
        return str(profile_title(self._profile))

    @Property(str, notify=changed)
    def lengthText(self) -> str:
        return LENGTHS[self._length][0]

    @Property(str, notify=changed)
    def pointsText(self) -> str:
        return str(self._format.points)

    @Property(str, notify=changed)
    def lastText(self) -> str:
        return str(self._format.deciding_points)

    @Property(str, notify=changed)
    def capText(self) -> str:
        made = self._format
        if not made.cap:
            return "none"
        return f"{made.cap}, last {_last_cap(made)}" if self._has_last else str(made.cap)

    @Property(str, notify=changed)
    def changeText(self) -> str:
        change = self._format.court_change_at
        return str(change) if change else "none"

    @Property(bool, notify=changed)
    def hasLast(self) -> bool:
        return self._has_last

    @Property(int, notify=changed)
    def courtFlag(self) -> int:
        return self._flags.get("court", 0)

    @Property(int, notify=changed)
    def eventFlag(self) -> int:
        return self._flags.get("event", 0)

    @Property(int, notify=changed)
    def formatFlag(self) -> int:
        return self._flags.get("format", 0)

    @Property(QObject, constant=True)
    def faults(self) -> RowModel[Fault]:
        return self._faults


def _usual_length(made: Format) -> int:
    """The place in LENGTHS of what a rule book plays."""
    return next(place for place, (_, one) in enumerate(LENGTHS) if one.best_of == made.max_sets)


def _changed(value: int, usual: int) -> int | None:
    return None if value == usual else value


def _within(value: int, least: int, most: int) -> int:
    return max(least, min(most, value))


def _last_cap(made: Format) -> int | None:
    """The cap of the last set lies as far above its points as that of the others."""
    return None if made.cap is None else made.deciding_points + made.cap - made.points


def _cap(made: Format, by: int) -> int | None:
    """From none to two above the points, one by one, and back to none below them."""
    if made.cap is None:
        return made.points + 2 if by > 0 else None
    cap = made.cap + by
    return None if cap < made.points else min(cap, MOST_POINTS + 10)
