"""The acts that Up or Down steps through, as a list, each with the F-keys that open it at once."""

from __future__ import annotations

from dataclasses import dataclass

from ui.line.shapes import SHAPES, dead_ball_acts, tells
from ui.line.state import Act, Form, Line
from ui.line.world import World

_KEYS = {Act.SUBSTITUTION: "F3 F10", Act.TIME_OUT: "F2 F11", Act.LINE_UP: "F4 F9"}
_OF_THEIR_OWN = (Act.SIGN, Act.AGREE, Act.DEALT, Act.CLOCK, Act.TICK, Act.TOSS, Act.LINE_UP)
"""These show what they are about, not the list."""


@dataclass(frozen=True, slots=True)
class ActShown:
    """An act of the list: its words, its F-keys (left team, right team), whether it is the open one."""

    key: str
    words: str
    keys: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class ActsShown:
    """The list under its title; no rows while nothing is being chosen."""

    title: str = ""
    rows: tuple[ActShown, ...] = ()


NO_ACTS = ActsShown()


def acts_shown(line: Line, world: World) -> ActsShown:
    """The list that the open act belongs to, as long as no number was typed for it."""
    form = line.form
    if form is None or form.act in _OF_THEIR_OWN or _begun(form):
        return NO_ACTS
    told, written = tells(world), dead_ball_acts(world)
    if form.act in told:
        return ActsShown("Tell the crew", _rows(told, form.act))
    return ActsShown("Other acts", _rows(written, form.act)) if form.act in written else NO_ACTS


def _begun(form: Form) -> bool:
    return any(box.typed and box.value for box in form.boxes)


def _rows(acts: tuple[Act, ...], chosen: Act) -> tuple[ActShown, ...]:
    return tuple(ActShown(str(act), _word(act), _KEYS.get(act, ""), act is chosen) for act in acts)


def _word(act: Act) -> str:
    word = SHAPES[act].word
    return word[:1].upper() + word[1:]
