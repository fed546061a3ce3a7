"""The words of the number line for every state: it says what the next key will do before it is pressed."""

from __future__ import annotations

from crewlink.crew_view import DeviceView
from ui.line import crew, forms
from ui.line.entering import offered
from ui.line.regions import settle_words
from ui.line.shapes import SHAPES, Whose, duties, sign_act
from ui.line.shown import NO_ARROW, ArrowShown, LineShown, SlotShown
from ui.line.state import Act, Form, Line, Region, Takes
from ui.line.step import ESC_S, waiting
from ui.line.told import told
from ui.line.world import World

UNDO_S = 6.0
LONG = 70
"""Letters that fit beside what else stands in the line."""
_SHEETS = ("line_ups", "between_sets")
_ASKED_FOR = (Act.SUBSTITUTION, Act.LIBERO, Act.TIME_OUT)
_ORDER = "position 1 to 6, then liberos, captain, signature"


def line_shown(line: Line, world: World, refusal: str = "") -> LineShown:
    """What stands in the number line."""
    if line.form is not None:
        return _form(line.form, world, refusal)
    if refusal:
        return (
            LineShown(refusal, "cross")
            if len(refusal) <= LONG
            else LineShown("Not done", "cross", hint=refusal)
        )
    if line.region is not Region.LINE and line.region is not Region.HISTORY:
        return _region(line, world)
    if line.typed:
        return _typed(line, world)
    own = world.mine
    if own is not None and world.now - line.esc_at < ESC_S:
        return LineShown(verb="Esc again takes it back", hint=own.title)
    just = told(line, world)
    if just is not None:
        return just
    done = line.done
    if done is not None and world.now - done.at < UNDO_S:
        left = int(UNDO_S - (world.now - done.at) + 0.999)
        saved = world.snapshot.saved
        where = f"saved here, on {saved.on} of {saved.of}" if saved.of > 1 else "saved here"
        if not saved.here:
            where = "not saved yet" if world.snapshot.storage else "saving"
        return LineShown(done.words, lane=done.lane, value=done.score, hint=where, left=min(left, 6))
    if line.region is Region.HISTORY:
        return _history(line, world)
    return _idle(line, world)


def _idle(line: Line, world: World) -> LineShown:
    snapshot = world.snapshot
    if snapshot.lost:
        return LineShown("No job here", "unlinked", hint=snapshot.lost)
    writer = snapshot.writing
    if not snapshot.here:
        return LineShown("Waiting for the match", mark="wait")
    if crew.writer_missing(world):
        return _unwritten(world)
    if snapshot.waiting_requests:
        return LineShown(
            f"Waiting for {writer.word}",
            mark="wait",
            hint=f"{writer.word} writes; yours is on its way",
        )
    if waiting(world):
        return _waits(world)
    if world.playing:
        return _scores(line, world)
    return _between(world)


def _unwritten(world: World) -> LineShown:
    """The one who writes is not there: what can be done about it here."""
    writer = world.snapshot.writing
    offer = next((row.offers[0] for row in crew.writer_rows(world)), None)
    if writer.voters:
        have = "has" if writer.agreed == 1 else "have"
        hint = f"{writer.agreed} of {writer.voters} {have} agreed, {writer.needed} are enough"
        return LineShown("You ask to write", mark="wait", hint=hint, message="Enter: stop asking")
    verb = "Nobody writes" if writer.gone or not writer.word else f"{writer.word} writes and is out of reach"
    if offer is None:
        return LineShown(verb, mark="unlinked", hint="use paper until it is back")
    twice = " twice" if offer.warning else ""
    words = f"{offer.words[:1].lower()}{offer.words[1:]}"
    return LineShown(verb, mark="unlinked", message=f"Enter{twice}: {words}")


def _waits(world: World) -> LineShown:
    asked = "R1" if world.decision is None else world.decision.asks
    known = world.top
    tail = "Space: Got it." if known is not None else "Enter: write R1's sign."
    return LineShown(
        f"Waits for {asked}",
        mark="hold",
        hint=f"{asked} taps Agree or No, or gives a sign.",
        message=tail,
    )


