"""`crewlink incidents FOLDER...`: the incidents of some courts, written as CSV and as PDF."""

from __future__ import annotations

import argparse
import sys
from datetime import datetime
from pathlib import Path

from crewlink.at_rest import station_at_rest
from crewlink.record.incidents import MatchIncidents
from crewlink.record.taking_out import TakingOutError, incidents_of, write_both

FAILED = 2


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
        for path in write_both(found, args.to, datetime.now().astimezone()):
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
