"""The net face: what R2 reads and taps, lying, standing and folded to a phone."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint

from crewlink.crew.commands import (
    AnswerNotice,
    CloseNotice,
    Consent,
    Hold,
    Raise,
    Ready,
    Release,
    Shown,
    TickDuty,
    WithdrawNotice,
)
from crewlink.match import commands as match
from crewlink.match.teams import Team
from crewlink.match.terms import RallyFault
from crewlink.snapshot import RefusalView, Snapshot
from tests.gallery.net_states import with_exchanges, written
from tests.gallery.scene import Scene, scenes
from tests.gallery.states import (
    conduct_notice,
    dead_ball,
    hold_notice,
    rally,
    set_point_notice,
    with_notices,
    wrong_server,
)
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from tests.ui.walks import all_faults
from ui.face import SHAPES, Face
from ui.stage import ThemeName

FLOOR, LEAST = 17, 64
WIDE, TALL, PHONE = SHAPES[Face.NET].sizes
SIZES = [WIDE, TALL, PHONE]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", list(scenes(Face.NET)))
def test_every_state_is_readable(face: OpenFace, state: str, size: tuple[int, int]) -> None:
    """No text is cut, overlaps or is too small; every target is large, named, inside; in both themes."""
    rig = face("net", state, size=size)
    for theme in ThemeName:
        rig.stage.theme.setProperty("bright", theme is ThemeName.BRIGHT)
        rig.settle()
        assert all_faults(rig, 18 if size == PHONE else FLOOR, LEAST) == []


def longer(snapshot: Snapshot) -> Snapshot:
    """The same moment with the longest names a team may have, and the highest numbers and counts."""
    a = replace(snapshot.a, name="Bridgefield Lynx", short="Bridgefie", time_outs=2, substitutions=12)
    b = replace(snapshot.b, name="Northfield Lions", short="Northfiel", substitutions=12)
    return replace(snapshot, a=a, b=b, court="Court 128")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", list(scenes(Face.NET)))
def test_long_names_have_room(face: OpenFace, state: str, size: tuple[int, int]) -> None:
    """Names as wide as set-up allows (222 px at 28 px bold), court 128, counts at their limits."""
    scene = scenes(Face.NET)[state]
    rig = face("net", Scene(longer(scene.snapshot), scene.act, desk=scene.desk), size=size)
    assert all_faults(rig, FLOOR, LEAST) == []


def ready_to_answer(rig: Rig, name: str = "net.answer.pad") -> None:
    """Wait out the arming delay of a pad."""
    rig.until(rig.item(name), "armed", True)


def shown(rig: Rig, name: str) -> float:
    """Where the middle of an item stands across the window, px."""
    return rig.rect(rig.item(name)).center().x()


def test_r2_sees_the_tables_side(face: OpenFace) -> None:
    """The team on the table's left is on R2's left, and goes right when the courts change."""
    rig = face("net", "dead_ball")
    assert shown(rig, "score.A") < shown(rig, "score.B")
    rig.stage.court.update(replace(dead_ball("R2"), left="B"))
    rig.settle()
    assert shown(rig, "score.A") > shown(rig, "score.B")


@pytest.mark.parametrize("size", SIZES)
def test_the_number_pads_keep_the_half_turn(face: OpenFace, size: tuple[int, int]) -> None:
    """Left team: 5 4, 6 3, 1 2 from its back to the net; right team the same turned by half a turn."""
    rig = face("net", Scene(dead_ball("R2"), scenes(Face.NET)["call_second"].act), size=size)

    def grid(team: str) -> list[int]:
        spots = (dead_ball("R2").a if team == "A" else dead_ball("R2").b).spots
        places = {spot.position: rig.rect(rig.item(f"net.numbers.{team}.{spot.number}")) for spot in spots}
        return sorted(places, key=lambda p: (round(places[p].center().y()), places[p].center().x()))

    assert grid("A") == [5, 4, 6, 3, 1, 2]
    assert grid("B") == [2, 1, 3, 6, 4, 5]
    assert list(reversed(grid("A"))) == grid("B")


def test_the_hold_hand_moves_the_pads_and_not_the_court(face: OpenFace) -> None:
    """Right hand: the well goes right, the teams stay."""
    rig = face("net", "before")
    rig.tap("net.before.right")
    rig.stage.court.update(dead_ball("R2"))
    rig.settle()
    assert shown(rig, "net.well.hold") > WIDE[0] / 2
    assert shown(rig, "score.A") < shown(rig, "score.B")


@pytest.mark.parametrize("size", SIZES)
def test_wrong_server_is_two_taps(face: OpenFace, size: tuple[int, int]) -> None:
    """Pad, number on the court: all are told; within six seconds it can be taken back."""
    rig = face("net", "dead_ball", size=size)
    rig.tap("net.well.server")
    rig.tap("net.numbers.A.12")
    assert rig.sent == [Raise("wrong_server", "A", 12)]
    assert rig.seen("net.well.server")


def test_a_wrong_server_may_come_from_the_bench(face: OpenFace) -> None:
    """A number that is not on court is no further away."""
    rig = face("net", "wrong_server_pick")
    rig.tap("net.bench.B.9")
    assert rig.sent == [Raise("wrong_server", "B", 9)]


def test_the_own_notice_can_be_undone_for_six_seconds_and_held_back_after(face: OpenFace) -> None:
    """Undo withdraws it by a tap; later the pad must be held, or pressed twice by a screen reader."""
    rig = face("net", "dead_ball")
    rig.tap("net.well.server")
    rig.tap("net.numbers.A.12")
    rig.stage.court.update(scenes(Face.NET)["own_wrong_server"].snapshot)
    rig.settle()
    assert rig.seen("net.tray.undo") and not rig.seen("net.tray.back")
    rig.wait(6.25)
    assert rig.seen("net.tray.back") and not rig.seen("net.tray.undo")
    rig.assist("net.tray.back")
    assert rig.of_kind(WithdrawNotice) == []
    assert all_faults(rig, FLOOR, LEAST) == []
    rig.assist("net.tray.back")
    assert rig.of_kind(WithdrawNotice) == [WithdrawNotice("n-server", "a slip")]


def test_undo_takes_the_fresh_notice_back(face: OpenFace) -> None:
    """One tap while the six seconds run."""
    rig = face("net", "dead_ball")
    rig.tap("net.well.server")
    rig.tap("net.numbers.A.12")
    rig.stage.court.update(scenes(Face.NET)["own_wrong_server"].snapshot)
    rig.tap("net.tray.undo")
    assert rig.of_kind(WithdrawNotice) == [WithdrawNotice("n-server", "a slip")]
    assert not rig.seen("net.tray.undo")


CALLS = [
    ("net", RallyFault.NET),
    ("centre_line", RallyFault.CENTRE_LINE),
    ("antenna", RallyFault.ANTENNA),
    ("back_row", RallyFault.BACK_ROW),
    ("libero_attack", RallyFault.LIBERO_ATTACK),
    ("outside_object", RallyFault.OUTSIDE_OBJECT),
    ("position", RallyFault.POSITION),
]


@pytest.mark.parametrize(("pad", "fault"), CALLS)
@pytest.mark.parametrize("size", SIZES)
def test_a_call_is_two_taps(face: OpenFace, pad: str, fault: RallyFault, size: tuple[int, int]) -> None:
    """Fault, number: the point with fault and number is asked of the one who writes."""
    rig = face("net", "call_first", size=size)
    rig.tap(f"net.call.{pad}")
    rig.tap("net.numbers.B.10")
    assert rig.sent == [match.Point(Team.A, fault, 10)]
    assert not rig.seen("net.phone.undo") and not rig.seen("net.tray.undo")
    rig.stage.court.update(written(dead_ball("R2")))
    rig.tap("net.phone.undo" if size == PHONE else "net.tray.undo")
    assert rig.sent[1:] == [match.Strike(b"\xca\x11", "a slip")]


@pytest.mark.parametrize("size", SIZES)
def test_a_number_not_seen_says_what_it_costs(face: OpenFace, size: tuple[int, int]) -> None:
    """Both pads name the point and the score it leads to, as R2 reads it."""
    rig = face("net", "call_second", size=size)
    assert {"point B, 23:22", "point A, 24:21"} <= set(rig.texts())
    rig.tap("net.call.unseenA")
    assert rig.sent == [match.Point(Team.B, RallyFault.NET, None)]


@pytest.mark.parametrize("size", SIZES)
def test_only_receivers_can_be_out_of_position(face: OpenFace, size: tuple[int, int]) -> None:
    """A serves: A's pads are off for that call."""
    rig = face("net", "call_position", size=size)
    assert not rig.item("net.numbers.A.7").isEnabled()
    assert rig.item("net.numbers.B.3").isEnabled()


