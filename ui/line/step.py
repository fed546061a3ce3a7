"""One key: from the line as it stands and the moment of the press to the line after it and what is sent.

Arrows that write a point are noted when they go down and act when they come up (`release`); all others act
when they go down. Nothing here repeats: the caller drops auto-repeat.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from crewlink.crew import commands as say
from crewlink.match import commands as match
from crewlink.match.teams import Team
from ui.line import forms
from ui.line.entering import enter, into_form, next_box
from ui.line.keys import POINT_KEYS, Key
from ui.line.regions import in_region, next_region
from ui.line.result import Result, leave, open_act, send, stay
from ui.line.shapes import SHAPES, Whose, dead_ball_acts, tells
from ui.line.state import Act, Line, Region, Takes
from ui.line.world import World

POINT_GAP_S = 2.0
ARMING_S = 0.4
ESC_S = 6.0


def press(line: Line, world: World, key: Key) -> Result:
    """`key` goes down."""
    line = replace(line, held="") if line.held and line.held != key else line
    if key is not Key.ESC:
        line = replace(line, esc_at=-1e9)
    if key in POINT_KEYS and _points(line, world):
        return stay(replace(line, held=str(key)))
    if key in _FUNCTION:
        return _FUNCTION[key](line, world)
    if key is Key.SPACE:
        return _answer(line, world)
    if key in (Key.TAB, Key.BACKTAB):
        return _tab(line, world, back=key is Key.BACKTAB)
    if key is Key.ESC:
        return _escape(line, world)
    if line.region is not Region.LINE:
        return in_region(line, world, key)
    return _in_line(line, world, key)


def release(line: Line, world: World, key: Key) -> Result:
    """`key` comes up: an arrow that went down here writes its point."""
    if line.held != key:
        return stay(line)
    line = replace(line, held="")
    if not _points(line, world):
        return stay(line)
    if world.now - line.point_at < POINT_GAP_S:
        return Result(line, refusal="That was a second point in 2 seconds. Press again if it is right.")
    if world.wrong is not None and world.now - line.warned_at >= ESC_S:
        warned = replace(line, warned_at=world.now)
        return Result(warned, refusal="Wrong server: R1 decides first. Press again if R1 gave the point.")
    held = held_up(world)
    if held:
        return Result(line, refusal=held)
    team = world.at_side(POINT_KEYS[key])
    return send(replace(line, done=None, point_at=world.now), line, match.Point(Team(team)))


def _points(line: Line, world: World) -> bool:
    """The arrows write points now."""
    return (
        line.form is None
        and not line.typed
        and line.region is Region.LINE
        and world.playing
        and not waiting(world)
    )


def waiting(world: World) -> bool:
    """R1 has a decision to make: no point can be written before it."""
    return world.decision is not None


def held_up(world: World) -> str:
    """Why a point can't be asked for now, where another device writes."""
    snapshot = world.snapshot
    writer = snapshot.writing
    if writer.here:
        return ""
    if writer.gone:
        return "Nobody writes now."
    if not writer.reached and writer.word:
        return f"{writer.word} writes and is out of reach."
    return f"{writer.word} has your last one. Wait a moment." if snapshot.waiting_requests else ""


def _in_line(line: Line, world: World, key: Key) -> Result:
    if key.digit or key is Key.X:
        return _figure(line, world, key)
    if key is Key.BACKSPACE:
        return _backspace(line, world)
    if key is Key.ENTER:
        return enter(line, world)
    if key in (Key.UP, Key.DOWN):
        return _step(line, world, key)
    if key in (Key.LEFT, Key.RIGHT):
        return _side(line, world, world.at_side(str(key)))
    return stay(line)


def _figure(line: Line, world: World, key: Key) -> Result:
    if line.form is None:
        typed = line.typed + key if key.digit and len(line.typed) < 2 else line.typed
        return stay(replace(line, typed=typed.lstrip("0") or typed, done=None))
    return into_form(line, line.form, key)


def _backspace(line: Line, world: World) -> Result:
    form = line.form
    if form is not None and form.box is not None and form.box.value and form.box.takes is not Takes.CHOICE:
        return stay(replace(line, form=form.put(form.live, "")))
    if form is not None and form.act is Act.LINE_UP and form.live > 0:
        return stay(replace(line, form=form.go(form.live - 1)))
    if form is not None:
        return stay(replace(line, form=None))
    if line.typed:
        return stay(replace(line, typed=line.typed[:-1]))
    return undo(line, world)


