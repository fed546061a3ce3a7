"""`crewlink pass make` and `crewlink pass show`: the event pass that a supervisor gives to courts."""

from __future__ import annotations

import argparse
import sys
import time
from datetime import datetime
from pathlib import Path

import segno

from crewlink.home import Home, home_folder
from crewlink.site.hall import make_pass, read_pass
from protocol.event_pass import EventPass, PassError

FAILED = 2
HOURS, MOST_HOURS = 12, 14 * 24


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the subcommand."""
    parser = commands.add_parser("pass", help="make or read an event pass for the supervisor's board")
    acts = parser.add_subparsers(required=True, metavar="ACT")
    make = acts.add_parser(
        "make",
        help="make a pass; each court that takes it appears on `crewlink board`",
        description="Make an event pass on the supervisor's device. Give it to the courts as a file, or show "
        "its square; `crewlink board` lets the courts in.",
    )
    make.add_argument("event", metavar="EVENT", help="the event's name, as the courts write it")
    make.add_argument(
        "--hours", type=_hours, default=HOURS, help="how long it is good (default: %(default)s)"
    )
    make.add_argument("--square", type=Path, metavar="FILE", help="also draw its square: .svg or .png")
    make.add_argument("--home", type=Path, metavar="FOLDER", help="where this device keeps its courts")
    make.set_defaults(run=_make)
    show = acts.add_parser("show", help="say what is in a pass")
    show.add_argument("file", type=Path, metavar="FILE", help="the file of a pass")
    show.set_defaults(run=_show)


def _hours(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_HOURS:
        raise argparse.ArgumentTypeError(f"{text}: write a number of hours, 1 to {MOST_HOURS}")
    return int(text)


def _make(args: argparse.Namespace) -> int:
    from crewlink.serving import TROUBLES

    try:
        made, path = make_pass(Home(home_folder(args.home)), args.event, args.hours)
        if args.square is not None:
            _draw(made, args.square)
    except (PassError, *TROUBLES) as error:
        sys.stderr.write(f"crewlink: {error}\n")
        return FAILED
    except (OSError, ValueError) as error:
        sys.stderr.write(f"crewlink: {args.square}: cannot be drawn ({error}). Name a .svg or .png file.\n")
        return FAILED
    sys.stdout.write(f"{_told(made)}\n{path}\n{made.text}\n")
    return 0


def _draw(made: EventPass, path: Path) -> None:
    segno.make_qr(made.text, error="l").save(str(path), scale=4)


def _show(args: argparse.Namespace) -> int:
    from crewlink.serving import TROUBLES

    try:
        made = read_pass(args.file)
    except (PassError, *TROUBLES) as error:
        sys.stderr.write(f"crewlink: {args.file}: {error}\n")
        return FAILED
    sys.stdout.write(f"{_told(made)}\n")
    return 0


def _told(made: EventPass) -> str:
    ends = datetime.fromtimestamp(made.expires).astimezone().strftime("%Y-%m-%d %H:%M")
    over = "" if time.time() < made.expires else ", too old now"
    return f"{made.event}: good until {ends}{over}, at {', '.join(map(str, made.addresses))}"
