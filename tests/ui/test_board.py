"""The supervisor's board: all courts of the hall, what is open, one court opened."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from crewlink.crew.commands import AnswerNotice, Shown
from crewlink.site.board import board, silence
from crewlink.snapshot import CourtSight, PostLink, RefusalView
from tests.gallery.board_states import (
    PLAN,
    WALL,
    all_answered,
    busy,
    calm,
    changed,
    court,
    court_seven,
    hall,
    late_crew,
    server_seen,
    sights,
    site_links,
    spare_ball,
    undecided,
)
from tests.gallery.scene import scenes
from tests.gallery.states import TAKEN, at, set_point_notice
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from tests.ui.walks import all_faults, ink_rect, words
from ui.face import SHAPES, Face
from ui.stage import ThemeName

FLOOR = {1920: 31, 1366: 22}
LEAST = 48


@pytest.mark.parametrize("theme", list(ThemeName))
@pytest.mark.parametrize("size", SHAPES[Face.BOARD].sizes)
@pytest.mark.parametrize("state", list(scenes(Face.BOARD)))
def test_every_state_is_readable(face: OpenFace, state: str, size: tuple[int, int], theme: ThemeName) -> None:
    """No text is cut, overlaps or is too small; every target is large enough, named and inside."""
    rig = face("board", state, theme=theme, size=size)
    assert all_faults(rig, FLOOR[size[0]], LEAST) == []


# -- the pure board


def test_tiles_keep_their_place_by_court_number() -> None:
    """Whatever order the courts are told in, and whatever happens on them."""
    mixed = tuple(reversed(sights()))
    assert [tile.court for tile in board("Hall", mixed, TAKEN, WALL).tiles] == list(range(1, 13))
    assert [tile.court for tile in busy().tiles] == [tile.court for tile in calm().tiles]


def test_open_notices_stand_now_first_then_oldest() -> None:
    """Two NOW before all SOON; of equal level the older one first."""
    found = [(one.court, one.notice.level, one.notice.age) for one in busy().notices]
    assert found == [
        (7, "now", 9.0),
        (1, "now", 2.0),
        (3, "soon", 120.0),
        (6, "soon", 41.0),
        (10, "soon", 15.0),
    ]


def test_set_points_and_ended_notices_are_not_the_supervisors() -> None:
    """Quiet ones never go to the site; closed and withdrawn ones are not open."""
    quiet = set_point_notice("site")
    done = replace(server_seen(), state="withdrawn")
    snapshot = replace(court(1), notices=(quiet, done))
    made = board("Hall", (CourtSight(1, snapshot),), TAKEN, WALL)
    assert made.notices == ()
    assert (made.tiles[0].level, made.tiles[0].state) == ("", "Rally")


def test_what_all_have_answered_stands_until_it_is_closed() -> None:
    """After what is open, without a level; a wrong server and conduct are R1's, help is to be done."""
    made = undecided()
    assert [(one.court, one.pending) for one in made.notices] == [
        (6, ""),
        (7, "R1 decides"),
        (2, "R1 decides"),
    ]
    tiles = {tile.court: tile for tile in made.tiles}
    assert (tiles[7].level, tiles[7].state, tiles[7].pending) == ("", "Wrong server", "R1 decides")
    assert (tiles[6].level, tiles[6].pending) == ("soon", "")
    helped = replace(court(1), notices=(all_answered(spare_ball()),))
    (one,) = board("Hall", (CourtSight(1, helped),), TAKEN, WALL).notices
    assert one.pending == "not done yet"


def test_an_open_notice_counts_its_answers() -> None:
    """The raiser is not asked; a sign entered by another counts."""
    rows = tuple(
        replace(row, state="relayed", by="R2") if row.post == "assistant" else row
        for row in server_seen().receipts
    )
    snapshot = replace(court(1), notices=(replace(server_seen(), receipts=rows),))
    (one,) = board("Hall", (CourtSight(1, snapshot),), TAKEN, WALL).notices
    assert (one.answered, one.asked) == (3, 3)


def test_a_silent_court_keeps_its_figures_and_says_as_of_when() -> None:
    """Not heard for 48 s at 14:32: as of 14:31; just under ten seconds it is still linked."""
    tiles = {tile.court: tile for tile in hall().tiles}
    assert (tiles[11].linked, tiles[11].as_of) == (False, at(14, 32) - 48_000)
    assert tiles[11].a is not None and tiles[11].a.points == 14
    fresh = board("Hall", (CourtSight(1, court(1), 9.9),), TAKEN, WALL)
    assert fresh.tiles[0].linked


