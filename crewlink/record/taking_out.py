"""`crewlink incidents FOLDER...`: the incidents of some courts, written as CSV and as PDF."""

from __future__ import annotations

import argparse
import os
import sys
from datetime import datetime
from pathlib import Path

from crewlink.at_rest import station_at_rest
from crewlink.record.incident_csv import incidents_csv
from crewlink.record.incident_pdf import incidents_pdf
from crewlink.record.incidents import MatchIncidents, incidents, refusal
from crewlink.station import Station

FAILED = 2


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


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the subcommand."""
    parser = commands.add_parser(
        "incidents",
        help="write the incident list of some courts (CSV and PDF)",
        description="Write the incidents of some courts: conduct reports, injuries, calls for help. For R1, "
        "R2 and the supervisor. The program of these folders must not be running.",
    )
    parser.add_argument("folders", type=Path, nargs="+", metavar="FOLDER", help="a court's folder")
    parser.add_argument(
        "--to", type=Path, default=Path("incidents"), metavar="NAME",
        help="files to write, without their endings (default: incidents, so incidents.csv and .pdf)",
    )  # fmt: skip
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Write both files; a mistake of the user gives one sentence."""
    from crewlink.serving import TROUBLES

    try:
        found = [_of_folder(folder) for folder in args.folders]
        zone = datetime.now().astimezone().tzinfo
        assert zone is not None
        for ending, data in ((".csv", incidents_csv(found, zone)), (".pdf", incidents_pdf(found, zone))):
            path = args.to.with_name(args.to.name + ending)
            write_private(path, data)
            sys.stdout.write(f"{path}\n")
    except (TakingOutError, *TROUBLES) as error:
        sys.stderr.write(f"crewlink: {error}\n")
        return FAILED
    count = sum(len(match.incidents) for match in found)
    sys.stdout.write(f"{count} incident{'' if count == 1 else 's'}. Private: only you can read the files.\n")
    return 0


def _of_folder(folder: Path) -> MatchIncidents:
    try:
        return incidents_of(station_at_rest(folder))
    except TakingOutError as error:
        raise TakingOutError(f"{folder}: {error}") from error
