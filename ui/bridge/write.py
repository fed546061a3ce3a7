"""Intent slots about the match: points, time-outs, substitutions, corrections. Each sends a command."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot
from PySide6.QtQml import QmlElement

from crewlink.match import commands as match
from crewlink.match.teams import Person, Role, Team
from crewlink.match.terms import Card, Conduct, DelayCause, RallyFault, ReplayCause, RequestKind, StopCause
from ui.bridge.reading import NOBODY
from ui.bridge.submit import Door

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


def _number(number: int) -> int | None:
    return None if number == NOBODY else number


@QmlElement
class Write(QObject):
    """What a face can ask to be written. A slot returns False if it was refused. No number: NOBODY (-1).

    Words for faults, causes and cards are the values of `crewlink.match.terms`.
    """

    def __init__(self, door: Door | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._door = door

    def _send(self, command: match.Command) -> bool:
        return self._door is not None and self._door.send(command)

    def _refuse(self, sentence: str) -> bool:
        return self._door is not None and self._door.refuse(sentence)

    @Slot(str, result=bool)
    def point(self, team: str) -> bool:
        """The rally went to `team`."""
        return self._send(match.Point(Team(team)))

    @Slot(str, str, int, result=bool)
    def calledPoint(self, team: str, fault: str, number: int) -> bool:
        """The rally went to `team` by a call against the other one's `number`."""
        return self._send(match.Point(Team(team), RallyFault(fault), _number(number)))

    @Slot(str, bool, int, result=bool)
    def positionFault(self, team: str, outside: bool, number: int) -> bool:
        """`team` stood wrongly at the service hit."""
        return self._send(match.PositionFault(Team(team), outside, _number(number)))

    @Slot(str, result=bool)
    def replay(self, cause: str) -> bool:
        """The rally is played again."""
        return self._send(match.Replay(ReplayCause(cause)))

    @Slot(str, result=bool)
    def timeOut(self, team: str) -> bool:
        """A team asks for a time-out."""
        return self._send(match.TimeOut(Team(team)))

    @Slot(result=bool)
    def endTimeOut(self) -> bool:
        """The time-out is over."""
        return self._send(match.EndTimeOut())

    @Slot(str, int, int, result=bool)
    def substitute(self, team: str, comesIn: int, goesOut: int) -> bool:
        """One substitution."""
        return self._send(match.Substitute(Team(team), (match.Pair(comesIn, goesOut),)))

    @Slot(str, int, int, result=bool)
    def substituteNext(self, team: str, comesIn: int, goesOut: int) -> bool:
        """One more pair of the request just made."""
        pair = match.Pair(comesIn, goesOut)
        return self._send(match.Substitute(Team(team), (pair,), same_request=True))

    @Slot(str, list, result=bool)
    def substitutePairs(self, team: str, numbers: list[int]) -> bool:
        """Several pairs of one request: in, out, in, out, ..."""
        if not numbers or len(numbers) % 2:
            return self._refuse("A substitution needs a number in and a number out.")
        pairs = tuple(match.Pair(*numbers[place : place + 2]) for place in range(0, len(numbers), 2))
        return self._send(match.Substitute(Team(team), pairs))

    @Slot(str, int, int, result=bool)
    def libero(self, team: str, comesIn: int, goesOut: int) -> bool:
        """A libero replacement."""
        return self._send(match.LiberoSwap(Team(team), comesIn, goesOut))

    @Slot(str, list, list, int, bool, result=bool)
    def lineUp(self, team: str, numbers: list[int], liberos: list[str], captain: int, signed: bool) -> bool:
        """A line-up sheet: numbers by position (NOBODY is blank), libero boxes ("20", "X", "" blank)."""
        if len(numbers) != 6:
            return self._refuse("A line-up has six positions.")
        one, two, three, four, five, six = (_number(int(number)) for number in numbers)
        boxes = tuple(int(box) if box.isdigit() else (box or None) for box in liberos)
        return self._send(
            match.LineUp(Team(team), (one, two, three, four, five, six), boxes, _number(captain), signed)
        )

    @Slot(str, str, result=bool)
    def toss(self, firstServer: str, left: str) -> bool:
        """Who serves first, who is on the table's left."""
        return self._send(match.Toss(Team(firstServer), Team(left)))

    @Slot(result=bool)
    def beginSet(self) -> bool:
        """Both teams' positions are checked."""
        return self._send(match.BeginSet())

    @Slot(result=bool)
    def changeCourts(self) -> bool:
        """The teams change courts."""
        return self._send(match.ChangeCourts())

    @Slot(str, int, bool, result=bool)
    def wrongServer(self, team: str, number: int, atHit: bool) -> bool:
        """`number` served and should not have: leads to a suggested decision."""
        return self._send(match.WrongServer(Team(team), number, at_hit=atHit))

    @Slot(str, str, int, str, result=bool)
    def sanction(self, team: str, role: str, number: int, card: str) -> bool:
        """R1 showed a card."""
        return self._send(match.Sanction(Team(team), Person(Role(role), _number(number)), Card(card)))

    @Slot(str, str, int, str, result=bool)
    def misconduct(self, team: str, role: str, number: int, conduct: str) -> bool:
        """Ask which card the scale gives."""
        return self._send(match.Misconduct(Team(team), Person(Role(role), _number(number)), Conduct(conduct)))

    @Slot(str, str, result=bool)
    def delay(self, team: str, cause: str) -> bool:
        """A team holds up the game."""
        return self._send(match.Delay(Team(team), DelayCause(cause)))

    @Slot(str, str, result=bool)
    def improperRequest(self, team: str, about: str) -> bool:
        """A request that was waved off."""
        return self._send(match.ImproperRequest(Team(team), RequestKind(about)))

    @Slot(str, str, int, result=bool)
    def stop(self, cause: str, team: str, number: int) -> bool:
        """Play stands still."""
        return self._send(match.Stop(StopCause(cause), Team(team) if team else None, _number(number)))

    @Slot(result=bool)
    def resume(self) -> bool:
        """Play goes on."""
        return self._send(match.Resume())

    @Slot(str, int, result=bool)
    def nameCaptain(self, team: str, number: int) -> bool:
        """Name the captain on court."""
        return self._send(match.NameCaptain(Team(team), number))

    @Slot(result=bool)
    def undo(self) -> bool:
        """Cross out the last line that counts, as a new entry."""
        return self._send(match.Undo())

    @Slot(str, str, result=bool)
    def strike(self, entry: str, reason: str) -> bool:
        """Cross out the line with this entry id (hex)."""
        return self._send(match.Strike(bytes.fromhex(entry), reason))