def test_without_a_fault_no_number_can_be_tapped(face: OpenFace) -> None:
    """The first tap is the fault."""
    rig = face("net", "call_first")
    rig.click(rig.rect(rig.item("net.numbers.A.7")).center().toPoint())
    assert rig.sent == [] and rig.seen("net.call.net")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("pad", "raised"),
    [
        ("net.conduct.coach", Raise("conduct", "B", None, "coach")),
        ("net.conduct.spectator", Raise("conduct", "B", None, "spectator")),
        ("net.conduct.17", Raise("conduct", "B", 17, "player")),
    ],
)
def test_a_report_is_side_and_who(face: OpenFace, size: tuple[int, int], pad: str, raised: Raise) -> None:
    """Side, then coach, spectator or a player's number."""
    rig = face("net", "dead_ball", size=size)
    rig.tap("net.well.conduct")
    rig.tap("net.conduct.sideB")
    rig.tap(pad)
    assert rig.sent == [raised]


@pytest.mark.parametrize("size", SIZES)
def test_between_sets_only_conduct_can_be_told_of(face: OpenFace, size: tuple[int, int]) -> None:
    """No call, no wrong server, no hold; a report works as ever."""
    rig = face("net", "between_sets", size=size)
    acts = [f"net.well.{pad}" for pad in ("call", "server", "hold")]
    assert not any(rig.seen(act) and rig.item(act).isEnabled() for act in acts)
    rig.tap("net.well.conduct")
    rig.tap("net.conduct.sideA")
    rig.tap("net.conduct.coach")
    assert rig.sent == [Raise("conduct", "A", None, "coach")]


