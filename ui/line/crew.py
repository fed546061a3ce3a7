"""The rows of the crew page: what can be done about who writes, then the devices of this court.

`arranging` opens a row; a form that it opens finds here what was chosen.
"""

from __future__ import annotations

from dataclasses import dataclass

from crewlink.crew import commands as say
from crewlink.crew_view import DeviceView, Do, Offer
from ui.bridge.reading import clock_text
from ui.line.state import Act, Form, Line, Region
from ui.line.world import World


@dataclass(frozen=True, slots=True)
class CrewRow:
    """A row: `key` names it; `device` is None where it is about who writes."""

    key: str
    words: str
    offers: tuple[Offer, ...]
    device: DeviceView | None = None


@dataclass(frozen=True, slots=True)
class CrewShown:
    """A row as it is drawn: `told` is its second line; `reach` that of its device, "" for none; `focused`."""

    key: str
    words: str
    told: str
    reach: str
    focused: bool


def offer_key(offer: Offer) -> str:
    """A name of an offer, unlike that of any other one."""
    return f"{offer.do}/{offer.to}/{offer.device}"


def crew_rows(world: World) -> tuple[CrewRow, ...]:
    """The rows in their order. To let somebody write is offered with that one's device."""
    return (*writer_rows(world), *device_rows(world))


def writer_missing(world: World) -> bool:
    """Nobody writes who can be heard, or this post asks to."""
    writer = world.snapshot.writing
    return not writer.here and (writer.gone or not writer.reached or bool(writer.voters))


def writer_rows(world: World) -> tuple[CrewRow, ...]:
    """What can be done about who writes."""
    offers = world.snapshot.writing.offers
    return tuple(CrewRow(offer_key(one), one.words, (one,)) for one in offers if one.do is not Do.HAND)


def device_rows(world: World) -> tuple[CrewRow, ...]:
    """The devices; of one that is out of reach the first offer is to take it out."""
    found = []
    for device in world.snapshot.devices:
        out = device.state in ("late", "lost")
        offers = sorted(device.offers, key=lambda one: out and one.do is not Do.TAKE_OUT)
        found.append(CrewRow(device.device, device.word, tuple(offers), device))
    return tuple(found)


def crew_shown(world: World, focus: str) -> tuple[CrewShown, ...]:
    """The rows as they are drawn, the one of the key `focus` with the focus."""
    elapsed = world.now - world.snapshot.taken
    return tuple(
        CrewShown(
            row.key,
            row.words,
            row.offers[0].warning if row.device is None else device_told(row.device, elapsed),
            "" if row.device is None else row.device.state,
            row.key == focus,
        )
        for row in crew_rows(world)
    )


def device_told(device: DeviceView, elapsed: float) -> str:
    """How a device is reached, and whether it writes."""
    words = {"here": "this device", "linked": "linked"}
    reach = words.get(device.state, f"out of reach {clock_text(device.silent + elapsed)}")
    return f"{reach}, writes" if device.writes else reach


def focus_key(line: Line, world: World) -> str:
    """The key of the row that the focus or the open form is on, "" for none."""
    if line.form is not None:
        return line.form.target if line.form.act is Act.ARRANGE else ""
    rows = crew_rows(world)
    return rows[min(line.row, len(rows) - 1)].key if line.region is Region.CREW and rows else ""


def warned(line: Line, world: World) -> str:
    """What the offer that is chosen in the open form leads to, if it is pressed twice."""
    form = line.form
    offer = chosen(form, world) if form is not None and form.act is Act.ARRANGE else None
    return "" if offer is None else offer.warning


def command_of(offer: Offer) -> say.PenCommand:
    """What an offer sends."""
    match offer.do:
        case Do.TAKE:
            return say.TakeWriting()
        case Do.STOP:
            return say.StopAsking()
        case Do.ALONE:
            return say.WriteAlone()
        case Do.HAND:
            return say.HandWriting(offer.to)
        case Do.CHOOSE:
            return say.ChooseRecord(offer.to)
        case Do.TAKE_OUT:
            return say.TakeOut(offer.device)
        case Do.JOB:
            return say.GiveJob(offer.device, offer.to)


def row_of(world: World, key: str) -> CrewRow | None:
    """The row of a key, while it is there."""
    return next((row for row in crew_rows(world) if row.key == key), None)


def chosen(form: Form, world: World) -> Offer | None:
    """The offer that is chosen in a form, while it is still made."""
    row = row_of(world, form.target)
    offers = () if row is None else row.offers
    return next((one for one in offers if offer_key(one) == form.value("do")), None)


def title(form: Form, world: World) -> str:
    """What the form is about: "R2's device", or who writes."""
    row = row_of(world, form.target)
    if row is None or row.device is None:
        return "Who writes"
    return "This device" if row.device.state == "here" else f"{row.words}'s device"
