"""The rules of the table's keys (visual language, section 10), by real key events on the shown face."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtTest import QTest

from crewlink.crew.commands import (
    AnswerNotice,
    Consent,
    Hold,
    Raise,
    Release,
    SettleNotice,
    TickDuty,
    WithdrawNotice,
)
from crewlink.crew_view import WriterView
from crewlink.match.commands import Pair, Point, Sanction, Strike, Substitute, TimeOut, Undo
from crewlink.match.teams import Person, Team
from crewlink.match.terms import Card
from crewlink.snapshot import DutyView
from crewlink.station import RALLY_PRESUMED_S
from tests.gallery.states import (
    conduct_notice,
    dead_ball,
    help_notice,
    hold_notice,
    set_point,
    with_notices,
    wrong_server,
)
from tests.gallery.table_states import SCENES, keys, links_lost, substitution, wrong_server_told
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from ui.bridge.keyboard import key_of
from ui.line.keys import Key

_K = Qt.Key
Command = object


def press(rig: Rig, text: str) -> None:
    """Press and release keys by name."""
    for key in keys(text):
        rig.key(key)


def acts(rig: Rig) -> list[Command]:
    """What was sent, without what the face says by itself."""
    return [command for command in rig.sent if type(command).__name__ != "Shown"]


def desk(rig: Rig) -> Any:
    """The scorer's desk of the face."""
    return rig.stage.court.desk


def verb(rig: Rig) -> str:
    """What the line says."""
    return str(desk(rig).line.verb)


def message(rig: Rig) -> str:
    """What stands at the right end of the line."""
    return str(desk(rig).line.message)


def slot(rig: Rig, name: str) -> str:
    """What a box of the line holds."""
    return str(next(row.value for row in desk(rig).line.slots.rows if row.key == name))


def test_an_arrow_acts_on_release(face: OpenFace) -> None:
    """Down does nothing yet; up writes the point for the team on that side."""
    rig = face("table", "dead_ball")
    QTest.keyPress(rig.stage.view, _K.Key_Left)
    assert acts(rig) == []
    QTest.keyRelease(rig.stage.view, _K.Key_Left)
    assert acts(rig) == [Point(Team.A)]


def test_another_key_takes_an_arrow_back(face: OpenFace) -> None:
    """Left is down, Esc is pressed, Left comes up: no point."""
    rig = face("table", "dead_ball")
    QTest.keyPress(rig.stage.view, _K.Key_Left)
    rig.key(_K.Key_Escape)
    QTest.keyRelease(rig.stage.view, _K.Key_Left)
    assert acts(rig) == []


def test_arrows_follow_the_sides(face: OpenFace) -> None:
    """After a change of courts Left is the other team."""
    rig = face("table", replace(dead_ball("scorer"), left="B"))
    press(rig, "Left")
    assert acts(rig) == [Point(Team.B)]


def test_a_held_arrow_writes_one_point(face: OpenFace) -> None:
    """Auto-repeat is dropped, going down and coming up."""
    rig = face("table", "dead_ball")
    view, plain = rig.stage.view, Qt.KeyboardModifier.NoModifier
    QTest.keyPress(view, _K.Key_Right)
    for _ in range(5):
        for kind in (QEvent.Type.KeyRelease, QEvent.Type.KeyPress):
            QGuiApplication.sendEvent(view, QKeyEvent(kind, _K.Key_Right, plain, "", True))
    assert acts(rig) == []
    QTest.keyRelease(view, _K.Key_Right)
    assert acts(rig) == [Point(Team.B)]


def test_a_second_point_at_once_is_refused_in_words(face: OpenFace) -> None:
    """Within two seconds nothing is sent and the line says why; after them it is."""
    rig = face("table", "dead_ball")
    press(rig, "Left Left")
    assert acts(rig) == [Point(Team.A)]
    assert "second point" in verb(rig)
    rig.wait(2.0)
    press(rig, "Left")
    assert acts(rig) == [Point(Team.A), Point(Team.A)]


@pytest.mark.parametrize("typed", ["Up 9 Enter", "9 Up Enter"])
def test_number_and_act_in_either_order(face: OpenFace, typed: str) -> None:
    """Both raise "wrong server, 9" of the team to serve."""
    rig = face("table", "dead_ball")
    press(rig, typed)
    assert acts(rig) == [Raise("wrong_server", "A", 9)]


