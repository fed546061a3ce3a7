"""One team as QML sees it: plain properties over a `TeamView`."""

from __future__ import annotations

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from crewlink.snapshot import LiberoView, Spot, TeamView
from ui.bridge.reading import count_text, numbers_text, or_nobody
from ui.bridge.roles import LiberoRole, SpotRole
from ui.bridge.rows import RowModel

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


@QmlElement
class TeamLook(QObject):
    """A team: letter, names, points, counts and who stands where."""

    changed = Signal()

    def __init__(self, team: TeamView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._team = team
        self._spots: RowModel[Spot] = RowModel(SpotRole, lambda row: row.position, self)
        self._liberos: RowModel[LiberoView] = RowModel(LiberoRole, lambda row: row.number, self)
        self._spots.show(team.spots)
        self._liberos.show(team.liberos)

    def update(self, team: TeamView) -> None:
        """Show `team`; quiet when nothing differs."""
        if team == self._team:
            return
        self._team = team
        self._spots.show(team.spots)
        self._liberos.show(team.liberos)
        self.changed.emit()

    @property
    def team(self) -> TeamView:
        """The team as the last snapshot had it."""
        return self._team

    @Property(str, notify=changed)
    def letter(self) -> str:
        return self._team.letter

    @Property(str, notify=changed)
    def name(self) -> str:
        return self._team.name

    @Property(str, notify=changed)
    def shortName(self) -> str:
        return self._team.short

    @Property(str, notify=changed)
    def colour(self) -> str:
        return self._team.colour

    @Property(int, notify=changed)
    def points(self) -> int:
        return self._team.points

    @Property(int, notify=changed)
    def sets(self) -> int:
        return self._team.sets

    @Property(bool, notify=changed)
    def serves(self) -> bool:
        return self._team.serves

    @Property(int, notify=changed)
    def server(self) -> int:
        return or_nobody(self._team.server)

    @Property(int, notify=changed)
    def nextServer(self) -> int:
        return or_nobody(self._team.next_server)

    @Property(int, notify=changed)
    def captain(self) -> int:
        return or_nobody(self._team.captain)

    @Property(int, notify=changed)
    def timeOuts(self) -> int:
        return self._team.time_outs

    @Property(int, notify=changed)
    def timeOutsAllowed(self) -> int:
        return self._team.time_outs_allowed

    @Property(str, notify=changed)
    def timeOutsText(self) -> str:
        return count_text(self._team.time_outs, self._team.time_outs_allowed)

    @Property(int, notify=changed)
    def substitutions(self) -> int:
        return self._team.substitutions

    @Property(int, notify=changed)
    def substitutionsAllowed(self) -> int:
        return self._team.substitutions_allowed

    @Property(str, notify=changed)
    def substitutionsText(self) -> str:
        return count_text(self._team.substitutions, self._team.substitutions_allowed)

    @Property(str, notify=changed)
    def benchText(self) -> str:
        return numbers_text(self._team.bench)

    @Property(str, notify=changed)
    def liberoText(self) -> str:
        on = [row for row in self._team.liberos if row.stands_for is not None]
        return ", ".join(f"{row.number} in for {row.stands_for}" for row in on) or "none on court"

    @Property(str, notify=changed)
    def liberoList(self) -> str:
        """The liberos' numbers, "" if there are none."""
        return " ".join(str(row.number) for row in self._team.liberos)

    @Property(str, notify=changed)
    def conductText(self) -> str:
        return ", ".join(self._team.conduct) or "none"

    @Property(str, notify=changed)
    def benchLine(self) -> str:
        """Numbers on the bench with spaces between, "" for none: split it for a row of pads."""
        return " ".join(map(str, self._team.bench))

    @Property(str, notify=changed)
    def playersLine(self) -> str:
        """Numbers of the whole team, liberos too, in order."""
        liberos = [row.number for row in self._team.liberos]
        return " ".join(map(str, sorted({*self._team.players, *liberos})))

    @Property(str, notify=changed)
    def fieldLine(self) -> str:
        """Numbers on court by position that may be substituted: no libero."""
        return " ".join(str(spot.number) for spot in self._team.spots if not spot.libero)

    @Property(list, notify=changed)
    def players(self) -> list[int]:
        return list(self._team.players)

    @Property(list, notify=changed)
    def bench(self) -> list[int]:
        return list(self._team.bench)

    @Property(list, notify=changed)
    def setPoints(self) -> list[int]:
        return list(self._team.set_points)

    @Property(QObject, constant=True)
    def spots(self) -> RowModel[Spot]:
        return self._spots

    @Property(QObject, constant=True)
    def liberos(self) -> RowModel[LiberoView]:
        return self._liberos
