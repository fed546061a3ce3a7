"""Scenes of the set-up face: each page, empty, filled, wrong, and what comes from outside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import msgspec

from crewlink.crew_view import WriterView
from crewlink.home import Choices, KnownCourt
from crewlink.opening import CourtPlan
from crewlink.snapshot import Saved, Snapshot, TeamView
from protocol.pairing_code import check_digit
from tests.gallery.scene import Scene
from tests.gallery.states import TAKEN
from ui.bridge.setup_port import (
    Coming,
    CrewMember,
    Guest,
    HeardCourt,
    Invited,
    Joining,
    Knock,
    Network,
    NoDesk,
    SetupNews,
    ShownCode,
)
from ui.bridge.setup_view import SetupView
from ui.stage import Stage

DIGITS = "48217306" + str(check_digit("48217306"))
SQUARE = "CREWLINK1|MFRGGZDFMZTWQ2LKNNWG23TPOB|192.168.1.20:41234"
KNOWN = (
    KnownCourt("/data/court-7", "scorer", "Court 7", "Harbour Kites, Northfield Lynx", "Girls U16", 3.0),
    KnownCourt("/data/court-3", "R2", "Court 3", "Mill Ravens, Quay Otters", "Girls U16", 2.0),
    KnownCourt("/data/court-5", "site", "Centre court", "", "", 1.0),
)
HEARD = (
    HeardCourt("a1", "47", ("192.168.1.20:41234",), "Court 7", "crown giant berry"),
    HeardCourt("b2", "08", ("192.168.1.31:40800",)),
)
NEWS = SetupNews(device="Pia's laptop", network=Network.HEARD)
TEAMS = {
    "A": ("Harbour Kites", "", "2 4 6 7 9 11 12 13 15 16 19 20", "20", "9"),
    "B": ("Northfield Lynx", "", "1 2 3 5 8 9 10 14 17 18 22 23", "18", "10"),
}


class RecordingDesk(NoDesk):
    """A world that only notes what it is asked: (what, about what)."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, object]] = []

    def keep(self, choices: Choices) -> None:
        self.asked.append(("keep", choices))

    def seek(self, on: bool) -> None:
        self.asked.append(("seek", on))

    def open_court(self, plan: CourtPlan) -> None:
        self.asked.append(("open", plan))

    def show_code(self, post: str) -> None:
        self.asked.append(("code", post))

    def admit(self, yes: bool) -> None:
        self.asked.append(("admit", yes))

    def invite(self, device: str, post: str) -> None:
        self.asked.append(("invite", (device, post)))

    def take_out(self, device: str) -> None:
        self.asked.append(("take out", device))

    def come(self, yes: bool) -> None:
        self.asked.append(("come", yes))

    def use_pass(self, text: str) -> None:
        self.asked.append(("pass", text))

    def join(self, where: tuple[str, ...], post: str) -> None:
        self.asked.append(("join", (where, post)))

    def offer(self, digits: str) -> None:
        self.asked.append(("offer", digits))

    def code_fits(self, digits: str) -> bool:
        return check_digit(digits) == 0

    def leave(self) -> None:
        self.asked.append(("leave", ""))

    def go(self, folder: str) -> None:
        self.asked.append(("go", folder))


def crew(**reach: str) -> tuple[CrewMember, ...]:
    """The jobs of a court that the scorer opened; `reach` by post."""
    posts = ("R1", "R2", "scorer", "assistant", "site")
    known = {"scorer": "here", **reach}
    return tuple(CrewMember(post, known.get(post, "unfilled"), 42.0) for post in posts)


def before() -> Snapshot:
    """The court just opened by the scorer."""
    return Snapshot(
        TAKEN,
        "scorer",
        "Court 7",
        "Girls U16",
        phase="before",
        phase_word="Before the match",
        left="A",
        a=TeamView("A", "Harbour Kites", "Kites"),
        b=TeamView("B", "Northfield Lynx", "Lynx"),
        saved=Saved(True, 1, 1),
        writing=WriterView("scorer", "Table", here=True),
    )


