"""The wrist face: R1's one glance and one tap."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint

from crewlink.crew.commands import AnswerNotice, Consent, Raise, Shown, WithdrawNotice
from crewlink.snapshot import RefusalView
from tests.gallery.scene import scenes
from tests.gallery.states import (
    conduct_notice,
    dead_ball,
    hold_notice,
    ready_clear,
    set_point_notice,
    with_notices,
    wrong_server,
)
from tests.gallery.wrist_states import CALM, DECIDE, OWN, SET_POINT, SILENT, WITHDRAWN, links
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from tests.ui.walks import all_faults, ink_rect, words
from ui.face import SHAPES, Face
from ui.stage import ThemeName

FLOOR, LEAST = 29, 120


@pytest.mark.parametrize("theme", list(ThemeName))
@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
@pytest.mark.parametrize("state", list(scenes(Face.WRIST)))
def test_every_state_is_readable(face: OpenFace, state: str, size: tuple[int, int], theme: ThemeName) -> None:
    """No text is cut, overlaps or is too small; every target is large enough, named and inside."""
    rig = face("wrist", state, theme=theme, size=size)
    assert all_faults(rig, FLOOR, LEAST) == []


ROUND = (450, 450)
RIM = 20


@pytest.mark.parametrize("state", list(scenes(Face.WRIST)))
def test_a_round_face_keeps_clear_of_its_rim(face: OpenFace, state: str) -> None:
    """Every letter lies inside the circle, 20 px from the rim or more."""
    rig = face("wrist", state, size=ROUND)
    reach = ROUND[0] / 2 - RIM
    for text in words(rig):
        ink = ink_rect(text)
        far = [
            ((x - 225) ** 2 + (y - 225) ** 2) ** 0.5
            for x in (ink.left(), ink.right())
            for y in (ink.top(), ink.bottom())
        ]
        assert max(far) <= reach + 1, text.property("text")


def test_r1_sees_the_half_turn(face: OpenFace) -> None:
    """With A on the table's left, R1 has B on the left."""
    rig = face("wrist", "calm")
    assert rig.rect(rig.item("wrist.score.B")).center().x() < rig.rect(rig.item("wrist.score.A")).center().x()


def test_a_notice_takes_the_face(face: OpenFace) -> None:
    """A wrong server shows whom and who is due, and nothing of the score."""
    rig = face("wrist", "calm")
    rig.stage.court.update(wrong_server("R1"))
    rig.settle()
    assert {"NOW", "Wrong server", "B 9", "due", "3", "Got it", "from the table"} <= set(rig.texts())
    assert not rig.seen("wrist.calm.tell")


def test_got_it_answers_the_notice_on_show(face: OpenFace) -> None:
    """One tap sends one answer, for the notice that the plate shows."""
    rig = face("wrist", "wrong_server")
    rig.until(rig.item("wrist.notice.answer"), "armed", True)
    rig.tap("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-server")]


def test_a_fresh_plate_is_deaf(face: OpenFace) -> None:
    """A tap in the first 400 ms, meant for what was there before, answers nothing."""
    rig = face("wrist", "calm")
    rig.slow("arming")
    rig.stage.court.update(wrong_server("R1"))
    rig.tap("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == []


def test_a_plate_that_changes_under_the_finger_is_not_answered(face: OpenFace) -> None:
    """The finger is down on one notice, a more urgent one takes its place, the finger comes up: no answer."""
    rig = face("wrist", "conduct")
    pad = rig.item("wrist.notice.answer")
    rig.until(pad, "armed", True)
    place = rig.middle("wrist.notice.answer")
    rig.press(place)
    rig.stage.court.update(with_notices(dead_ball("R1"), hold_notice("R1"), conduct_notice("R1")))
    rig.until(pad, "armed", True)
    rig.lift(place)
    assert rig.of_kind(AnswerNotice) == []
    rig.tap("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-hold")]


