"""What the gallery draws: a named scene is a snapshot and, if need be, taps or keys before the picture."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec

from crewlink.snapshot import BoardSnapshot, Snapshot
from ui.bridge.setup_port import Desk
from ui.bridge.setup_view import SetupView
from ui.bridge.submit import Ask
from ui.face import SHAPES, Face
from ui.stage import Stage


@dataclass(frozen=True, slots=True)
class Scene:
    """`act` drives the shown stage (opens a page, types a number) before the picture is taken.

    `ask` says what the rules say to an act that is being typed. `board`: the courts of the board face.
    `desk`: the world behind the set-up face.
    """

    snapshot: Snapshot
    act: Callable[[Stage], None] | None = None
    ask: Ask | None = None
    board: BoardSnapshot | None = None
    desk: Desk | None = None

    def setup(self, now: Callable[[], float]) -> SetupView | None:
        """The set-up face's view of its desk; None for other faces."""
        return None if self.desk is None else SetupView(self.desk, now=now)


def scenes(face: Face) -> dict[str, Scene]:
    """The scenes of a face by name: `SCENES` of tests/gallery/<face>_states.py."""
    name = f"tests.gallery.{face}_states"
    if find_spec(name) is None:
        return {}
    found: dict[str, Scene] = import_module(name).SCENES
    return found


def built_faces() -> list[Face]:
    """Faces that exist."""
    return list(SHAPES)
