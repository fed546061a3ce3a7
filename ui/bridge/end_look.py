"""The end of a match as QML sees it: what the check found, who has signed, whose turn it is."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from crewlink.snapshot import SignView, Snapshot

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

_TURN = ("due", "again")


def turn(signing: Sequence[SignView]) -> SignView | None:
    """The signature that comes next, None when all are given."""
    return next((one for one in signing if one.state in _TURN), None)


def signed_text(signing: Sequence[SignView]) -> str:
    """Who has signed: "Signed: Table, Captain A, R1 (by sign, Table)"; "" while nobody has."""
    given = [f"{one.word}{_by(one)}" for one in signing if one.state == "signed"]
    return f"Signed: {', '.join(given)}" if given else ""


def _by(one: SignView) -> str:
    """Who entered it: a mark of a captain stands at the table anyway."""
    return f" (by sign, {one.by})" if one.by and not one.signer.startswith(("captain", "coach")) else ""


@QmlElement
class EndLook(QObject):
    """`next`: who signs next; `can`: this post can enter it; `own`: it is its own; `wait`: why nobody can."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._signing: tuple[SignView, ...] = ()
        self._wait = ""
        self._findings: tuple[str, ...] = ()

    def update(self, snapshot: Snapshot) -> None:
        """Show the end of `snapshot`; quiet when nothing differs."""
        found = tuple(one.sentence for one in snapshot.audit)
        now = (snapshot.signing, snapshot.sign_wait, found)
        if now != (self._signing, self._wait, self._findings):
            self._signing, self._wait, self._findings = now
            self.changed.emit()

    @Property(str, notify=changed)
    def next(self) -> str:
        one = turn(self._signing)
        return "" if one is None else one.word

    @Property(bool, notify=changed)
    def can(self) -> bool:
        one = turn(self._signing)
        return one is not None and one.can

    @Property(bool, notify=changed)
    def own(self) -> bool:
        one = turn(self._signing)
        return one is not None and one.can and one.own

    @Property(bool, notify=changed)
    def bySign(self) -> bool:
        """What this post can enter is the sign of another post, which takes a second tap."""
        one = turn(self._signing)
        return one is not None and one.can and not one.own and one.signer in ("R1", "R2", "scorer")

    @Property(str, notify=changed)
    def wait(self) -> str:
        return self._wait

    @Property(str, notify=changed)
    def signedText(self) -> str:
        return signed_text(self._signing)

    @Property(list, notify=changed)
    def findings(self) -> list[str]:
        """What the check of the score sheet found, in sentences."""
        return list(self._findings)
