"""Notices as QML sees them: what the plate says, whether its frame is lit, who has it.

The pulse of a NOW is decided here by the clock: 2 Hz, half on, for 5 s from the moment this face first had it
and again at each repeat; answering stops it at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Property, QObject, Signal
from PySide6.QtQml import QmlElement

from crewlink.snapshot import NoticeView, ReceiptView
from ui.bridge.reading import clock_text, or_nobody, seconds_text
from ui.bridge.roles import NoticeRole, ReceiptRole
from ui.bridge.rows import RowModel

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

PULSE_SECONDS = 5.0
HALF_PULSE = 0.25
_BLANK = NoticeView("", "", "", "", "", "", "", 0.0)
_LEVEL_WORDS = {"now": "NOW", "soon": "SOON", "note": "NOTE"}
_POST_WORDS = {
    "R1": "R1",
    "R2": "R2",
    "scorer": "the table",
    "assistant": "the assistant",
    "site": "the supervisor",
}


@dataclass(frozen=True, slots=True)
class ReceiptRow:
    """One post beside a plate: its word and what it did ("3 s", "raised", "by sign, entered by R2").

    `shown_at`, `done_at`: seconds after the raise when its plate was on an awake face, when it answered; -1
    if not.
    """

    post: str
    word: str
    reached: str
    told: str
    brief: str
    shown_at: float
    done_at: float


def receipt_row(receipt: ReceiptView, waits: Sequence[str] = ()) -> ReceiptRow:
    """The words for one receipt; `waits`: words of the posts that put it off to the next dead ball."""
    told = brief = ""
    match receipt.state:
        case "raised" if receipt.by:
            told, brief = f"by sign, entered by {receipt.by}", f"by sign, {receipt.by}"
        case "raised":
            told = brief = "raised"
        case "answered":
            told = brief = seconds_text(receipt.seconds)
        case "relayed":
            told = f"by sign, entered by {receipt.by}" if receipt.by else "by sign"
            brief = f"by sign, {receipt.by}" if receipt.by else "by sign"
        case "shown":
            told = "shown"
        case "unconfirmed":
            told = "not confirmed"
        case "unfilled":
            told = "nobody"
    if receipt.word in waits and receipt.state not in ("answered", "relayed"):
        told, brief = "at the next dead ball", "later"
    done = receipt.seconds if receipt.state in ("answered", "relayed") else None
    shown_at, done_at = (-1.0 if at is None else at for at in (receipt.shown, done))
    return ReceiptRow(receipt.post, receipt.word, receipt.state, told, brief, shown_at, done_at)


def spoken(notice: NoticeView) -> str:
    """What a screen reader says: level, title, detail, from whom, who has answered, who is not confirmed."""
    parts = [_LEVEL_WORDS.get(notice.level, ""), notice.title, notice.detail.rstrip(".")]
    sign = f" by sign, entered by {notice.entered_by}" if notice.entered_by else ""
    raiser = _POST_WORDS.get(notice.raised_by, notice.raised_by)
    parts.append(f"From {raiser}{sign}" if raiser else "")
    answered = [row.word for row in notice.receipts if row.state in ("answered", "relayed")]
    missing = [row.word for row in notice.receipts if row.state == "unconfirmed"]
    parts.append(f"Answered by {', '.join(answered)}" if answered else "")
    parts.append(f"Not confirmed: {', '.join(missing)}" if missing else "")
    parts.append(notice.state.capitalize() if notice.state not in ("open", "") else "")
    return ". ".join(part for part in parts if part) + "."


@QmlElement
class NoticeLook(QObject):
    """One notice. `present` is false for the blank that stands where no notice is."""

    changed = Signal()
    beaten = Signal()

    def __init__(self, notice: NoticeView | None, taken: float, now: float, parent: QObject) -> None:
        super().__init__(parent)
        self._notice = notice or _BLANK
        self._taken = taken
        self._now = now
        self._pulse_from = now
        self._receipts: RowModel[ReceiptRow] = RowModel(ReceiptRole, lambda row: row.post, self)
        self._receipts.show([receipt_row(row, self._notice.waits) for row in self._notice.receipts])
        self._shown = self._moment()

    @property
    def notice(self) -> NoticeView:
        """The notice as the last snapshot had it."""
        return self._notice

    def update(self, notice: NoticeView, taken: float, now: float) -> None:
        """Show `notice` as of `taken`; a repeat starts the pulse again."""
        if notice.repeated > self._notice.repeated:
            self._pulse_from = now
        same = notice == self._notice
        self._notice, self._taken = notice, taken
        self._receipts.show([receipt_row(row, notice.waits) for row in notice.receipts])
        if not same:
            self.changed.emit()
            self.beaten.emit()
        self.beat(now)

    def beat(self, now: float) -> None:
        """Let time pass to `now`; quiet when no text and no frame changes."""
        self._now = now
        moment = self._moment()
        if moment != self._shown:
            self._shown = moment
            self.beaten.emit()

    def _moment(self) -> tuple[str, bool, bool]:
        age = clock_text(self._notice.age + self._now - self._taken)
        asked = self._notice.level == "now" and self._notice.state == "open" and self._notice.asked
        since = self._now - self._pulse_from
        pulsing = asked and since < PULSE_SECONDS
        return age, pulsing, pulsing and int(since / HALF_PULSE) % 2 == 0

    @Property(bool, constant=True)
    def present(self) -> bool:
        return bool(self._notice.id)

    @Property(str, notify=changed)
    def noticeId(self) -> str:
        return self._notice.id

    @Property(str, notify=changed)
    def kind(self) -> str:
        return self._notice.kind

    @Property(str, notify=changed)
    def level(self) -> str:
        return self._notice.level

    @Property(str, notify=changed)
    def levelWord(self) -> str:
        return _LEVEL_WORDS.get(self._notice.level, "")

    @Property(str, notify=changed)
    def title(self) -> str:
        return self._notice.title

    @Property(str, notify=changed)
    def detail(self) -> str:
        return self._notice.detail

    @Property(str, notify=changed)
    def state(self) -> str:
        return self._notice.state

    @Property(str, notify=changed)
    def raisedBy(self) -> str:
        return self._notice.raised_by

    @Property(str, notify=changed)
    def fromText(self) -> str:
        if self._notice.mine:
            return "raised here"
        word = _POST_WORDS.get(self._notice.raised_by, self._notice.raised_by)
        sign = ", by sign" if self._notice.entered_by else ""
        return f"from {word}{sign}" if word else ""

    @Property(str, notify=changed)
    def team(self) -> str:
        return self._notice.team

    @Property(int, notify=changed)
    def number(self) -> int:
        return or_nobody(self._notice.number)

    @Property(int, notify=changed)
    def due(self) -> int:
        return or_nobody(self._notice.due)

    @Property(bool, notify=changed)
    def asked(self) -> bool:
        return self._notice.asked

    @Property(bool, notify=changed)
    def mine(self) -> bool:
        return self._notice.mine

    @Property(bool, notify=changed)
    def held(self) -> bool:
        return self._notice.held

    @Property(bool, notify=changed)
    def quiet(self) -> bool:
        return self._notice.quiet

    @Property(bool, notify=changed)
    def neutral(self) -> bool:
        return self._notice.neutral

    @Property(int, notify=changed)
    def count(self) -> int:
        return self._notice.count

    @Property(str, notify=changed)
    def countText(self) -> str:
        return f"x{self._notice.count}" if self._notice.count > 1 else ""

    @Property(str, notify=beaten)
    def lateText(self) -> str:
        """How long ago a plate that came late was sent: "sent 14 s ago"; "" if it came in time."""
        age = self._notice.age + self._now - self._taken
        return f"sent {seconds_text(age)} ago" if self._notice.late >= 1 else ""

    @Property(str, notify=changed)
    def reason(self) -> str:
        return self._notice.reason

    @Property(str, notify=changed)
    def told(self) -> str:
        return self._notice.told

    @Property(bool, notify=changed)
    def putsOff(self) -> bool:
        """This post may put it off to the next dead ball."""
        return self._notice.puts_off

    @Property(bool, notify=changed)
    def ending(self) -> bool:
        """It can be said here how it ended, by this post or as R1 signals."""
        notice = self._notice
        return bool(notice.outcomes) and notice.state in ("open", "answered") and not notice.asked

    @Property(bool, notify=changed)
    def closes(self) -> bool:
        """This post itself says how it ended; else R1 does, by a sign that is entered here."""
        return self._notice.closes

    @Property(list, notify=changed)
    def outcomes(self) -> list[str]:
        """The usual words for how it ended."""
        return list(self._notice.outcomes)

    @Property(str, notify=changed)
    def words(self) -> str:
        """Free words that came with it."""
        return self._notice.text

    @Property(bool, notify=changed)
    def erasable(self) -> bool:
        """This post may erase these words."""
        return self._notice.erasable

    @Property(str, notify=changed)
    def toldAct(self) -> str:
        """What to do about the silence: "use the whistle", "send a person, phone"; "" if nothing is told."""
        return self._notice.told.rpartition(": ")[2]

    @Property(str, notify=changed)
    def endText(self) -> str:
        """How it ended: "closed in 0:21", "taken back", "over, not answered"; "" while it runs."""
        match self._notice.state:
            case "closed":
                lasted = self._notice.lasted
                return "closed" if lasted is None else f"closed in {clock_text(lasted)}"
            case "withdrawn":
                return "taken back"
            case "lapsed":
                return "over, not answered"
        return ""

    @Property(bool, notify=changed)
    def live(self) -> bool:
        """Open: the plate has its hue."""
        return self._notice.state == "open"

    @Property(str, notify=changed)
    def spoken(self) -> str:
        return spoken(self._notice)

    @Property(bool, notify=changed)
    def missesR1(self) -> bool:
        """It is open, R1 must answer it and has not, by own act or by sign."""
        states = [one.state for one in self._notice.receipts if one.post == "R1"]
        silent = ("sent", "received", "shown", "unconfirmed")
        return self._notice.state == "open" and any(state in silent for state in states)

    @Property(bool, notify=changed)
    def tracked(self) -> bool:
        """Somebody else must answer it: it has receipts."""
        return bool(self._notice.receipts)

    @Property(QObject, constant=True)
    def receipts(self) -> RowModel[ReceiptRow]:
        return self._receipts

    @Property(str, notify=beaten)
    def ageText(self) -> str:
        return self._shown[0]

    @Property(bool, notify=beaten)
    def pulsing(self) -> bool:
        return self._shown[1]

    @Property(bool, notify=beaten)
    def lit(self) -> bool:
        """The pulse is in its ink half."""
        return self._shown[2]


@dataclass(frozen=True, slots=True)
class NoticeRow:
    """A row of the notice list: the id and the view object that lives as long as the row."""

    notice_id: str
    notice: NoticeLook


class NoticeModel(RowModel[NoticeRow]):
    """The open notices in the order of the snapshot (most urgent first); each keeps its view object."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(NoticeRole, lambda row: row.notice_id, parent)

    def update(self, notices: Sequence[NoticeView], taken: float, now: float) -> None:
        """Show `notices`; view objects of notices that are gone are deleted after the faces let go."""
        known = {row.notice_id: row.notice for row in self.rows}
        rows = []
        for notice in notices:
            look = known.pop(notice.id, None)
            if look is None:
                look = NoticeLook(notice, taken, now, self)
            else:
                look.update(notice, taken, now)
            rows.append(NoticeRow(notice.id, look))
        self.show(rows)
        for gone in known.values():
            gone.deleteLater()

    def beat(self, now: float) -> None:
        """Let time pass for every notice."""
        for row in self.rows:
            row.notice.beat(now)