def test_the_line_says_it_before_the_key(face: OpenFace) -> None:
    """The act, the team and the number stand there before Enter."""
    rig = face("table", "dead_ball")
    press(rig, "Up Right 10")
    assert (verb(rig), slot(rig, "number")) == ("B wrong server", "10")
    assert acts(rig) == []


def test_up_steps_through_what_can_be_told(face: OpenFace) -> None:
    """Wrong server, check server, hold, injury, score sheet, conduct, set point, help."""
    rig = face("table", replace(dead_ball("scorer"), standing="set_point", standing_team="A"))
    seen = []
    for _ in range(10):
        press(rig, "Up")
        seen.append(verb(rig))
    assert seen == [
        "A wrong server",
        "A check server",
        "Hold the service",
        "Stop: on court",
        "Injury",
        "Check the score sheet",
        "For R1",
        "A set point",
        "Help to court",
        "A wrong server",
    ]


def test_down_steps_through_the_acts_of_a_dead_ball(face: OpenFace) -> None:
    """Substitution first, then time-out, libero, correction, card, delay."""
    rig = face("table", "dead_ball")
    seen = []
    for _ in range(6):
        press(rig, "Down")
        seen.append(verb(rig))
    assert seen == ["Substitution", "Time-out", "Libero", "Correction", "Card by R1", "Delay"]


def test_a_substitution_with_one_partner(face: OpenFace) -> None:
    """Only 8 can go out for 17: it is offered, seen, and written by Enter."""
    rig = face("table", substitution())
    press(rig, "Down Right 17")
    assert message(rig) == "Enter: 8 goes out, the only one"
    press(rig, "Enter")
    assert slot(rig, "out") == "8"
    assert {"Legal", "to position 2", "number 7 of 12 in this set"} <= set(rig.texts())
    press(rig, "Enter")
    assert acts(rig) == [Substitute(Team.B, (Pair(17, 8),))]


def test_an_illegal_substitution_says_why_and_is_not_sent(face: OpenFace) -> None:
    """The reason stands beside it before Enter; Enter is greyed."""
    rig = face("table", substitution())
    press(rig, "Down Right 17 Tab 10")
    assert {"Not legal", "17 was in the place of 8 before."} <= set(rig.texts())
    assert not rig.item("table.keys.enter").isEnabled()
    press(rig, "Enter")
    assert acts(rig) == []


def test_a_number_alone_begins_a_substitution(face: OpenFace) -> None:
    """17 is on B's bench: Enter takes it as the one who comes in."""
    rig = face("table", "dead_ball")
    press(rig, "17")
    assert verb(rig) == "B player"
    press(rig, "Enter")
    assert (verb(rig), slot(rig, "in")) == ("B substitution", "17")


def test_a_number_of_both_teams_asks_which(face: OpenFace) -> None:
    """2 plays for both: the arrows choose the team and write no point."""
    rig = face("table", "dead_ball")
    press(rig, "2")
    assert "which team" in message(rig)
    press(rig, "Left")
    assert verb(rig) == "A substitution"
    assert acts(rig) == []


def test_the_team_is_asked_for(face: OpenFace) -> None:
    """A time-out without a team is not sent; in a form the arrows choose the team."""
    rig = face("table", "dead_ball")
    press(rig, "Down Down Enter")
    assert acts(rig) == []
    assert "Which team?" in message(rig)
    press(rig, "Right Enter")
    assert acts(rig) == [TimeOut(Team.B)]


def test_function_keys_do_the_same(face: OpenFace) -> None:
    """F1 and F12 points; F2 and F11 time-outs; F3 substitution; F7 undo; F8 calls R1."""
    rig = face("table", "dead_ball")
    press(rig, "F12")
    rig.wait(3.0)
    press(rig, "F1 F11 Enter F2 Enter F7 F8")
    assert acts(rig) == [
        Point(Team.B),
        Point(Team.A),
        TimeOut(Team.B),
        TimeOut(Team.A),
        Undo(),
        Hold("R1 to the table"),
    ]
    press(rig, "F10 17 F3")
    assert verb(rig) == "A substitution"