def test_sliding_off_cancels(face: OpenFace) -> None:
    """Nothing acts on the press, nor when the finger leaves the pad."""
    rig = face("wrist", "wrong_server")
    rig.until(rig.item("wrist.notice.answer"), "armed", True)
    place = rig.middle("wrist.notice.answer")
    rig.press(place)
    assert rig.of_kind(AnswerNotice) == []
    rig.slide(QPoint(place.x(), 100))
    rig.lift(QPoint(place.x(), 100))
    assert rig.of_kind(AnswerNotice) == []


def test_a_screen_reader_can_answer(face: OpenFace) -> None:
    """The assistive press acts as a tap does, and the plate reads itself out."""
    rig = face("wrist", "wrong_server")
    rig.until(rig.item("wrist.notice.answer"), "armed", True)
    rig.assist("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-server")]
    assert rig.named("NOW. Wrong server. Team B, 9 hit. Due: 3. From the table.")


def test_shown_is_said_for_each_plate(face: OpenFace) -> None:
    """After 400 ms on the face the crew hears that a notice was shown; the next plate is told of too."""
    rig = face("wrist", "wrong_server")
    rig.eventually(lambda: rig.of_kind(Shown) == [Shown("n-server")])
    rig.stage.court.update(with_notices(dead_ball("R1"), conduct_notice("R1")))
    rig.eventually(lambda: rig.of_kind(Shown) == [Shown("n-server"), Shown("n-conduct")])


def test_an_arriving_notice_is_announced(face: OpenFace) -> None:
    """A screen reader says a NOW at once, anything else when it has finished."""
    rig = face("wrist", "calm")
    rig.stage.court.update(wrong_server("R1"))
    assert rig.stage.root.property("announced") == "NOW. Wrong server. Team B, 9 hit. Due: 3. From the table."
    rig.stage.court.update(dead_ball("R1"))
    assert rig.stage.root.property("announced") == ""


def test_several_waiting_show_the_most_urgent_first(face: OpenFace) -> None:
    """Two notices: the first of the snapshot is on show, with "1 of 2"."""
    rig = face("wrist", "two_waiting")
    assert {"Hold service", "1 of 2"} <= set(rig.texts())
    assert "Conduct" not in rig.texts()


def test_in_a_rally_nothing_asks_to_be_tapped(face: OpenFace) -> None:
    """Score and server only, dim, no pad; a tap sends nothing and brings Tell for a while."""
    rig = face("wrist", "rally")
    assert rig.texts() == ["B", "21", "A", "23", "7"]
    rig.slow("telling")
    rig.click(QPoint(60, 100))
    assert rig.sent == [] and rig.seen("wrist.calm.tell")
    rig.stage.theme.setProperty("telling", 50)
    rig.eventually(lambda: not rig.seen("wrist.calm.tell"))


def test_age_runs_with_the_clock(face: OpenFace) -> None:
    """The plate's age grows by the face's own elapsed time."""
    rig = face("wrist", "wrong_server")
    assert "0:03" in rig.texts()
    rig.wait(9.0)
    assert "0:12" in rig.texts()


def open_tell(rig: Rig) -> None:
    """Open Tell, and keep it from closing by itself while the test goes on."""
    rig.slow("telling")
    rig.tap("wrist.calm.tell")


def tapped(rig: Rig, name: str) -> None:
    """Tap a pad as soon as it listens."""
    rig.until(rig.item(name), "armed", True)
    rig.tap(name)


def test_tell_opens_three_pads_and_closes_by_itself(face: OpenFace) -> None:
    """Wrong server, conduct, set point; without a tap it goes back to the calm face."""
    rig = face("wrist", "calm")
    open_tell(rig)
    assert {"wrist.tell.server", "wrist.tell.conduct", "wrist.tell.point"} <= rig.names()
    rig.stage.theme.setProperty("telling", 300)
    rig.eventually(lambda: rig.seen("wrist.calm.tell"))
    assert rig.of_kind(Raise) == []


def test_a_wrong_server_asks_no_team_where_only_one_served(face: OpenFace) -> None:
    """A served the last rally and serves next: one tap tells it."""
    rig = face("wrist", "calm")
    open_tell(rig)
    tapped(rig, "wrist.tell.server")
    assert rig.of_kind(Raise) == [Raise("wrong_server", "A")]


