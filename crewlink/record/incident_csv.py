"""Incidents as CSV (RFC 4180): one row each, for a spreadsheet or an archive.

Comma, CRLF, quotes where needed, UTF-8 with a byte order mark so that spreadsheets read the letters right. A
cell that a spreadsheet would take for a formula gets an apostrophe in front.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import UTC, datetime, tzinfo

from crewlink.record.incidents import Incident, IncidentAnswer, MatchIncidents

COLUMNS = (
    "event", "court", "team A", "team B", "when", "set", "A", "B", "kind", "about", "team", "team name",
    "number", "raised by", "entered by", "answers", "state", "outcome", "ended by", "end entered by",
    "words", "keep until", "responsible", "id",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def incidents_csv(matches: Iterable[MatchIncidents], zone: tzinfo = UTC) -> bytes:
    """All incidents of some matches, header first. `zone`: of the times."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for match in matches:
        for one in match.incidents:
            writer.writerow([_safe(cell) for cell in _row(match, one, zone)])
    return out.getvalue().encode("utf-8-sig")


def _row(match: MatchIncidents, one: Incident, zone: tzinfo) -> tuple[str, ...]:
    return (
        match.event,
        match.court,
        *match.teams,
        datetime.fromtimestamp(one.at / 1000, zone).isoformat(sep=" ", timespec="seconds"),
        str(one.set_number),
        *map(str, one.score),
        one.title,
        one.about,
        one.team,
        one.team_name,
        "" if one.number is None else str(one.number),
        one.raised_by,
        one.entered_by,
        "; ".join(answer_words(answer) for answer in one.answers),
        one.state,
        one.outcome,
        one.ended_by,
        one.end_entered_by,
        one.text,
        keep_until(match, zone),
        match.responsible,
        one.id,
    )


def answer_words(answer: IncidentAnswer) -> str:
    """One answer in words: "R1 after 3 s", "R1 by sign after 5 s, entered by Table", "R2 not answered"."""
    after = "" if answer.seconds is None else f" after {answer.seconds:.0f} s"
    if answer.how == "answered":
        return f"{answer.post}{after}"
    by = f", entered by {answer.entered_by}" if answer.entered_by else ""
    return f"{answer.post} {answer.how}{after}{by}"


def keep_until(match: MatchIncidents, zone: tzinfo) -> str:
    """The day after which this must be deleted, or "" where the event set none."""
    if not match.retention_days:
        return ""
    days = match.retention_days * 86_400
    return datetime.fromtimestamp(match.ended_at / 1000 + days, zone).date().isoformat()


def _safe(cell: str) -> str:
    return "'" + cell if cell.startswith(_FORMULA) else cell