@pytest.mark.parametrize("page", ["call_first", "wrong_server_pick", "conduct_side", "substitution"])
def test_cancel_does_nothing(face: OpenFace, page: str) -> None:
    """Away from every page, nothing is sent."""
    rig = face("net", page)
    rig.tap("net.page.cancel")
    assert rig.sent == [] and rig.seen("net.well.hold")


@pytest.mark.parametrize("page", ["call_second", "wrong_server_pick", "conduct_who", "substitution"])
@pytest.mark.parametrize("size", SIZES)
def test_a_now_takes_the_face_from_any_page(face: OpenFace, page: str, size: tuple[int, int]) -> None:
    """The page goes, the plate and its pad are there; the pad is deaf at first, where Cancel was."""
    rig = face("net", page, size=size)
    rig.slow("arming")
    rig.stage.court.update(wrong_server("R2"))
    rig.settle()
    assert not rig.seen("net.page.cancel")
    rig.tap("net.answer.pad")
    assert rig.of_kind(AnswerNotice) == []


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("target", ["net.answer.pad", "net.tray.plate"])
@pytest.mark.parametrize("state", ["wrong_server", "set_point_asked"])
def test_plate_and_pad_both_answer(face: OpenFace, size: tuple[int, int], target: str, state: str) -> None:
    """One act, no aim: pad or plate."""
    rig = face("net", state, size=size)
    ready_to_answer(rig, target)
    rig.tap(target)
    notice = "n-server" if state == "wrong_server" else "n-set-point"
    assert rig.of_kind(AnswerNotice) == [AnswerNotice(notice)]