def test_a_wrong_server_asks_the_team_after_a_change_of_service(face: OpenFace) -> None:
    """B served the last rally, A serves next: the half of the court says which is meant."""
    rig = face("wrist", replace(CALM, last_served="B"))
    open_tell(rig)
    tapped(rig, "wrist.tell.server")
    assert rig.of_kind(Raise) == []
    assert rig.rect(rig.item("wrist.half.B")).x() < rig.rect(rig.item("wrist.half.A")).x()
    tapped(rig, "wrist.half.B")
    assert rig.of_kind(Raise) == [Raise("wrong_server", "B")]


@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
def test_conduct_asks_for_the_side(face: OpenFace, size: tuple[int, int]) -> None:
    """The halves are where the teams stand for R1; then it is told, and can be taken back."""
    rig = face("wrist", "calm", size=size)
    open_tell(rig)
    tapped(rig, "wrist.tell.conduct")
    tapped(rig, "wrist.half.B")
    assert rig.of_kind(Raise) == [Raise("conduct", "B")]
    rig.stage.court.update(with_notices(CALM, OWN))
    rig.settle()
    assert {"Told all", "Conduct", "R2", "Undo, 6 s"} <= set(rig.texts())
    tapped(rig, "wrist.own.back")
    assert rig.of_kind(WithdrawNotice) == [WithdrawNotice("n-conduct", "a slip")]


def test_set_point_can_be_told_only_when_it_is_true(face: OpenFace) -> None:
    """The score knows which team: nothing is asked; at 23:21 the pad is grey."""
    rig = face("wrist", "calm")
    open_tell(rig)
    assert rig.item("wrist.tell.point").property("enabled") is False
    rig.stage.court.update(SET_POINT)
    rig.settle()
    tapped(rig, "wrist.tell.point")
    assert rig.of_kind(Raise) == [Raise("set_point", "A")]


def test_a_notice_goes_before_what_is_being_told(face: OpenFace) -> None:
    """A wrong server comes while Tell is open; after its answer the calm face is back, Tell is closed."""
    rig = face("wrist", "calm")
    open_tell(rig)
    rig.stage.court.update(wrong_server("R1"))
    rig.settle()
    assert rig.seen("wrist.notice.answer") and not rig.seen("wrist.tell.server")
    rig.stage.court.update(CALM)
    rig.settle()
    assert rig.seen("wrist.calm.tell")


@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
@pytest.mark.parametrize(("x", "y"), [(0.5, 0.15), (0.2, 0.5), (0.8, 0.85)])
def test_anywhere_answers_a_set_point(face: OpenFace, size: tuple[int, int], x: float, y: float) -> None:
    """No aim: top, side or bottom of the face is the answer."""
    rig = face("wrist", "set_point", size=size)
    rig.until(rig.item("wrist.setpoint.answer"), "armed", True)
    rig.click(QPoint(round(size[0] * x), round(size[1] * y)))
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-set-point")]


def test_the_score_on_a_set_point_changes_in_place(face: OpenFace) -> None:
    """One notice for the spell; the plate shows the points of now."""
    rig = face("wrist", "set_point")
    later = replace(SET_POINT, b=replace(SET_POINT.b, points=22))
    rig.stage.court.update(with_notices(later, set_point_notice("R1")))
    rig.settle()
    assert {"22", "24"} <= set(rig.texts())


def test_a_set_point_never_covers_clear(face: OpenFace) -> None:
    """After an interruption "Clear" is what R1 waits for; the set point comes back at the next dead ball."""
    clear = replace(SET_POINT, ready=ready_clear())
    rig = face("wrist", with_notices(clear, set_point_notice("R1")))
    assert "Clear" in rig.texts() and "Set point" not in rig.texts()
    rig.stage.court.update(with_notices(SET_POINT, set_point_notice("R1")))
    rig.settle()
    assert "Set point" in rig.texts()


