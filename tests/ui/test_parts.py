"""The parts: what each promises, whichever face uses it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor

from crewlink.snapshot import NoticeView, PostLink, ReceiptView
from tests.gallery.states import (
    conduct_notice,
    dead_ball,
    hold_notice,
    ready_held,
    set_point_notice,
    with_notices,
    wrong_server,
    wrong_server_notice,
)
from tests.ui.conftest import OpenPart
from tests.ui.rig import Rig
from tests.ui.walks import outside, overlapping, truncated, upright_hues

COURT = """Court {
    objectName: "court"; x: 20; y: 40; width: 740; freeZone: 114
    view: page.court; sizes: Theme.net; bands: true; about: page.court.top
}"""
PAD = """Pad {
    objectName: "pad"; x: 100; y: 100; width: 200; height: 80
    sizes: Theme.net; text: "Call"; onActed: page.court.tell.ready()
}"""
HOLD = """HoldPad {
    objectName: "pad"; x: 100; y: 100; width: 400; height: 80
    sizes: Theme.net; plainText: "Cross out 24:21"; onDone: page.court.write.undo()
}"""
PLATE = """NoticePlate {
    objectName: "plate"; x: 20; y: 20; width: 760; height: 166; notice: page.court.top; sizes: Theme.net
}"""
ROWS = """Repeater {
    model: page.court.notices
    NoticePlate { x: 20; y: 20; width: 760; height: 166; sizes: Theme.net }
}"""
SHOWN = """PlateFrame { width: %d; height: %d; notice: page.court.top }
AnswerPad {
    objectName: "pad"; y: 301; width: %d; height: %d; sizes: Theme.net; level: page.court.top.level
}"""
HERE = QPoint(200, 140)


def places(rig: Rig) -> dict[str, QPointF]:
    """Where each figure stands, measured from the middle of the court."""
    court = rig.item("court")
    middle = QPointF(court.width() / 2, court.height() / 2)
    names = [name for name in rig.names() if name.startswith("court.")]
    found = {}
    for name in names:
        item = rig.item(name)
        found[name] = item.mapToItem(court, QPointF(item.width() / 2, item.height() / 2)) - middle
    return found


def test_changing_courts_is_a_half_turn(part: OpenPart) -> None:
    """Every figure and the server's disc go to the opposite place: both axes turn, never one alone."""
    rig = part(COURT, dead_ball("R2"))
    before = places(rig)
    rig.stage.court.update(replace(dead_ball("R2"), left="B"))
    rig.settle()
    after = places(rig)
    assert len(before) == 12
    assert before.keys() == after.keys()
    for name, place in before.items():
        assert abs(place.x() + after[name].x()) <= 1.5, name
        assert abs(place.y() + after[name].y()) <= 1.5, name


def test_the_left_team_stands_as_the_line_up_says(part: OpenPart) -> None:
    """Left: 5 and 4 on top, 1 and 2 below, the front row nearest the net."""
    rig = part(COURT, dead_ball("R2"))
    at = places(rig)
    assert at["court.A.5"].y() < at["court.A.6"].y() < at["court.A.server"].y()
    assert at["court.A.4"].y() < at["court.A.3"].y() < at["court.A.2"].y()
    assert at["court.A.5"].x() < at["court.A.4"].x() < 0


def test_the_server_due_stands_outside_and_only_there(part: OpenPart) -> None:
    """Position 1 of the serving team is empty; the disc stands between the band and the end line."""
    rig = part(COURT, dead_ball("R2"))
    disc, court = rig.rect(rig.item("court.A.server")), rig.rect(rig.item("court"))
    assert not rig.seen("court.A.1")
    assert rig.seen("court.B.1")
    assert disc.left() >= court.left() + 16 + 6
    assert disc.right() < court.left() + 114


def test_the_one_who_hit_stands_beside_the_one_due(part: OpenPart) -> None:
    """Wrong server: 3 in ink, 9 in the notice's fill, both outside B's end line."""
    rig = part(COURT, wrong_server("R2"))
    due, hit = rig.item("court.B.server"), rig.item("court.B.hit")
    assert (due.property("number"), hit.property("number")) == ("3", "9")
    assert QColor(hit.property("color")) == QColor(rig.stage.theme.property("now"))