def test_sliding_off_the_pad_answers_nothing(face: OpenFace) -> None:
    """Release outside cancels."""
    rig = face("net", "wrong_server")
    ready_to_answer(rig)
    place = rig.middle("net.answer.pad")
    rig.press(place)
    rig.slide(QPoint(place.x(), 400))
    rig.lift(QPoint(place.x(), 400))
    assert rig.of_kind(AnswerNotice) == []


def test_what_is_on_show_is_said_to_be_shown(face: OpenFace) -> None:
    """After 400 ms the crew hears it, for the tray as for the phone."""
    for size in SIZES:
        rig = face("net", "wrong_server", size=size)
        rig.eventually(lambda rig=rig: rig.of_kind(Shown) == [Shown("n-server")])  # type: ignore[misc]


@pytest.mark.parametrize("size", SIZES)
def test_set_point_is_told_by_one_act(face: OpenFace, size: tuple[int, int]) -> None:
    """The suggestion has no hue and no notice before R2's tap."""
    rig = face("net", "set_point_tip", size=size)
    ready_to_answer(rig, "net.answer.tell")
    rig.tap("net.answer.tell")
    assert rig.sent == [Raise("set_point", "A", None, "24:21")]


def test_no_suggestion_in_a_rally(face: OpenFace) -> None:
    """Set point is not offered while the ball is in play."""
    snapshot = scenes(Face.NET)["set_point_tip"].snapshot
    rig = face("net", replace(snapshot, phase="rally"))
    assert not rig.seen("net.answer.tell")


def test_hold_and_release(face: OpenFace) -> None:
    """One tap holds; the same pad lets go, whoever has answered by then."""
    rig = face("net", "dead_ball")
    rig.tap("net.well.hold")
    assert rig.sent == [Hold("R2 asks to wait")]
    rig.stage.court.update(with_notices(dead_ball("R2"), replace(hold_notice("R2"), state="answered")))
    rig.tap("net.well.hold")
    assert rig.sent[1:] == [Release()]


def test_ready_waits_for_the_own_hold(face: OpenFace) -> None:
    """Ready is offered while the chain holds, but not over a hold of one's own."""
    rig = face("net", "ready_held")
    ready_to_answer(rig, "net.answer.ready")
    rig.tap("net.answer.ready")
    assert rig.sent == [Ready()]
    held = scenes(Face.NET)["ready_held"].snapshot
    rig.stage.court.update(replace(held, notices=(hold_notice("R2"),)))
    rig.settle()
    assert not rig.item("net.answer.ready").isEnabled()


def test_the_table_holds_the_service_is_said_large(face: OpenFace) -> None:
    """Who holds, why, and for how long."""
    rig = face("net", "ready_held")
    assert {"The table holds the service", "Writing Team B, 17 in for 8", "0:08"} <= set(rig.texts())
    rig.wait(3.0)
    assert "0:11" in rig.texts()


def test_in_a_rally_a_soon_is_one_grey_line(face: OpenFace) -> None:
    """No plate, no hue, nothing to answer; the numbers on court are off and regular."""
    rig = face("net", "rally")
    assert {"1 waits for the dead ball", "Supervisor: The spare ball is on its way"} <= set(rig.texts())
    assert not rig.seen("net.answer.pad") and not rig.seen("net.tray.plate")
    numbers = [item for item in rig.items() if item.property("text") == "15"]
    off = rig.stage.theme.property("off")
    assert numbers and all(item.property("color") == off for item in numbers)


def test_one_legal_partner_needs_no_second_tap(face: OpenFace) -> None:
    """13 can only go in for 12: one tap fills both."""
    rig = face("net", "substitution")
    rig.tap("net.subs.A.in.13")
    assert {"13", "12", "Legal", "5th of 12"} <= set(rig.texts())
    rig.tap("net.subs.done")
    assert rig.sent == [match.Substitute(Team.A, (match.Pair(13, 12),))]