def test_space_answers_the_top_notice_and_nothing_else(face: OpenFace) -> None:
    """Space is Got it, also in the middle of a form; with nothing to answer it does nothing."""
    rig = face("table", with_notices(dead_ball("scorer"), hold_notice("scorer"), conduct_notice("scorer")))
    rig.wait(0.5)
    press(rig, "Space")
    assert acts(rig) == [AnswerNotice("n-hold")]
    calm = face("table", "dead_ball")
    press(calm, "Space")
    assert acts(calm) == []


def test_space_is_deaf_to_a_fresh_plate(face: OpenFace) -> None:
    """A press meant for what was there before answers nothing for 400 ms."""
    rig = face("table", "dead_ball")
    rig.stage.court.update(with_notices(dead_ball("scorer"), hold_notice("scorer")))
    press(rig, "Space")
    assert acts(rig) == []
    rig.wait(0.5)
    press(rig, "Space")
    assert acts(rig) == [AnswerNotice("n-hold")]


def test_a_soon_does_not_stand_in_the_way_of_a_point(face: OpenFace) -> None:
    """Unanswered, it leaves the arrows as they are."""
    rig = face("table", with_notices(dead_ball("scorer"), conduct_notice("scorer")))
    press(rig, "Left")
    assert acts(rig) == [Point(Team.A)]


def test_backspace_empties_then_undoes(face: OpenFace) -> None:
    """First the box, then the form, then in an empty line the last entry; a second undo is refused."""
    rig = face("table", "dead_ball")
    press(rig, "Up 9 Bksp")
    assert slot(rig, "number") == ""
    press(rig, "Bksp")
    assert acts(rig) == []
    press(rig, "Bksp")
    assert acts(rig) == [Undo()]
    press(rig, "Bksp")
    assert acts(rig) == [Undo()]
    assert "second undo" in verb(rig)


def test_esc_clears_then_withdraws_in_two_steps(face: OpenFace) -> None:
    """One press asks, the second takes the own notice back; another key in between starts anew."""
    own = replace(help_notice("scorer"), mine=True, asked=False, raised_by="scorer")
    rig = face("table", with_notices(dead_ball("scorer"), own))
    press(rig, "Up Esc")
    assert verb(rig) == ""
    press(rig, "Esc")
    assert "takes it back" in verb(rig)
    press(rig, "Tab Esc Esc")
    assert acts(rig) == []
    press(rig, "Esc")
    assert acts(rig) == [WithdrawNotice("n-help", "raised by mistake")]


def test_crossing_out_takes_enter_twice(face: OpenFace) -> None:
    """A line of the history is chosen, then Enter and Enter; one Enter alone crosses out nothing."""
    rig = face("table", "dead_ball")
    press(rig, "Tab Tab Tab Down Enter")
    assert verb(rig) == "Cross out"
    press(rig, "Enter")
    assert acts(rig) == []
    press(rig, "Enter")
    assert acts(rig) == [Strike(bytes.fromhex("05"), "wrong team")]


def test_r1_by_sign_is_entered_in_two_steps(face: OpenFace) -> None:
    """No key decides for R1: what R1 signalled is chosen, and sent as R1's by sign."""
    rig = face("table", wrong_server_told())
    press(rig, "Left")
    assert acts(rig) == []
    assert "R1" in verb(rig)
    press(rig, "Enter Enter Down Enter")
    assert acts(rig) == []
    press(rig, "Enter")
    assert acts(rig) == [Consent("p1", True, "R1")]


def test_the_own_hold_is_let_go_from_the_same_place(face: OpenFace) -> None:
    """Where Hold stood there is Let go while the table holds."""
    own = replace(hold_notice("scorer"), kind="hold_service", mine=True, asked=False, raised_by="scorer")
    rig = face("table", with_notices(dead_ball("scorer"), own))
    press(rig, "Up Up Up Enter")
    assert acts(rig) == [Release()]


def test_a_card_of_r1(face: OpenFace) -> None:
    """Team, number, who, card: figures are the player's, the card is chosen."""
    rig = face("table", "dead_ball")
    press(rig, "F10 Down Down Down Down 9 Enter Down Enter")
    assert acts(rig) == [Sanction(Team.B, Person(number=9), Card.WARNING)]


def test_tab_goes_round_the_regions(face: OpenFace) -> None:
    """Number line, notices, left bench, right bench, history, the word of the rail; Esc comes back."""
    rig = face("table", with_notices(dead_ball("scorer"), conduct_notice("scorer")))
    seen = []
    for _ in range(6):
        press(rig, "Tab")
        seen.append(desk(rig).panel.region)
    assert seen == ["notices", "left", "right", "history", "rail", "line"]
    press(rig, "Tab Tab")
    assert rig.stage.view.activeFocusItem().objectName() == "table.bench.left"
    press(rig, "Esc")
    assert rig.stage.view.activeFocusItem().objectName() == "table.line"


