"""Intent slots about people: raise, answer, withdraw, hold, tick, agree. Each sends one crew command."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot
from PySide6.QtQml import QmlElement

from crewlink.crew.commands import (
    AnswerNotice,
    CloseNotice,
    Consent,
    CrewCommand,
    EraseNames,
    EraseWords,
    Hold,
    HoldNotice,
    Raise,
    Ready,
    Release,
    Shown,
    Sign,
    TickDuty,
    WithdrawNotice,
)
from ui.bridge.reading import NOBODY
from ui.bridge.submit import Door

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


@QmlElement
class Tell(QObject):
    """What a face can tell the crew. A slot returns False if it was refused. No number: NOBODY (-1)."""

    def __init__(self, door: Door | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._door = door
        self._seen: set[str] = set()

    def _send(self, command: CrewCommand) -> bool:
        return self._door is not None and self._door.send(command)

    @Slot(str, str, int, str, result=bool)
    def notice(self, kind: str, team: str, number: int, detail: str) -> bool:
        """Raise a notice of `kind`."""
        about = None if number == NOBODY else number
        return self._send(Raise(kind, team, about, detail))

    @Slot(str, str, int, str, str, result=bool)
    def noticeFor(self, kind: str, team: str, number: int, detail: str, post: str) -> bool:
        """Raise a notice for `post`, whose sign was seen."""
        about = None if number == NOBODY else number
        return self._send(Raise(kind, team, about, detail, on_behalf=post))

    @Slot(str, str, result=bool)
    def join(self, kind: str, notice: str) -> bool:
        """Add this post to a similar open notice."""
        return self._send(Raise(kind, joins=notice))

    @Slot(str, result=bool)
    def shown(self, notice: str) -> bool:
        """The plate was on an awake face for 400 ms; said once a notice."""
        if notice in self._seen:
            return True
        self._seen.add(notice)
        return self._send(Shown(notice))

    @Slot(str, result=bool)
    def answer(self, notice: str) -> bool:
        """Got it."""
        return self._send(AnswerNotice(notice))

    @Slot(str, str, result=bool)
    def answerFor(self, notice: str, post: str) -> bool:
        """`post` gave a sign; entered here."""
        return self._send(AnswerNotice(notice, post))

    @Slot(str, str, result=bool)
    def close(self, notice: str, outcome: str) -> bool:
        """It is dealt with."""
        return self._send(CloseNotice(notice, outcome))

    @Slot(str, str, str, result=bool)
    def closeFor(self, notice: str, outcome: str, post: str) -> bool:
        """`post` signalled how it ended; entered here."""
        return self._send(CloseNotice(notice, outcome, post))

    @Slot(str, result=bool)
    def putOff(self, notice: str) -> bool:
        """Not now: it comes back at the next dead ball."""
        return self._send(HoldNotice(notice))

    @Slot(str, result=bool)
    def eraseWords(self, notice: str) -> bool:
        """Erase its free words on every device."""
        return self._send(EraseWords(notice))

    @Slot(result=bool)
    def eraseNames(self) -> bool:
        """Erase the names of the match on every device."""
        return self._send(EraseNames())

    @Slot(str, str, result=bool)
    def withdraw(self, notice: str, reason: str) -> bool:
        """Take a notice back."""
        return self._send(WithdrawNotice(notice, reason))

    @Slot(str, result=bool)
    def hold(self, reason: str) -> bool:
        """Hold the service."""
        return self._send(Hold(reason))

    @Slot(result=bool)
    def release(self) -> bool:
        """Let go of the own hold."""
        return self._send(Release())

    @Slot(str, result=bool)
    def releaseFor(self, post: str) -> bool:
        """R1 lets go of another post's hold."""
        return self._send(Release(post))

    @Slot(result=bool)
    def ready(self) -> bool:
        """This post is ready."""
        return self._send(Ready())

    @Slot(str, bool, result=bool)
    def consent(self, proposal: str, agree: bool) -> bool:
        """Agree to a suggested decision, or not."""
        return self._send(Consent(proposal, agree))

    @Slot(str, bool, str, result=bool)
    def consentFor(self, proposal: str, agree: bool, post: str) -> bool:
        """Enter what `post` decided by sign."""
        return self._send(Consent(proposal, agree, post))

    @Slot(result=bool)
    def sign(self) -> bool:
        """Sign the finished record: the signature whose turn it is."""
        return self._send(Sign())

    @Slot(str, str, str, result=bool)
    def tick(self, duty: str, team: str, fault: str) -> bool:
        """A duty of this post is done, or `fault` says what is wrong."""
        return self._send(TickDuty(duty, team, fault))
