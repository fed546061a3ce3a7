"""R1 says on the wrist how a report, an injury or a call for help ended: three taps from the calm face."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from crewlink.crew.commands import AnswerNotice, CloseNotice, HoldNotice
from crewlink.snapshot import NoticeView
from tests.gallery.states import conduct_notice, hold_notice, with_notices
from tests.gallery.wrist_states import CALM, KNOWN, SET_POINT
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from ui.face import SHAPES, Face

SIZES = SHAPES[Face.WRIST].sizes
LONG = replace(KNOWN, title="Check the score sheet", kind="check_sheet", outcomes=("put right",))


def armed(rig: Rig, name: str) -> None:
    """Wait out the arming delay of a pad, then tap it."""
    rig.until(rig.item(name), "armed", True)
    rig.tap(name)


@pytest.mark.parametrize("size", SIZES)
def test_three_taps_say_how_it_ended(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("wrist", with_notices(CALM, KNOWN), size=size)
    rig.tap("wrist.calm.tell")
    armed(rig, "wrist.tell.point")
    armed(rig, "wrist.ends.0")
    assert rig.of_kind(CloseNotice) == [CloseNotice("n-conduct", "talked to them")]
    assert not rig.seen("wrist.ends.0")


@pytest.mark.parametrize("notice", [KNOWN, LONG], ids=["short", "long"])
def test_the_pad_names_what_is_over(face: OpenFace, notice: NoticeView) -> None:
    rig = face("wrist", with_notices(CALM, notice))
    rig.tap("wrist.calm.tell")
    assert ("Conduct over" if notice is KNOWN else "It is over") in rig.texts()


def test_set_point_keeps_its_pad(face: OpenFace) -> None:
    rig = face("wrist", with_notices(SET_POINT, KNOWN))
    rig.tap("wrist.calm.tell")
    assert "Set point" in rig.texts() and "Conduct over" not in rig.texts()


def test_what_r1_may_not_close_is_not_offered(face: OpenFace) -> None:
    rig = face("wrist", with_notices(CALM, replace(KNOWN, closes=False)))
    rig.tap("wrist.calm.tell")
    assert "Conduct over" not in rig.texts()


@pytest.mark.parametrize("size", SIZES)
def test_what_can_wait_is_put_off_by_a_target_of_its_own(face: OpenFace, size: tuple[int, int]) -> None:
    """It is far from the pad that answers, and the plate itself still does nothing."""
    rig = face("wrist", with_notices(CALM, conduct_notice("R1")), size=size)
    later, answer = rig.rect(rig.item("wrist.notice.later")), rig.rect(rig.item("wrist.notice.answer"))
    assert answer.top() - later.bottom() >= 120
    rig.until(rig.item("wrist.notice.later"), "armed", True)
    rig.click(rig.middle("wrist.notice.plate"))
    assert rig.of_kind(HoldNotice) == [] == rig.of_kind(AnswerNotice)
    rig.tap("wrist.notice.later")
    assert rig.of_kind(HoldNotice) == [HoldNotice("n-conduct")]
    rig.tap("wrist.notice.answer")
    assert rig.of_kind(AnswerNotice) == [AnswerNotice("n-conduct")]


def test_what_must_be_answered_now_can_not_be_put_off(face: OpenFace) -> None:
    for notice in (hold_notice("R1"), replace(conduct_notice("R1"), puts_off=False)):
        rig = face("wrist", with_notices(CALM, notice))
        assert not rig.seen("wrist.notice.later")
