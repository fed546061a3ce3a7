"""The `crewlink` command: everything of `crewlink.cli`, and the windows.

`crewlink` alone sets a court up and goes on to its face, `crewlink face FOLDER` opens the face of a station.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from crewlink import cli
from crewlink.crew.posts import Post
from crewlink.folder import StationFolder
from crewlink.serving import TROUBLES
from crewlink.station import RALLY_PRESUMED_S
from ui.face import Face

FACE_OF = {
    Post.R1: Face.WRIST,
    Post.R2: Face.NET,
    Post.SCORER: Face.TABLE,
    Post.ASSISTANT: Face.TABLE,
    Post.SITE: Face.BOARD,
}


def _face_of(post: str) -> Face:
    """The face of a job; an unknown one of a newer program is shown at the table."""
    return FACE_OF[Post(post)] if post in set(Post) else Face.TABLE


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a subcommand; returns the exit code."""
    parser, commands = cli.parser()
    _add_face(commands)
    _add_board(commands)
    _add_setup(commands)
    given = sys.argv[1:] if arguments is None else list(arguments)
    args = parser.parse_args(given or ["setup"])
    return int(args.run(args))


def _add_face(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "face", help="open the window of a station", description="Open a station's window."
    )
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="the station's folder")
    parser.add_argument("--face", choices=[str(face) for face in Face], help="default: the post's own face")
    parser.add_argument("--bright", action="store_true", help="the theme for a bright gym")
    parser.add_argument("--size", type=_size, metavar="WxH", help="window size in pixels, such as 800x1280")
    parser.add_argument("--control", action="store_true", help="obey JSON lines on the input as well")
    parser.add_argument("--rally-after", type=float, default=RALLY_PRESUMED_S, help=argparse.SUPPRESS)
    parser.set_defaults(run=_face)


def _add_setup(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "setup",
        help="open or join a court (what crewlink does when nothing is said)",
        description="Open a court, join one, or go back to one this device knows.",
    )
    parser.add_argument("--home", type=Path, metavar="FOLDER", help="where this device keeps its courts")
    parser.add_argument("--size", type=_size, metavar="WxH", help="window size in pixels, such as 1280x800")
    parser.set_defaults(run=_setup)


def _add_board(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "board",
        help="open the supervisor's board over several courts",
        description="Open the supervisor's board: one station folder for each court, all in one window. "
        "Without folders: the courts that come with an event pass (crewlink pass make).",
    )
    parser.add_argument("folders", type=Path, nargs="*", metavar="FOLDER", help="a court's folder, post site")
    parser.add_argument("--home", type=Path, metavar="FOLDER", help="where this device keeps its courts")
    parser.add_argument("--hall", default="", help="what the hall is called; default: the event's name")
    parser.add_argument("--bright", action="store_true", help="the theme for a bright gym")
    parser.add_argument("--size", type=_size, metavar="WxH", help="window size in pixels, such as 1366x768")
    parser.set_defaults(run=_board)


def _size(text: str) -> tuple[int, int]:
    wide, cross, high = text.partition("x")
    if not cross or not wide.isdecimal() or not high.isdecimal():
        raise argparse.ArgumentTypeError(f"{text}: write it as 800x1280")
    return int(wide), int(high)


def _face(args: argparse.Namespace) -> int:
    from crewlink.home import Home, home_folder
    from ui.app import run, run_board
    from ui.board_source import BoardSource
    from ui.setup_source import SetupDesk
    from ui.stage import FaceFailed, ThemeName
    from ui.station_source import StationSource

    try:
        post = StationFolder(args.folder).read().post
        face = Face(args.face) if args.face else _face_of(post)
        source = StationSource(args.folder, rally_after=args.rally_after)
        source.start()
        theme = ThemeName.BRIGHT if args.bright else ThemeName.DARK
        if face is Face.BOARD:
            control = source.station if args.control else None
            return run_board(BoardSource([source]), args.size, theme, control)
        if args.control or args.face:
            return run(face, source, args.size, theme, control=source.station if args.control else None)
        adding = partial(SetupDesk, Home(home_folder(None)), station=source)
        return run(face, source, args.size, theme, face_of=_face_of, adding=adding)
    except (FaceFailed, *TROUBLES) as error:
        sys.stderr.write(f"crewlink: {error}\n")
        return cli.FAILED


def _board(args: argparse.Namespace) -> int:
    from crewlink.home import Home, home_folder
    from ui.app import run_board
    from ui.board_source import BoardSource
    from ui.hall_source import HallDoor
    from ui.stage import FaceFailed, ThemeName
    from ui.station_source import StationSource

    board = BoardSource([], args.hall)
    door: HallDoor | None = None
    theme = ThemeName.BRIGHT if args.bright else ThemeName.DARK
    try:
        for folder in args.folders:
            court = StationSource(folder)
            court.start()
            board.add(court)
        if not args.folders:
            door = HallDoor(Home(home_folder(args.home)), board)
            door.begin()
        return run_board(board, args.size, theme)
    except (FaceFailed, *TROUBLES) as error:
        board.stop()
        sys.stderr.write(f"crewlink: {error}\n")
        return cli.FAILED
    finally:
        if door is not None:
            door.end()


def _setup(args: argparse.Namespace) -> int:
    from crewlink.home import Hand, Home, home_folder
    from ui.app import run, run_board, run_setup
    from ui.board_source import BoardSource
    from ui.remembering import Remembering
    from ui.setup_source import SetupDesk
    from ui.stage import FaceFailed, ThemeName

    home = Home(home_folder(args.home))
    desk = SetupDesk(home)
    try:
        led = run_setup(desk, args.size)
        source = desk.station
        if not led or desk.folder is None:
            if source is not None:
                source.stop()
            return 0
        if source is None:
            source = Remembering(desk.folder, home)
            source.start()
        face = _face_of(StationFolder(desk.folder).read().post)
        choices = home.choices()
        theme = ThemeName.BRIGHT if choices.bright else ThemeName.DARK
        if face is Face.BOARD:
            return run_board(BoardSource([source]), theme=theme, calm=choices.calm)
        right = choices.hand is Hand.RIGHT
        adding = partial(SetupDesk, home, station=source)
        return run(
            face,
            source,
            theme=theme,
            calm=choices.calm,
            right_hand=right,
            face_of=_face_of,
            adding=adding,
        )
    except (FaceFailed, *TROUBLES) as error:
        sys.stderr.write(f"crewlink: {error}\n")
        return cli.FAILED


if __name__ == "__main__":
    sys.exit(main())
