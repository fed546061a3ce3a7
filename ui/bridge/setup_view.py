"""The set-up as QML sees it: the page that is open, what is written, what is heard, where the steps lead.

Opening a court goes court (and what the event decides), teams, job, who is here, toss. Joining one goes
courts nearby, job, code. Nothing leaves this device before its page says so.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from time import monotonic

from msgspec.structs import replace
from PySide6.QtCore import Property, QObject, Signal, Slot
from PySide6.QtGui import QFont, QFontMetricsF
from PySide6.QtQml import QmlElement

from crewlink.crew.posts import Post
from crewlink.home import Choices, Hand, KnownCourt
from crewlink.opening import CourtPlan, PlanDefect, court_defects, defects, names_of, team_defects
from protocol.address import Address, AddressError
from protocol.pairing_code import TICKET_PREFIX, CodeError, Ticket
from ui.bridge.reading import clock_text
from ui.bridge.rows import RowModel
from ui.bridge.setup_code import ShownCodeLook, TypedCodeLook, job_word
from ui.bridge.setup_court import CourtForm
from ui.bridge.setup_event import PLACES, EventForm
from ui.bridge.setup_guests import guest_rows
from ui.bridge.setup_port import CrewMember, Desk, HeardCourt, Joining, Network, NoDesk, SetupNews
from ui.bridge.setup_roles import (
    CrewRole,
    CrewRow,
    GuestRole,
    GuestRow,
    HeardRole,
    HeardRow,
    KnownRole,
    KnownRow,
)
from ui.bridge.setup_team import TeamForm

QML_IMPORT_NAME = "Crewlink.Views"
QML_IMPORT_MAJOR_VERSION = 1


class Page(StrEnum):
    """The pages of the set-up face."""

    HOME = "home"
    COURT = "court"
    EVENT = "event"
    TEAMS = "teams"
    JOB = "job"
    HERE = "here"
    TOSS = "toss"
    JOIN = "join"
    CODE = "code"


_NETWORK_WORDS = {
    Network.STARTING: "looking for a network",
    Network.HEARD: "on the gym network",
    Network.NONE: "no network",
}


@QmlElement
class SetupView(QObject):
    """The set-up on one device."""

    changed = Signal()
    pageChanged = Signal()
    addingAsked = Signal()

    def __init__(
        self,
        desk: Desk | None = None,
        *,
        now: Callable[[], float] = monotonic,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._desk: Desk = desk or NoDesk()
        self._now = now
        self._news = SetupNews()
        self._page = Page.HOME
        self._joins = False
        self._adding = False
        self._tried: set[Page] = set()
        self._chosen = ""
        self._typed_address = ""
        self._problem = ""
        self._pass = ""
        self._court, self._event = CourtForm(self._edited, self), EventForm(self._edited, self)
        self._a, self._b = TeamForm("A", self._edited, self), TeamForm("B", self._edited, self)
        self._shown, self._typed = (
            ShownCodeLook(self),
            TypedCodeLook(self._desk.code_fits, self._desk.offer, self),
        )
        self._heard: RowModel[HeardRow] = RowModel(HeardRole, lambda row: row.key, self)
        self._crew: RowModel[CrewRow] = RowModel(CrewRole, lambda row: row.post, self)
        self._guests: RowModel[GuestRow] = RowModel(GuestRole, lambda row: row.device, self)
        self._known: RowModel[KnownRow] = RowModel(KnownRole, lambda row: row.folder, self)
        self._edited()

    # -- told

    @Slot(object)
    def update(self, news: SetupNews) -> None:
        """Show the news."""
        before, self._news = self._news, news
        self._shown.update(news, self._now())
        self._typed.update(news)
        self._show_heard()
        self._known.show([_known_row(one) for one in news.known])
        self._crew.show([_crew_row(one) for one in news.crew])
        self._guests.show(guest_rows(news.guests, news.crew))
        if news.trouble != before.trouble:
            self._problem = news.trouble
        if news.opened and not before.opened:
            self._turn(Page.HERE)
        if news.joining is Joining.JOINED and before.joining is not Joining.JOINED:
            self._desk.go("")
        self.changed.emit()

    @Slot()
    def beat(self) -> None:
        """Let time pass."""
        self._shown.beat(self._now())

    # -- steps

    @Slot()
    def startOpening(self) -> None:
        """Open a court on this device."""
        self._joins = False
        self._turn(Page.COURT)

    @Slot()
    def startJoining(self) -> None:
        """Join a court."""
        self._joins = True
        self._desk.seek(True)
        self._turn(Page.JOIN)

    @Slot()
    def showEvent(self) -> None:
        """Show what the event decides."""
        self._turn(Page.EVENT)

    @Slot(str)
    def resume(self, folder: str) -> None:
        """Go back to a court this device knows."""
        self._desk.go(folder)

    @Slot()
    def next(self) -> None:
        """The next step, if what stands on this page allows it; else what is wrong is shown."""
        self._tried.add(self._page)
        self._edited()
        match self._page:
            case Page.COURT if not self._court_defects():
                self._turn(Page.TEAMS)
            case Page.EVENT if not self._event_defects():
                self._turn(Page.COURT)
            case Page.TEAMS if not self._team_defects("A") and not self._team_defects("B"):
                self._turn(Page.JOB)
            case Page.JOB:
                self._take_job()
            case Page.HERE:
                self._desk.show_code("")
                self._turn(Page.TOSS)
            case Page.TOSS:
                self._desk.go("")
            case Page.JOIN:
                self._take_court()

    @Slot()
    def back(self) -> None:
        """The step before. A court that runs is not closed by going back."""
        if self._page is Page.EVENT:
            self.next()  # what is wrong there has to be mended there
            return
        before = {
            Page.COURT: Page.HOME,
            Page.TEAMS: Page.COURT,
            Page.JOB: Page.JOIN if self._joins else Page.TEAMS,
            Page.TOSS: Page.HERE,
            Page.JOIN: Page.HOME,
            Page.CODE: Page.JOB,
        }.get(self._page)
        if before is None:
            return
        if self._page is Page.JOIN:
            self._desk.seek(False)
        if self._page is Page.CODE:
            self._desk.leave()
            self._typed.clear()
        self._turn(before)

    @Slot(str)
    def chooseJob(self, post: str) -> None:
        """Take a job."""
        if self._joins or post != Post.SITE:
            self._court.choose_post(post)

    @Slot(str)
    def chooseCourt(self, key: str) -> None:
        """Choose a court that is heard."""
        self._chosen = key
        self._typed_address = ""
        self._edited()

    @Slot(str)
    def putAddress(self, text: str) -> None:
        """An address is typed, or what a camera read from the square is pasted."""
        self._typed_address = text
        self._chosen = ""
        self._edited()

    @Slot(str)
    def showCode(self, post: str) -> None:
        """Show a code for a job."""
        self._desk.show_code(post)

    @Slot(bool)
    def admit(self, yes: bool) -> None:
        """Let the device that knocks in, or not."""
        self._desk.admit(yes)

    @Slot(str)
    def callGuest(self, device: str) -> None:
        """Invite a known device; one whose keys were replaced is taken out of the list."""
        row = next((one for one in self._guests.rows if one.device == device), None)
        if row is not None and row.post:
            self._desk.invite(device, row.post)
        elif row is not None:
            self._desk.take_out(device)

    @Slot(bool)
    def come(self, yes: bool) -> None:
        """Go to the court that invites this device, or not."""
        self._desk.come(yes)

    @Slot(str)
    def putPass(self, text: str) -> None:
        """The text of an event pass, or the path of its file, is typed or pasted."""
        self._pass = text
        self.changed.emit()

    @Slot()
    def usePass(self) -> None:
        """Let the supervisor of that pass in."""
        if self._pass.strip():
            self._desk.use_pass(self._pass)

    # -- beside a court that runs

    @Slot()
    def startAdding(self) -> None:
        """Bring one more device into the court that runs here."""
        self._adding = True
        self.addingAsked.emit()
        self.changed.emit()

    @Slot()
    def stopAdding(self) -> None:
        """Back to the court; a code on show is taken away."""
        if self._adding:
            self._adding = False
            self._desk.show_code("")
            self.changed.emit()

    # -- choices

    @Slot()
    def turnComes(self) -> None:
        """Come by itself when a known device invites, or ask."""
        self._desk.keep(replace(self._news.choices, comes=not self._news.choices.comes))

    @Slot()
    def turnHand(self) -> None:
        """Hold the tablet in the other hand."""
        other = Hand.LEFT if self._news.choices.hand is Hand.RIGHT else Hand.RIGHT
        self._desk.keep(replace(self._news.choices, hand=other))

    @Slot(bool)
    def keepTheme(self, bright: bool) -> None:
        """Remember the theme."""
        if bright != self._news.choices.bright:
            self._desk.keep(replace(self._news.choices, bright=bright))

    @Slot()
    def turnMotion(self) -> None:
        """Less motion, or the usual."""
        self._desk.keep(replace(self._news.choices, calm=not self._news.choices.calm))

    # -- work

    @property
    def plan(self) -> CourtPlan:
        """What was written so far."""
        return self._event.decide(replace(self._court.plan, a=self._a.plan, b=self._b.plan))

    @property
    def choices(self) -> Choices:
        """How this person likes the program."""
        return self._news.choices

    def _turn(self, page: Page) -> None:
        self._page = page
        self._problem = ""
        self._edited()
        self.pageChanged.emit()

    def _edited(self) -> None:
        """Something was written: say again what is wrong with what stands there."""
        plan = self.plan
        found = court_defects(plan)
        self._event.show(tuple(one for one in found if one.place in PLACES))
        about = tuple(one for one in found if one.place not in PLACES)
        self._court.show(self._told(Page.COURT, about, plan))
        for letter, form in (("A", self._a), ("B", self._b)):
            form.show(self._told(Page.TEAMS, team_defects(plan, letter, _measure), plan))
        self._problem = ""
        self._show_heard()
        self.changed.emit()

    def _told(self, page: Page, found: tuple[PlanDefect, ...], plan: CourtPlan) -> tuple[PlanDefect, ...]:
        """What is not written yet is no fault before someone wants to go on."""
        if page in self._tried:
            return found
        empty = {"court": plan.court, "a.name": plan.a.name, "b.name": plan.b.name}
        return tuple(defect for defect in found if empty.get(defect.place, "x").strip())

    def _court_defects(self) -> tuple[PlanDefect, ...]:
        return tuple(one for one in court_defects(self.plan) if one.place != "post")

    def _event_defects(self) -> tuple[PlanDefect, ...]:
        return tuple(one for one in court_defects(self.plan) if one.place in PLACES)

    def _team_defects(self, letter: str) -> tuple[PlanDefect, ...]:
        return team_defects(self.plan, letter, _measure)

    def _take_job(self) -> None:
        if self._joins:
            self._typed.clear()
            self._turn(Page.CODE)
            self._desk.join(self._where(), self._court.post)
            return
        wrong = defects(self.plan, _measure)
        if wrong:
            self._problem = wrong[0].sentence
            self.changed.emit()
        else:
            self._desk.open_court(self.plan)

    def _take_court(self) -> None:
        where = self._where()
        if not where:
            self._problem = "Choose a court from the list, or type its address."
        else:
            self._problem = _address_fault(where[0])
        if self._problem:
            self.changed.emit()
        else:
            self._turn(Page.JOB)

    def _where(self) -> tuple[str, ...]:
        """Where to pair: at the chosen court, or as typed; the text of a square holds its addresses."""
        heard = next((one for one in self._news.heard if one.key == self._chosen), None)
        if heard is not None:
            return heard.where
        typed = self._typed_address.strip()
        return (typed,) if typed else ()

    def _show_heard(self) -> None:
        self._heard.show([_heard_row(one, self._chosen) for one in self._news.heard])

    # -- read

    @Property(str, notify=pageChanged)
    def page(self) -> str:
        return self._page

    @Property(bool, notify=pageChanged)
    def joins(self) -> bool:
        return self._joins

    @Property(str, notify=changed)
    def job(self) -> str:
        return self._court.post

    @Property(str, notify=changed)
    def jobWord(self) -> str:
        return job_word(self._court.post)

    @Property(str, notify=changed)
    def problem(self) -> str:
        return self._problem

    @Property(str, notify=changed)
    def deviceText(self) -> str:
        return self._news.device

    @Property(str, notify=changed)
    def networkText(self) -> str:
        return _NETWORK_WORDS[self._news.network]

    @Property(bool, notify=changed)
    def networked(self) -> bool:
        return self._news.network is Network.HEARD

    @Property(bool, notify=changed)
    def opened(self) -> bool:
        return self._news.opened

    @Property(str, notify=changed)
    def address(self) -> str:
        return self._typed_address

    @Property(str, notify=changed)
    def joinTitle(self) -> str:
        """What is joined, as far as it is known."""
        return f"Join as {job_word(self._court.post)}"

    @Property(str, notify=changed)
    def whereText(self) -> str:
        where = self._where()
        seen = self._news.seen
        if seen is not None and seen.court:
            return f"{seen.court}: {seen.words}"
        heard = next((one for one in self._news.heard if one.key == self._chosen), None)
        if heard is not None:
            return f"{heard.court}: {heard.words}" if heard.court else f"the court with number {heard.number}"
        return f"the court at {where[0]}" if where and not _is_square(where[0]) else "the court of the square"

    @Property(str, notify=changed)
    def courtTitle(self) -> str:
        return names_of(self.plan).court

    @Property(bool, notify=changed)
    def leftHand(self) -> bool:
        return self._news.choices.hand is Hand.LEFT

    @Property(bool, notify=changed)
    def calm(self) -> bool:
        return self._news.choices.calm

    @Property(CourtForm, constant=True)
    def court(self) -> CourtForm:
        return self._court

    @Property(EventForm, constant=True)
    def event(self) -> EventForm:
        return self._event

    @Property(TeamForm, constant=True)
    def teamA(self) -> TeamForm:
        return self._a

    @Property(TeamForm, constant=True)
    def teamB(self) -> TeamForm:
        return self._b

    @Property(ShownCodeLook, constant=True)
    def code(self) -> ShownCodeLook:
        return self._shown

    @Property(TypedCodeLook, constant=True)
    def typed(self) -> TypedCodeLook:
        return self._typed

    @Property(QObject, constant=True)
    def heard(self) -> RowModel[HeardRow]:
        return self._heard

    @Property(int, notify=changed)
    def heardCount(self) -> int:
        return len(self._news.heard)

    @Property(QObject, constant=True)
    def crew(self) -> RowModel[CrewRow]:
        return self._crew

    @Property(bool, notify=changed)
    def adding(self) -> bool:
        """Whether the page for one more device is open beside a court that runs."""
        return self._adding

    @Property(bool, notify=changed)
    def siteFree(self) -> bool:
        """Whether no supervisor is in this court yet."""
        return any(one.post == Post.SITE and one.reach == "unfilled" for one in self._news.crew)

    @Property(str, notify=changed)
    def signText(self) -> str:
        """This court's name and words, as an invited device shows them too."""
        return self._news.sign

    @Property(str, notify=changed)
    def passText(self) -> str:
        return self._pass

    @Property(QObject, constant=True)
    def guests(self) -> RowModel[GuestRow]:
        return self._guests

    @Property(int, notify=changed)
    def guestCount(self) -> int:
        return len(self._news.guests)

    @Property(bool, notify=changed)
    def invited(self) -> bool:
        return self._news.invited is not None

    @Property(str, notify=changed)
    def invitedTitle(self) -> str:
        one = self._news.invited
        return "" if one is None else f"{one.court} invites you: {job_word(one.post)}"

    @Property(str, notify=changed)
    def invitedWords(self) -> str:
        one = self._news.invited
        return "" if one is None else one.words

    @Property(str, notify=changed)
    def invitedBy(self) -> str:
        one = self._news.invited
        return "" if one is None else one.name

    @Property(bool, notify=changed)
    def comes(self) -> bool:
        return self._news.choices.comes

    @Property(QObject, constant=True)
    def known(self) -> RowModel[KnownRow]:
        return self._known

    @Property(int, notify=changed)
    def knownCount(self) -> int:
        return len(self._news.known)


