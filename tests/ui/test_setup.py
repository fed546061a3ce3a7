"""The set-up face: every page readable, every step led by tap and by key, nothing sent too early."""

from __future__ import annotations

import pytest

from tests.gallery.scene import scenes
from tests.ui.conftest import OpenFace
from tests.ui.walks import all_faults
from ui.face import SHAPES, Face
from ui.stage import ThemeName

FLOOR, LEAST = 17, 64


@pytest.mark.parametrize("theme", list(ThemeName))
@pytest.mark.parametrize("size", SHAPES[Face.SETUP].sizes)
@pytest.mark.parametrize("state", list(scenes(Face.SETUP)))
def test_every_state_is_readable(face: OpenFace, state: str, size: tuple[int, int], theme: ThemeName) -> None:
    """No text is cut, overlaps or is too small; every target is large enough, named and inside."""
    rig = face("setup", state, theme=theme, size=size)
    assert all_faults(rig, FLOOR, LEAST) == []
