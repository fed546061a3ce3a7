"""The rehearsal: an invented crew plays match scripts through live stations, each a process of its own.

    python3 demo_session/run.py [--pace 1.0] [--headless] [--keep FOLDER] [SCRIPT ...]

Scorer, second referee, first referee and site supervisor are linked over this machine's own network
interfaces (multicast DNS, TLS, SQLite files), and each acts at its own station, in a window of its own
(drawn offscreen where there is no display). Pictures of the windows are kept. A SCRIPT is a file, or the name
of one in scripts/: `full_evening` has all that a crew can meet. Exit code 0: every
expectation held and all stations ended equal; 1: something differed; 2: it could not be played.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from msgspec import structs

from crewlink.acts import AnyCommand
from crewlink.charter import Charter, Names, TeamNames
from crewlink.control import Look
from crewlink.crew.commands import Sign
from crewlink.crew.posts import Post
from crewlink.folder import StationFolder
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import TeamSheet
from crewlink.script.format import Run, Script
from crewlink.script.player import Played, Player
from crewlink.script.reading import ScriptError, load
from crewlink.serving import TROUBLES
from crewlink.snapshot import Snapshot
from demo_session.event import Crew, guest, prepare
from demo_session.live import LiveStage, NotEqual
from demo_session.pictures import Album
from demo_session.station_process import StationGone, StationProcess
from demo_session.summary import Told, summary
from protocol.node import wall_milliseconds
from ui.face import SHAPES
from ui.main import FACE_OF

HERE = Path(__file__).parent
SCRIPTS = (HERE / "scripts" / "published_scorer_game.json", HERE / "scripts" / "three_notices.json")
POSTS = (Post.SCORER, Post.R2, Post.R1, Post.SITE)
SAME, DIFFERENT, FAILED = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Play the scripts; returns the exit code."""
    parser = argparse.ArgumentParser(prog="run.py", description="Rehearse a match with a linked crew.")
    parser.add_argument(
        "scripts", nargs="*", type=_script, metavar="SCRIPT", help="match scripts to play, or names of ours"
    )
    parser.add_argument("--pace", type=float, default=1.0, help="stretch (2) or shorten (0.2) the pauses")
    parser.add_argument("--headless", action="store_true", help="stations without windows")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="where stations and records are left")
    args = parser.parse_args(arguments)
    if not 0 < args.pace <= 100:
        parser.error(f"--pace {args.pace}: give a number above 0, at most 100")
    root = args.keep or HERE.parent / "build" / "rehearsal" / time.strftime("%H%M%S")
    codes = []
    for path in args.scripts or SCRIPTS:
        try:
            script = load(path)
            codes.append(_rehearse(script, root / path.stem, args.pace, windows=not args.headless))
        except (ScriptError, *TROUBLES) as error:
            sys.stderr.write(f"{error}\n")
            codes.append(FAILED)
        except (NotEqual, StationGone) as error:
            sys.stderr.write(f"{path.name}: {error}\n")
            codes.append(FAILED if isinstance(error, StationGone) else DIFFERENT)
    sys.stdout.write(f"\nStations, files and records: {root}\n")
    return max(codes)


def _script(text: str) -> Path:
    """A script by its path, or one of those that lie here by its name ("full_evening")."""
    here = HERE / "scripts" / f"{text}.json"
    return here if here.is_file() else Path(text)


class _Gym:
    """The stations of a rehearsal: those of the start, and those that come in later."""

    def __init__(self, root: Path, crew: Crew, posts: Sequence[Post], *, windows: bool) -> None:
        self._root, self._crew, self._windows = root, crew, windows
        self.first = {post: self._started(post, crew.folders[str(post)]) for post in posts}
        self._all = list(self.first.values())

    def newcomer(self, post: Post, host: StationProcess) -> StationProcess:
        """A new device that a station lets in."""
        folder = self._root / f"{post}-{len(self._all)}"
        host.admit(guest(folder, str(post), self._crew.event), StationFolder(folder).invitation)
        station = self._started(post, folder)
        self._all.append(station)
        return station

    def stop(self) -> None:
        """End all that still run."""
        for station in self._all:
            station.stop()

    def _started(self, post: Post, folder: Path) -> StationProcess:
        return StationProcess(str(post), folder, window=self._windows and FACE_OF[post] in SHAPES)