def test_a_pad_acts_on_release_inside(part: OpenPart) -> None:
    """Nothing on the press, one act on the release."""
    rig = part(PAD, dead_ball("R2"))
    rig.press(HERE)
    assert rig.sent == []
    rig.lift(HERE)
    assert len(rig.sent) == 1


def test_a_pad_left_with_the_finger_down_does_nothing(part: OpenPart) -> None:
    """Sliding off cancels."""
    rig = part(PAD, dead_ball("R2"))
    rig.press(HERE)
    rig.slide(QPoint(600, 500))
    rig.lift(QPoint(600, 500))
    assert rig.sent == []


def test_a_focused_pad_shows_its_ring_and_acts_on_space(part: OpenPart) -> None:
    """Tab gives the focus with a ring; Space acts."""
    rig = part(PAD, dead_ball("R2"))
    rig.key(Qt.Key.Key_Tab)
    assert rig.item("pad").property("visualFocus") is True
    rig.key(Qt.Key.Key_Space)
    assert len(rig.sent) == 1


def test_a_hold_pad_needs_its_time(part: OpenPart) -> None:
    """A tap is not enough."""
    rig = part(HOLD, dead_ball("scorer"))
    rig.slow("holding")
    rig.press(HERE)
    rig.lift(HERE)
    assert rig.sent == []


def test_a_hold_pad_acts_when_its_edge_is_full(part: OpenPart) -> None:
    """Held until full, then let go inside: one act."""
    rig = part(HOLD, dead_ball("scorer"))
    rig.press(HERE)
    rig.until(rig.item("pad"), "filled", 1.0)
    assert rig.sent == []
    rig.lift(HERE)
    assert len(rig.sent) == 1


def test_a_full_hold_pad_still_lets_go(part: OpenPart) -> None:
    """Slid off after it is full: nothing, and the next tap starts anew."""
    rig = part(HOLD, dead_ball("scorer"))
    rig.press(HERE)
    rig.until(rig.item("pad"), "filled", 1.0)
    rig.slide(QPoint(600, 500))
    rig.lift(QPoint(600, 500))
    assert rig.sent == []
    rig.slow("holding")
    rig.press(HERE)
    rig.lift(HERE)
    assert rig.sent == []


@pytest.mark.parametrize("way", ["assist", "enter"])
def test_a_hold_pad_asks_once_more_without_a_hand(part: OpenPart, way: str) -> None:
    """An assistive press, or Enter, opens the second step; the next one acts."""
    rig = part(HOLD, dead_ball("scorer"))
    rig.key(Qt.Key.Key_Tab)

    def once() -> None:
        if way == "assist":
            rig.assist("pad")
        else:
            rig.key(Qt.Key.Key_Return)

    once()
    assert rig.sent == []
    assert "Press again: Cross out 24:21" in rig.texts()
    once()
    assert len(rig.sent) == 1
    assert "Cross out 24:21" in rig.texts()


def plate(notice: NoticeView, **changes: object) -> NoticeView:
    """A notice with something changed."""
    return replace(notice, **changes)


@pytest.mark.parametrize("ending", ["answered", "closed", "withdrawn", "lapsed"])
def test_a_plate_that_is_over_has_no_hue(part: OpenPart, ending: str) -> None:
    """Panel fill, dim ink, and the word for how it ended."""
    notice = plate(wrong_server_notice("R2"), state=ending, reason="a slip")
    rig = part(ROWS, with_notices(dead_ball("R2"), notice))
    hues = {QColor(rig.stage.theme.property(name)).name() for name in ("now", "soon", "note")}
    colours = {QColor(item.property("color")).name() for item in rig.items() if item.property("color")}
    assert hues & colours == set()
    word = {
        "answered": "answered",
        "closed": "done",
        "withdrawn": "WITHDRAWN",
        "lapsed": "over, not answered",
    }[ending]
    assert word in rig.texts()
    assert ("a slip" in rig.texts()) == (ending == "withdrawn")


def test_a_late_plate_says_when_it_was_sent(part: OpenPart) -> None:
    """A station back on the link reads "sent 14 s ago", and it goes on."""
    notice = plate(conduct_notice("R1"), late=12.4, age=14.0)
    rig = part(PLATE, with_notices(dead_ball("R1"), notice))
    assert "sent 14 s ago" in rig.texts()
    rig.wait(3.0)
    assert "sent 17 s ago" in rig.texts()
    assert overlapping(rig) == []


