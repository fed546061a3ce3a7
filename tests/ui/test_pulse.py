"""The pulse as it is drawn: never over three flashes a second, steady after five, none when answered."""

from __future__ import annotations

from itertools import pairwise

from msgspec.structs import replace
from PySide6.QtGui import QColor

from tests.gallery.states import with_notices, wrong_server, wrong_server_notice
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from tests.ui.sight import luminance

STEP = 0.05


def watch(rig: Rig, seconds: float) -> list[tuple[float, float]]:
    """Luminance of the frame, read from the picture: (time, value) every 50 ms."""
    seen = []
    start = rig.now
    for step in range(int(seconds / STEP)):
        rig.now = start + step * STEP
        rig.stage.court.beat()
        seen.append((step * STEP, luminance(QColor(rig.picture().pixel(3, 150)).name())))
    return seen


def changes(seen: list[tuple[float, float]]) -> list[float]:
    """When the luminance changed by a tenth or more."""
    return [time for (_, before), (time, after) in pairwise(seen) if abs(after - before) >= 0.1]


def test_two_flashes_a_second_for_five_seconds(face: OpenFace) -> None:
    """At most three flashes (six changes) in any second (WCAG 2.3.1); none after five seconds."""
    rig = face("wrist", "wrong_server")
    turns = changes(watch(rig, 8.0))
    assert len(turns) == 20
    assert all(sum(1 for turn in turns if start <= turn < start + 1) <= 4 for start in turns)
    assert max(turns) <= 5.0 + STEP


def test_answering_stops_it_at_once(face: OpenFace) -> None:
    """The frame after the answer is the last change."""
    rig = face("wrist", "wrong_server")
    assert changes(watch(rig, 1.2)) != []
    waits = replace(wrong_server_notice("R1"), state="answered", asked=False)
    rig.stage.court.update(replace(with_notices(wrong_server("R1"), waits), taken=rig.now))
    assert changes(watch(rig, 3.0)) == []


def test_reduced_motion_never_flashes(face: OpenFace) -> None:
    """A steady frame from the start."""
    rig = face("wrist", "wrong_server", reduced_motion=True)
    assert changes(watch(rig, 3.0)) == []
