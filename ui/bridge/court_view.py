"""The court as QML sees it: one view object built from snapshots, the root of all data on a face.

`update` hands a snapshot down; a part below stays quiet unless what it shows has changed. `beat` lets time
pass (four times a second). Left and right are this face's own: a stand-side face sees the half-turn.
"""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtQml import QmlElement

from crewlink.snapshot import NextPoint, RefusalView, Snapshot
from ui.bridge.act_look import ActLook
from ui.bridge.desk import Desk
from ui.bridge.duties_look import DutiesLook
from ui.bridge.end_look import EndLook
from ui.bridge.exchange_look import ExchangeLook
from ui.bridge.glance_look import GlanceLook, expected_text
from ui.bridge.lines import HistoryRow, LinkRow, history_row, link_row, saved_text
from ui.bridge.moment_looks import OLDER, ClockLook, ProposalLook, ReadyLook, RefusalLook
from ui.bridge.notice_look import NoticeLook, NoticeModel
from ui.bridge.plates import PlatesLook
from ui.bridge.reading import clock_text, or_nobody, short_trouble
from ui.bridge.roles import HistoryRole, LinkRole
from ui.bridge.rows import RowModel
from ui.bridge.sheet_look import SheetLook
from ui.bridge.submit import Ask, Door, Submit
from ui.bridge.team_look import TeamLook
from ui.bridge.tell import Tell
from ui.bridge.write import Write
from ui.bridge.writer_look import WriterLook

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1

BEAT_SECONDS = 0.25
SWAP_SECONDS = 10.0


