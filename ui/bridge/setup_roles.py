"""The roles of the set-up face's lists, and their rows: a role's name is the row's field in lowerCamel."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from PySide6.QtCore import Qt

_FIRST = int(Qt.ItemDataRole.UserRole)


class HeardRole(IntEnum):
    """A court that can be heard (`HeardRow`)."""

    key = _FIRST + 1
    number = _FIRST + 2
    title = _FIRST + 3
    detail = _FIRST + 4
    chosen = _FIRST + 5


class CrewRole(IntEnum):
    """A job of the court (`CrewRow`)."""

    post = _FIRST + 1
    job = _FIRST + 2
    reach = _FIRST + 3
    told = _FIRST + 4


class GuestRole(IntEnum):
    """A device that was in a crew with this one (`GuestRow`)."""

    device = _FIRST + 1
    title = _FIRST + 2
    detail = _FIRST + 3
    act = _FIRST + 4
    post = _FIRST + 5
    live = _FIRST + 6


class KnownRole(IntEnum):
    """A court this device knows (`KnownRow`)."""

    folder = _FIRST + 1
    title = _FIRST + 2
    detail = _FIRST + 3
    job = _FIRST + 4


class ChipRole(IntEnum):
    """A number of a team list (`Chip`)."""

    number = _FIRST + 1
    libero = _FIRST + 2
    captain = _FIRST + 3


class FaultRole(IntEnum):
    """A defect of a form (`Fault`)."""

    flag = _FIRST + 1
    sentence = _FIRST + 2


@dataclass(frozen=True, slots=True)
class HeardRow:
    """A heard court as it is shown."""

    key: str
    number: str
    title: str
    detail: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class CrewRow:
    """A job as it is shown: who holds it, in words."""

    post: str
    job: str
    reach: str
    told: str


@dataclass(frozen=True, slots=True)
class GuestRow:
    """A known device as it is shown. `act`: what a press does; `post`: the job it is invited for, or ""."""

    device: str
    title: str
    detail: str
    act: str
    post: str
    live: bool


@dataclass(frozen=True, slots=True)
class KnownRow:
    """A known court as it is shown."""

    folder: str
    title: str
    detail: str
    job: str


@dataclass(frozen=True, slots=True)
class Chip:
    """A player's number."""

    number: int
    libero: bool
    captain: bool


@dataclass(frozen=True, slots=True)
class Fault:
    """A defect: the number of its flag, and what is wrong."""

    flag: int
    sentence: str
