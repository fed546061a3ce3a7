"""A station's source that keeps what its court is called, so that the list of known courts can name it."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path

from crewlink.charter import Names
from crewlink.folder import FolderError
from crewlink.home import Called, Home
from crewlink.snapshot import Snapshot
from protocol.link_thread import LinkThreadError
from protocol.roster import Member
from ui.station_source import StationSource


class Remembering(StationSource):
    """A source over a folder of this device's home."""

    def __init__(self, folder: Path, home: Home) -> None:
        super().__init__(folder)
        self._home = home
        self._kept = Called("")
        self._crew: frozenset[str] = frozenset()

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        """Give every new snapshot to `heard`, and keep the names in it."""

        def keep(snapshot: Snapshot) -> None:
            self._keep(snapshot)
            self._meet(snapshot)
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

    def _meet(self, snapshot: Snapshot) -> None:
        """Others have come: remember their devices for the next match."""
        crew = frozenset(link.post for link in snapshot.links) | {snapshot.court}
        if crew == self._crew:
            return
        self._crew = crew

        def keep(members: Future[tuple[Member, ...]]) -> None:
            if members.cancelled() or members.exception() is not None:
                return
            court = "" if snapshot.court == Names().court else snapshot.court
            self._home.meet(members.result(), court, time.time())

        with contextlib.suppress(LinkThreadError):
            self.station.members().add_done_callback(keep)