@pytest.mark.parametrize("size", [(760, 166), (360, 300), (276, 126), (396, 172)])
@pytest.mark.parametrize("notice", [wrong_server_notice("R1"), conduct_notice("R1"), set_point_notice("R1")])
def test_no_hue_stands_upright(part: OpenPart, notice: NoticeView, size: tuple[int, int]) -> None:
    """No plate, third or answer pad looks like a card held up to a player."""
    rig = part(SHOWN % (size + size), with_notices(dead_ball("R1"), notice))
    assert upright_hues(rig) == []


def test_a_receipt_row_says_who_has_it(part: OpenPart) -> None:
    """Post and seconds beside the marks."""
    rig = part(PLATE, with_notices(dead_ball("R1"), conduct_notice("R1")))
    assert {"R2", "raised", "R1", "4 s", "Table"} <= set(rig.texts())


@pytest.mark.parametrize("detail", ["Wet floor.", "R2 holds. Wet floor, side of A."])
def test_a_relayed_answer_names_both(part: OpenPart, detail: str) -> None:
    """R1's sign entered by R2 is never R1's own tick; a long sentence never covers the row."""
    receipts = (
        ReceiptView("R2", "R2", "raised"),
        ReceiptView("R1", "R1", "relayed", 4.0, "R2"),
        ReceiptView("scorer", "Table", "unconfirmed"),
        ReceiptView("assistant", "Assistant", "unfilled"),
    )
    notice = plate(hold_notice("scorer"), detail=detail, receipts=receipts, late=4.0)
    rig = part(PLATE.replace("760", "932"), with_notices(dead_ball("R1"), notice), size=(1000, 300))
    assert "by sign, R2" in rig.texts()
    assert rig.named("R1 by sign, entered by R2")
    assert rig.named("Table not confirmed")
    assert truncated(rig) + overlapping(rig) + outside(rig) == []


def test_a_lost_post_turns_bold_with_its_age(part: OpenPart) -> None:
    """Five seconds: the mark; ten: name and age, which runs on with the clock."""
    rail = 'StatusRail { width: page.width; view: page.court; sizes: Theme.table; faceName: "table" }'
    links = (
        PostLink("scorer", "Table", "here"),
        PostLink("R1", "R1", "linked"),
        PostLink("R2", "R2", "late", 6.0),
    )
    rig = part(rail, replace(dead_ball("scorer"), links=links), size=(1366, 60))
    assert "R2" in rig.texts()
    rig.wait(5.0)
    assert "R2 0:11" in rig.texts()
    assert truncated(rig) + overlapping(rig) + outside(rig) == []


def test_the_theme_word_goes_to_the_other_theme(part: OpenPart) -> None:
    """The last word of the rail names the other theme."""
    rail = 'StatusRail { width: page.width; view: page.court; sizes: Theme.net; faceName: "net" }'
    rig = part(rail, dead_ball("R2"), size=(1280, 60))
    assert "bright" in rig.texts()
    rig.tap("net.rail.theme")
    assert rig.stage.theme.property("bright") is True
    assert "dark" in rig.texts()


def test_the_ready_chain_names_the_one_who_holds(part: OpenPart) -> None:
    """One filled disc, the one that holds; the sentence says who and why."""
    chain = "ReadyChain { x: 20; y: 20; width: 760; height: 300; ready: page.court.ready; sizes: Theme.net }"
    rig = part(chain, replace(dead_ball("R2"), ready=ready_held()))
    assert {
        "The table holds the service",
        "Writing Team B, 17 in for 8",
        "0:08",
        "Table",
        "Assistant",
    } <= set(rig.texts())
    rig.wait(3.0)
    assert "0:11" in rig.texts()


def test_the_number_line_says_what_the_arrows_do(part: OpenPart) -> None:
    """Both next scores stand beside their arrows, by the reader's sides."""
    line = "NumberLine { width: page.width; desk: page.court.desk }\nKeyStrip { y: 82; width: page.width }"
    rig = part(line, dead_ball("scorer"), size=(1366, 160))
    assert {"A scores", "24:21", "set point", "B scores", "23:22"} <= set(rig.texts())
    rig.stage.court.update(replace(dead_ball("scorer"), left="B"))
    rig.settle()
    texts = {item.property("text"): rig.rect(item).x() for item in rig.items() if item.property("text")}
    assert texts["B scores"] < texts["A scores"]
    assert truncated(rig) + overlapping(rig) + outside(rig) == []