def _scores(line: Line, world: World) -> LineShown:
    top = world.top
    prompt = "or type a number" if top is None else "Space: Got it"
    if top is None:
        prompt = _first_service(world) or prompt
    waits = sum(1 for one in world.snapshot.notices if one.held and one.asked and one.state == "open")
    if waits and top is None:
        prompt = (
            "a notice waits for the dead ball" if waits == 1 else f"{waits} notices wait for the dead ball"
        )
    if top is None and not waits:
        prompt = _not_ready(world) or prompt
    if world.asked_older is not None and top is None:
        prompt = "Enter: agree to the old line or not"
    if world.snapshot.courts_due and top is None:
        prompt = "Enter: change of courts"
    undecided = world.wrong is not None
    if undecided and top is None:
        prompt = "R1 decides first"
    return LineShown(
        at_left=_arrow("left", world),
        at_right=_arrow("right", world),
        prompt=prompt,
        pressing=line.held,
        guarded=undecided,
    )


def _first_service(world: World) -> str:
    """How a rally begins here, said before the first service of a set; "" later."""
    snapshot = world.snapshot
    first = snapshot.phase == "dead_ball" and not snapshot.a.points and not snapshot.b.points
    return "no key starts a rally: play is on after 8 s" if first else ""


def _not_ready(world: World) -> str:
    """Whom the next service waits for besides the table, in words; "" for nobody."""
    ready = world.snapshot.ready
    stops = (one for one in ready.stops if one.state == "waiting" and one.word not in ("Table", "R1"))
    first = min(stops, key=lambda one: not one.detail.startswith("positions"), default=None)
    if ready.state != "held" or first is None or world.snapshot.phase != "dead_ball":
        return ""
    missing = "has not checked yet" if first.detail.startswith("positions") else "is not ready yet"
    return f"{first.word} {missing}"


def _arrow(side: str, world: World) -> ArrowShown:
    team = world.at_side(side)
    point = next((one for one in world.snapshot.next_points if one.team == team), None)
    word = f"{team} scores" if world.snapshot.writing.here else f"ask for {team}"
    return NO_ARROW if point is None else ArrowShown(word, point.score, point.hint)


def _between(world: World) -> LineShown:
    snapshot = world.snapshot
    act = offered(world)
    if act is Act.TOSS:
        todo = len(duties(world))
        tail = f"Down: {todo} to tick" if todo else ""
        return LineShown("Toss", hint="Enter: write who serves first and who is on your left", message=tail)
    if snapshot.phase == "check" and world.found:
        return LineShown("Positions differ", mark="hold", hint=world.found, message=_put_right(world))
    if act is Act.BEGIN_SET:
        checked = {"done": "R2 has checked", "": ""}.get(world.check_by("R2"), "R2 has not checked yet")
        return LineShown(
            "Check positions",
            hint=checked,
            message=f"Enter: all stand right, set {snapshot.set_number} begins",
        )
    if act is Act.END_TIME_OUT:
        return LineShown("Time-out", message="Enter: it is over")
    if act is Act.CHANGE_COURTS:
        return LineShown("Change of courts", message="Enter: they have changed")
    if snapshot.phase in _SHEETS:
        return LineShown(
            at_left=ArrowShown(f"line-up {world.at_side('left')}", _sheet_word(world, "left")),
            at_right=ArrowShown(f"line-up {world.at_side('right')}", _sheet_word(world, "right")),
            prompt="Left or Right: which sheet",
        )
    if snapshot.phase == "sealed":
        tail = "Enter: next match"
        return LineShown("Finished and locked", mark="answered", hint=snapshot.result, message=tail)
    if snapshot.phase == "finished":
        return _over(world)
    return LineShown(snapshot.phase_word or "Nothing to write now")


