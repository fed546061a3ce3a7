"""Forms: opening an act with what is known already, and the command that a filled form stands for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from crewlink.crew import commands as say
from crewlink.match import commands as match
from crewlink.match.teams import Person, Role, Team
from crewlink.match.terms import Card, DelayCause, RallyFault, ReplayCause, RequestKind
from ui.line import crew
from ui.line.shapes import SHAPES, Whose, clock_choices, duties, outcomes, point_for
from ui.line.state import Act, Box, Form, Takes
from ui.line.world import POSITIONS, Command, Verdict, World, other

SEEN, NOT_SEEN = "seen", "not seen"
_UNJUDGED = say.CrewCommand | say.PenCommand
"""The rules of the match say nothing to these."""


_CHOICES = {Act.TICK: duties, Act.DEALT: outcomes, Act.CLOCK: clock_choices}
"""Acts whose choices depend on the moment."""


def open_form(act: Act, world: World, *, team: str = "", typed: str = "", target: str = "") -> Form:
    """The form of `act` with its team and a number typed before, as far as they fit."""
    shape = SHAPES[act]
    letter = team
    if not letter and shape.whose is Whose.SERVING:
        letter = world.snapshot.server_team
    if not letter and shape.whose is Whose.SAID and typed:
        owners = world.teams_of(int(typed))
        letter = owners[0] if len(owners) == 1 else ""
    if act is Act.SET_POINT and not letter:
        letter = next(iter(point_for(world)), "")
    form = Form(act, letter, _boxes(act, world, letter), target=target)
    if act is Act.LINE_UP:
        return _sheet(form, world)
    first = next((place for place, box in enumerate(form.boxes) if box.typed), -1)
    if form.boxes and form.boxes[0].takes is not Takes.CHOICE:
        form = form.go(0)
    if typed and first >= 0:
        form = _place_typed(form, first, typed, world)
    return _prefilled(form, world)


def with_team(form: Form, team: str, world: World) -> Form:
    """The form for the other team; a sheet is that team's own."""
    if form.act is Act.LINE_UP:
        return open_form(Act.LINE_UP, world, team=team)
    if form.act is Act.SET_POINT and team not in point_for(world):
        return form
    return _prefilled(replace(form, team=team, armed=False), world)


def _boxes(act: Act, world: World, team: str) -> tuple[Box, ...]:
    if act is Act.LINE_UP:
        return _sheet_boxes(world, team)
    boxes = SHAPES[act].boxes
    if act is Act.SIGN:
        return (replace(boxes[0], choices=_signs(world)),)
    if act is Act.HELP:
        filled = {link.post for link in world.snapshot.links if link.state not in ("here", "unfilled")}
        kept = tuple(one for one in boxes[1].choices if one[0] in filled) or boxes[1].choices
        return (boxes[0], replace(boxes[1], choices=kept, value=kept[0][0]))
    if act in _CHOICES:
        todo = _CHOICES[act](world)
        return (replace(boxes[0], choices=todo, value=todo[0][0] if todo else ""),)
    return boxes


def _signs(world: World) -> tuple[tuple[str, str], ...]:
    """What R1 may signal: agreement to one of the ways listed, the suggested one first, or no."""
    first = world.decision
    if first is None:
        return (("no", "says no"),)
    ways = enumerate(first.explanations, start=1)
    open_ways = ((place, one) for place, one in ways if one.proposal and not one.ruled_out)
    listed = [(one.proposal, f"agrees to {place}") for place, one in open_ways]
    listed.sort(key=lambda way: way[0] != first.id)
    return (*(listed or [(first.id, "agrees")]), ("no", "says no"))


def _place_typed(form: Form, first: int, typed: str, world: World) -> Form:
    """A number typed before the act goes where it fits: a player on court goes out, any other comes in."""
    if form.act in (Act.SUBSTITUTION, Act.LIBERO) and form.team:
        on_court = int(typed) in (spot.number for spot in world.team(form.team).spots)
        return form.put(1, typed).go(0) if on_court else form.put(0, typed).go(1)
    return form.put(first, typed).go(first)


def _prefilled(form: Form, world: World) -> Form:
    """A libero's exchange is known as soon as the team is: back if on court, else in."""
    if form.act is not Act.LIBERO or not form.team or form.value("in") or form.value("out"):
        return form
    on = next((one for one in world.team(form.team).liberos if one.stands_for is not None), None)
    if on is not None:
        return form.put(0, str(on.stands_for)).put(1, str(on.number)).go(1)
    waiting = world.team(form.team).liberos
    return form.put(0, str(waiting[0].number)).go(1) if waiting else form


def _sheet_boxes(world: World, team: str) -> tuple[Box, ...]:
    sheet = next((one for one in world.snapshot.sheets if one.team == team), None)
    count = sheet.libero_boxes if sheet is not None else 0
    places = tuple(Box(str(place), f"position {place}") for place in range(1, 7))
    liberos = tuple(Box(f"libero {n}", f"libero {n}", Takes.NUMBER_OR_X) for n in range(1, count + 1))
    signs = (("", NOT_SEEN), (SEEN, SEEN))
    signed = Box("signature", "coach's signature", Takes.CHOICE, choices=signs, optional=True)
    captain = "" if sheet is None or sheet.captain is None else str(sheet.captain)
    return (*places, *liberos, Box("captain", "captain", value=captain), signed)