@pytest.mark.parametrize(("pad", "agree"), [("wrist.decide.agree", True), ("wrist.decide.no", False)])
def test_a_decision_shows_both_scores_and_sends_r1s_word(face: OpenFace, pad: str, agree: bool) -> None:
    """After and before as R1 sees the teams, who serves then; one tap is R1's word."""
    rig = face("wrist", "decide")
    assert rig.of_kind(Consent) == []
    assert {"was 21:22", "A 7 serves"} <= set(rig.texts())
    left, right = rig.item("wrist.decide.B"), rig.item("wrist.decide.A")
    assert (left.property("text"), right.property("text")) == ("21", "23")
    assert rig.rect(left).x() < rig.rect(right).x()
    tapped(rig, pad)
    assert rig.of_kind(Consent) == [Consent("ab12", agree)]


def test_a_decision_that_was_answered_leaves_the_face(face: OpenFace) -> None:
    """R1 said no: nothing asks again."""
    rig = face("wrist", "decide")
    said = tuple(replace(one, said="no") for one in DECIDE.proposals)
    rig.stage.court.update(replace(DECIDE, proposals=said))
    rig.settle()
    assert not rig.seen("wrist.decide.agree")


def test_a_plate_that_was_taken_back_says_so_for_five_seconds(face: OpenFace) -> None:
    """Struck title and reason, nothing to tap, then the score again."""
    rig = face("wrist", "wrong_server")
    rig.stage.court.update(with_notices(CALM, WITHDRAWN))
    rig.settle()
    assert {"WITHDRAWN", "9 was right, read as 6", "Taken back"} <= set(rig.texts())
    assert not rig.seen("wrist.notice.answer")
    rig.wait(4.75)
    assert "WITHDRAWN" in rig.texts()
    rig.wait(0.5)
    assert "WITHDRAWN" not in rig.texts()


def test_what_r1_was_never_shown_goes_without_a_word(face: OpenFace) -> None:
    """No plate for a notice that was taken back before it came up here."""
    unseen = tuple(replace(row, state="sent") if row.post == "R1" else row for row in WITHDRAWN.receipts)
    rig = face("wrist", with_notices(CALM, replace(WITHDRAWN, receipts=unseen)))
    assert "WITHDRAWN" not in rig.texts()


@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
def test_what_was_refused_says_why_for_six_seconds(face: OpenFace, size: tuple[int, int]) -> None:
    """Nothing is lost in silence: R1 reads the reason, then the score is back."""
    rig = face("wrist", SET_POINT, size=size)
    rig.refuse = RefusalView("No set point now.")
    open_tell(rig)
    tapped(rig, "wrist.tell.point")
    assert {"Not done", "No set point now."} <= set(rig.texts())
    assert all_faults(rig, FLOOR, LEAST) == []
    rig.wait(6.25)
    assert rig.seen("wrist.calm.tell")


def test_in_a_rally_only_a_now_is_said_to_be_taken_back(face: OpenFace) -> None:
    """A SOON that was taken back does not cover the score, nor does an own one that nobody answered."""
    playing = replace(CALM, phase="rally", phase_word="Rally")
    rig = face("wrist", with_notices(playing, WITHDRAWN))
    assert "WITHDRAWN" in rig.texts()
    for notice in (replace(WITHDRAWN, id="n-soon", level="soon"), SILENT):
        rig.stage.court.update(with_notices(playing, notice))
        rig.settle()
        assert rig.seen("wrist.rally.A")


def test_no_answer_to_the_own_notice_is_said(face: OpenFace) -> None:
    """R1 reads "use the whistle", and goes back by a tap."""
    rig = face("wrist", with_notices(CALM, SILENT))
    assert "Table not answered: use the whistle" in rig.texts()
    tapped(rig, "wrist.own.seen")
    assert rig.seen("wrist.calm.tell")


def test_a_late_plate_says_how_late(face: OpenFace) -> None:
    """What came by a mended link says so."""
    rig = face("wrist", "conduct_late")
    assert "from R2, sent 14 s ago" in rig.texts()


def test_the_side_is_named_only_here(face: OpenFace) -> None:
    """The plate adds R1's own left or right; the message itself has none."""
    rig = face("wrist", "conduct")
    assert "from R2, on your left" in rig.texts()
    rig.stage.court.update(replace(with_notices(CALM, conduct_notice("R1")), left="B"))
    rig.settle()
    assert "from R2, on your right" in rig.texts()