@pytest.mark.parametrize("size", [WIDE, TALL])
def test_two_requests_go_one_at_a_time(face: OpenFace, size: tuple[int, int]) -> None:
    """First come, first served; R2 can turn the order round; each Done is one request to the table."""
    rig = face("net", "substitution_two", size=size)
    assert "Ask Team A to wait." in rig.texts()
    rig.tap("net.subs.A.first")
    assert "Ask Team B to wait." in rig.texts()
    rig.tap("net.subs.done")
    assert rig.sent == [match.Substitute(Team.A, (match.Pair(19, 2),))]
    rig.tap("net.subs.done")
    assert rig.sent[1:] == [match.Substitute(Team.B, (match.Pair(17, 8),))]
    assert rig.seen("net.well.hold")


def test_an_illegal_substitution_says_why_and_cannot_be_done(face: OpenFace) -> None:
    """The reason stands in the card; Done is off."""
    rig = face("net", "substitution_illegal")
    assert {"Not legal", "17 came in for 8 and can only go back for 8."} <= set(rig.texts())
    assert not rig.item("net.subs.done").isEnabled()


def test_the_next_pair_of_the_same_request(face: OpenFace) -> None:
    """A team that has asked in this interruption goes on with its request."""
    asked = with_exchanges(replace(dead_ball("R2"), a=replace(dead_ball("R2").a, asked=True)))
    rig = face("net", Scene(asked, scenes(Face.NET)["substitution"].act))
    rig.tap("net.subs.A.in.13")
    rig.tap("net.subs.done")
    assert rig.sent == [match.Substitute(Team.A, (match.Pair(13, 12),), same_request=True)]


@pytest.mark.parametrize("size", [WIDE, TALL])
def test_a_difference_at_the_line_up_check(face: OpenFace, size: tuple[int, int]) -> None:
    """Place, number: R1 is asked; the box shows both numbers; "I misread it" takes it back."""
    rig = face("net", "check", size=size)
    rig.tap("net.check.place4")
    rig.tap("net.check.number11")
    said = Raise("check_sheet", "A", 11, "position 4, line-up sheet 12")
    found = TickDuty("positions", "A", "11 stands at position 4, line-up sheet 12")
    assert rig.sent == [said, found]
    assert {"sheet 12", "on court 11", "Sheet stands", "11 stays"} <= set(rig.texts())
    assert not rig.item("net.check.agree").isEnabled()
    question = scenes(Face.NET)["check_question"].snapshot
    rig.stage.court.update(question)
    rig.tap("net.check.misread")
    assert rig.of_kind(WithdrawNotice) == [WithdrawNotice("n-sheet", "misread")]
    assert rig.of_kind(TickDuty)[1:] == [TickDuty("positions", "A")]


def test_the_coachs_word_closes_the_question(face: OpenFace) -> None:
    """ "Sheet stands" or "11 stays": the notice is dealt with, in words."""
    rig = face("net", "check_question")
    rig.tap("net.check.stays")
    assert rig.of_kind(CloseNotice) == [CloseNotice("n-sheet", "11 stays, a substitution")]


def test_both_teams_agree_and_r2_has_checked(face: OpenFace) -> None:
    """Left team first, then the right one: each is ticked off."""
    rig = face("net", "check")
    assert "Team A, as you see it" in rig.texts()
    rig.tap("net.check.agree")
    assert "Team B, as you see it" in rig.texts()
    assert rig.sent == [TickDuty("positions", "A")]
    rig.tap("net.check.agree")
    assert rig.sent == [TickDuty("positions", "A"), TickDuty("positions", "B")]
    assert not rig.item("net.check.agree").isEnabled()


def test_a_notice_is_answered_during_the_check_too(face: OpenFace) -> None:
    """A hold by another post takes the place of "Line-up agrees"."""
    rig = face("net", "check_asked")
    ready_to_answer(rig)
    rig.tap("net.answer.pad")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-hold")]
    assert not rig.seen("net.check.agree")


