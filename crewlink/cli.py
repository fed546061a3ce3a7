"""`crewlink ...`: the program from the command line. Each subcommand's work lies in its own module."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from crewlink.record import incident_command
from crewlink.script import rehearse
from crewlink.site import pass_command
from crewlink.station import RALLY_PRESUMED_S

FAILED = 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a subcommand; returns the exit code. A mistake of the user gives one sentence, never a
    traceback.
    """
    args = parser()[0].parse_args(arguments)
    return int(args.run(args))


def parser() -> tuple[argparse.ArgumentParser, argparse._SubParsersAction[argparse.ArgumentParser]]:
    """The parser with the subcommands that need no window, and where to add more."""
    made = argparse.ArgumentParser(
        prog="crewlink", description="Links a volleyball officiating crew over the gym's own network."
    )
    commands = made.add_subparsers(required=True, metavar="COMMAND")
    _add_station(commands)
    rehearse.add_to(commands)
    incident_command.add_to(commands)
    pass_command.add_to(commands)
    return made, commands


def _add_station(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "station",
        help="run the station of a folder, without a window",
        description="Run the station of a folder, without a window, until its input ends.",
    )
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="the station's folder")
    parser.add_argument(
        "--control", action="store_true", help="obey JSON lines on the input (see control.py)"
    )
    parser.add_argument(
        "--rally-after",
        type=float,
        default=RALLY_PRESUMED_S,
        metavar="SECONDS",
        help="seconds after a dead ball from which play is taken to go on (default: %(default)s)",
    )
    parser.set_defaults(run=_station)


def _station(args: argparse.Namespace) -> int:
    from crewlink.serving import TROUBLES, serve

    try:
        return serve(args.folder, control=args.control, rally_after=args.rally_after)
    except TROUBLES as error:
        sys.stderr.write(f"crewlink: {error}\n")
        return FAILED
