"""The words of the seven keys for every state. They never move; a key without use is greyed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from crewlink.crew_view import Do
from ui.line import forms
from ui.line.crew import writer_rows
from ui.line.entering import offered
from ui.line.regions import settle_words
from ui.line.shapes import SHAPES
from ui.line.shown import KeyShown
from ui.line.state import Act, Form, Line, Region, Takes
from ui.line.step import ESC_S
from ui.line.told import told
from ui.line.words import UNDO_S
from ui.line.world import World

_IDLE_ENTER = {
    Act.TOSS: KeyShown("Toss", lit=True),
    Act.SIGN: KeyShown("R1 by sign", "as seen"),
    Act.AGREE: KeyShown("Old line", "agree or no", lit=True),
    Act.SIGN_OFF: KeyShown("Sign", lit=True),
    Act.NEXT_MATCH: KeyShown("Next", "match"),
    Act.SIGN_FOR: KeyShown("By sign", "as seen"),
    Act.CHANGE_COURTS: KeyShown("Changed", "courts", lit=True),
    Act.BEGIN_SET: KeyShown("Begin", "the set", lit=True),
    Act.END_TIME_OUT: KeyShown("End it", "time-out", lit=True),
}

_WRITER_ENTER = {
    Do.TAKE: KeyShown("Write here", lit=True),
    Do.ALONE: KeyShown("Write alone", "press twice", lit=True),
    Do.STOP: KeyShown("Stop asking"),
}


@dataclass(frozen=True, slots=True)
class StripShown:
    """The seven keys."""

    enter: KeyShown
    space: KeyShown
    up: KeyShown
    down: KeyShown
    tab: KeyShown
    backspace: KeyShown
    esc: KeyShown

    @property
    def keys(self) -> tuple[KeyShown, ...]:
        """All seven, in their places."""
        return (self.enter, self.space, self.up, self.down, self.tab, self.backspace, self.esc)


USUAL = StripShown(
    enter=KeyShown("Confirm", idle=True),
    space=KeyShown("Got it", "F6", idle=True),
    up=KeyShown("Tell the crew", "F5"),
    down=KeyShown("Other acts", "opens a list"),
    tab=KeyShown("Next region"),
    backspace=KeyShown("Undo", "F7", idle=True),
    esc=KeyShown("Clear", idle=True),
)
"""The words of an empty line with nothing to undo."""


def strip_shown(line: Line, world: World) -> StripShown:
    """What the key strip says."""
    space = USUAL.space if world.top is None else KeyShown("Got it", "F6", lit=line.form is None)
    shown = replace(USUAL, space=space)
    if line.form is not None:
        return _form(shown, line.form, world)
    if line.region is not Region.LINE:
        return _region(shown, line, world)
    return _idle(shown, line, world)


def _idle(shown: StripShown, line: Line, world: World) -> StripShown:
    act = offered(world)
    enter = _IDLE_ENTER.get(act, shown.enter) if act is not None else shown.enter
    if act is Act.ARRANGE:
        enter = _WRITER_ENTER.get(writer_rows(world)[0].offers[0].do, shown.enter)
    if world.top is not None:
        enter = replace(enter, lit=False)
    own, just = world.mine, told(line, world) is not None
    fresh = not just and line.done is not None and world.now - line.done.at < UNDO_S
    esc = shown.esc
    if own is not None:
        esc = KeyShown("Withdraw", "press twice", lit=just or world.now - line.esc_at < ESC_S)
    if line.typed:
        return replace(
            shown,
            enter=KeyShown("Player", "in or out", lit=True),
            backspace=KeyShown("Empty"),
            esc=KeyShown("Clear"),
        )
    undo = KeyShown("Undo", "F7", lit=fresh) if world.snapshot.undo else shown.backspace
    return replace(shown, enter=enter, backspace=undo, esc=esc)


def _region(shown: StripShown, line: Line, world: World) -> StripShown:
    rows = line.region in (Region.HISTORY, Region.NOTICES, Region.CREW)
    up = KeyShown("Line above", idle=not rows)
    down = KeyShown("Line below", idle=not rows)
    enter = KeyShown("Confirm", idle=True)
    if line.region is Region.HISTORY:
        enter = KeyShown("Cross out", "this line", lit=True)
    elif line.region is Region.CREW:
        enter = KeyShown("Choose", "this one", lit=True)
    elif line.region is Region.RAIL:
        enter = KeyShown("Theme", lit=True)
    elif line.region in (Region.LEFT, Region.RIGHT):
        enter = KeyShown("Player", "in or out", lit=True)
    elif line.row < len(world.stack) and settle_words(world.stack[line.row]):
        enter = KeyShown(settle_words(world.stack[line.row]))
    undo = KeyShown("Undo", "F7", idle=True)
    return replace(
        shown, enter=enter, up=up, down=down, backspace=undo, esc=KeyShown("Back to the", "number line")
    )


def _form(shown: StripShown, form: Form, world: World) -> StripShown:
    box = form.box
    picks = box is not None and box.takes is Takes.CHOICE
    sheet = form.act is Act.LINE_UP
    up = KeyShown("Other choice") if picks else KeyShown("Tell the crew", "F5")
    down = KeyShown("Other choice") if picks else KeyShown("Other act")
    if sheet:
        up = KeyShown("Other choice", idle=not picks)
        crossed = box is not None and box.takes is Takes.NUMBER_OR_X
        down = KeyShown("No libero", "types X") if crossed else KeyShown("Other choice", idle=not picks)
    full = box is not None and bool(box.value) and not picks
    back = KeyShown("Empty", "this box") if full else KeyShown("Last box") if sheet else KeyShown("Leave")
    tab = KeyShown("Next box") if form.boxes else KeyShown("Next box", idle=True)
    esc = KeyShown("Leave", "keeps it") if sheet else KeyShown("Clear")
    return replace(shown, enter=_enter(form, world), up=up, down=down, tab=tab, backspace=back, esc=esc)


def _enter(form: Form, world: World) -> KeyShown:
    shape = SHAPES[form.act]
    if form.act is Act.LINE_UP:
        return _enter_sheet(form, world)
    if not forms.ready(form):
        return KeyShown("Next box", idle=not form.boxes)
    if form.act is Act.DEALT and forms.dealt_kind(world) == "set_aside":
        return KeyShown("Do it", lit=True)
    said = forms.verdict(form, world)
    if said is not None and not said.fine:
        return KeyShown(shape.enter, idle=True)
    if forms.twice(form, world) and not form.armed:
        return KeyShown(shape.enter, "twice", lit=True)
    return KeyShown(shape.enter, lit=True)


def _enter_sheet(form: Form, world: World) -> KeyShown:
    if not form.team:
        return KeyShown("Confirm", idle=True)
    if form.live < len(form.boxes) - 1:
        return KeyShown("Next box", lit=True)
    return (
        KeyShown("Send back", "to coach", lit=True)
        if forms.faults(form, world)
        else KeyShown("Accept", "the sheet", lit=True)
    )
