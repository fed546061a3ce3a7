"""Scenes of the wrist face."""

from __future__ import annotations

from msgspec.structs import replace

from tests.gallery.scene import Scene
from tests.gallery.states import conduct_notice, dead_ball, hold_notice, rally, with_notices, wrong_server

_CALM = dead_ball("R1")

SCENES: dict[str, Scene] = {
    "calm": Scene(_CALM),
    "courts_changed": Scene(replace(_CALM, left="B")),
    "rally": Scene(rally("R1")),
    "wrong_server": Scene(wrong_server("R1")),
    "conduct": Scene(with_notices(_CALM, conduct_notice("R1"))),
    "two_waiting": Scene(with_notices(_CALM, hold_notice("R1"), conduct_notice("R1"))),
}