def test_between_sets_a_tile_keeps_the_last_set_and_at_the_end_shows_sets() -> None:
    """Points of the coming set are noughts that nobody wants to read."""
    tiles = {tile.court: tile for tile in hall().tiles}
    shown = {
        n: (tiles[n].phase, tiles[n].a and tiles[n].a.points, tiles[n].b and tiles[n].b.points)
        for n in (5, 8)
    }
    assert shown == {5: ("Set 2", 25, 17), 8: ("End", 2, 0)}


def test_link_trouble_is_no_notice() -> None:
    """A court out of reach is not in the list of open notices."""
    assert 11 not in {one.court for one in hall().notices}


def test_devices_of_a_silent_court_are_not_linked() -> None:
    """Twelve courts of four, one post unfilled, one court silent: 43 of 47."""
    health = hall().health
    assert (health.linked, health.devices) == (43, 47)


def test_silence_is_that_of_the_post_heard_last() -> None:
    """One linked post is enough; with none it is the shortest silence; nobody to hear is no silence."""
    assert silence(site_links(R1=("lost", 60.0))) == 0.0
    lost = {post: ("lost", 30.0 + place) for place, post in enumerate(("R1", "R2", "scorer", "assistant"))}
    assert silence(site_links(**lost)) == 30.0
    assert silence((PostLink("site", "Supervisor", "here"),)) == 0.0


def test_a_match_of_the_plan_that_has_not_begun_is_late() -> None:
    """At 14:46 court 3 should play and does not; court 12 is due at 15:00."""
    made = board("Hall", sights(), TAKEN, at(14, 46), PLAN)
    assert made.late == 1
    assert {tile.court: tile.due for tile in made.tiles if tile.due} == {3: at(14, 45), 12: at(15, 0)}


def test_more_than_ten_notices_in_ten_minutes_are_a_flood() -> None:
    """Eleven young ones are a flood, old ones do not count."""
    many = tuple(replace(spare_ball(), id=f"n{place}", age=10.0 * place) for place in range(11))
    flooded = replace(court(4), notices=many[:6], past=many[6:])
    aged = replace(flooded, past=tuple(replace(one, age=700.0) for one in many[6:]))
    assert board("Hall", changed(4, flooded), TAKEN, WALL).health.floods == (4,)
    assert board("Hall", changed(4, aged), TAKEN, WALL).health.floods == ()


# -- the face


def shown_hall(rig: Rig) -> bool:
    """The page with all courts is on show."""
    return any(name.endswith(".tile") for name in rig.names())


def test_the_urgent_tile_is_the_same_tile_with_weight(face: OpenFace) -> None:
    """A notice moves nothing: every name and figure of the tile stands where it stood."""
    rig = face("board", "calm")
    before = {str(text.property("text")): ink_rect(text) for text in words(rig)}
    assert rig.stage.board is not None
    rig.stage.board.update(hall())
    rig.settle()
    after = {str(text.property("text")): ink_rect(text) for text in words(rig)}
    for word in ("Kites", "Lynx", "Rooks", "Larks", "Otters"):
        assert before[word].topLeft() == after[word].topLeft()


def test_a_tile_says_what_is_open(face: OpenFace) -> None:
    """For eyes and for a screen reader."""
    rig = face("board", "courts")
    assert rig.named("Court 7, NOW, Kites 23, Lynx 21, Set 2, sets 0:1, Wrong server")
    assert rig.named("Court 11, Moths 14, Hawks 19, Set 2, sets 1:0, as of 14:31, out of reach")
    assert "no link" in rig.texts()
    assert "14:45" in rig.texts() and "2 of 3 answered" in rig.texts()


def test_times_run_without_a_new_board(face: OpenFace) -> None:
    """Ages, the clock of a time-out, the hall's clock."""
    rig = face("board", "courts")
    assert {"0:09", "Time-out A, 0:17", "14:32"} <= set(rig.texts())
    rig.wait(5.0)
    assert {"0:14", "Time-out A, 0:12"} <= set(rig.texts())
    rig.wait(55.0)
    assert "14:33" in rig.texts()


def test_a_click_opens_a_court_and_esc_goes_back(face: OpenFace) -> None:
    """The court takes the page; back again its tile has the focus."""
    rig = face("board", "courts")
    rig.tap("board.court5.tile")
    assert {"Court 5", "Gulls", "Match history", "Crew"} <= set(rig.texts())
    assert not shown_hall(rig)
    rig.key(Qt.Key.Key_Escape)
    assert shown_hall(rig)
    assert rig.item("board.court5.tile").property("activeFocus") is True


def test_answered_is_not_closed(face: OpenFace) -> None:
    """Tile and list say who still has to act; the list does not say that nothing is open."""
    rig = face("board", "undecided")
    assert rig.named("Court 7, Kites 23, Lynx 21, Set 2, sets 0:1, Wrong server, answered, R1 decides")
    assert rig.named("Court 7. Wrong server. answered, R1 decides.")
    assert rig.texts().count("R1 decides") == 4
    assert "Nothing is open." not in rig.texts()


