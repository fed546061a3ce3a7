"""A station's source that keeps what its court is called, so that the list of known courts can name it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from crewlink.charter import Names
from crewlink.folder import FolderError
from crewlink.home import Called, Home
from crewlink.snapshot import Snapshot
from ui.station_source import StationSource


class Remembering(StationSource):
    """A source over a folder of this device's home."""

    def __init__(self, folder: Path, home: Home) -> None:
        super().__init__(folder)
        self._home = home
        self._kept = Called("")

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        """Give every new snapshot to `heard`, and keep the names in it."""

        def keep(snapshot: Snapshot) -> None:
            self._keep(snapshot)
            heard(snapshot)

        super().listen(keep)

    def _keep(self, snapshot: Snapshot) -> None:
        usual = Names()
        if snapshot.court == usual.court and snapshot.a.name == usual.a.name:
            return  # the names have not come yet
        called = Called(snapshot.court, f"{snapshot.a.name}, {snapshot.b.name}", snapshot.event)
        if called == self._kept:
            return
        self._kept = called
        try:
            self._home.note(self.station.folder, called)
        except FolderError:
            return  # the court works without its name in the list
