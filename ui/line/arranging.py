"""Opening a row of the crew page: it acts at once, or leads to a form in which it is chosen and confirmed."""

from __future__ import annotations

from dataclasses import replace

from ui.line.crew import CrewRow, command_of, offer_key
from ui.line.result import Result, send
from ui.line.state import Act, Box, Form, Line, Region, Takes
from ui.line.world import World


def open_row(line: Line, world: World, row: CrewRow) -> Result:
    """Do what a row offers, or let it be chosen and confirmed; the press that came here is the first one."""
    if not row.offers:
        return Result(line, refusal="Nothing to do here with this device.")
    first = row.offers[0]
    if row.device is None and not first.warning:
        there = replace(line, region=Region.LINE, row=0, form=None, done=None)
        return send(there, line, command_of(first))
    choices = tuple((offer_key(one), _lower(one.words)) for one in row.offers)
    box = Box("do", "", Takes.CHOICE, choices[0][0], choices)
    form = Form(Act.ARRANGE, "", (box,), live=0, armed=bool(first.warning), target=row.key)
    return Result(replace(line, region=Region.LINE, row=0, form=form, typed="", done=None))


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]