def test_a_small_hall_has_large_tiles(face: OpenFace) -> None:
    """One, two and four courts; the words are the same, arrows go as the tiles lie."""
    usual = face("board", "courts").rect(face("board", "courts").item("board.court1.tile")).width()
    widths = [
        rig.rect(rig.item("board.court1.tile")).width()
        for rig in (face("board", "one"), face("board", "two"), face("board", "four"))
    ]
    assert widths[0] > widths[1] > widths[2] > usual
    rig = face("board", "four")
    rig.key(Qt.Key.Key_Right)
    for key, number in ((Qt.Key.Key_Right, 2), (Qt.Key.Key_Down, 4), (Qt.Key.Key_Left, 3)):
        rig.key(key)
        assert rig.item(f"board.court{number}.tile").property("activeFocus") is True, (key, number)


def test_the_bottom_line_says_what_enter_opens(face: OpenFace) -> None:
    """The court of the most urgent notice, else the first; with no court nothing, and no forecast."""
    assert "Enter opens court 7" in face("board", "courts").texts()
    assert "Enter opens court 1" in face("board", "one").texts()
    texts = face("board", "empty").texts()
    assert not [text for text in texts if text.startswith(("Enter", "finish", "0 of"))]


def test_enter_opens_the_first(face: OpenFace) -> None:
    """With nothing chosen Enter opens the court of the most urgent notice."""
    rig = face("board", "courts")
    rig.key(Qt.Key.Key_Return)
    assert "Court 7" in rig.texts() and not shown_hall(rig)


def test_arrows_go_over_the_tiles_and_stop_at_the_rims(face: OpenFace) -> None:
    """Right, down, left, up as the tiles lie; Enter opens the one that wears the ring."""
    rig = face("board", "courts")
    rig.key(Qt.Key.Key_Right)
    assert rig.item("board.court1.tile").property("visualFocus") is True
    steps = [
        (Qt.Key.Key_Left, 1),
        (Qt.Key.Key_Right, 2),
        (Qt.Key.Key_Down, 6),
        (Qt.Key.Key_Down, 10),
        (Qt.Key.Key_Down, 10),
        (Qt.Key.Key_Right, 11),
        (Qt.Key.Key_Right, 12),
        (Qt.Key.Key_Right, 12),
        (Qt.Key.Key_Up, 8),
    ]
    for key, number in steps:
        rig.key(key)
        assert rig.item(f"board.court{number}.tile").property("activeFocus") is True, (key, number)
    rig.key(Qt.Key.Key_Return)
    assert "Court 8" in rig.texts() and not shown_hall(rig)


def test_tab_goes_on_to_the_list(face: OpenFace) -> None:
    """The tiles are one stop; then each open notice, then the theme's word."""
    rig = face("board", "courts")
    rig.key(Qt.Key.Key_Right)
    rig.key(Qt.Key.Key_Tab)
    assert rig.item("board.open.0").property("activeFocus") is True
    rig.key(Qt.Key.Key_Down)
    assert rig.item("board.open.1").property("activeFocus") is True
    rig.key(Qt.Key.Key_Return)
    assert "Court 3" in rig.texts() and not shown_hall(rig)


def test_every_target_can_be_reached_by_tab(face: OpenFace) -> None:
    """Going round with Tab meets the list, the rail and the tiles, and comes back."""
    rig = face("board", "courts")
    rig.key(Qt.Key.Key_Right)
    met = set()
    for _ in range(12):
        rig.key(Qt.Key.Key_Tab)
        item = rig.stage.view.activeFocusItem()
        met.add(item.objectName() if item is not None else "")
    assert {"board.open.0", "board.open.1", "board.open.2", "board.rail.theme", "board.court1.tile"} <= met


def test_more_than_twelve_courts_have_pages(face: OpenFace) -> None:
    """Page Down goes on, stops at the last page, Page Up comes back; each court keeps its place."""
    rig = face("board", "large")
    assert "page 1 of 3" in rig.texts() and rig.seen("board.court12.tile")
    place = rig.rect(rig.item("board.court3.tile"))
    for _ in range(4):
        rig.key(Qt.Key.Key_PageDown)
    assert "page 3 of 3" in rig.texts()
    assert rig.seen("board.court30.tile") and not rig.seen("board.court3.tile")
    rig.key(Qt.Key.Key_PageUp)
    rig.tap("board.rail.page")
    rig.tap("board.rail.page")
    assert rig.rect(rig.item("board.court3.tile")) == place


def test_an_open_court_shows_the_way_of_a_notice(face: OpenFace) -> None:
    """Who saw it and who answered, as marks on the line of seconds; a notice that is over can be chosen."""
    rig = face("board", "open_court")
    assert "4 s" in rig.texts()
    rig.tap("board.past.p-server")
    assert {"Wrong server, B 9", "closed in 0:21", "3 s", "5 s", "9 s"} <= set(rig.texts())


