"""What stands under the court: notices, an exchange, a sheet, a clock, lost links, or the match history."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ui.line import forms
from ui.line.acts import acts_shown
from ui.line.state import Act, Form, Line, Region, Takes
from ui.line.world import World


class Panel(StrEnum):
    """The regions that can stand there; SHEET takes the place of the benches and the court too."""

    HISTORY = "history"
    NOTICES = "notices"
    WRONG = "wrong"
    EXCHANGE = "exchange"
    SHEET = "sheet"
    CLOCK = "clock"
    SETS = "sets"
    CHECK = "check"
    TOSS = "toss"
    FINISHED = "finished"
    LINKS = "links"
    OLDER = "older"
    ACTS = "acts"
    CREW = "crew"
    TROUBLE = "trouble"


_PHASES = {
    "time_out": Panel.CLOCK,
    "before": Panel.TOSS,
    "line_ups": Panel.SETS,
    "between_sets": Panel.SETS,
    "check": Panel.CHECK,
    "finished": Panel.FINISHED,
    "sealed": Panel.FINISHED,
}
_EXCHANGES = (Act.SUBSTITUTION, Act.LIBERO)


def panel(line: Line, world: World) -> Panel:
    """Which one stands there now."""
    form = line.form
    if line.region is Region.CREW or (form is not None and form.act is Act.ARRANGE):
        return Panel.CREW
    if form is not None and form.act is Act.LINE_UP and form.team:
        return Panel.SHEET
    if form is not None and form.act in _EXCHANGES and not acts_shown(line, world).rows:
        return Panel.EXCHANGE
    if line.region is Region.HISTORY or (form is not None and form.act is Act.STRIKE):
        return Panel.HISTORY
    if world.wrong is not None:
        return Panel.WRONG
    loud = any(one.state == "open" and (one.level != "note" or one.asked) for one in world.stack)
    if loud or (world.stack and line.region is Region.NOTICES):
        return Panel.NOTICES
    if acts_shown(line, world).rows:
        return Panel.ACTS
    if world.snapshot.storage:
        return Panel.TROUBLE
    if world.snapshot.phase in _PHASES:
        return _PHASES[world.snapshot.phase]
    if world.stack:
        return Panel.NOTICES
    if world.older is not None and world.decision is None:
        return Panel.OLDER
    return Panel.LINKS if any(one.state == "lost" for one in world.snapshot.links) else Panel.HISTORY


@dataclass(frozen=True, slots=True)
class ExchangeShown:
    """A substitution or libero replacement: title, numbers, whether it is legal ("yes", "no", ""), why."""

    title: str = ""
    team: str = ""
    comes_in: str = ""
    goes_out: str = ""
    said: str = ""
    reasons: tuple[str, ...] = ()


def exchange(line: Line, world: World) -> ExchangeShown:
    """What the panel of an exchange shows."""
    form = line.form
    if form is None or form.act not in _EXCHANGES:
        return ExchangeShown()
    word = "Substitution" if form.act is Act.SUBSTITUTION else "Libero"
    title = f"{word}, Team {form.team}" if form.team else f"{word}: which team?"
    said = forms.verdict(form, world)
    sign = "" if said is None else "yes" if said.fine else "no"
    reasons = (
        () if said is None else _reasons(form, world) if said.fine else _split(said.sentence, said.reference)
    )
    return ExchangeShown(title, form.team, form.value("in"), form.value("out"), sign, reasons)


def _split(sentence: str, reference: str) -> tuple[str, ...]:
    parts = [part.strip() for part in sentence.split(". ") if part.strip()]
    return (*parts, f"rule {reference}") if reference else tuple(parts)


def _reasons(form: Form, world: World) -> tuple[str, ...]:
    team = world.team(form.team)
    goes = form.number("out")
    place = next((spot.position for spot in team.spots if goes in (spot.number, spot.stands_for)), None)
    where = f"to position {place}" if place is not None else ""
    if form.act is Act.LIBERO:
        return tuple(part for part in (where, "not counted") if part)
    count = team.substitutions + 1
    left = team.substitutions_allowed - count
    tail = "the last one" if left <= 0 else f"{left} left after it"
    return tuple(
        part for part in (where, f"number {count} of {team.substitutions_allowed} in this set", tail) if part
    )


def meant(line: Line, world: World) -> tuple[str, int]:
    """The player on court that the line is about: (team, number), ("", -1) if nobody."""
    form = line.form
    if form is not None and form.act in _EXCHANGES and form.team:
        goes = form.number("out") or int(forms.partner(form, world) or -1)
        spots = world.team(form.team).spots
        return form.team, next((spot.number for spot in spots if goes in (spot.number, spot.stands_for)), -1)
    if form is not None and form.team and form.number("number") is not None:
        return form.team, form.number("number") or -1
    if form is None and line.typed and len(world.teams_of(int(line.typed))) == 1:
        return world.teams_of(int(line.typed))[0], int(line.typed)
    return "", -1


def signalled(line: Line) -> str:
    """The way that is chosen as R1's sign, "" while none is."""
    form = line.form
    sign = form.value("sign") if form is not None and form.act is Act.SIGN else ""
    return "" if sign == "no" else sign


@dataclass(frozen=True, slots=True)
class SheetBox:
    """A box of the sheet: what is in it, whether the keys go there, the flag of its fault (0: none)."""

    key: str
    label: str
    value: str
    live: bool
    flag: int
    captain: bool = False


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault of the sheet: its flag and its sentence."""

    flag: int
    sentence: str
    where: str


def sheet_boxes(form: Form, found: tuple[Fault, ...]) -> tuple[SheetBox, ...]:
    """The boxes in the order they are typed."""
    flags = {fault.where: fault.flag for fault in reversed(found)}
    captain = form.value("captain")
    doubled = _doubled(form)
    rows = []
    for place, box in enumerate(form.boxes):
        flag = flags.get(box.name, 0)
        if not flag and box.name.isdigit() and box.value in doubled:
            flag = next((flags[name] for name in doubled[box.value] if name in flags), 0)
        marked = box.typed and bool(captain) and box.value == captain and box.name != "captain"
        value = box.value if box.takes is not Takes.CHOICE else box.word
        rows.append(SheetBox(box.name, box.label, value, place == form.live, flag, marked))
    return tuple(rows)


def _doubled(form: Form) -> dict[str, list[str]]:
    """Numbers that stand in more than one position, with the names of those boxes."""
    places: dict[str, list[str]] = {}
    for box in form.boxes:
        if box.name.isdigit() and box.value:
            places.setdefault(box.value, []).append(box.name)
    return {value: names for value, names in places.items() if len(names) > 1}


def sheet_faults(form: Form, world: World) -> tuple[Fault, ...]:
    """The faults, flagged 1, 2, ... in reading order."""
    found = forms.faults(form, world)
    return tuple(Fault(flag, sentence, where) for flag, (where, sentence) in enumerate(found, start=1))


def sheet_title(form: Form, faults: tuple[Fault, ...]) -> tuple[str, str]:
    """Headline and second line beside the sheet."""
    if form.sent_back:
        return "Sent back", "The coach puts it right. Type what has changed."
    if not faults:
        full = all(box.value or box.optional for box in form.boxes) and form.value("signature")
        return (
            ("Nothing wrong", "Enter on the last box accepts it.")
            if full
            else ("Type the sheet", "Position 1 is the first server.")
        )
    count = "One fault" if len(faults) == 1 else f"{len(faults)} faults"
    return "Can't be accepted", f"{count}, named by box. Send the sheet back."
