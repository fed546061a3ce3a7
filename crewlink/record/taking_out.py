"""Taking the incidents out of a station, and files that only their owner may read."""

from __future__ import annotations

import os
from pathlib import Path

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