def _sheet(form: Form, world: World) -> Form:
    """A sheet starts at position 1, with what was accepted before."""
    sheet = next((one for one in world.snapshot.sheets if one.team == form.team), None)
    if sheet is None:
        return form.go(0)
    for place, given in enumerate(sheet.numbers):
        if given is not None:
            form = form.put(place, str(given))
    if sheet.state in ("accepted", "complete"):
        for place, value in enumerate(sheet.liberos[: len(form.boxes) - 8], start=6):
            form = form.put(place, value)
        form = form.put(len(form.boxes) - 1, SEEN)
    return form.go(0)


def twice(form: Form, world: World) -> bool:
    """Enter is pressed twice: it can't be taken back, or it is entered for another post."""
    offer = crew.chosen(form, world) if form.act is Act.ARRANGE else None
    return SHAPES[form.act].twice or (offer is not None and bool(offer.warning))


def ready(form: Form) -> bool:
    """Nothing that must be there is missing."""
    needs_team = SHAPES[form.act].whose is not Whose.NONE
    return bool(form.team or not needs_team) and form.empty_place() < 0


def command(form: Form, world: World) -> Command | None:
    """What Enter would send, or None while something is missing."""
    if form.act is not Act.LINE_UP and not ready(form):
        return None
    if form.act is Act.LINE_UP and not form.team:
        return None
    maker = _COMMANDS.get(form.act)
    return None if maker is None else maker(form, world)


def verdict(form: Form, world: World) -> Verdict | None:
    """What the rules say to the form as it stands; None where they say nothing."""
    if form.act is Act.SUBSTITUTION and ready(form):
        return _exchanged(form, world)
    made = command(form, world)
    if isinstance(made, say.SettleNotice):
        return world.judge(made.command)
    if made is None or isinstance(made, _UNJUDGED):
        return None
    return world.judge(made)


def _exchanged(form: Form, world: World) -> Verdict | None:
    """A substitution as the snapshot has it: which are possible is known before anybody asks."""
    team, comes, goes = world.team(form.team), form.number("in"), form.number("out")
    found = (one for one in team.exchanges if (one.comes_in, one.goes_out) == (comes, goes))
    one = next(found, None)
    if one is not None:
        return Verdict(one.legal, one.reason or "legal")
    if comes not in team.bench:
        return Verdict(False, f"{comes} is not on the bench of Team {team.letter}.")
    if team.exchanges:
        return Verdict(False, f"{goes} is not on court.")
    made = command(form, world)
    return None if made is None or isinstance(made, _UNJUDGED) else world.judge(made)


def _raise(kind: str) -> Callable[[Form, World], Command]:
    return lambda form, world: say.Raise(kind, form.team, form.number("number"))


def _check_server(form: Form, world: World) -> Command:
    return say.Raise("check_server", form.team, world.team(form.team).server)


def _medical(form: Form, world: World) -> Command:
    return say.Raise("medical", form.team, form.number("number"), form.value("what"))


def _tick(form: Form, world: World) -> Command:
    code, _, team = form.value("duty").partition("/")
    return say.TickDuty(code, team)


def _conduct(form: Form, world: World) -> Command:
    return say.Raise("conduct", form.team, form.number("number"), form.value("who"))


def _set_point(form: Form, world: World) -> Command:
    return say.Raise(point_for(world).get(form.team, "set_point"), form.team)


def _later(form: Form, world: World) -> Command | None:
    notice = world.put_off
    return None if notice is None else say.HoldNotice(notice.id)


def dealt_kind(world: World) -> str:
    """The kind of the notice that is dealt with here first, "" if there is none."""
    return "" if world.to_end is None else world.to_end.kind


def _dealt(form: Form, world: World) -> Command | None:
    notice = world.to_end
    if notice is None:
        return None
    return say.CloseNotice(notice.id, form.value("how"), "" if notice.closes else "R1")


def _clock(form: Form, world: World) -> Command:
    kind, _, do = form.value("do").partition("/")
    return say.RunClock(kind, do)


def _sign(form: Form, world: World) -> Command | None:
    first = world.decision
    return None if first is None else _consent(first.id, form.value("sign"))


def _consent(suggested: str, sign: str) -> Command:
    return say.Consent(suggested, False, "R1") if sign == "no" else say.Consent(sign, True, "R1")


def _signature(world: World) -> Command | None:
    sign = world.signature
    return None if sign is None else say.Sign(sign.signer)


def _agree(form: Form, world: World) -> Command | None:
    asked = world.asked_older
    return None if asked is None else say.Consent(asked.id, form.value("say") == "agree")


def _differs(form: Form, world: World) -> Command:
    fault = f"{form.value('number')} stands at position {form.value('at')}"
    return say.TickDuty(POSITIONS, form.team, fault)


