"""A substitution as R2 puts it together: two numbers, legal or not and why, how many."""

from __future__ import annotations

from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.snapshot import ExchangeView, TeamView
from ui.bridge.reading import NOBODY

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


def ordinal(number: int) -> str:
    """1 gives "1st", 12 gives "12th"."""
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


@QmlElement
class ExchangeLook(QObject):
    """One team's request. `state`: "none", "half" (a number is missing), "legal" or "illegal" (see `why`)."""

    changed = Signal()

    def __init__(self, team: TeamView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._team = team
        self._in = self._out = NOBODY

    def update(self, team: TeamView) -> None:
        """Go on with the team as it is now; a request ends when nothing can be asked for any more."""
        if team != self._team:
            self._team = team
            if not team.exchanges:
                self._in = self._out = NOBODY
            self.changed.emit()

    @Slot(int)
    def comes(self, number: int) -> None:
        """`number` comes in; with one legal partner it is taken too."""
        self._in = number
        if self._out == NOBODY:
            self._out = self._only([one.goes_out for one in self._legal() if one.comes_in == number])
        self.changed.emit()

    @Slot(int)
    def goes(self, number: int) -> None:
        """`number` goes out; with one legal partner it is taken too."""
        self._out = number
        if self._in == NOBODY:
            self._in = self._only([one.comes_in for one in self._legal() if one.goes_out == number])
        self.changed.emit()

    @Slot()
    def clear(self) -> None:
        """No request."""
        self._in = self._out = NOBODY
        self.changed.emit()

    def _legal(self) -> list[ExchangeView]:
        return [one for one in self._team.exchanges if one.legal]

    @staticmethod
    def _only(numbers: list[int]) -> int:
        return numbers[0] if len(numbers) == 1 else NOBODY

    def _found(self) -> ExchangeView | None:
        wanted = (self._in, self._out)
        return next((one for one in self._team.exchanges if (one.comes_in, one.goes_out) == wanted), None)

    @Property(str, notify=changed)
    def state(self) -> str:
        if NOBODY in (self._in, self._out):
            return "none" if self._in == self._out else "half"
        found = self._found()
        return "legal" if found is not None and found.legal else "illegal"

    @Property(bool, notify=changed)
    def whole(self) -> bool:
        """Both numbers are there."""
        return NOBODY not in (self._in, self._out)

    @Property(bool, notify=changed)
    def legal(self) -> bool:
        found = self._found()
        return found is not None and found.legal

    @Property(int, notify=changed)
    def comesIn(self) -> int:
        return self._in

    @Property(int, notify=changed)
    def goesOut(self) -> int:
        return self._out

    @Property(bool, notify=changed)
    def again(self) -> bool:
        """One more pair of a request that has been made in this interruption."""
        return self._team.asked

    @Property(str, notify=changed)
    def why(self) -> str:
        """Why it is not legal."""
        found = self._found()
        if found is None:
            return "These two can't change places." if NOBODY not in (self._in, self._out) else ""
        return found.reason

    @Property(str, notify=changed)
    def countText(self) -> str:
        """Which one of the set it would be: "7th of 12"."""
        return f"{ordinal(self._team.substitutions + 1)} of {self._team.substitutions_allowed}"

    @Property(str, notify=changed)
    def leftText(self) -> str:
        """How many the team has after it."""
        left = self._team.substitutions_allowed - self._team.substitutions - 1
        return "the last one" if left == 0 else f"then {left} left"