def undo(line: Line, world: World) -> Result:
    """Cross out the last line, once in two seconds."""
    if not world.snapshot.undo:
        return Result(line, refusal="Nothing to undo.")
    if world.now - line.undo_at < POINT_GAP_S:
        return Result(line, refusal="That was a second undo in 2 seconds. Press again if it is right.")
    return send(replace(line, undo_at=world.now, done=None), line, match.Undo())


def _step(line: Line, world: World, key: Key) -> Result:
    """Up and Down: the next choice of a box, else the next act."""
    form = line.form
    if form is not None and form.box is not None:
        changed = next_box.choose(form, down=key is Key.DOWN)
        if changed is not None:
            return stay(replace(line, form=changed))
    acts = tells(world) if key is Key.UP else dead_ball_acts(world)
    if not acts:
        return stay(line)
    place = acts.index(form.act) + 1 if form is not None and form.act in acts else 0
    typed = line.typed or _carried(line)
    kept = form is not None and SHAPES[form.act].whose is not Whose.SERVING
    team = form.team if form is not None and kept else ""
    return open_act(line, world, acts[place % len(acts)], team=team, typed=typed)


def _carried(line: Line) -> str:
    """The number typed so far goes along from act to act."""
    if line.form is None or line.form.act in (Act.LINE_UP, Act.LIBERO):
        return ""
    return next((box.value for box in line.form.boxes if box.typed and box.value), "")


def _side(line: Line, world: World, team: str) -> Result:
    """Left and Right: the team of a form, or of a number just typed."""
    form = line.form
    if form is None and line.typed:
        return open_act(line, world, Act.SUBSTITUTION, team=team, typed=line.typed)
    if form is None:
        return sheet_or_refuse(line, world, team)
    if form.box is not None and form.box.takes is Takes.TEAM:
        return stay(replace(line, form=form.put(form.live, team)))
    if form.act is Act.LINE_UP and form.team:
        return next_box.other_sheet(line, form, team, world)
    if SHAPES[form.act].whose is Whose.NONE:
        return stay(line)
    return stay(replace(line, form=forms.with_team(form, team, world)))


def sheet_or_refuse(line: Line, world: World, team: str) -> Result:
    """Before a set the arrows open the team's line-up sheet."""
    if world.snapshot.phase in ("line_ups", "between_sets", "check") and not world.snapshot.toss_due:
        return open_act(line, world, Act.LINE_UP, team=team)
    if waiting(world):
        return Result(line, refusal="Wait for R1's decision: no point before it.")
    return stay(line)


def _answer(line: Line, world: World) -> Result:
    top = world.top
    if line.region is Region.NOTICES and line.row < len(world.stack):
        chosen = world.stack[line.row]
        top = chosen if chosen.asked and chosen.state == "open" else top
    if top is None or world.now - world.top_since < ARMING_S:
        return stay(line)
    return send(line, line, say.AnswerNotice(top.id))


def _tab(line: Line, world: World, *, back: bool) -> Result:
    if line.form is not None and line.region is Region.LINE:
        return stay(replace(line, form=next_box.after(line.form, back=back)))
    return stay(next_region(line, world, back=back))


def _escape(line: Line, world: World) -> Result:
    if line.region is not Region.LINE:
        return stay(replace(line, region=Region.LINE, row=0))
    if line.form is not None:
        return stay(leave(line))
    if line.typed:
        return stay(replace(line, typed=""))
    own = world.mine
    if own is None:
        return stay(replace(line, done=None))
    if world.now - line.esc_at < ESC_S:
        taken = replace(line, esc_at=-1e9)
        return send(taken, taken, say.WithdrawNotice(own.id, "raised by mistake"))
    return stay(replace(line, esc_at=world.now))


def _open(act: Act, side: str) -> Callable[[Line, World], Result]:
    def opened(line: Line, world: World) -> Result:
        line = replace(line, region=Region.LINE)
        return open_act(line, world, act, team=world.at_side(side), typed=line.typed)

    return opened


def _up(line: Line, world: World) -> Result:
    return _step(replace(line, region=Region.LINE), world, Key.UP)


def _call_r1(line: Line, world: World) -> Result:
    return send(line, line, say.Hold("R1 to the table"))


_FUNCTION = {
    Key.F2: _open(Act.TIME_OUT, "left"),
    Key.F11: _open(Act.TIME_OUT, "right"),
    Key.F3: _open(Act.SUBSTITUTION, "left"),
    Key.F10: _open(Act.SUBSTITUTION, "right"),
    Key.F4: _open(Act.LINE_UP, "left"),
    Key.F9: _open(Act.LINE_UP, "right"),
    Key.F5: _up,
    Key.F6: _answer,
    Key.F7: undo,
    Key.F8: _call_r1,
}
