"""What stands in the number line between two keys: typed figures, an open form, where the focus is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

NEVER = float("-inf")


class Region(StrEnum):
    """Where the focus is, in the order of Tab."""

    LINE = "line"
    NOTICES = "notices"
    LEFT = "left"
    RIGHT = "right"
    HISTORY = "history"
    RAIL = "rail"
    CREW = "crew"


class Act(StrEnum):
    """What can be done from the line, besides a point."""

    WRONG_SERVER = "wrong_server"
    CHECK_SERVER = "check_server"
    HOLD = "hold"
    RELEASE = "release"
    STOP = "stop"
    MEDICAL = "medical"
    CHECK_SHEET = "check_sheet"
    CONDUCT = "conduct"
    SET_POINT = "set_point"
    HELP = "help"
    LATER = "later"
    DEALT = "dealt"
    CLOCK = "clock"
    TICK = "tick"
    SIGN_OFF = "sign_off"
    SIGN_FOR = "sign_for"
    NEXT_MATCH = "next_match"
    ERASE_NAMES = "erase_names"
    SIGN = "sign"
    AGREE = "agree"
    DIFFERS = "differs"
    END_TIME_OUT = "end_time_out"
    CHANGE_COURTS = "change_courts"
    SUBSTITUTION = "substitution"
    TIME_OUT = "time_out"
    LIBERO = "libero"
    LINE_UP = "line_up"
    CORRECTION = "correction"
    CARD = "card"
    DELAY = "delay"
    IMPROPER = "improper"
    CALL = "call"
    REPLAY = "replay"
    TOSS = "toss"
    BEGIN_SET = "begin_set"
    STRIKE = "strike"
    CREW = "crew"
    ARRANGE = "arrange"


class Takes(StrEnum):
    """What a box takes: figures, figures or an X, a team, or one of its choices."""

    NUMBER = "number"
    NUMBER_OR_X = "number_or_x"
    TEAM = "team"
    CHOICE = "choice"


@dataclass(frozen=True, slots=True)
class Box:
    """One box of a form. `choices`: (value, word) pairs; `value` "" is empty."""

    name: str
    label: str
    takes: Takes = Takes.NUMBER
    value: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    optional: bool = False

    @property
    def word(self) -> str:
        """What the box shows."""
        return next((word for value, word in self.choices if value == self.value), self.value)

    @property
    def typed(self) -> bool:
        """Figures go into it."""
        return self.takes in (Takes.NUMBER, Takes.NUMBER_OR_X)


@dataclass(frozen=True, slots=True)
class Form:
    """An act being entered. `live`: the box the keys go to, -1 for the act itself; `reached`: the furthest
    one.

    `armed`: Enter was pressed once on an act that needs it twice. `target`: entry of the history it is about.
    """

    act: Act
    team: str = ""
    boxes: tuple[Box, ...] = ()
    live: int = -1
    reached: int = 0
    armed: bool = False
    target: str = ""
    sent_back: bool = False

    @property
    def box(self) -> Box | None:
        """The box that keys go to."""
        return self.boxes[self.live] if 0 <= self.live < len(self.boxes) else None

    def value(self, name: str) -> str:
        """What stands in a box, "" if there is none of this name."""
        return next((box.value for box in self.boxes if box.name == name), "")

    def number(self, name: str) -> int | None:
        """The number in a box, or None."""
        value = self.value(name)
        return int(value) if value.isdigit() else None

    def put(self, place: int, value: str) -> Form:
        """The form with `value` in a box."""
        boxes = list(self.boxes)
        boxes[place] = replace(boxes[place], value=value)
        return replace(self, boxes=tuple(boxes), armed=False, sent_back=False)

    def go(self, place: int) -> Form:
        """The form with another box live."""
        return replace(self, live=place, reached=max(self.reached, place), armed=False)

    def empty_place(self) -> int:
        """The first box that must be filled and is empty, after the live one first; -1 if all are full."""
        empty = [place for place, box in enumerate(self.boxes) if not box.value and not box.optional]
        return next((place for place in empty if place > self.live), empty[0] if empty else -1)


@dataclass(frozen=True, slots=True)
class Done:
    """The line that was just written: its words and score, and when it was seen here (s)."""

    entry: str
    words: str
    score: str
    lane: str
    at: float


@dataclass(frozen=True, slots=True)
class Line:
    """The number line. `row`: the chosen row of the focused region; `held`: an arrow that is down.

    `point_at`, `undo_at`, `esc_at`: when the last point, undo and first Esc were pressed (s);
    `warned_at`: when a point was put back because R1 decides first.
    """

    typed: str = ""
    form: Form | None = None
    drafts: tuple[Form, ...] = ()
    region: Region = Region.LINE
    row: int = 0
    held: str = ""
    point_at: float = NEVER
    undo_at: float = NEVER
    esc_at: float = NEVER
    warned_at: float = NEVER
    done: Done | None = None

    def draft(self, team: str) -> Form | None:
        """The sheet of a team that was left half written."""
        return next((form for form in self.drafts if form.team == team), None)