def test_the_supervisor_answers_in_the_open_court(face: OpenFace) -> None:
    """Got it goes to that court and to no other."""
    rig = face("board", "open_medical")
    rig.tap("board.notice.answer.n-medical")
    assert (1, AnswerNotice("n-medical")) in rig.sent_to
    assert {court for court, command in rig.sent_to if isinstance(command, AnswerNotice)} == {1}


def test_a_refused_answer_says_why(face: OpenFace) -> None:
    """On the bottom line of the open court."""
    rig = face("board", "open_medical")
    rig.refuse = RefusalView("That notice is not here.")
    rig.tap("board.notice.answer.n-medical")
    assert "That notice is not here." in rig.texts()


def test_what_the_board_showed_is_told_to_its_court_once(face: OpenFace) -> None:
    """After 400 ms on the board the crew hears that the supervisor has it."""
    rig = face("board", "courts")
    told = [(7, Shown("n-server")), (3, Shown("n-late")), (6, Shown("n-help"))]
    rig.eventually(lambda: sorted(rig.sent_to, key=repr) == sorted(told, key=repr))
    assert rig.stage.board is not None
    rig.stage.board.update(calm())
    rig.stage.board.update(hall())
    rig.settle()
    assert len(rig.sent_to) == 3


def test_a_court_that_falls_silent_while_it_is_open_says_so(face: OpenFace) -> None:
    """Points go dim, the rail says as of when; the page stays."""
    rig = face("board", "open_court")
    assert rig.stage.board is not None
    rig.stage.board.update(hall(changed(7, court_seven(), 48.0)))
    rig.settle()
    assert "out of reach, as of 14:31" in rig.texts()
    off = QColor(rig.stage.theme.property("off"))
    assert rig.item("board.open.points.A").property("color") == off


def test_a_new_notice_does_not_take_the_focus(face: OpenFace) -> None:
    """The ring stays where it was."""
    rig = face("board", "calm")
    rig.key(Qt.Key.Key_Right)
    rig.key(Qt.Key.Key_Down)
    assert rig.stage.board is not None
    rig.stage.board.update(busy())
    rig.settle()
    assert rig.item("board.court5.tile").property("activeFocus") is True


def test_only_a_now_that_asks_the_supervisor_pulses(face: OpenFace) -> None:
    """For five seconds, half on and half off at 2 Hz; court 7 asks others."""
    rig = face("board", "busy")
    assert rig.item("board.court7.tile").property("pulsing") is False
    lit = []
    for _ in range(16):
        tile = rig.item("board.court1.tile")
        lit.append((tile.property("pulsing"), tile.property("lit")))
        rig.wait(0.25)
    assert lit[:12] == [(True, True), (True, False)] * 6
    assert lit[12:] == [(False, False)] * 4


def test_in_a_flood_notes_are_folded_away(face: OpenFace) -> None:
    """The bottom line names the court; its NOTEs leave the list, everything else stays."""
    note = replace(spare_ball(), level="note", title="Tell the coach", kind="count_near_limit")
    many = tuple(replace(note, id=f"n{place}", age=10.0 * place) for place in range(11))
    flooded = replace(court(4), notices=(*many, replace(spare_ball(), id="soon", age=5.0)))
    made = hall(changed(4, flooded))
    assert [one.notice.id for one in made.notices if one.court == 4] == ["soon"]
    rig = face("board", "calm")
    assert rig.stage.board is not None
    rig.stage.board.update(made)
    rig.settle()
    assert "Many notices: court 4" in rig.texts()


def test_the_plan_is_shown_in_order(face: OpenFace) -> None:
    """Earliest first, whatever order it was given in."""
    rig = face("board", "courts")
    assert rig.stage.board is not None
    rig.stage.board.update(hall(plan=tuple(reversed(PLAN))))
    rig.settle()
    shown = [text for text in rig.texts() if text in ("Ravens, Otters", "Toads, Swifts", "Herons, Bats")]
    assert shown == ["Ravens, Otters", "Toads, Swifts", "Herons, Bats"]


def test_long_titles_have_short_words_on_a_tile(face: OpenFace) -> None:
    """Every title of the kinds that may reach the board fits a tile and a row."""
    from crewlink.crew.kinds import all_kinds

    for code, kind in all_kinds().items():
        if kind.quiet:
            continue
        notice = replace(late_crew(), kind=code, title=kind.title, level=kind.level, detail="")
        rig = face("board", "calm", size=(1920, 1080))
        assert rig.stage.board is not None
        rig.stage.board.update(hall(changed(7, replace(court(7), notices=(notice,)))))
        rig.settle()
        assert all_faults(rig, 31, LEAST) == [], code
