"""R2 puts a report off to the next dead ball, and says how a notice ended: R1's word by sign, or the own."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from crewlink.crew.commands import CloseNotice, HoldNotice
from tests.gallery.states import conduct_notice, dead_ball, with_notices
from tests.ui.conftest import OpenFace
from tests.ui.test_net_requests import PHONE, SIZES, armed

KNOWN = replace(conduct_notice("R2"), state="answered")
OWN = replace(KNOWN, kind="help", title="Help to court", closes=True, outcomes=("done", "not needed"))


@pytest.mark.parametrize("size", SIZES)
def test_a_report_is_put_off_by_one_tap(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("net", "conduct_asked", size=size)
    armed(rig, "net.tray.later")
    assert rig.of_kind(HoldNotice) == [HoldNotice("n-conduct")]


@pytest.mark.parametrize("size", SIZES)
def test_what_may_not_wait_has_no_such_pad(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("net", "wrong_server", size=size)
    assert not rig.seen("net.tray.later")


@pytest.mark.parametrize("size", SIZES)
def test_what_r1_signalled_is_entered_for_r1(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("net", with_notices(dead_ball("R2"), KNOWN), size=size)
    rig.tap("net.tray.ends")
    assert "What did R1 signal?" in rig.texts()
    armed(rig, "net.ends.1")
    assert rig.of_kind(CloseNotice) == [CloseNotice("n-conduct", "nothing to do", "R1")]
    assert not rig.seen("net.ends.1")


@pytest.mark.parametrize("size", SIZES)
def test_what_r2_may_close_is_closed_in_the_own_name(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("net", with_notices(dead_ball("R2"), OWN), size=size)
    rig.tap("net.tray.ends")
    assert "How did it end?" in rig.texts()
    armed(rig, "net.ends.0")
    assert rig.of_kind(CloseNotice) == [CloseNotice("n-conduct", "done")]


@pytest.mark.parametrize("size", SIZES)
def test_the_page_goes_when_the_notice_is_over(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("net", with_notices(dead_ball("R2"), KNOWN), size=size)
    rig.tap("net.tray.ends")
    assert rig.seen("net.ends.0")
    rig.stage.court.update(dead_ball("R2"))
    rig.settle()
    assert not rig.seen("net.ends.0") and not rig.seen("net.page.cancel")


def test_nothing_is_ended_while_it_still_asks_here(face: OpenFace) -> None:
    rig = face("net", "conduct_asked", size=PHONE)
    assert not rig.seen("net.tray.ends")
