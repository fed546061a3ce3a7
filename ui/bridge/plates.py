"""Which notices a face with one plate shows and acts on: the one on show, the own ones, what is held back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from ui.bridge.notice_look import NoticeLook

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

_HOLDS = ("hold_service", "hold", "stop_play")


class _Picks(NamedTuple):
    shown: NoticeLook
    own: NoticeLook
    hold: NoticeLook
    check: NoticeLook
    ending: NoticeLook
    held_text: str = ""
    waiting: int = 0


@QmlElement
class PlatesLook(QObject):
    """Picks out of the notices. A pick that is not there is the blank look (`present` false)."""

    changed = Signal()

    def __init__(self, blank: NoticeLook, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._blank = blank
        self._picks = _Picks(blank, blank, blank, blank, blank)

    def update(self, looks: Sequence[NoticeLook], top: NoticeLook) -> None:
        """Pick anew out of `looks` (most urgent first); `top` is what this post must answer first."""
        open_here = [look for look in looks if look.notice.state == "open" and not look.notice.held]
        others = [look for look in looks if look.notice.state in ("withdrawn", "answered")]
        shown = top if top.notice.id else next(iter((*open_here, *others)), self._blank)
        own = [look for look in looks if look.notice.mine and look.notice.state in ("open", "answered")]
        held = [look for look in looks if look.notice.held and look.notice.state == "open"]
        picks = _Picks(
            shown,
            min(own, key=lambda look: look.notice.age, default=self._blank),
            self._first(own, lambda kind: kind in _HOLDS),
            self._first(own, lambda kind: kind == "check_sheet"),
            next((look for look in looks if look.ending), self._blank),
            _words(held[0]) if held else "",
            len(open_here) - (1 if shown in open_here else 0),
        )
        if picks != self._picks:
            self._picks = picks
            self.changed.emit()

    def _first(self, looks: Sequence[NoticeLook], wanted: Callable[[str], bool]) -> NoticeLook:
        return next((look for look in looks if wanted(look.notice.kind)), self._blank)

    @Property(NoticeLook, notify=changed)
    def shown(self) -> NoticeLook:
        """What must be answered first, else what is open, else what has just ended."""
        return self._picks.shown

    @Property(NoticeLook, notify=changed)
    def own(self) -> NoticeLook:
        """The newest notice raised here that has not ended."""
        return self._picks.own

    @Property(NoticeLook, notify=changed)
    def hold(self) -> NoticeLook:
        """This post's own hold."""
        return self._picks.hold

    @Property(NoticeLook, notify=changed)
    def check(self) -> NoticeLook:
        """This post's own question about a sheet."""
        return self._picks.check

    @Property(NoticeLook, notify=changed)
    def ending(self) -> NoticeLook:
        """The first notice of which it can be said here how it ended."""
        return self._picks.ending

    @Property(str, notify=changed)
    def heldText(self) -> str:
        """What waits for the dead ball, in one line."""
        return self._picks.held_text

    @Property(int, notify=changed)
    def waiting(self) -> int:
        """How many more open notices there are besides the one on show."""
        return self._picks.waiting


def _words(look: NoticeLook) -> str:
    notice = look.notice
    return f"{notice.title}: {notice.detail}" if notice.detail else notice.title
