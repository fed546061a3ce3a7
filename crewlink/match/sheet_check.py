"""The check of a line-up sheet before it is accepted: each defect named with the box it is in."""

from __future__ import annotations

from collections.abc import Iterator

from crewlink.match.commands import LineUp
from crewlink.match.facts import LiberoBox
from crewlink.match.ruling import Defect
from crewlink.match.state import Match, Squad
from crewlink.match.teams import Team
from crewlink.rules.profile import Sheet

CROSSED = "X"


def defects(match: Match, sheet: LineUp) -> tuple[Defect, ...]:
    """All that is wrong on the sheet, box by box in reading order; empty if it can be accepted."""
    team = sheet.team
    return (
        *_places(match, team, sheet),
        *_liberos(match, team, sheet),
        *_captain(match, sheet),
        *_signature(sheet),
    )


def on_list(squad: Squad, number: int) -> bool:
    """True if the number is on the team list, or no list was given."""
    return not squad.sheet.players or number in squad.sheet.players


def written_liberos(sheet: LineUp) -> tuple[int, ...]:
    """The numbers in the libero boxes."""
    return tuple(box for box in sheet.liberos if isinstance(box, int))


def _places(match: Match, team: Team, sheet: LineUp) -> Iterator[Defect]:
    squad, court = match.squad(team), match.court(team)
    named_on_sheet = _liberos_on_sheet(match) and not squad.libero_named
    liberos = written_liberos(sheet) if named_on_sheet else squad.liberos
    for place, number in enumerate(sheet.positions):
        box = str(place + 1)
        if number is None:
            yield Defect(box, "blank", f"Box {box} is empty.")
        elif number in sheet.positions[:place]:
            first = sheet.positions.index(number) + 1
            yield Defect(box, "twice", f"{number} is in box {first} and in box {box}.")
        elif not on_list(squad, number):
            yield Defect(box, "not_on_list", f"{number} in box {box} is not on the team list.")
        elif number in liberos:
            yield Defect(box, "libero", f"{number} in box {box} is a libero.")
        elif number in (*squad.out, *squad.liberos_out, *court.barred):
            yield Defect(box, "out", f"{number} in box {box} may not play.")


def _liberos_on_sheet(match: Match) -> bool:
    return match.profile.libero.named_on is Sheet.LINE_UP_SHEET


def _liberos(match: Match, team: Team, sheet: LineUp) -> Iterator[Defect]:
    squad, rules = match.squad(team), match.profile.libero
    boxes: tuple[LiberoBox, ...] = sheet.liberos
    if _liberos_on_sheet(match) and not squad.libero_named:
        boxes = (*boxes, *(None for _ in range(rules.most - len(boxes))))
    for place, box in enumerate(boxes):
        name = f"libero {place + 1}"
        if box is None:
            yield Defect(name, "blank", f"Box {name} is empty: a number or an X.")
        elif isinstance(box, str):
            if box != CROSSED:
                yield Defect(name, "not_a_number", f"Box {name}: a number or an X.")
        elif place >= rules.most:
            yield Defect(name, "too_many", f"Only {rules.most} liberos are allowed.")
        elif box in boxes[:place]:
            yield Defect(name, "twice", f"{box} is written as libero twice.")
        elif not on_list(squad, box):
            yield Defect(name, "not_on_list", f"{box} in box {name} is not on the team list.")
        elif box in squad.liberos_out or box in squad.out:
            yield Defect(name, "out", f"{box} in box {name} may not play.")
        elif not _liberos_on_sheet(match) and box not in squad.liberos:
            yield Defect(name, "not_libero", f"{box} is not a libero on the score sheet.")


def _captain(match: Match, sheet: LineUp) -> Iterator[Defect]:
    captain = sheet.captain
    if captain is None:
        yield Defect("captain", "blank", "No captain is marked.")
        return
    liberos = (*written_liberos(sheet), *match.squad(sheet.team).liberos)
    if captain in sheet.positions:
        return
    if captain in liberos and match.profile.libero.may_be_captain:
        return
    if captain in liberos:
        yield Defect("captain", "libero_captain", "A libero may not be captain.")
    else:
        yield Defect("captain", "not_playing", f"Captain {captain} is not in the line-up.")


def _signature(sheet: LineUp) -> Iterator[Defect]:
    if not sheet.signed:
        yield Defect("signature", "unsigned", "The coach has not signed.")