def _over(world: World) -> LineShown:
    """The match is over: what is in the way of signing, or whose turn it is."""
    snapshot, sign = world.snapshot, world.signature
    over = LineShown(snapshot.result or "The match is over", mark="answered", hint=snapshot.sign_wait)
    if snapshot.audit and snapshot.sign_wait and any(one.code == "audit" for one in snapshot.duties):
        return LineShown(over.verb, mark="answered", hint=snapshot.sign_wait, message="Down: tick it")
    if snapshot.sign_wait or not snapshot.signing:
        return over
    if sign is None:
        turn = next((one.word for one in snapshot.signing if one.state in ("due", "again")), "")
        return LineShown(over.verb, mark="answered", hint=f"{turn} signs now" if turn else "")
    if sign_act(sign) is Act.SIGN_OFF:
        return LineShown(f"{sign.word} signs", mark="answered", message=f"Enter: {sign.word} signs here")
    own = f"{sign.word} signs on their own device"
    return LineShown(own, mark="answered", message=f"Enter: {sign.word} by sign")


def _put_right(world: World) -> str:
    """What the table does about a difference: its own it ticks as right."""
    return "Down: tick it when it is right" if world.check_by("Table") == "wrong" else "put it right"


def _sheet_word(world: World, side: str) -> str:
    team = world.at_side(side)
    sheet = next((one for one in world.snapshot.sheets if one.team == team), None)
    return "is in" if sheet is not None and sheet.state == "accepted" else "due"


def _typed(line: Line, world: World) -> LineShown:
    number = int(line.typed)
    owners = world.teams_of(number)
    slot = SlotShown("number", "number", line.typed, live=True)
    if len(owners) == 2:
        return LineShown("Player", slots=(slot,), message="Left or Right: which team. Up: tell the crew")
    if not owners:
        return LineShown("Player", slots=(slot,), message="nobody in this match wears it")
    return LineShown(
        f"{owners[0]} player", slots=(slot,), message="Enter: substitution. Up: tell. Down: other acts"
    )


def _crew(line: Line, world: World) -> LineShown:
    rows = crew.crew_rows(world)
    row = rows[min(line.row, len(rows) - 1)] if rows else None
    if row is None:
        return LineShown("Who writes", message="Esc: back to the number line")
    does = "Enter: what to do" if row.device is not None else "Enter: do it"
    words = row.words if row.device is None else _device(row.device)
    return LineShown(words, message=f"{does}. Esc: back" if row.offers else "Esc: back to the number line")


def _device(device: DeviceView) -> str:
    return "This device" if device.state == "here" else f"{device.word}'s device"


def _region(line: Line, world: World) -> LineShown:
    if line.region is Region.RAIL:
        return LineShown("Theme", hint="Enter goes to the other theme")
    if line.region is Region.CREW:
        return _crew(line, world)
    if line.region in (Region.LEFT, Region.RIGHT):
        team = world.team(world.at_side(str(line.region)))
        return LineShown(
            f"Team {team.letter}", hint=team.name, message="Enter: substitution. Tab: next region"
        )
    chosen = world.stack[min(line.row, len(world.stack) - 1)] if world.stack else None
    if chosen is None:
        return LineShown("No notices", message="Esc: back to the number line")
    said = settle_words(chosen)
    enter = f"Enter: {said.lower() if said != 'R1 by sign' else 'R1 gave a sign'}. " if said else ""
    return LineShown(chosen.title, hint=chosen.detail, message=f"{enter}Esc: back")


def _history(line: Line, world: World) -> LineShown:
    rows = world.snapshot.history
    row = rows[min(line.row, len(rows) - 1)] if rows else None
    words = "" if row is None else _short(f"{row.score}, {row.text}")
    return LineShown("Match history", hint=words, message="Enter: cross out, with R2 or R1")


def _short(words: str) -> str:
    return words if len(words) <= LONG else words[: LONG - 1] + "\u2026"


