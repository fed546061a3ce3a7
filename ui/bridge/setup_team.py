"""A team as it is being written: what stands in its boxes, what was read from them, what is wrong."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Property, QObject, QUrl, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.opening import PlanDefect, TeamPlan, suggested_short
from crewlink.shirts import SHIRTS
from crewlink.team_list import number_text, read_list, read_numbers
from ui.bridge.rows import RowModel
from ui.bridge.setup_roles import Chip, ChipRole, Fault, FaultRole

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

MOST_FILE_BYTES = 64 * 1024
MOST_LINES = 3
"""So many faults are told at once; the rest when these are mended."""


@QmlElement
class TeamForm(QObject):
    """The boxes of one team. Flags are 0 where all is well, else the number of the line that says why."""

    changed = Signal()

    def __init__(
        self, letter: str = "A", edited: Callable[[], None] | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._letter = letter
        self._edited = edited
        self._texts = {"name": "", "short": "", "numbers": "", "liberos": "", "captain": ""}
        self._shirt = 0
        self._unreadable = ""
        self._flags: dict[str, int] = {}
        self._chips: RowModel[Chip] = RowModel(ChipRole, lambda row: row.number, self)
        self._faults: RowModel[Fault] = RowModel(FaultRole, lambda row: row.flag, self)

    @property
    def plan(self) -> TeamPlan:
        """What was read from the boxes."""
        read = read_list(self._texts["numbers"])
        liberos, strange = read_numbers(self._texts["liberos"])
        captains, odd = read_numbers(self._texts["captain"])
        unread = (*read.unread, *strange, *odd)
        return TeamPlan(
            name=self._texts["name"].strip(),
            short=self._texts["short"].strip(),
            colour=SHIRTS[self._shirt][1],
            numbers=read.numbers,
            liberos=liberos,
            captain=captains[0] if captains else None,
            unread=unread,
            doubled=read.doubled,
        )

    def show(self, defects: tuple[PlanDefect, ...]) -> None:
        """Flag these defects."""
        sentences = [self._unreadable] if self._unreadable else []
        told = defects[: MOST_LINES - len(sentences)]
        places = [defect.place.partition(".")[2] for defect in told]
        self._flags = {place: len(sentences) + places.index(place) + 1 for place in places}
        sentences += [defect.sentence for defect in told]
        self._faults.show([Fault(place + 1, text) for place, text in enumerate(sentences)])
        plan = self.plan
        self._chips.show(
            [Chip(number, number in plan.liberos, number == plan.captain) for number in plan.numbers]
        )
        self.changed.emit()

    @Slot(str, str)
    def put(self, box: str, text: str) -> None:
        """Text stands in a box. A list that names liberos or the captain fills their boxes as well."""
        self._unreadable = ""
        if box == "numbers":
            text = self._take_list(text)
        self._texts[box] = text
        self._tell()

    @Slot(QUrl)
    def load(self, url: QUrl) -> None:
        """Read a list from a file that was dropped here."""
        path = Path(url.toLocalFile())
        try:
            with path.open("rb") as file:
                text = file.read(MOST_FILE_BYTES).decode("utf-8-sig")
        except OSError as error:
            self._unreadable = f"{path.name} can't be read: {error.strerror}."
        except UnicodeDecodeError:
            self._unreadable = f"{path.name} is no text file. Save the list as CSV."
        else:
            self.put("numbers", text)
            return
        self._tell()

    @Slot()
    def nextShirt(self) -> None:
        """Go to the next shirt colour."""
        self._shirt = (self._shirt + 1) % len(SHIRTS)
        self._tell()

    def _take_list(self, text: str) -> str:
        read = read_list(text)
        if read.liberos:
            self._texts["liberos"] = number_text(read.liberos)
        if read.captains:
            self._texts["captain"] = number_text(read.captains)
        return number_text(read.numbers) if "\n" in text and not read.unread else text

    def _tell(self) -> None:
        if self._edited is not None:
            self._edited()

    @Property(str, constant=True)
    def letter(self) -> str:
        return self._letter

    @Property(str, notify=changed)
    def name(self) -> str:
        return self._texts["name"]

    @Property(str, notify=changed)
    def shortName(self) -> str:
        return self._texts["short"]

    @Property(str, notify=changed)
    def shortHint(self) -> str:
        """The short name that is taken if none is written."""
        return suggested_short(self._texts["name"])

    @Property(str, notify=changed)
    def numbers(self) -> str:
        return self._texts["numbers"]

    @Property(str, notify=changed)
    def liberos(self) -> str:
        return self._texts["liberos"]

    @Property(str, notify=changed)
    def captain(self) -> str:
        return self._texts["captain"]

    @Property(str, notify=changed)
    def shirt(self) -> str:
        return SHIRTS[self._shirt][1]

    @Property(str, notify=changed)
    def shirtWord(self) -> str:
        return SHIRTS[self._shirt][0]

    @Property(int, notify=changed)
    def nameFlag(self) -> int:
        return self._flags.get("name", 0)

    @Property(int, notify=changed)
    def shortFlag(self) -> int:
        return self._flags.get("short", 0)

    @Property(int, notify=changed)
    def numbersFlag(self) -> int:
        return self._flags.get("numbers", 0)

    @Property(int, notify=changed)
    def liberosFlag(self) -> int:
        return self._flags.get("liberos", 0)

    @Property(int, notify=changed)
    def captainFlag(self) -> int:
        return self._flags.get("captain", 0)

    @Property(str, notify=changed)
    def countText(self) -> str:
        """How many numbers were read."""
        count = self._chips.rowCount()
        return "1 player" if count == 1 else f"{count} players" if count else "no list: numbers go unchecked"

    @Property(QObject, constant=True)
    def chips(self) -> RowModel[Chip]:
        return self._chips

    @Property(QObject, constant=True)
    def faults(self) -> RowModel[Fault]:
        return self._faults
