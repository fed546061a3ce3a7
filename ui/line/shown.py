"""What the number line and the key strip show: plain words, ready to draw."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KeyShown:
    """One key of the strip: word, second line, whether it is the key to press, whether it has no use now."""

    word: str = ""
    hint: str = ""
    lit: bool = False
    idle: bool = False


@dataclass(frozen=True, slots=True)
class SlotShown:
    """One box of the line: `live` has the keys, `picks` is chosen with Up and Down."""

    key: str
    label: str
    value: str
    live: bool
    picks: bool = False


@dataclass(frozen=True, slots=True)
class ArrowShown:
    """An end of the line: what the arrow does, the value that follows, and what that means."""

    word: str = ""
    value: str = ""
    hint: str = ""


NO_ARROW = ArrowShown()


@dataclass(frozen=True, slots=True)
class LineShown:
    """The line. `verb` "" is the idle line with its arrows; `mark` names a mark; `said` is "", "yes" or "no".

    `left`: seconds that the undo strip still stands, -1 without one. `guarded`: a point is pressed twice.
    """

    verb: str = ""
    mark: str = ""
    lane: str = ""
    value: str = ""
    hint: str = ""
    message: str = ""
    slots: tuple[SlotShown, ...] = ()
    said: str = ""
    at_left: ArrowShown = NO_ARROW
    at_right: ArrowShown = NO_ARROW
    typed: str = ""
    prompt: str = ""
    pressing: str = ""
    left: int = -1
    guarded: bool = False