def test_r1_by_sign_is_entered_for_r1(face: OpenFace) -> None:
    """A decision that waits for R1 can be entered as given by sign, and names both."""
    rig = face("net", "decision")
    rig.until(rig.item("net.decision.agree"), "armed", True)
    rig.tap("net.decision.agree")
    [sent] = rig.sent
    assert (getattr(sent, "proposal", ""), getattr(sent, "on_behalf", "")) == ("p1", "R1")


def test_r1s_sign_to_a_now_is_entered_for_r1(face: OpenFace) -> None:
    """R1 has not tapped: the plate says "use the whistle", and a sign that R2 saw can be entered."""
    rig = face("net", "own_not_answered")
    assert {"R1 not answered: use the whistle", "R1 has not answered yet"} <= set(rig.texts())
    rig.tap("net.tray.sign")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-hold", "R1")]


def test_two_that_wait_are_counted(face: OpenFace) -> None:
    """The most urgent is on show, with "1 of 2"."""
    rig = face("net", "stack")
    assert {"Wrong server", "1 of 2"} <= set(rig.texts())


@pytest.mark.parametrize("size", SIZES)
def test_a_refusal_is_said_in_one_sentence(face: OpenFace, size: tuple[int, int]) -> None:
    """What was not done and why, for six seconds."""
    rig = face("net", "call_second", size=size)
    rig.refuse = RefusalView("The match has moved on. Ask again.")
    rig.tap("net.call.unseenA")
    assert "The match has moved on. Ask again." in rig.texts()
    rig.wait(6.25)
    assert "The match has moved on. Ask again." not in rig.texts()


def test_a_refusal_leaves_nothing_to_undo(face: OpenFace) -> None:
    """The refusal comes later, with a snapshot: undo must not reach for the line before."""
    rig = face("net", "call_second")
    rig.tap("net.call.unseenA")
    refused = RefusalView("Play is stopped. Resume first.", "", 1.0)
    rig.stage.court.update(replace(dead_ball("R2"), refusal=refused))
    rig.settle()
    rig.stage.court.update(written(replace(dead_ball("R2"), refusal=refused)))
    rig.wait(6.25)
    assert not rig.seen("net.tray.undo")


def test_a_lost_post_is_named_with_its_age(face: OpenFace) -> None:
    """Ten seconds of silence: name and age in bold, no plate, no hue."""
    for size in SIZES:
        rig = face("net", "link_lost", size=size)
        assert "R1 0:42" in rig.texts()


def test_a_rally_ends_a_half_made_substitution(face: OpenFace) -> None:
    """The page goes with the service hit, and nothing is left of the request."""
    rig = face("net", "substitution_two")
    rig.stage.court.update(rally("R2"))
    rig.settle()
    assert not rig.seen("net.subs.done")
    assert str(rig.stage.court.exchangeA.state) == "none"  # type: ignore[attr-defined]


def test_the_pulse_stands_still_with_reduced_motion(face: OpenFace) -> None:
    """A NOW is steady where motion is not wanted."""
    rig = face("net", "wrong_server", reduced_motion=True)
    ink = rig.stage.theme.property("ink")
    for _ in range(4):
        frame = rig.picture().pixelColor(WIDE[0] - 24 - 3, WIDE[1] - 100)
        assert frame.name() == ink.name()
        rig.wait(0.25)


def test_own_notices_do_not_block_the_answer_to_others(face: OpenFace) -> None:
    """What must be answered comes first, the own notice steps back."""
    told = with_notices(dead_ball("R2"), conduct_notice("R2"), set_point_notice("R2"))
    rig = face("net", told)
    assert not rig.seen("net.answer.pad")
    asked = replace(conduct_notice("R1"), asked=True, mine=False, raised_by="R1")
    rig.stage.court.update(with_notices(dead_ball("R2"), asked, set_point_notice("R2")))
    rig.settle()
    assert rig.seen("net.answer.pad")