def _heard_row(court: HeardCourt, chosen: str) -> HeardRow:
    title = court.court or "A court shows its code"
    detail = court.words or f"at {court.where[0]}"
    return HeardRow(court.key, court.number, title, detail, court.key == chosen)


def _crew_row(member: CrewMember) -> CrewRow:
    word = job_word(member.post)
    told = {
        "here": "this device",
        "unfilled": "nobody yet",
        "linked": "linked",
    }.get(member.reach, f"out of reach {clock_text(member.silent)}")
    return CrewRow(member.post, word[0].upper() + word[1:], member.reach, told)


def _known_row(court: KnownCourt) -> KnownRow:
    detail = court.teams or court.event or "joined"
    return KnownRow(court.folder, court.court, detail, job_word(court.post))


def _is_square(text: str) -> bool:
    return text.startswith(TICKET_PREFIX)


def _address_fault(text: str) -> str:
    """What is wrong with a typed address or a pasted square; "" if nothing is."""
    try:
        if _is_square(text):
            Ticket.parse(text)
        else:
            Address.parse(text)
    except (AddressError, CodeError) as error:
        return str(error)
    return ""


def _measure(text: str, size: int) -> float:
    """Width of a text in the program's bold letters, px."""
    font = QFont("Inter")
    font.setPixelSize(size)
    font.setBold(True)
    return QFontMetricsF(font).horizontalAdvance(text)