def _form(form: Form, world: World, refusal: str) -> LineShown:
    if form.act is Act.LINE_UP:
        return _sheet(form, world, refusal)
    shape = SHAPES[form.act]
    verb = _verb(form, world)
    slots = tuple(
        SlotShown(
            box.name,
            box.label,
            box.word or ("-" if box.optional and place != form.live else ""),
            place == form.live,
            box.takes is Takes.CHOICE,
        )
        for place, box in enumerate(form.boxes)
    )
    said = forms.verdict(form, world)
    sign = "" if said is None else "no" if not said.fine else "yes" if form.act in _ASKED_FOR else ""
    return LineShown(
        verb,
        slots=slots,
        said=sign,
        message=refusal or _message(form, world, shape.note),
        mark="cross" if refusal else "",
    )


def _verb(form: Form, world: World) -> str:
    shape = SHAPES[form.act]
    if form.act is Act.ARRANGE:
        return crew.title(form, world)
    if form.act is Act.DEALT and forms.dealt_kind(world) == "set_aside":
        return "Not counted"
    if shape.whose is Whose.NONE:
        return shape.word
    return f"{form.team} {shape.word}" if form.team else shape.word[:1].upper() + shape.word[1:]


def _message(form: Form, world: World, note: str) -> str:
    if SHAPES[form.act].whose is not Whose.NONE and not form.team:
        return "Left or Right: which team"
    alone = forms.partner(form, world)
    if alone:
        return f"Enter: {alone} goes out, the only one"
    said = forms.verdict(form, world)
    if said is not None and not said.fine:
        return said.sentence
    if form.act is Act.TIME_OUT:
        return _time_outs(form, world)
    empty = form.empty_place()
    if form.act is Act.ARRANGE and forms.twice(form, world):
        return "Enter again: it is done" if form.armed else "Enter twice"
    if form.box is not None and form.box.takes is Takes.CHOICE:
        return "Up or Down: choose"
    if form.box is not None and form.box.takes is Takes.TEAM and not form.box.value:
        return "Left or Right: which team"
    if empty >= 0:
        return _wanted(form, empty)
    if form.act is Act.STRIKE and _reaches_back(form, world):
        return "Enter again: an official is asked" if form.armed else "Enter twice: an official must agree"
    if form.act is Act.ERASE_NAMES:
        return "Enter again: all names are gone" if form.armed else "On all devices, for good. Enter twice"
    if forms.twice(form, world):
        return "Enter again: it is done" if form.armed else "Enter twice"
    return note or (said.sentence if said is not None else "")


def _reaches_back(form: Form, world: World) -> bool:
    """Whether a rally was written after the line that the form is about."""
    entries = [line.entry for line in world.snapshot.history]
    newer = entries.index(form.target) if form.target in entries else 0
    return any(line.lane and not line.struck for line in world.snapshot.history[:newer])


def _time_outs(form: Form, world: World) -> str:
    team = world.team(form.team)
    count = team.time_outs + 1
    tail = ": the last one, tell the coach" if count == team.time_outs_allowed else ""
    return f"number {count} of {team.time_outs_allowed}{tail}"


def _wanted(form: Form, empty: int) -> str:
    box = form.boxes[empty]
    if box.typed:
        return {"in": "type who comes in", "out": "type who goes out"}.get(box.name, "type the number")
    return f"Enter: {box.label}"


def _sheet(form: Form, world: World, refusal: str) -> LineShown:
    box = form.box
    if not form.team:
        return LineShown("Line-up", message=refusal or "Left or Right: which team")
    if box is None:
        return LineShown(f"{form.team} line-up", message=refusal)
    slot = SlotShown(box.name, box.label, box.word, live=True, picks=box.takes is Takes.CHOICE)
    hint = {Takes.NUMBER_OR_X: "a number or X", Takes.CHOICE: "Down: seen or not"}.get(box.takes, "")
    message = refusal or ("sent back to the coach: type the new numbers" if form.sent_back else _ORDER)
    return LineShown(form.team, slots=(slot,), hint=hint, message=message)