@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
def test_a_silent_device_is_named_with_its_age(face: OpenFace, size: tuple[int, int]) -> None:
    """5 s: mark and name. 10 s: the age as well. All: no link."""
    rig = face("wrist", replace(CALM, links=links(scorer=("late", 6.0))), size=size)
    assert rig.named("Table out of reach")
    assert not any("0:0" in text for text in rig.texts())
    rig.wait(6.0)
    assert any("0:12" in text for text in rig.texts())
    rig.stage.court.update(replace(CALM, links=links(scorer=("lost", 42.0), R2=("lost", 11.0))))
    rig.settle()
    assert rig.named("No link out of reach")


def test_clear_names_the_server(face: OpenFace) -> None:
    """Tick, "Clear", why, and who serves."""
    rig = face("wrist", "clear")
    assert {"Clear", "table, R2 ready", "7", "A serves"} <= set(rig.texts())


def test_held_says_by_whom_why_and_for_how_long(face: OpenFace) -> None:
    """The seconds run on."""
    rig = face("wrist", "held")
    assert {"The table holds", "0:08"} <= set(rig.texts())
    rig.wait(3.0)
    assert "0:11" in rig.texts()


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("between_sets", {"Set 1 to B", "1:40", "Change of courts", "line-ups: A in, B due"}),
        ("between_sets_toss", {"Set 2 to A", "Toss first"}),
        ("check_with_clock", {"Check", "0:12", "positions on court"}),
        ("courts_due", {"Change", "of courts"}),
        ("finished", {"Finished", "Team A wins 2:1", "22:25 25:21 15:11"}),
        ("before", {"Linked 2 of 3", "Table is missing"}),
        ("line_ups", {"Line-ups", "A in, B due"}),
    ],
)
def test_each_phase_has_its_words(face: OpenFace, state: str, words: set[str]) -> None:
    """What R1 must know outside play."""
    assert words <= set(face("wrist", state).texts())


def test_with_nobody_in_reach_there_is_no_tell(face: OpenFace) -> None:
    """What is told would reach no one: the whistle does; with one post lost Tell stays."""
    rig = face("wrist", "all_lost")
    assert "Use the whistle" in rig.texts() and not rig.seen("wrist.calm.tell")
    rig = face("wrist", "link_lost")
    assert "Use the whistle" not in rig.texts() and rig.seen("wrist.calm.tell")


def test_counts_carry_the_letters_of_their_teams(face: OpenFace) -> None:
    """Left first, as R1 sees them."""
    assert "sets B 1, A 0" in face("wrist", "calm").texts()
    assert "B 21, A 23" in face("wrist", "time_out").texts()


def test_a_time_out_counts_down(face: OpenFace) -> None:
    """Who asked, seconds left, how many are used."""
    rig = face("wrist", "time_out")
    assert {"Time-out B", "0:17", "time-outs 2 of 2"} <= set(rig.texts())
    rig.wait(2.0)
    assert "0:15" in rig.texts()


@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
def test_a_change_of_an_old_line_is_decided_between_rallies(face: OpenFace, size: tuple[int, int]) -> None:
    """What becomes of the line and of the score, then Agree; in a rally it does not cover the score."""
    rig = face("wrist", "old_line", size=size)
    assert {"Crossed out", "was 21:23"} <= set(rig.texts())
    rig.until(rig.item("wrist.decide.agree"), "armed", True)
    rig.tap("wrist.decide.agree")
    assert rig.sent == [Consent("01d1", True)]
    assert not face("wrist", "old_line_rally", size=size).seen("wrist.decide.agree")


@pytest.mark.parametrize("size", SHAPES[Face.WRIST].sizes)
@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("medical", "send a person, phone"),
        ("check_found", "Positions differ"),
        ("check_open", "Table checked, R2 not checked yet"),
        ("duties_late", "Table comes from court 3"),
        ("lost", "No job here"),
    ],
)
def test_what_the_crew_knows_is_said(face: OpenFace, state: str, words: str, size: tuple[int, int]) -> None:
    """A silent medical call, the position checks, who comes from elsewhere, a job that is gone."""
    said = [text.replace("\u00a0", " ") for text in face("wrist", state, size=size).texts()]
    assert words in said
