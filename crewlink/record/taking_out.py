"""Taking the incidents out of a station, and files that only their owner may read."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from crewlink.record.incident_csv import incidents_csv
from crewlink.record.incident_pdf import incidents_pdf
from crewlink.record.incidents import MatchIncidents, incidents, refusal
from crewlink.station import Station


class TakingOutError(Exception):
    """A list that cannot be made or written: which folder or file, why, what to do."""


def incidents_of(station: Station) -> MatchIncidents:
    """The incidents as a station knows them at its last moment. Errors: TakingOutError."""
    why = refusal(station.post)
    if why:
        raise TakingOutError(why)
    if station.court is None:
        raise TakingOutError(
            station.trouble or "The match never came here. Link this device to its court once."
        )
    return incidents(station.court, station.moment(), station.wall_ms, station.names, station.texts)


def write_private(path: Path, data: bytes) -> None:
    """Write a file that only its owner may read. Errors: TakingOutError."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "wb") as file:
            path.chmod(0o600)  # also when it was there before
            file.write(data)
    except OSError as error:
        raise TakingOutError(
            f"{path}: Cannot be written ({error.strerror}). Choose another place with --to."
        ) from error


def write_incidents(
    found: Sequence[MatchIncidents], folder: Path, at: datetime, fonts: Path | None = None
) -> Path:
    """Write the lists of some matches as CSV and PDF, named by the minute of `at`; gives the path without an
    ending. Errors: TakingOutError.
    """
    base = folder / f"incidents {at:%Y-%m-%d %H%M}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise TakingOutError(f"{folder}: Cannot be made ({error.strerror}). Make it by hand.") from error
    write_both(found, base, at, fonts)
    return base


def write_both(
    found: Sequence[MatchIncidents], base: Path, at: datetime, fonts: Path | None = None
) -> tuple[Path, Path]:
    """Write `base`.csv and `base`.pdf, times in the zone of `at`. Errors: TakingOutError."""
    zone = at.tzinfo
    if zone is None:
        raise ValueError("a time with its zone")
    family = "Inter" if fonts is not None else ""
    table, page = (base.with_name(base.name + ending) for ending in (".csv", ".pdf"))
    write_private(table, incidents_csv(found, zone))
    write_private(page, incidents_pdf(found, zone, fonts, family))
    return table, page
