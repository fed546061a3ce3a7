"""What a key leads to: the line after it, and a command on its way."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ui.line.forms import open_form
from ui.line.state import Act, Form, Line
from ui.line.world import Command, World


@dataclass(frozen=True, slots=True)
class Result:
    """`line` if nothing is sent or it was refused; `then` once `command` is on its way. `theme`: turn it."""

    line: Line
    command: Command | None = None
    then: Line | None = None
    refusal: str = ""
    theme: bool = False


def stay(line: Line) -> Result:
    """Nothing is sent."""
    return Result(line)


def send(then: Line, refused: Line, command: Command) -> Result:
    """Send `command`; the line becomes `then`, or stays `refused`."""
    return Result(refused, command, then)


def leave(line: Line) -> Line:
    """The form is closed; a half-written sheet is kept for later."""
    form = line.form
    if form is not None and form.act is Act.LINE_UP and form.team:
        kept = tuple(one for one in line.drafts if one.team != form.team)
        return replace(line, form=None, drafts=(*kept, form))
    return replace(line, form=None)


def open_act(
    line: Line, world: World, act: Act, *, team: str = "", typed: str = "", target: str = ""
) -> Result:
    """Open the form of an act, or the sheet that was left half written."""
    draft = line.draft(team) if act is Act.LINE_UP else None
    form: Form = draft or open_form(act, world, team=team, typed=typed, target=target)
    return Result(replace(leave(line), form=form, typed="", done=None))