def test_a_figure_in_a_region_goes_to_the_line(face: OpenFace) -> None:
    """Digits are always players' numbers, wherever the focus is."""
    rig = face("table", "dead_ball")
    press(rig, "Tab 17")
    assert desk(rig).panel.region == "line"
    assert slot(rig, "number") == "17"


def test_the_theme_by_keys(face: OpenFace) -> None:
    """Tab to the word, Enter."""
    rig = face("table", "dead_ball")
    press(rig, "Tab Tab Tab Tab Enter")
    assert rig.stage.theme.property("bright") is True


def test_a_region_may_vanish_under_the_focus(face: OpenFace) -> None:
    """The notice with the focus goes away; keys still work."""
    rig = face("table", with_notices(dead_ball("scorer"), conduct_notice("scorer")))
    press(rig, "Tab")
    rig.stage.court.update(dead_ball("scorer"))
    press(rig, "Enter Down Esc")
    press(rig, "Left")
    assert acts(rig) == [Point(Team.A)]


def test_keys_of_the_strip_can_be_clicked(face: OpenFace) -> None:
    """The same acts by pointer: arrows at the ends of the line, keys of the strip."""
    rig = face("table", "dead_ball")
    rig.tap("table.line.right")
    rig.wait(0.5)
    rig.tap("table.keys.backspace")
    assert acts(rig) == [Point(Team.B), Undo()]
    rig.tap("table.keys.down")
    assert verb(rig) == "Substitution"


def test_the_strip_keeps_its_places(face: OpenFace) -> None:
    """Seven keys stand at the same x in every state."""
    for state in ("dead_ball", "wrong_server", "sheet_faulty", "substitution", "finished"):
        rig = face("table", state)
        names = ("enter", "space", "up", "down", "tab", "backspace", "esc")
        assert [rig.item(f"table.keys.{name}").x() for name in names] == [24, 214, 396, 592, 790, 980, 1156]


def test_a_lost_link_leaves_the_keys(face: OpenFace) -> None:
    """Scoring goes on."""
    rig = face("table", links_lost())
    press(rig, "Left")
    assert acts(rig) == [Point(Team.A)]


def test_another_device_writes(face: OpenFace) -> None:
    """The arrows ask; while one request is on its way the next is refused in words."""
    asks = replace(dead_ball("scorer"), writing=WriterView("assistant", "Assistant"))
    rig = face("table", asks)
    assert "ask for A" in rig.texts()
    press(rig, "Left")
    assert acts(rig) == [Point(Team.A)]
    rig.stage.court.update(replace(asks, waiting_requests=1))
    rig.wait(3.0)
    assert verb(rig) == "Waiting for Assistant"
    press(rig, "Left")
    assert acts(rig) == [Point(Team.A)]
    assert "Wait a moment" in verb(rig)


def test_what_was_written_can_be_undone_at_once(face: OpenFace) -> None:
    """The line names what was written; Backspace is the lit key."""
    rig = face("table", "dead_ball")
    rig.stage.court.update(set_point("scorer"))
    rig.settle()
    assert verb(rig) == "Point A, set point"
    press(rig, "Bksp")
    assert acts(rig) == [Undo()]


@pytest.mark.parametrize(
    ("key", "scan", "platform", "found"),
    [
        (int(_K.Key_Ampersand), 10, "xcb", "1"),
        (int(_K.Key_Agrave), 19, "wayland", "0"),
        (int(_K.Key_Eacute), 3, "windows", "2"),
        (int(_K.Key_Apostrophe), 21, "cocoa", "4"),
        (int(_K.Key_7), 0, "offscreen", "7"),
    ],
)
def test_figures_are_read_by_place(key: int, scan: int, platform: str, found: str) -> None:
    """A French keyboard prints other signs on the row of figures; the row is still the row of figures."""
    assert key_of(key, scan, platform) == Key(found)


def test_letters_are_no_keys() -> None:
    """No single-letter shortcuts; X is for a libero box alone."""
    assert key_of(int(_K.Key_A), 38, "xcb") is None