def _substitution(form: Form, world: World) -> Command:
    pair = match.Pair(int(form.value("in")), int(form.value("out")))
    made = match.Substitute(Team(form.team), (pair,))
    again = match.Substitute(Team(form.team), (pair,), same_request=True)
    said = world.judge(made)
    return again if said is not None and said.code == "second_request" else made


def _libero(form: Form, world: World) -> Command:
    return match.LiberoSwap(Team(form.team), int(form.value("in")), int(form.value("out")))


def _line_up(form: Form, world: World) -> Command:
    one, two, three, four, five, six = (form.number(str(place)) for place in range(1, 7))
    boxes = tuple(
        int(box.value) if box.value.isdigit() else (box.value or None)
        for box in form.boxes
        if box.takes is Takes.NUMBER_OR_X
    )
    return match.LineUp(
        Team(form.team),
        (one, two, three, four, five, six),
        boxes,
        form.number("captain"),
        form.value("signature") == SEEN,
    )


def _card(form: Form, world: World) -> Command:
    who = Person(Role(form.value("who")), form.number("number"))
    card = match.Sanction(Team(form.team), who, Card(form.value("card")))
    told = (
        one for one in world.snapshot.notices if one.kind == "conduct" and one.state in ("open", "answered")
    )
    notice = next(told, None)
    return card if notice is None else say.SettleNotice(notice.id, card, "R1")


def _arranged(form: Form, world: World) -> Command | None:
    offer = crew.chosen(form, world)
    return None if offer is None else crew.command_of(offer)


def _call(form: Form, world: World) -> Command:
    return match.Point(Team(other(form.team)), RallyFault(form.value("fault")), form.number("number"))


_COMMANDS: dict[Act, Callable[[Form, World], Command | None]] = {
    Act.WRONG_SERVER: _raise("wrong_server"),
    Act.CHECK_SERVER: _check_server,
    Act.HOLD: lambda form, world: say.Hold(form.value("why")),
    Act.RELEASE: lambda form, world: say.Release(),
    Act.STOP: lambda form, world: say.Raise("stop_play", detail=form.value("what")),
    Act.MEDICAL: _medical,
    Act.TICK: _tick,
    Act.CHECK_SHEET: lambda form, world: say.Raise("check_sheet", detail=form.value("what")),
    Act.CONDUCT: _conduct,
    Act.SET_POINT: _set_point,
    Act.HELP: lambda form, world: say.Raise("help", detail=form.value("what"), to=(form.value("to"),)),
    Act.LATER: _later,
    Act.DEALT: _dealt,
    Act.CLOCK: _clock,
    Act.SIGN: _sign,
    Act.SIGN_OFF: lambda form, world: _signature(world),
    Act.SIGN_FOR: lambda form, world: _signature(world),
    Act.NEXT_MATCH: lambda form, world: say.NextMatch(),
    Act.ERASE_NAMES: lambda form, world: say.EraseNames(),
    Act.AGREE: _agree,
    Act.DIFFERS: _differs,
    Act.END_TIME_OUT: lambda form, world: match.EndTimeOut(),
    Act.CHANGE_COURTS: lambda form, world: match.ChangeCourts(),
    Act.SUBSTITUTION: _substitution,
    Act.TIME_OUT: lambda form, world: match.TimeOut(Team(form.team)),
    Act.LIBERO: _libero,
    Act.LINE_UP: _line_up,
    Act.CARD: _card,
    Act.DELAY: lambda form, world: match.Delay(Team(form.team), DelayCause(form.value("cause"))),
    Act.IMPROPER: lambda form, world: match.ImproperRequest(
        Team(form.team), RequestKind(form.value("about"))
    ),
    Act.CALL: _call,
    Act.REPLAY: lambda form, world: match.Replay(ReplayCause(form.value("cause"))),
    Act.TOSS: lambda form, world: match.Toss(Team(form.value("first")), Team(form.value("left"))),
    Act.BEGIN_SET: lambda form, world: match.BeginSet(),
    Act.ARRANGE: _arranged,
    Act.STRIKE: lambda form, world: match.Strike(bytes.fromhex(form.target), form.value("reason")),
}


def partner(form: Form, world: World) -> str:
    """The only number that can legally go out for the one that comes in, or ""."""
    if form.act is not Act.SUBSTITUTION or not form.team or not form.value("in") or form.value("out"):
        return ""
    found = []
    for spot in world.team(form.team).spots:
        tried = form.put(1, str(spot.stands_for or spot.number))
        said = verdict(tried, world)
        if said is None:
            return ""
        if said.fine:
            found.append(tried.value("out"))
    return found[0] if len(found) == 1 else ""


def faults(form: Form, world: World) -> tuple[tuple[str, str], ...]:
    """What is wrong on a sheet so far: blanks count only in boxes that were passed."""
    said = verdict(form, world)
    if said is None:
        return ()
    names = [box.name for box in form.boxes]

    def counts(name: str, sentence: str) -> bool:
        place = names.index(name) if name in names else len(names)
        blank = place < len(names) and not form.boxes[place].value
        return not blank or place < form.reached

    return tuple((name, sentence) for name, sentence in said.defects if counts(name, sentence))
