"""Pictures of every window at the moments that matter, while a rehearsal plays."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from crewlink.acts import AnyCommand
from crewlink.crew.posts import Post
from crewlink.match.commands import Point
from demo_session.station_process import StationProcess
from ui.main import FACE_OF


class Album:
    """Takes a picture of each window after each act that is more than an ordinary point."""

    def __init__(self, folder: Path, stations: Callable[[], Mapping[Post, StationProcess]]) -> None:
        self.folder = folder
        self._stations = stations
        self._moments = 0

    def after(self, command: AnyCommand, post: Post) -> None:
        """Keep the moment after `post` did `command`; ordinary points are passed over."""
        if not isinstance(command, Point):
            self.take(f"{type(command).__name__.lower()}_by_{post}")

    def take(self, moment: str) -> None:
        """A picture of every window now."""
        self._moments += 1
        for post, station in self._stations().items():
            if not station.window:
                continue
            station.picture(self.folder / f"{self._moments:02d}_{moment}_{FACE_OF[post]}.png")