def test_help_is_asked_of_a_post(face: OpenFace) -> None:
    """What is wanted and from whom; posts that nobody fills are not offered."""
    rig = face("table", "dead_ball")
    press(rig, "Up Up Up Up Up Up Up Up Tab Down Enter")
    assert acts(rig) == [Raise("help", detail="floor", to=("site",))]


def test_a_duty_is_ticked(face: OpenFace) -> None:
    """What this post has still to do stands among the acts until it is ticked."""
    duties = (
        DutyView("table", "Score sheet, line-up sheets, ball, visible score", "Table"),
        DutyView("net", "Net height", "R1", mine=False),
        DutyView("talk", "Talk", "Table", state="done"),
    )
    rig = face("table", replace(SCENES["toss"].snapshot, duties=duties))
    press(rig, "Down")
    assert verb(rig) == "Done here"
    assert slot(rig, "duty") == "Score sheet, line-up sheets, ball, visible score"
    press(rig, "Enter")
    assert acts(rig) == [TickDuty("table")]
    calm = face("table", "toss")
    press(calm, "Down")
    assert verb(calm) == "Toss"


def test_a_card_settles_the_conduct_it_is_for(face: OpenFace) -> None:
    """While conduct is open, R1's card entered here is its outcome, as R1 signalled it."""
    rig = face("table", with_notices(dead_ball("scorer"), conduct_notice("scorer")))
    press(rig, "F10 Down Down Down Down 9 Enter Down Enter")
    card = Sanction(Team.B, Person(number=9), Card.WARNING)
    assert acts(rig) == [SettleNotice("n-conduct", card, "R1")]


def test_a_point_during_a_wrong_server_asks_for_a_second_press(face: OpenFace) -> None:
    """R1 decides first: the first press is put back in words, the second one writes R1's point."""
    rig = face("table", "undecided")
    assert "R1 decides first" in rig.texts()
    press(rig, "Left")
    assert acts(rig) == []
    assert verb(rig) == "Wrong server: R1 decides first. Press again if R1 gave the point."
    press(rig, "Left")
    assert acts(rig) == [Point(Team.A)]


def test_what_was_just_told_takes_the_place_of_the_point(face: OpenFace) -> None:
    """A scored, then a wrong server is told: the line speaks of the notice, Esc is lit, Backspace is not."""
    rig = face("table", "play")
    rig.stage.court.update(dead_ball("scorer"))
    rig.settle()
    rig.wait(1.0)
    told = wrong_server("scorer")
    fresh = replace(told.notices[0], age=0.0)
    rig.stage.court.update(replace(told, taken=told.taken + 1.0, notices=(fresh,)))
    rig.settle()
    assert (verb(rig), desk(rig).line.hint) == ("Told all", "wrong server B 9")
    assert desk(rig).line.undoLeft == -1
    lit = dict(
        zip(("enter", "space", "up", "down", "tab", "backspace", "esc"), desk(rig).line.keysLit, strict=True)
    )
    assert (lit["backspace"], lit["esc"]) == (False, True)
    rig.wait(6.0)
    assert verb(rig) == ""


def test_the_acts_are_listed_while_one_is_chosen(face: OpenFace) -> None:
    """Down lists all acts of the dead ball with their F-keys; a number typed opens the exchange."""
    rig = face("table", "dead_ball")
    press(rig, "Down")
    assert {"Other acts", "Substitution", "F3 F10", "Time-out", "F2 F11", "Card by R1"} <= set(rig.texts())
    press(rig, "Right 17")
    assert desk(rig).panel.kind == "exchange"
    press(rig, "Esc Up")
    assert {"Tell the crew", "Wrong server", "Help to court"} <= set(rig.texts())


def test_a_notice_covers_the_list_of_acts(face: OpenFace) -> None:
    """What comes in is seen, also while an act is being chosen."""
    rig = face("table", "dead_ball")
    press(rig, "Down")
    rig.stage.court.update(with_notices(dead_ball("scorer"), hold_notice("scorer")))
    rig.settle()
    assert desk(rig).panel.kind == "notices"


def test_how_a_rally_begins_is_said_before_the_first_service(face: OpenFace) -> None:
    """No key starts it: the time after which play is taken to go on stands in the line."""
    rig = face("table", "first_service")
    assert f"no key starts a rally: play is on after {RALLY_PRESUMED_S:.0f} s" in rig.texts()
