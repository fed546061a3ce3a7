"""The set-up face: every page readable, every step led by tap and by key, nothing sent too early."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl

from crewlink.charter import Settings
from crewlink.home import Choices, Hand
from crewlink.match.commands import Toss
from crewlink.match.teams import Team
from crewlink.opening import CourtPlan, TeamPlan, charter_of, names_of
from crewlink.rules.format import FormatOptions
from crewlink.snapshot import Snapshot
from tests.gallery.scene import Scene, scenes
from tests.gallery.setup_states import (
    DIGITS,
    GUESTS,
    HEARD,
    INVITED,
    KNOWN,
    NEWS,
    SQUARE,
    RecordingDesk,
    act,
    before,
    blank,
    crew,
    listed,
    named,
    typing,
)
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from tests.ui.walks import all_faults
from ui.bridge.setup_port import Joining, Knock, SetupNews, ShownCode
from ui.bridge.setup_view import SetupView
from ui.face import SHAPES, Face
from ui.stage import ThemeName

FLOOR, LEAST = 17, 64
OPENED = replace(NEWS, opened=True, crew=crew())
HEARING = replace(NEWS, heard=HEARD)


@pytest.mark.parametrize("theme", list(ThemeName))
@pytest.mark.parametrize("size", SHAPES[Face.SETUP].sizes)
@pytest.mark.parametrize("state", list(scenes(Face.SETUP)))
def test_every_state_is_readable(face: OpenFace, state: str, size: tuple[int, int], theme: ThemeName) -> None:
    """No text is cut, overlaps or is too small; every target is large enough, named and inside."""
    rig = face("setup", state, theme=theme, size=size)
    assert all_faults(rig, FLOOR, LEAST) == []


def opened(
    face: OpenFace, news: SetupNews = NEWS, snapshot: Snapshot | None = None, *steps: object
) -> tuple[Rig, RecordingDesk, SetupView]:
    """The face with a desk that notes what it is asked."""
    desk = RecordingDesk()
    rig = face("setup", Scene(snapshot or blank(), act(*steps, news=news), desk=desk))  # type: ignore[arg-type]
    assert rig.stage.setup is not None
    desk.asked.clear()
    return rig, desk, rig.stage.setup


def tell(rig: Rig, news: SetupNews) -> None:
    """News come."""
    assert rig.stage.setup is not None
    rig.stage.setup.update(news)
    rig.settle()


def write(rig: Rig, box: str, keys: str) -> None:
    """Tap a box and type digits and blanks."""
    rig.tap(box)
    for sign in keys:
        rig.key(Qt.Key.Key_Space if sign == " " else Qt.Key[f"Key_{sign.upper()}"])


# Opening a court.


def test_a_court_is_opened_by_hand(face: OpenFace) -> None:
    """Pads and keys lead from the first page to one plan, and nothing is made before the last step."""
    rig, desk, _ = opened(face)
    rig.tap("setup.home.open")
    write(rig, "setup.court.court", "7")
    rig.key(Qt.Key.Key_Return)
    write(rig, "setup.teamA.name", "kites")
    write(rig, "setup.teamA.numbers", "1 2 3 4 5 6 7")
    write(rig, "setup.teamA.liberos", "7")
    write(rig, "setup.teamA.captain", "1")
    write(rig, "setup.teamB.name", "lynx")
    rig.tap("setup.teamB.shirt")
    rig.tap("setup.foot.next")
    rig.tap("setup.job.r2")
    assert desk.asked == []
    rig.key(Qt.Key.Key_Return)
    kites = TeamPlan("kites", numbers=(1, 2, 3, 4, 5, 6, 7), liberos=(7,), captain=1)
    lynx = TeamPlan("lynx", colour="#FFFFFF")
    assert desk.asked == [
        ("open", CourtPlan("7", post="R2", format=FormatOptions(best_of=5), a=kites, b=lynx))
    ]


def test_what_is_missing_is_told_only_when_someone_goes_on(face: OpenFace) -> None:
    rig, _, setup = opened(face)
    rig.tap("setup.home.open")
    assert "Say which court it is: a number, or a name." not in rig.texts()
    rig.tap("setup.foot.next")
    assert "Say which court it is: a number, or a name." in rig.texts()
    assert setup.page == "court"
    write(rig, "setup.court.court", "7")
    assert "Say which court it is: a number, or a name." not in rig.texts()


def test_a_fault_wears_the_flag_of_its_line(face: OpenFace) -> None:
    """The flag at the box and the flag at the sentence carry one number."""
    rig, _, setup = opened(face, NEWS, None, listed)
    setup.teamA.put("captain", "30")
    setup.teamB.put("numbers", "")
    rig.settle()
    assert "Captain 30 is not on the list." in rig.texts()
    assert rig.texts().count("1") == 2
    assert setup.teamA.captainFlag == 1
    assert setup.teamA.numbersFlag == 0


def test_a_pasted_list_fills_the_other_boxes(face: OpenFace) -> None:
    """Lines of a table become numbers, liberos and the captain; names are dropped."""
    rig, _, setup = opened(face, NEWS, None, listed)
    setup.teamA.put("numbers", "Number;Name;Job\n9;Ines Vale;Captain\n20;Mo Reed;Libero\n4;Liv Cole;")
    rig.settle()
    assert (setup.teamA.numbers, setup.teamA.liberos, setup.teamA.captain) == ("9 20 4", "20", "9")
    assert not any("Reed" in text for text in rig.texts())


def test_a_list_is_read_from_a_dropped_file(face: OpenFace, tmp_path: Path) -> None:
    _, _, setup = opened(face, NEWS, None, listed)
    file = tmp_path / "list.csv"
    file.write_text("\ufeff1,A\n2,B\n3L,C\n", "utf-8")
    setup.teamA.load(QUrl.fromLocalFile(str(file)))
    assert (setup.teamA.numbers, setup.teamA.liberos) == ("1 2 3", "3")
    file.write_bytes(b"\xff\xfe\x00")
    setup.teamA.load(QUrl.fromLocalFile(str(file)))
    assert setup.teamA.faults.rows[0].sentence == "list.csv is no text file. Save the list as CSV."
    setup.teamA.load(QUrl.fromLocalFile(str(tmp_path / "none.csv")))
    assert setup.teamA.faults.rows[0].sentence == "none.csv can't be read: No such file or directory."


def test_a_name_that_does_not_fit_is_measured(face: OpenFace) -> None:
    """Sixteen narrow letters fit where sixteen wide ones do not."""
    _, _, setup = opened(face, NEWS, None, listed)
    setup.teamA.put("name", "Littlehill Elite")
    assert setup.teamA.nameFlag == 0
    setup.teamA.put("name", "WWWWWWWWWWWWWWWW")
    assert setup.teamA.nameFlag == 1


def test_the_format_is_stepped(face: OpenFace) -> None:
    rig, _, setup = opened(face, NEWS, None, named)
    rig.tap("setup.court.length.more")
    rig.tap("setup.court.points.less")
    rig.tap("setup.court.cap.more")
    assert {"Best of 3", "24", "26, last 17"} <= set(rig.texts())
    options = setup.plan.format
    assert (options.best_of, options.points, options.cap, options.deciding_cap) == (3, 24, 26, 17)
    rig.tap("setup.court.rules.more")
    assert "US junior and domestic indoor rules" in rig.texts()
    assert setup.plan.profile == "USJ"


def test_a_supervisor_opens_no_court(face: OpenFace) -> None:
    rig, _, setup = opened(face, NEWS, None, listed, SetupView.next)
    assert not rig.item("setup.job.site").isEnabled()
    setup.chooseJob("site")
    assert setup.job == "scorer"


def test_escape_goes_back_and_keeps_what_was_written(face: OpenFace) -> None:
    rig, _, setup = opened(face, NEWS, None, listed)
    rig.key(Qt.Key.Key_Escape)
    assert setup.page == "court"
    rig.key(Qt.Key.Key_Return)
    assert setup.page == "teams"
    assert setup.teamA.name == "Harbour Kites"


def test_trouble_of_the_desk_stands_between_the_pads(face: OpenFace) -> None:
    rig, _, _ = opened(face, NEWS, None, listed, SetupView.next)
    tell(rig, replace(NEWS, trouble="court.json: Cannot be written. Check the folder and the disk."))
    assert "court.json: Cannot be written. Check the folder and the disk." in rig.texts()


# What the event decides.


def test_what_the_event_decides_goes_into_the_charter(face: OpenFace) -> None:
    """Pads, arrows and keys lead to the charter that is signed; nobody is asked for team names then."""
    rig, desk, _ = opened(face)
    rig.tap("setup.home.open")
    write(rig, "setup.court.court", "7")
    rig.tap("setup.court.event.open")
    rig.tap("setup.event.worn")
    rig.tap("setup.event.names")
    for _ in range(4):
        rig.tap("setup.event.days.more")
    rig.tap("setup.event.medical.more")
    write(rig, "setup.event.responsible", "desk")
    assert {"Table only", "No team names", "for 14 days", "R1"} <= set(rig.texts())
    rig.key(Qt.Key.Key_Return)
    assert "Table only, no team names + 3 more" in rig.texts()
    for _ in range(3):
        rig.tap("setup.foot.next")
    assert [what for what, _ in desk.asked] == ["open"]
    plan = desk.asked[0][1]
    assert isinstance(plan, CourtPlan)
    assert charter_of(plan).settings == Settings(
        worn=False, names=False, retention_days=14, medical_post="R1"
    )
    assert names_of(plan).responsible == "desk"


def test_nobody_has_to_decide_anything(face: OpenFace) -> None:
    """The usual stands, and the page is never in the way."""
    rig, _, setup = opened(face, NEWS, None, named)
    assert "All as usual" in rig.texts()
    assert charter_of(setup.plan).settings == Settings()
    rig.tap("setup.foot.next")
    assert setup.page == "teams"


def test_what_is_wrong_with_the_event_is_mended_on_its_page(face: OpenFace) -> None:
    rig, _, setup = opened(face, NEWS, None, named, SetupView.showEvent)
    setup.event.putResponsible("x" * 41)
    rig.key(Qt.Key.Key_Escape)
    assert "The responsible person may have 40 letters." in rig.texts()
    assert (setup.page, setup.event.responsibleFlag) == ("event", 1)
    setup.event.putResponsible("x" * 40)
    rig.key(Qt.Key.Key_Escape)
    assert setup.page == "court"


# Who is here.


def test_a_free_job_makes_its_code(face: OpenFace) -> None:
    rig, desk, _ = opened(face, OPENED, before())
    rig.tap("setup.here.R2")
    assert desk.asked == [("code", "R2")]
    assert not rig.item("setup.here.scorer").isEnabled()


def test_the_code_runs_out(face: OpenFace) -> None:
    """Seconds left are counted here; when they are over the square goes and the words say why."""
    rig, desk, setup = opened(face, OPENED, before())
    code = ShownCode("R2", DIGITS, rig.now + 2.0, 2, "47", "192.168.1.20:41234", SQUARE)
    tell(rig, replace(OPENED, code=code))
    assert {"0:02", "two tries left"} <= set(rig.texts())
    rig.now += 2.0
    setup.beat()
    rig.settle()
    assert "0:00" not in rig.texts()
    assert "Too old now. Nobody can join with it." in rig.texts()
    assert rig.named("Old code 4 8 2, 1 7 3, 0 6")
    assert rig.item("setup.here.R2").property("chosen") is False
    rig.tap("setup.here.again")
    assert desk.asked == [("code", "R2")]


def test_a_code_that_comes_too_old_is_struck(face: OpenFace) -> None:
    """Its digits are struck from the first moment on, and a pad makes a new one."""
    rig = face("setup", "code_old")
    assert rig.seen("setup.here.again") and "0:00" not in rig.texts()


@pytest.mark.parametrize(("pad", "yes"), [("setup.knock.yes", True), ("setup.knock.no", False)])
def test_a_person_lets_a_device_in_or_not(face: OpenFace, pad: str, yes: bool) -> None:
    rig, desk, _ = opened(face, OPENED, before())
    tell(rig, replace(OPENED, knock=Knock("Jonah's tablet, for R2", "R2")))
    assert {"Let it in as R2?", "Jonah's tablet, for R2"} <= set(rig.texts())
    rig.tap(pad)
    assert desk.asked == [("admit", yes)]


def test_a_court_that_opened_turns_the_page(face: OpenFace) -> None:
    rig, _, setup = opened(face, NEWS, before(), listed, SetupView.next)
    assert setup.page == "job"
    tell(rig, OPENED)
    assert setup.page == "here"
    rig.key(Qt.Key.Key_Escape)
    assert setup.page == "here"


# The toss.


def test_the_toss_is_written_and_leads_on(face: OpenFace) -> None:
    rig, desk, _ = opened(face, OPENED, before(), SetupView.next)
    rig.tap("setup.toss.serves.B")
    rig.tap("setup.toss.left.A")
    assert rig.sent == []
    assert "Northfield Lynx serve first. Harbour Kites stand left, seen from the table." in rig.texts()
    rig.tap("setup.foot.next")
    assert rig.sent == [Toss(Team.B, Team.A)]
    assert desk.asked == [("go", "")]


def test_the_toss_can_wait(face: OpenFace) -> None:
    rig, desk, _ = opened(face, OPENED, before(), SetupView.next)
    rig.tap("setup.foot.next")
    assert rig.sent == []
    assert desk.asked == [("go", "")]


# Joining.


def test_a_heard_court_is_joined_by_its_code(face: OpenFace) -> None:
    """Court, job, nine digits by key or pad; the ninth sends them, once."""
    rig, desk, _ = opened(face, HEARING)
    rig.tap("setup.home.join")
    rig.tap("setup.join.court")
    rig.tap("setup.foot.next")
    rig.tap("setup.job.r2")
    rig.tap("setup.foot.next")
    for digit in DIGITS[:4]:
        rig.key(Qt.Key[f"Key_{digit}"])
    for digit in DIGITS[4:8]:
        rig.tap(f"setup.key.{digit}")
    assert desk.asked == [("seek", True), ("join", (("192.168.1.20:41234",), "R2"))]
    rig.tap(f"setup.key.{DIGITS[8]}")
    assert desk.asked[2:] == [("offer", DIGITS)]


def test_a_slip_is_seen_and_sends_nothing(face: OpenFace) -> None:
    rig, desk, setup = opened(face, HEARING, None, typing(8))
    wrong = next(digit for digit in "0123456789" if digit != DIGITS[8])
    rig.key(Qt.Key[f"Key_{wrong}"])
    assert "A slip: these nine digits don't fit together. Nothing was sent." in rig.texts()
    assert desk.asked == []
    rig.key(Qt.Key.Key_Backspace)
    rig.key(Qt.Key[f"Key_{DIGITS[8]}"])
    assert desk.asked == [("offer", DIGITS)]
    assert setup.typed.digits == DIGITS


def test_a_refused_code_is_emptied_and_says_why(face: OpenFace) -> None:
    rig, _, setup = opened(face, HEARING, None, typing(9))
    tell(rig, replace(HEARING, joining=Joining.ASKING))
    rig.key(Qt.Key.Key_1)
    tell(rig, replace(HEARING, joining=Joining.REFUSED, trouble="The code is too old. Ask for a new one."))
    assert "The code is too old. Ask for a new one." in rig.texts()
    assert setup.typed.digits == ""


def test_being_let_in_leads_to_the_court(face: OpenFace) -> None:
    rig, desk, _ = opened(face, HEARING, None, typing(9))
    tell(rig, replace(HEARING, joining=Joining.WAITING))
    tell(rig, replace(HEARING, joining=Joining.JOINED))
    assert desk.asked == [("go", "")]


def test_leaving_the_code_forgets_it(face: OpenFace) -> None:
    rig, desk, setup = opened(face, HEARING, None, typing(5))
    rig.tap("setup.code.back")
    assert desk.asked == [("leave", "")]
    assert (setup.page, setup.typed.digits) == ("job", "")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Choose a court from the list, or type its address."),
        ("court seven", "“court seven” is not an address. Type it like 192.168.1.20:5005."),
        ("CREWLINK1|x|y", "The ticket is damaged. Scan it again."),
    ],
)
def test_an_address_that_can_t_be_one_is_told(face: OpenFace, typed: str, sentence: str) -> None:
    rig, _, setup = opened(face, HEARING, None, SetupView.startJoining)
    setup.putAddress(typed)
    rig.tap("setup.foot.next")
    assert sentence in rig.texts()
    assert setup.page == "join"


# The first page.


def test_a_known_court_opens_at_once(face: OpenFace) -> None:
    rig, desk, _ = opened(face, replace(NEWS, known=KNOWN))
    rig.tap("setup.home.court")
    assert desk.asked == [("go", "/data/court-7")]


def test_choices_are_handed_over_to_be_kept(face: OpenFace) -> None:
    rig, desk, _ = opened(face)
    rig.tap("setup.home.hand")
    rig.tap("setup.home.theme")
    rig.tap("setup.home.motion")
    assert desk.asked == [
        ("keep", Choices(Hand.RIGHT)),
        ("keep", Choices(bright=True)),
        ("keep", Choices(calm=True)),
    ]
    tell(rig, replace(NEWS, choices=Choices(Hand.RIGHT, calm=True)))
    assert {"Right hand", "Blinking off"} <= set(rig.texts())
    assert rig.stage.theme.property("reducedMotion") is True


# Known devices, invitations, the supervisor.


def test_a_known_device_is_invited_by_one_tap(face: OpenFace) -> None:
    """For the job it had, or the next free one; one that is being asked, or has come, is not asked again."""
    rig, desk, setup = opened(face, replace(OPENED, guests=GUESTS), before())
    rig.tap("setup.here.guest")
    assert desk.asked == [("invite", (GUESTS[0].device, "R2"))]
    desk.asked.clear()
    setup.callGuest(GUESTS[2].device)
    assert desk.asked == [("invite", (GUESTS[2].device, "assistant"))]
    tell(rig, replace(OPENED, guests=GUESTS[:1], crew=crew(R2="linked")))
    rig.tap("setup.here.guest")
    assert desk.asked[-1] == ("invite", (GUESTS[0].device, "R1"))
    tell(rig, replace(OPENED, guests=GUESTS[1:2]))
    assert not rig.item("setup.here.guest").isEnabled()


def test_old_keys_are_shown_and_taken_out(face: OpenFace) -> None:
    rig, desk, _ = opened(face, replace(OPENED, guests=GUESTS[3:]), before())
    assert {"Mo's phone", "Installed anew: these are its old keys.", "Take out"} <= set(rig.texts())
    rig.tap("setup.here.guest")
    assert desk.asked == [("take out", GUESTS[3].device)]


@pytest.mark.parametrize(("pad", "yes"), [("setup.invited.yes", True), ("setup.invited.no", False)])
def test_an_invitation_shows_court_job_and_words(face: OpenFace, pad: str, yes: bool) -> None:
    rig, desk, _ = opened(face, replace(NEWS, invited=INVITED))
    assert {"Court 3 invites you: R2", "otter lamp river"} <= set(rig.texts())
    rig.tap(pad)
    assert desk.asked == [("come", yes)]


def test_both_screens_show_court_and_words_before_the_code(face: OpenFace) -> None:
    """The one that shows the code, the list at the other, and the page where it is typed."""
    code = ShownCode("R2", DIGITS, 1e9, 3, "47", "a", SQUARE, "Court 7", "crown giant berry")
    rig, _, _ = opened(face, replace(OPENED, code=code), before())
    assert "Court 7: crown giant berry (the other device shows the same)" in rig.texts()
    other, _, _ = opened(face, HEARING, None, SetupView.startJoining)
    assert {"Court 7", "crown giant berry"} <= set(other.texts())
    typed, _, _ = opened(face, HEARING, None, typing(0))
    assert "Court 7: crown giant berry" in typed.texts()
    tell(typed, replace(HEARING, seen=replace(HEARD[0], court="Court 9")))
    assert "Court 9: crown giant berry" in typed.texts()


def test_a_supervisor_is_let_in_by_the_pass(face: OpenFace) -> None:
    rig, desk, setup = opened(face, OPENED, before())
    assert not rig.item("setup.here.use").isEnabled()
    setup.putPass("CREWPASS1:ABC")
    rig.settle()
    rig.tap("setup.here.use")
    assert desk.asked == [("pass", "CREWPASS1:ABC")]
    tell(rig, replace(OPENED, crew=crew(site="linked")))
    assert not rig.item("setup.here.use").isVisible()


def test_a_device_may_come_by_itself(face: OpenFace) -> None:
    rig, desk, _ = opened(face)
    rig.tap("setup.home.comes")
    [(what, choices)] = desk.asked
    assert what == "keep" and isinstance(choices, Choices) and choices.comes
