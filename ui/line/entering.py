"""Enter, and figures going into a form."""

from __future__ import annotations

from dataclasses import replace

from ui.line import forms, next_box
from ui.line.arranging import open_row
from ui.line.crew import writer_missing, writer_rows
from ui.line.keys import Key
from ui.line.result import Result, open_act, send, stay
from ui.line.shapes import SHAPES, Whose, sign_act
from ui.line.state import Act, Form, Line, Region, Takes
from ui.line.world import World

_ASKED_TWICE = (Act.SIGN_FOR, Act.NEXT_MATCH)
"""Acts without a box that Enter opens first and does with the second press."""
__all__ = ["enter", "into_form", "next_box"]

_PAGES = {Act.CORRECTION: Region.HISTORY, Act.CREW: Region.CREW}
"""Acts that open a region and are done there."""


def into_form(line: Line, form: Form, key: Key) -> Result:
    """A figure (or an X) goes into the live box; a choice box gives it to the box for the number."""
    place = form.live
    if key is Key.X:
        box = form.box
        return stay(
            replace(line, form=form.put(place, "X")) if box and box.takes is Takes.NUMBER_OR_X else line
        )
    if form.box is None or not form.box.typed:
        place = next((at for at, box in enumerate(form.boxes) if box.typed), -1)
        if place < 0:
            return Result(line, refusal="Figures are players' numbers: none is asked for here.")
    had = form.boxes[place].value
    value = (had + key) if had.isdigit() and len(had) < 2 else str(key)
    form = form.put(place, value).go(place)
    return stay(replace(line, form=_player_named(form)))


def _player_named(form: Form) -> Form:
    """Who has a number is a player."""
    place = next((at for at, box in enumerate(form.boxes) if box.name == "who"), -1)
    return form.put(place, "player") if place >= 0 else form


def enter(line: Line, world: World) -> Result:
    """Do what the line says, or go to its next empty box."""
    form = line.form
    if form is None:
        return _enter_idle(line, world)
    if form.act is Act.LINE_UP:
        return _enter_sheet(line, form, world)
    if form.act in _PAGES:
        return stay(replace(line, form=None, region=_PAGES[form.act], row=0))
    if SHAPES[form.act].whose is not Whose.NONE and not form.team:
        return Result(line, refusal="Which team? Press Left or Right.")
    alone = forms.partner(form, world)
    if alone:
        return stay(replace(line, form=form.put(1, alone).go(1)))
    empty = form.empty_place()
    if empty >= 0:
        return stay(replace(line, form=form.go(empty)))
    if forms.twice(form, world) and not form.armed:
        return stay(replace(line, form=replace(form, armed=True)))
    said = forms.verdict(form, world)
    if said is not None and not said.fine:
        return Result(line, refusal=said.sentence)
    made = forms.command(form, world)
    return stay(line) if made is None else send(replace(line, form=None, done=None), line, made)


def _enter_idle(line: Line, world: World) -> Result:
    if line.typed:
        owners = world.teams_of(int(line.typed))
        if len(owners) == 1:
            return open_act(line, world, Act.SUBSTITUTION, team=owners[0], typed=line.typed)
        if not owners:
            return Result(line, refusal=f"Nobody in this match wears {line.typed}.")
        return Result(line, refusal=f"Both teams have a {line.typed}. Press Left or Right.")
    act = offered(world)
    if act is None:
        return stay(line)
    if act is Act.ARRANGE:
        return open_row(line, world, writer_rows(world)[0])
    opened = open_act(line, world, act)
    at_once = not SHAPES[act].boxes and act not in _ASKED_TWICE and opened.line.form is not None
    if not at_once:
        return opened
    done = enter(opened.line, world)
    return replace(done, line=replace(done.line, form=None))


def offered(world: World) -> Act | None:
    """What Enter opens or does when the line is empty."""
    phase = world.snapshot.phase
    if not world.snapshot.here:
        return None
    if writer_missing(world) and writer_rows(world):
        return Act.ARRANGE
    if phase == "before" or world.snapshot.toss_due:
        return Act.TOSS
    if world.decision is not None:
        return Act.SIGN
    if world.snapshot.courts_due:
        return Act.CHANGE_COURTS
    if phase == "time_out":
        return Act.END_TIME_OUT
    if phase == "check" and not world.found:
        return Act.BEGIN_SET
    if world.asked_older is not None:
        return Act.AGREE
    if phase == "sealed":
        return Act.NEXT_MATCH
    return None if world.signature is None else sign_act(world.signature)


def _enter_sheet(line: Line, form: Form, world: World) -> Result:
    """Next empty box; with all written: accept it, or send it back while something is wrong."""
    if not form.team:
        return Result(line, refusal="Which team? Press Left or Right.")
    if form.live < len(form.boxes) - 1:
        return stay(replace(line, form=form.go(form.live + 1)))
    form = replace(form, reached=len(form.boxes))
    wrong = forms.faults(form, world)
    if wrong:
        return stay(replace(line, form=send_back(form, tuple(name for name, _ in wrong))))
    made = forms.command(form, world)
    kept = tuple(one for one in line.drafts if one.team != form.team)
    written = replace(line, form=None, drafts=kept, done=None)
    return stay(line) if made is None else send(written, replace(line, form=form), made)


def send_back(form: Form, names: tuple[str, ...]) -> Form:
    """The sheet goes back to the coach: the faulty boxes wait to be typed again, the first one first."""
    places = [place for place, box in enumerate(form.boxes) if box.name in names]
    boxes = tuple(replace(box, value="") if place in places else box for place, box in enumerate(form.boxes))
    first = places[0] if places else form.live
    return replace(form, boxes=boxes, live=first, reached=first, sent_back=True)