@QmlElement
class CourtView(QObject):
    """A court on one face."""

    changed = Signal()
    beaten = Signal()
    topChanged = Signal()
    ticked = Signal()
    aboutChanged = Signal()

    def __init__(
        self,
        snapshot: Snapshot,
        submit: Submit,
        *,
        stand_side: bool = False,
        ask: Ask | None = None,
        now: Callable[[], float] = monotonic,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._now = now
        self._stand_side = stand_side
        self._snapshot = snapshot
        door = Door(submit, self._refused)
        self._tell, self._write = Tell(door, self), Write(door, self)
        self._a, self._b = TeamLook(snapshot.a, self), TeamLook(snapshot.b, self)
        self._sheet_a, self._sheet_b = SheetLook("A", self), SheetLook("B", self)
        self._links: RowModel[LinkRow] = RowModel(LinkRole, lambda row: row.post, self)
        self._history: RowModel[HistoryRow] = RowModel(HistoryRole, lambda row: row.entry, self)
        self._notices = NoticeModel(self)
        self._none = NoticeLook(None, snapshot.taken, snapshot.taken, self)
        self._top = self._about = self._none
        self._glance = GlanceLook(self._none, self)
        self._plates = PlatesLook(self._none, self)
        self._act = ActLook(self)
        self._exchange_a, self._exchange_b = ExchangeLook(snapshot.a, self), ExchangeLook(snapshot.b, self)
        self._ready, self._clock = ReadyLook(self), ClockLook(self)
        self._proposal, self._suggestion = ProposalLook(self), ProposalLook(self)
        self._refusal = RefusalLook(self)
        self._writer = WriterLook(door, self)
        self._duties = DutiesLook(self)
        self._end = EndLook(self)
        self._desk = Desk(snapshot, door, ask, self._refusal, now, self)
        self._beat_texts = ("", False)
        self.update(snapshot)

    @Slot(object)
    def update(self, snapshot: Snapshot) -> None:
        """Show `snapshot`."""
        now, taken = self._now(), snapshot.taken
        same = snapshot == self._snapshot
        self._snapshot = snapshot
        self._a.update(snapshot.a)
        self._b.update(snapshot.b)
        self._exchange_a.update(snapshot.a)
        self._exchange_b.update(snapshot.b)
        for sheet in snapshot.sheets:
            (self._sheet_a if sheet.team == "A" else self._sheet_b).update(sheet)
        self._act.follow([line.entry for line in snapshot.history])
        self._history.show([history_row(line) for line in snapshot.history])
        self._notices.update(snapshot.notices, taken, now)
        self._duties.update(snapshot.duties)
        self._end.update(snapshot)
        self._ready.update(snapshot.ready, taken, now, snapshot.post)
        self._clock.update(snapshot.clock, taken, now)
        decisions = sorted(snapshot.proposals, key=lambda one: (one.kind == OLDER, not one.mine))
        self._proposal.update(next(iter(decisions), None))
        self._suggestion.update(snapshot.suggestion)
        self._refusal.update(snapshot.refusal, now)
        self._writer.update(snapshot, now)
        if not same:
            self.changed.emit()
        self._choose_top()
        looks = [row.notice for row in self._notices.rows]
        self._glance.update(snapshot, looks, self._team(True).team.letter, now)
        self._choose_about()
        self._desk.update(snapshot)
        self.beat()

    @Slot()
    def beat(self) -> None:
        """Let time pass: ages, clocks, the pulse."""
        now = self._now()
        elapsed = now - self._snapshot.taken
        writes = self._snapshot.writing.post
        self._links.show([link_row(link, elapsed, writes) for link in self._snapshot.links])
        self._writer.beat(now)
        self._notices.beat(now)
        self._ready.beat(now)
        self._clock.beat(now)
        self._refusal.beat(now)
        self._desk.beat()
        self._glance.beat(now, self._links.rows)
        self._act.beat(now)
        swap = self._snapshot.courts_changed
        texts = (
            clock_text(self._snapshot.phase_age + elapsed),
            swap is not None and swap + elapsed < SWAP_SECONDS,
        )
        if texts != self._beat_texts:
            self._beat_texts = texts
            self.beaten.emit()
        self.ticked.emit()

    def _refused(self, refusal: RefusalView) -> None:
        self._refusal.show(refusal, self._now())

    def _choose_top(self) -> None:
        looks = [row.notice for row in self._notices.rows]
        asked = (
            look
            for look in looks
            if look.notice.asked and look.notice.state == "open" and not look.notice.held
        )
        top = next(asked, self._none)
        if top is not self._top:
            self._top = top
            self.topChanged.emit()
        self._plates.update(looks, top)

    def _choose_about(self) -> None:
        looks = (row.notice for row in self._notices.rows)
        with_number = (one for one in looks if one.notice.number is not None and one.notice.team)
        about = next(
            (one for one in with_number if one.notice.state == "open" and not one.notice.held), self._none
        )
        if about is not self._about:
            self._about = about
            self.aboutChanged.emit()

    def _team(self, on_left: bool) -> TeamLook:
        table_left = self._a if self._snapshot.left == "A" else self._b
        table_right = self._b if self._snapshot.left == "A" else self._a
        return table_left if on_left != self._stand_side else table_right

    def _next(self, letter: str) -> NextPoint:
        found = (point for point in self._snapshot.next_points if point.team == letter)
        return next(found, NextPoint(letter, ""))

    @Property(Tell, constant=True)
    def tell(self) -> Tell:
        return self._tell

    @Property(Write, constant=True)
    def write(self) -> Write:
        return self._write

    @Property(str, notify=changed)
    def post(self) -> str:
        return self._snapshot.post

    @Property(str, notify=changed)
    def courtName(self) -> str:
        return self._snapshot.court

    @Property(str, notify=changed)
    def eventName(self) -> str:
        return self._snapshot.event

    @Property(str, notify=changed)
    def match(self) -> str:
        return self._snapshot.match

    @Property(str, notify=changed)
    def phase(self) -> str:
        return self._snapshot.phase

    @Property(bool, notify=changed)
    def inRally(self) -> bool:
        return self._snapshot.phase == "rally"

    @Property(str, notify=changed)
    def phaseWord(self) -> str:
        return self._snapshot.phase_word

    @Property(str, notify=beaten)
    def phaseAgeText(self) -> str:
        return self._beat_texts[0]

    @Property(int, notify=changed)
    def setNumber(self) -> int:
        return self._snapshot.set_number

    @Property(bool, notify=changed)
    def deciding(self) -> bool:
        return self._snapshot.deciding

    @Property(TeamLook, constant=True)
    def teamA(self) -> TeamLook:
        return self._a

    @Property(TeamLook, constant=True)
    def teamB(self) -> TeamLook:
        return self._b

    @Property(TeamLook, notify=changed)
    def leftTeam(self) -> TeamLook:
        """The team on this reader's left."""
        return self._team(True)

    @Property(TeamLook, notify=changed)
    def rightTeam(self) -> TeamLook:
        """The team on this reader's right."""
        return self._team(False)

    @Property(str, notify=changed)
    def setsText(self) -> str:
        """Sets as this reader sees them: "1:0", left first."""
        return f"{self._team(True).sets}:{self._team(False).sets}"

    @Property(str, notify=changed)
    def scoreText(self) -> str:
        """Points as this reader sees them, left first."""
        return f"{self._team(True).points}:{self._team(False).points}"

    @Property(str, notify=changed)
    def nextLeftScore(self) -> str:
        return self._next(str(self._team(True).letter)).score

    @Property(str, notify=changed)
    def nextLeftHint(self) -> str:
        return self._next(str(self._team(True).letter)).hint

    @Property(str, notify=changed)
    def nextRightScore(self) -> str:
        return self._next(str(self._team(False).letter)).score

    @Property(str, notify=changed)
    def nextRightHint(self) -> str:
        return self._next(str(self._team(False).letter)).hint

    @Property(str, notify=changed)
    def serverTeam(self) -> str:
        return self._snapshot.server_team

    @Property(int, notify=changed)
    def server(self) -> int:
        return or_nobody(self._snapshot.server)

    @Property(bool, notify=changed)
    def scoreHidden(self) -> bool:
        return self._snapshot.score_hidden

    @Property(str, notify=changed)
    def savedText(self) -> str:
        return saved_text(self._snapshot.saved, self._snapshot.storage)

    @Property(WriterLook, constant=True)
    def writer(self) -> WriterLook:
        """Who writes, the devices of this court, catching up."""
        return self._writer

    @Property(str, notify=changed)
    def storageText(self) -> str:
        """What keeps this device from saving: what, where, what to do; "" while all is well."""
        return self._snapshot.storage

    @Property(str, notify=changed)
    def storageShort(self) -> str:
        """The same for a small face: without the place, and only what is wrong if all is too long."""
        return short_trouble(self._snapshot.storage)

    @Property(str, notify=changed)
    def networkText(self) -> str:
        """What keeps this device from finding the others; "" while all is well."""
        return self._snapshot.network

    @Property(str, notify=changed)
    def undoText(self) -> str:
        return self._snapshot.undo

    @Property(bool, notify=changed)
    def namesErasable(self) -> bool:
        """The match is over and this post may have its names erased."""
        return self._snapshot.names_erasable

    @Property(str, notify=changed)
    def result(self) -> str:
        return self._snapshot.result

    @Property(list, notify=changed)
    def findings(self) -> list[str]:
        return list(self._snapshot.findings)

    @Property(int, notify=changed)
    def waitingRequests(self) -> int:
        return self._snapshot.waiting_requests

    @Property(bool, notify=beaten)
    def courtsChanged(self) -> bool:
        """The teams changed courts less than 10 s ago: show the swap mark."""
        return self._beat_texts[1]

    @Property(NoticeLook, notify=topChanged)
    def top(self) -> NoticeLook:
        """The most urgent notice this post must answer now; blank (`present` false) if there is none."""
        return self._top

    @Property(NoticeLook, notify=aboutChanged)
    def aboutNotice(self) -> NoticeLook:
        """The open notice that is about a player: the court shows the number. Blank if there is none."""
        return self._about

    @Property(list, notify=changed)
    def setScores(self) -> list[str]:
        """The finished sets as this reader sees them, "22:25"."""
        left, right = self._team(True).team.set_points, self._team(False).team.set_points
        return [f"{one}:{other}" for one, other in zip(left, right, strict=False)]

    @Property(str, notify=changed)
    def lastSetText(self) -> str:
        """Who won the last finished set: "Set 1 to B, 22:25", A before B; "" in the first one."""
        sets = list(zip(self._snapshot.a.set_points, self._snapshot.b.set_points, strict=False))
        if not sets:
            return ""
        a, b = sets[-1]
        return f"Set {len(sets)} to {'A' if a > b else 'B'}, {a}:{b}"

    @Property(int, notify=changed)
    def asked(self) -> int:
        """How many notices this post must answer now."""
        return sum(1 for one in self._snapshot.notices if one.state == "open" and one.asked and not one.held)

    @Property(int, notify=changed)
    def heldNotices(self) -> int:
        """How many notices wait for the dead ball."""
        return sum(1 for one in self._snapshot.notices if one.state == "open" and one.held)

    @Property(PlatesLook, constant=True)
    def plates(self) -> PlatesLook:
        """Picks out of the notices for a face with one plate."""
        return self._plates

    @Property(ActLook, constant=True)
    def act(self) -> ActLook:
        """What was done here last and can still be undone."""
        return self._act

    @Property(ExchangeLook, constant=True)
    def exchangeA(self) -> ExchangeLook:
        return self._exchange_a

    @Property(ExchangeLook, constant=True)
    def exchangeB(self) -> ExchangeLook:
        return self._exchange_b

    @Property(str, notify=changed)
    def linksText(self) -> str:
        """How many of the other posts are in reach: "3 of 3"."""
        others = [one for one in self._snapshot.links if one.state not in ("here", "unfilled")]
        return f"{sum(1 for one in others if one.state == 'linked')} of {len(others)}"

    @Property(QObject, constant=True)
    def notices(self) -> NoticeModel:
        return self._notices

    @Property(QObject, constant=True)
    def links(self) -> RowModel[LinkRow]:
        return self._links

    @Property(QObject, constant=True)
    def history(self) -> RowModel[HistoryRow]:
        return self._history

    @Property(ReadyLook, constant=True)
    def ready(self) -> ReadyLook:
        return self._ready

    @Property(DutiesLook, constant=True)
    def duties(self) -> DutiesLook:
        """The duties of the moment, this post's and those it waits for."""
        return self._duties

    @Property(EndLook, constant=True)
    def end(self) -> EndLook:
        """What the check of the finished record found, and who has signed."""
        return self._end

    @Property(str, notify=changed)
    def lostText(self) -> str:
        """Why this device has no job any more, "" while it has one."""
        return self._snapshot.lost

    @Property(str, notify=changed)
    def floodText(self) -> str:
        """Many notices came: how many NOTEs are left out; "" when none are."""
        if not self._snapshot.flood:
            return ""
        left_out = self._snapshot.folded
        notes = "1 note" if left_out == 1 else f"{left_out} notes"
        return f"many notices, {notes} left out" if left_out else "many notices"

    @Property(str, notify=changed)
    def expectedText(self) -> str:
        """Who is not here yet and still works elsewhere: "R1 comes from court 3"."""
        return expected_text(self._snapshot.expected)

    @Property(ClockLook, constant=True)
    def clock(self) -> ClockLook:
        return self._clock

    @Property(ProposalLook, constant=True)
    def proposal(self) -> ProposalLook:
        """A decision this post is asked about, else the first one that waits; changes of old lines last."""
        return self._proposal

    @Property(ProposalLook, constant=True)
    def suggestion(self) -> ProposalLook:
        """What the program suggests to this post alone (set point for R2)."""
        return self._suggestion

    @Property(GlanceLook, constant=True)
    def glance(self) -> GlanceLook:
        """What a wrist shows at a glance."""
        return self._glance

    @Property(RefusalLook, constant=True)
    def refusal(self) -> RefusalLook:
        return self._refusal

    @Property(Desk, constant=True)
    def desk(self) -> Desk:
        """The scorer's keys: number line, key strip, and what they show."""
        return self._desk

    @Property(SheetLook, constant=True)
    def sheetA(self) -> SheetLook:
        return self._sheet_a

    @Property(SheetLook, constant=True)
    def sheetB(self) -> SheetLook:
        return self._sheet_b
