"""The faces there are: name, QML type, usual sizes, and from which side of the court they look."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Face(StrEnum):
    """A face by its name."""

    TABLE = "table"
    NET = "net"
    WRIST = "wrist"
    BOARD = "board"
    SETUP = "setup"


@dataclass(frozen=True, slots=True)
class FaceShape:
    """`component`: QML type in Crewlink.Ui. `sizes`: windows to draw and test, px, the usual one first."""

    component: str
    title: str
    sizes: tuple[tuple[int, int], ...]
    stand_side: bool = False


SHAPES: dict[Face, FaceShape] = {
    Face.NET: FaceShape("NetFace", "crewlink, second referee", ((1280, 800), (800, 1280), (360, 760))),
    Face.SETUP: FaceShape("SetupFace", "crewlink, before the match", ((1366, 768), (1280, 800), (800, 1280))),
    Face.TABLE: FaceShape("TableFace", "crewlink, scorer's table", ((1366, 768), (1920, 1080))),
    Face.WRIST: FaceShape("WristFace", "crewlink, first referee", ((396, 484), (450, 450)), stand_side=True),
    Face.BOARD: FaceShape("BoardFace", "crewlink, supervisor", ((1920, 1080), (1366, 768))),
}
"""Faces that are built; a new face adds a line."""
