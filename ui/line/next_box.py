"""Moving between the boxes of a form, and choosing in a box."""

from __future__ import annotations

from dataclasses import replace

from ui.line.forms import with_team
from ui.line.result import Result, leave, stay
from ui.line.state import Act, Form, Line, Takes
from ui.line.world import World


def after(form: Form, *, back: bool = False) -> Form:
    """The next box, round and round; -1, the act itself, is left out once boxes are there."""
    if not form.boxes:
        return form
    step = -1 if back else 1
    start = form.live if form.live >= 0 else (-1 if step > 0 else 0)
    return form.go((start + step) % len(form.boxes))


def choose(form: Form, *, down: bool) -> Form | None:
    """The form with another choice in its live box, or None where Up and Down mean acts."""
    box = form.box
    if box is None:
        return None
    if box.takes is Takes.CHOICE:
        values = [value for value, _ in box.choices]
        place = values.index(box.value) if box.value in values else (-1 if down else 0)
        return form.put(form.live, values[(place + (1 if down else -1)) % len(values)])
    if box.takes is Takes.NUMBER_OR_X and down:
        return form.put(form.live, "X")
    return form if form.act is Act.LINE_UP else None


def other_sheet(line: Line, form: Form, team: str, world: World) -> Result:
    """The other team's sheet; this one is kept."""
    if team == form.team:
        return stay(line)
    kept = leave(line)
    return stay(replace(kept, form=kept.draft(team) or with_team(form, team, world)))
