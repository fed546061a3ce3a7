"""Keys while the focus is on a region: notices, benches, match history, the word of the rail."""

from __future__ import annotations

from dataclasses import replace

from crewlink.crew import commands as say
from crewlink.snapshot import NoticeView
from ui.line.arranging import open_row
from ui.line.crew import crew_rows
from ui.line.keys import Key
from ui.line.result import Result, open_act, send, stay
from ui.line.state import Act, Line, Region
from ui.line.world import World


def regions(world: World) -> tuple[Region, ...]:
    """Where Tab goes, in order."""
    notices = (Region.NOTICES,) if world.stack else ()
    history = (Region.HISTORY,) if world.snapshot.history else ()
    crew = (Region.CREW,) if world.snapshot.devices else ()
    return (Region.LINE, *notices, Region.LEFT, Region.RIGHT, *history, Region.RAIL, *crew)


def next_region(line: Line, world: World, *, back: bool = False) -> Line:
    """The line with the focus one region on."""
    order = regions(world)
    place = order.index(line.region) if line.region in order else 0
    return replace(line, region=order[(place + (-1 if back else 1)) % len(order)], row=0, done=None)


def rows(line: Line, world: World) -> int:
    """How many rows the focused region has."""
    if line.region is Region.NOTICES:
        return len(world.stack)
    if line.region is Region.CREW:
        return len(crew_rows(world))
    return len(world.snapshot.history) if line.region is Region.HISTORY else 0


def in_region(line: Line, world: World, key: Key) -> Result:
    """Up and Down choose a row, Enter acts on it; a figure goes back to the number line."""
    count = rows(line, world)
    if key in (Key.UP, Key.DOWN) and count:
        step = 1 if key is Key.DOWN else -1
        return stay(replace(line, row=min(max(line.row + step, 0), count - 1)))
    if key is Key.ENTER:
        return _enter(line, world)
    if key.digit:
        return stay(replace(line, region=Region.LINE, row=0, typed=str(key)))
    return stay(line)


def _enter(line: Line, world: World) -> Result:
    if line.region is Region.RAIL:
        return Result(line, theme=True)
    if line.region in (Region.LEFT, Region.RIGHT):
        team = world.at_side(str(line.region))
        return open_act(replace(line, region=Region.LINE), world, Act.SUBSTITUTION, team=team)
    if line.region is Region.HISTORY and line.row < len(world.snapshot.history):
        chosen = world.snapshot.history[line.row]
        if chosen.struck:
            return Result(line, refusal="That line is already crossed out.")
        return open_act(replace(line, region=Region.LINE), world, Act.STRIKE, target=chosen.entry)
    if line.region is Region.CREW and line.row < rows(line, world):
        return open_row(line, world, crew_rows(world)[line.row])
    if line.region is Region.NOTICES and line.row < len(world.stack):
        told = world.stack[line.row]
        if told.closes and told == world.to_end:
            opened = open_act(replace(line, region=Region.LINE), world, Act.DEALT)
            form = opened.line.form
            return stay(replace(opened.line, form=None if form is None else form.go(0)))
        command = settle(told)
        return stay(line) if command is None else send(line, line, command)
    return stay(line)


def settle(notice: NoticeView) -> say.CrewCommand | None:
    """What Enter does with a notice: let go, close it, or enter R1's sign."""
    if notice.mine and notice.kind in ("hold", "hold_service", "stop_play"):
        return say.Release()
    if notice.mine and notice.kind in ("help", "check_sheet"):
        return say.CloseNotice(notice.id, "done")
    silent = any(
        one.post == "R1" and one.state not in ("answered", "relayed", "raised") for one in notice.receipts
    )
    return say.AnswerNotice(notice.id, "R1") if silent else None


def settle_words(notice: NoticeView) -> str:
    """What that is called on the key strip."""
    if notice.closes and notice.outcomes:
        return "Choose"
    command = settle(notice)
    if isinstance(command, say.Release):
        return "Let go"
    if isinstance(command, say.CloseNotice):
        return "It is done"
    return "R1 by sign" if command is not None else ""
