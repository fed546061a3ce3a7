"""Incidents as a PDF to print and sign for: one page or more, privacy notice first.

The page is set by typst from `incident_page.typ`; all words go in as data, so none is ever read as markup.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime, tzinfo
from importlib import resources
from pathlib import Path

import msgspec
import typst

from crewlink.record.incident_csv import answer_words, keep_until
from crewlink.record.incidents import Incident, MatchIncidents

FALLBACK_FONT = "Libertinus Serif"
_LONG = re.compile(r"\S{24,}")


def incidents_pdf(
    matches: Sequence[MatchIncidents], zone: tzinfo = UTC, fonts: Path | None = None, family: str = ""
) -> bytes:
    """The list as PDF bytes. `fonts`: a folder of fonts to set it in, `family` the one to take."""
    events = dict.fromkeys(match.event for match in matches if match.event)
    data = {
        "event": ", ".join(events),
        "fonts": [family, FALLBACK_FONT] if family else [FALLBACK_FONT],
        "privacy": privacy_notice(matches, zone),
        "footer": "Private: for R1, R2, the supervisor and those who must act on it.",
        "matches": [_match(match, zone) for match in matches],
    }
    with resources.as_file(resources.files("crewlink.record").joinpath("incident_page.typ")) as page:
        return typst.compile(
            page,
            format="pdf",
            font_paths=[] if fonts is None else [fonts],
            ignore_system_fonts=True,
            sys_inputs={"data": msgspec.json.encode(data).decode()},
            timestamp=0,  # equal incidents give equal bytes
        )


def privacy_notice(matches: Sequence[MatchIncidents], zone: tzinfo = UTC) -> list[str]:
    """What a reader must know before the first line: who may read it, who answers for it, how long."""
    named = dict.fromkeys(match.responsible for match in matches if match.responsible)
    who = ", ".join(named) or "The event has named nobody; ask the tournament desk"
    days = sorted({keep_until(match, zone) for match in matches} - {""})
    if not days:
        until = "until the responsible person erases it; the event has set no day."
    elif len(days) == 1:
        until = f"until {days[0]}, then delete every copy."
    else:
        until = f"until {days[-1]} at the latest (each match has its day, the first {days[0]})."
    return [
        "Private. It tells about persons, some of them children: give it only to those who must act.",
        f"Responsible: {who}.",
        f"Keep it {until}",
        "A worry about a child's safety does not belong here: tell the event's named person.",
    ]


def _match(match: MatchIncidents, zone: tzinfo) -> dict[str, object]:
    a, b = match.teams
    return {
        "court": match.court,
        "teams": f"A {a}, B {b}",
        "rows": [_row(one, zone) for one in match.incidents],
    }


def _row(one: Incident, zone: tzinfo) -> list[str]:
    at = datetime.fromtimestamp(one.at / 1000, zone)
    a, b = one.score
    who = f"{one.team} {'' if one.number is None else one.number}".strip()
    about = ", ".join(part for part in (who, one.team_name, one.about) if part)
    by = one.raised_by + (f" by sign, entered by {one.entered_by}" if one.entered_by else "")
    ended = one.ended_by + (f" by sign, entered by {one.end_entered_by}" if one.end_entered_by else "")
    outcome = ". ".join(part for part in (one.state.capitalize(), one.outcome) if part)
    return [
        at.strftime("%Y-%m-%d %H:%M:%S"),
        f"Set {one.set_number}\nA {a}, B {b}",
        f"{one.title}\nraised by {by}",
        about + (f"\n“{_breakable(one.text)}”" if one.text else ""),
        _breakable(outcome) + (f"\n{ended}" if ended else ""),
        "\n".join(answer_words(answer) for answer in one.answers),
    ]


def _breakable(words: str) -> str:
    """A word longer than a column may break, so that it does not run into the next one."""
    return _LONG.sub(lambda found: "\u200b".join(found.group()), words)
