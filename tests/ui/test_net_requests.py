"""What R2 gives and says at the dead ball: time-outs, substitutions on the phone, the check by eye, ready."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from crewlink.crew.commands import Hold, Ready, TickDuty
from crewlink.match import commands as match
from crewlink.match.teams import Team
from tests.gallery.net_states import with_exchanges
from tests.gallery.scene import scenes
from tests.gallery.states import dead_ball, rally, ready_asked, ready_clear, time_out
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from ui.face import SHAPES, Face

WIDE, TALL, PHONE = SHAPES[Face.NET].sizes
SIZES = [WIDE, TALL, PHONE]


def armed(rig: Rig, name: str) -> None:
    """Wait out the arming delay of a pad, then tap it."""
    rig.until(rig.item(name), "armed", True)
    rig.tap(name)


@pytest.mark.parametrize("size", SIZES)
def test_r2_gives_a_time_out_and_ends_it(face: OpenFace, size: tuple[int, int]) -> None:
    """Team A has one left; team B has used both and its pad is off. In the time-out one pad ends it."""
    rig = face("net", "dead_ball", size=size)
    if size == PHONE:
        rig.tap("net.well.pause")
        assert not rig.item("net.pause.B").isEnabled()
        rig.tap("net.pause.A")
    else:
        assert not rig.item("net.tray.timeOutB").isEnabled()
        rig.tap("net.tray.timeOutA")
    assert rig.sent == [match.TimeOut(Team.A)]
    rig.stage.court.update(time_out("R2"))
    rig.settle()
    assert not rig.seen("net.answer.ready") and not rig.seen("net.phone.ready")
    if size == PHONE:
        rig.tap("net.well.pause")
    else:
        armed(rig, "net.answer.play")
    assert rig.sent[1:] == [match.EndTimeOut()]


def test_a_rally_takes_the_time_out_page_away(face: OpenFace) -> None:
    """A half-made request does not outlive the dead ball."""
    rig = face("net", "dead_ball", size=PHONE)
    rig.tap("net.well.pause")
    rig.stage.court.update(rally("R2"))
    rig.settle()
    assert not rig.seen("net.pause.A") and rig.seen("net.phone.call")


def test_a_substitution_on_the_phone_is_seen_legal_and_done(face: OpenFace) -> None:
    """Team, in, out: legal or not in words; only a legal one can be done."""
    rig = face("net", with_exchanges(dead_ball("R2")), size=PHONE)
    rig.tap("net.well.subs")
    assert not rig.item("net.subs.done").isEnabled()
    rig.tap("net.subs.teamB")
    rig.tap("net.subs.B.in.9")
    rig.tap("net.subs.B.out.1")
    assert "Not legal. 17 came in for 8 and can only go back for 8." in rig.texts()
    assert not rig.item("net.subs.done").isEnabled()
    rig.tap("net.subs.B.in.17")
    rig.tap("net.subs.B.out.8")
    assert {"17 in for 8", "Legal, 7th of 12, then 5 left"} <= set(rig.texts())
    rig.tap("net.subs.done")
    assert rig.sent == [match.Substitute(Team.B, (match.Pair(17, 8),))]
    assert rig.seen("net.well.subs")


def test_cancel_on_the_phone_leaves_no_numbers_behind(face: OpenFace) -> None:
    """The next request starts empty."""
    rig = face("net", "substitution_two", size=PHONE)
    rig.tap("net.page.cancel")
    assert rig.sent == [] and str(rig.stage.court.exchangeB.state) == "none"  # type: ignore[attr-defined]


def test_the_line_up_check_is_made_by_eye_on_the_phone(face: OpenFace) -> None:
    """Six numbers a team, one tap each; conduct and hold stay at hand."""
    rig = face("net", "check", size=PHONE)
    assert {"Team A, as you see it", "4", "9", "7", "12", "2", "15"} <= set(rig.texts())
    rig.tap("net.well.hold")
    assert rig.sent == [Hold("R2 asks to wait")]
    rig.tap("net.check.agree")
    assert "Team B, as you see it" in rig.texts()
    rig.tap("net.check.agree")
    assert rig.of_kind(TickDuty) == [TickDuty("positions", "A"), TickDuty("positions", "B")]
    assert "Both teams agree" in rig.texts()


def test_a_duty_is_ticked_on_the_phone(face: OpenFace) -> None:
    """Before the match the next thing to do stands over one pad."""
    rig = face("net", "duties", size=PHONE)
    assert "Everybody is here" in rig.texts()
    armed(rig, "net.duty.done")
    assert rig.sent == [TickDuty("roll_call", "")]


@pytest.mark.parametrize("size", SIZES)
def test_ready_is_loud_and_says_what_happened(face: OpenFace, size: tuple[int, int]) -> None:
    """R2's own device names the act, and why; on the tablet the court stays."""
    rig = face("net", replace(dead_ball("R2"), ready=ready_asked()), size=size)
    assert "Red card B 3, point A" in rig.texts()
    assert size == PHONE or {"You: tap when ready", "15", "0:08"} <= set(rig.texts())
    pad = "net.phone.ready" if size == PHONE else "net.answer.ready"
    ink, filled = rig.stage.theme.property("ink"), rig.item(pad).property("background")
    assert filled.property("color") == ink
    armed(rig, pad)
    assert rig.sent == [Ready()]


@pytest.mark.parametrize("size", SIZES)
def test_after_ready_the_face_says_so(face: OpenFace, size: tuple[int, int]) -> None:
    """Said, and who is still missing; nothing to press any more."""
    waits = ready_asked()
    done = tuple(
        replace(one, state={"Assistant": "waiting", "R2": "done"}.get(one.word, one.state))
        for one in waits.stops
    )
    said = replace(waits, stops=done, sentence="Assistant is not ready yet")
    rig = face("net", replace(dead_ball("R2"), ready=said), size=size)
    assert not rig.seen("net.answer.ready") and not rig.seen("net.phone.ready")
    assert any("You are ready" in text for text in rig.texts())
    assert any("Assistant is not ready yet" in text for text in rig.texts())


@pytest.mark.parametrize("size", [WIDE, TALL])
def test_the_court_gives_way_only_to_a_person(face: OpenFace, size: tuple[int, int]) -> None:
    """A stop that is not ready is a line under the court; a hold by a person takes the middle."""
    for ready in (ready_asked(), ready_clear()):
        assert face("net", replace(dead_ball("R2"), ready=ready), size=size).seen("court.A.2")
    assert not face("net", scenes(Face.NET)["ready_held"], size=size).seen("court.A.2")


def test_a_decision_that_waits_is_told_from_an_answered_notice(face: OpenFace) -> None:
    """On the phone too: what R1 decides, and both ways to enter R1's sign."""
    rig = face("net", "decision", size=PHONE)
    assert "R1 decides: 23:21" in rig.texts()
    armed(rig, "net.decision.no")
    [sent] = rig.sent
    assert (getattr(sent, "agree", None), getattr(sent, "on_behalf", "")) == (False, "R1")
    assert "R1 decides: 23:21" not in face("net", "answered", size=PHONE).texts()