class _Keeper:
    """Keeps pictures of all windows and, once it is signed, the record of the match that is over."""

    def __init__(self, root: Path, stage: LiveStage) -> None:
        self.album = Album(root / "pictures", stage.running)
        self._stage, self._path = stage, root / "record.json"
        self.ended: Snapshot | None = None

    def after(self, command: AnyCommand, post: Post) -> None:
        """`post` did `command`, all stations are equal."""
        self.album.after(command, post)
        waits = self.ended is not None and self.ended.phase != "sealed"
        if isinstance(command, Sign) or waits:  # it is locked a moment after the last signature
            self.keep(post)

    def keep(self, post: Post) -> None:
        """Keep the record of the match as a post has it now, unless it has gone on with the next one."""
        station = self._stage.stations[post]
        snapshot = station.look().snapshot
        if self.ended is None or snapshot.phase in ("finished", "sealed"):
            station.record(self._path)
            self.ended = snapshot

    def record(self) -> dict[str, Any]:
        """The record of the match that was played."""
        if self.ended is None:
            self.keep(next(iter(self._stage.stations)))
        found: dict[str, Any] = json.loads(self._path.read_text(encoding="utf-8"))
        return found


def _rehearse(script: Script, root: Path, pace: float, *, windows: bool) -> int:
    run = script.runs[0]
    sys.stdout.write(f"\n{script.title}\n{'=' * len(script.title)}\n")
    setup, names = _without_names(script.setup(run, run.profiles[0]))
    posts = [post for post in script.posts if post in POSTS or _acts(post, run)]
    opened = Charter(setup, script.event.settings(wall_milliseconds()))
    crew = prepare(root, list(map(str, posts)), opened, names)
    started = time.monotonic()
    gym = _Gym(root, crew, posts, windows=windows)
    try:
        stage = LiveStage(gym.first, pace, newcomer=gym.newcomer)
        keeper = _Keeper(root, stage)
        stage.keep = keeper.after
        linked = stage.settle(_all_linked)
        sys.stdout.write(f"Linked: {len(linked)} stations in {time.monotonic() - started:.1f} s\n")
        played, looks = _play(run, stage)
        keeper.album.take("end")
        record = keeper.record()
    finally:
        gym.stop()
    assert keeper.ended is not None
    return _tell(Told(played, looks, keeper.ended, record, time.monotonic() - started), root)


def _acts(post: Post, run: Run) -> bool:
    """Whether a post does anything in a run."""
    return any(step.by == post for step in run.steps)


def _play(run: Run, stage: LiveStage) -> tuple[tuple[Played, ...], dict[Post, Look]]:
    player, played = Player(run, stage), list[Played]()
    for number, step in enumerate(run.steps, 1):
        try:
            played.append(player.one(number, step))
        except NotEqual as error:
            told = "".join(f"\n  step {one.number}: {found}" for one in played for found in one.differences)
            raise NotEqual(f"step {number}: {error}{told}") from error
    return tuple(played), stage.settle()


def _all_linked(looks: dict[Post, Look]) -> bool:
    links = [link for look in looks.values() for link in look.snapshot.links]
    return all(link.state in ("linked", "unfilled") for link in links)


def _tell(told: Told, root: Path) -> int:
    sys.stdout.write(summary(told))
    sys.stdout.write(f"Record: {root / 'record.json'}\n")
    if (root / "pictures").is_dir():
        sys.stdout.write(f"Pictures: {root / 'pictures'}\n")
    return DIFFERENT if told.differences else SAME


def _without_names(setup: MatchSetup) -> tuple[MatchSetup, Names]:
    """The setup with numbers alone, and the names that go beside it."""
    a, b = setup.team_a, setup.team_b
    names = Names("Court 7", "Rehearsal", _names(a), _names(b))
    bare = structs.replace(setup, team_a=structs.replace(a, name="A"), team_b=structs.replace(b, name="B"))
    return bare, names


def _names(sheet: TeamSheet) -> TeamNames:
    return TeamNames(sheet.name, sheet.name.split()[-1][:9])


if __name__ == "__main__":
    sys.exit(main())