def blank() -> Snapshot:
    """No court yet."""
    return Snapshot(TAKEN, "scorer", "Court")


def act(*steps: Callable[[SetupView], None], news: SetupNews = NEWS) -> Callable[[Stage], None]:
    """Tell the news, then take these steps."""

    def drive(stage: Stage) -> None:
        assert stage.setup is not None
        stage.setup.update(news)
        for step in steps:
            step(stage.setup)

    return drive


def named(setup: SetupView) -> None:
    """The court is called."""
    setup.startOpening()
    setup.court.put("court", "7")
    setup.court.put("event", "Girls U16, quarter-final")


def listed(setup: SetupView) -> None:
    """Both teams are written."""
    named(setup)
    setup.next()
    for letter, form in (("A", setup.teamA), ("B", setup.teamB)):
        for box, text in zip(("name", "short", "numbers", "liberos", "captain"), TEAMS[letter], strict=True):
            form.put(box, text)
    setup.teamA.nextShirt()
    for _ in range(9):
        setup.teamB.nextShirt()


def wrong(setup: SetupView) -> None:
    """Both lists have faults, and someone wanted to go on."""
    listed(setup)
    setup.teamA.put("name", "Harbour Kites of Westquay")
    setup.teamA.put("numbers", "2 4 6 7 9 11 9 13 x5 16 19 20")
    setup.teamA.put("captain", "30")
    setup.teamB.put("name", "")
    setup.teamB.put("liberos", "18 24")
    setup.next()


def badly(setup: SetupView) -> None:
    """The court has faults."""
    setup.startOpening()
    setup.court.put("event", "The autumn tournament for girls under sixteen")
    for _ in range(2):
        setup.court.step("cap", 1)
    for _ in range(6):
        setup.court.step("points", 1)
    setup.next()


def typing(count: int, digits: str = DIGITS) -> Callable[[SetupView], None]:
    """So many digits are typed."""

    def step(setup: SetupView) -> None:
        setup.startJoining()
        setup.chooseCourt("a1")
        setup.chooseJob("R2")
        setup.next()
        setup.next()
        for digit in digits[:count]:
            setup.typed.type(int(digit))

    return step


def decided(setup: SetupView) -> None:
    """The event decided something about everything."""
    named(setup)
    setup.showEvent()
    setup.event.turnWorn()
    setup.event.turnNames()
    for _ in range(4):
        setup.event.stepDays(1)
    setup.event.nextMedical(1)
    setup.event.putResponsible("The desk in hall 2")


def to_job(setup: SetupView) -> None:
    """On to the job."""
    listed(setup)
    setup.next()


_HEARING = replace(NEWS, heard=HEARD)
SIGN = "Court 7: crown giant berry"
GUESTS = (
    Guest("01" * 32, "Lena's tablet", "R2", "Court 3", near=True),
    Guest("02" * 32, "Jonah's watch", "R1", "Court 3", near=True, coming=Coming.ASKED),
    Guest("03" * 32, "", "assistant", "Court 5", coming=Coming.FAILED, said="It said no."),
    Guest("04" * 32, "Mo's phone", "R2", "Court 5", replaced=True),
)
INVITED = Invited("Court 3", "R2", "otter lamp river", "Pia's laptop")
_OPENED = replace(NEWS, opened=True, crew=crew(R1="linked"), sign=SIGN)
_CODE = ShownCode(
    "R2", DIGITS, TAKEN + 102.0, 3, "47", "192.168.1.20:41234", SQUARE, "Court 7", "crown giant berry"
)
_SLIP = DIGITS[:8] + str((int(DIGITS[8]) + 1) % 10)


def adding(*, code: bool = False) -> Callable[[Stage], None]:
    """One more device is brought into a court that runs, beside its face."""
    here = {"R2": "linked", "R1": "linked", "assistant": "lost"}
    shown = replace(_CODE, post="site") if code else None
    news = replace(_OPENED, crew=crew(**here), guests=GUESTS[1:], code=shown)

    def drive(stage: Stage) -> None:
        assert stage.setup is not None
        stage.setup.startAdding()
        stage.setup.update(news)

    return drive