@pytest.mark.parametrize("size", [WIDE, TALL])
def test_who_has_checked_stands_under_the_sheet(face: OpenFace, size: tuple[int, int]) -> None:
    """Table and R2, each in words; a fault with its team."""
    rig = face("net", "check_found", size=size)
    assert "team A: 11 stands at position 4, line-up sheet 12" in rig.texts()
    assert rig.named("Table checked") and rig.named("R2 team A: 11 stands")
    rig = face("net", "check_done", size=size)
    assert rig.named("Table not checked yet") and rig.named("R2 checked")
    assert not rig.item("net.check.agree").isEnabled()


def test_captains_hands_are_ticked_where_the_rules_want_them(face: OpenFace) -> None:
    """The hand of the team on show; elsewhere there is no pad for it."""
    rig = face("net", "check_hands")
    assert not rig.seen("net.check.handB")
    rig.tap("net.check.handA")
    assert rig.sent == [TickDuty("captain_hand", "A")]
    assert not face("net", "check").seen("net.check.handA")


def test_ready_says_that_the_positions_fit_where_they_are_due(face: OpenFace) -> None:
    """The chain waits for R2's check: the pad ticks it, and says so."""
    rig = face("net", "ready_unchecked")
    assert {"Checked", "You: check the positions", "positions not checked yet"} <= set(rig.texts())
    rig.until(rig.item("net.answer.ready"), "armed", True)
    rig.tap("net.answer.ready")
    assert rig.sent == [TickDuty("positions")]


def test_the_stops_say_what_is_missing(face: OpenFace) -> None:
    """Under each stop a word or two."""
    told = {"holds", "tracked", "you", "told last"}
    assert told <= set(face("net", "ready_held").texts())


@pytest.mark.parametrize("size", [WIDE, TALL, PHONE])
@pytest.mark.parametrize(("pad", "agrees"), [("agree", True), ("no", False)])
def test_r2_agrees_to_a_change_of_an_old_line(
    face: OpenFace, size: tuple[int, int], pad: str, agrees: bool
) -> None:
    """Before and after stand beside the two pads; one tap is R2's own word."""
    rig = face("net", "old_line", size=size)
    assert "Old line: 23:21 becomes 22:21" in rig.texts()
    rig.until(rig.item(f"net.decision.{pad}"), "armed", True)
    rig.tap(f"net.decision.{pad}")
    assert rig.sent == [Consent("01d1", agrees)]


@pytest.mark.parametrize("state", ["old_line_r1", "old_line_said", "old_line_rally"])
def test_no_pads_where_r2_is_not_asked_now(face: OpenFace, state: str) -> None:
    """It waits for R1, R2 has spoken, or the ball is in play."""
    for size in SHAPES[Face.NET].sizes:
        assert not face("net", state, size=size).seen("net.decision.agree")


def test_a_late_duty_is_ticked_off(face: OpenFace) -> None:
    """The late one comes first; whose are late is said."""
    rig = face("net", "duties")
    assert {"Everybody is here", "late: R2, R1", "R1 comes from court 3"} <= set(rig.texts())
    rig.until(rig.item("net.duty.done"), "armed", True)
    rig.tap("net.duty.done")
    assert rig.sent == [TickDuty("roll_call")]


@pytest.mark.parametrize("size", SHAPES[Face.NET].sizes)
def test_a_device_without_a_job_says_so(face: OpenFace, size: tuple[int, int]) -> None:
    """And offers nothing to tap."""
    rig = face("net", "lost", size=size)
    assert "No job here" in rig.texts()
    for name in ("net.well.call", "net.tray.subA"):
        assert not rig.seen(name)


@pytest.mark.parametrize("size", SHAPES[Face.NET].sizes)
def test_a_silent_medical_call_says_what_to_do(face: OpenFace, size: tuple[int, int]) -> None:
    """Send a person, phone."""
    assert any("send a person, phone" in text for text in face("net", "medical", size=size).texts())