SCENES: dict[str, Scene] = {
    "home": Scene(blank(), act()),
    "home_known": Scene(
        blank(), act(news=replace(NEWS, known=KNOWN, choices=msgspec.structs.replace(Choices(), calm=True)))
    ),
    "court": Scene(blank(), act(named)),
    "court_wrong": Scene(blank(), act(badly)),
    "event": Scene(blank(), act(named, SetupView.showEvent)),
    "event_decided": Scene(blank(), act(decided)),
    "event_wrong": Scene(
        blank(), act(decided, lambda s: s.event.putResponsible("The desk in the hall at the far end of town"))
    ),
    "court_decided": Scene(blank(), act(decided, SetupView.next)),
    "teams_letters": Scene(blank(), act(decided, SetupView.next, SetupView.next)),
    "teams_empty": Scene(blank(), act(named, SetupView.next)),
    "teams": Scene(blank(), act(listed)),
    "teams_wrong": Scene(blank(), act(wrong)),
    "job": Scene(blank(), act(to_job)),
    "here": Scene(before(), act(news=_OPENED)),
    "here_known": Scene(before(), act(news=replace(_OPENED, guests=GUESTS))),
    "here_pass": Scene(
        before(),
        act(
            lambda s: s.putPass("CREWPASS1:GAYTEMZUGU3DOOBZGA"),
            lambda s: s.update(
                replace(_OPENED, trouble="The pass is damaged. Scan it or copy it again.", guests=GUESTS[:1])
            ),
            news=replace(_OPENED, guests=GUESTS[:1]),
        ),
    ),
    "invited": Scene(blank(), act(news=replace(NEWS, known=KNOWN, invited=INVITED))),
    "code": Scene(before(), act(news=replace(_OPENED, code=_CODE))),
    "code_old": Scene(before(), act(news=replace(_OPENED, code=replace(_CODE, ends=TAKEN, tries=1)))),
    "knock": Scene(
        before(),
        act(
            news=replace(
                _OPENED, crew=crew(R1="lost"), code=_CODE, knock=Knock("Jonah's tablet, for R2", "R2")
            )
        ),
    ),
    "alone": Scene(before(), act(news=replace(_OPENED, network=Network.NONE))),
    "toss": Scene(before(), act(SetupView.next, news=_OPENED)),
    "join_silent": Scene(blank(), act(SetupView.startJoining, news=replace(NEWS, network=Network.NONE))),
    "join": Scene(blank(), act(SetupView.startJoining, lambda s: s.chooseCourt("a1"), news=_HEARING)),
    "join_wrong": Scene(
        blank(),
        act(SetupView.startJoining, lambda s: s.putAddress("court seven"), SetupView.next, news=_HEARING),
    ),
    "join_job": Scene(
        blank(),
        act(
            SetupView.startJoining,
            lambda s: s.chooseCourt("a1"),
            SetupView.next,
            lambda s: s.chooseJob("R2"),
            news=_HEARING,
        ),
    ),
    "typing": Scene(blank(), act(typing(7), news=_HEARING)),
    "slip": Scene(blank(), act(typing(9, _SLIP), news=_HEARING), desk=RecordingDesk()),
    "refused": Scene(
        blank(),
        act(
            typing(9),
            lambda s: s.update(replace(_HEARING, joining=Joining.ASKING)),
            lambda s: s.update(
                replace(
                    _HEARING,
                    joining=Joining.REFUSED,
                    trouble="The code is not the one on the other screen. Type it again.",
                )
            ),
            news=_HEARING,
        ),
    ),
    "waiting": Scene(
        blank(),
        act(typing(9), lambda s: s.update(replace(_HEARING, joining=Joining.WAITING)), news=_HEARING),
    ),
}
