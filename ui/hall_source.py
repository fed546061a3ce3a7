"""The site's door beside its board: a court that comes with an event pass gets a station and a tile."""

from __future__ import annotations

import asyncio
import threading
import time
from pathlib import Path

from crewlink.home import Home
from crewlink.site.hall import Hall, courts_of_today
from ui.board_source import BoardSource
from ui.remembering import Remembering

START_S = 10.0
LAST_TURNS = 5


class HallDoor:
    """Opens with `begin`, shuts with `end`; the board keeps and ends the stations.

    Errors of `begin`: IdentityError, PortError, and those of a station of today that cannot start.
    """

    def __init__(self, home: Home, board: BoardSource) -> None:
        self._home = home
        self._board = board
        self._hall = Hall(home, self._start)
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._run, name="crewlink hall", daemon=True)
        self._courts: list[Remembering] = []
        self.port = 0

    def begin(self) -> None:
        """Start the stations of today's courts and open the door."""
        for folder in courts_of_today(self._home, time.time()):
            self._hall.running(folder, self._start(folder))
        self._thread.start()
        self.port = asyncio.run_coroutine_threadsafe(self._hall.open(), self._loop).result(START_S)

    def end(self) -> None:
        """Shut the door."""
        if self._thread.is_alive():
            asyncio.run_coroutine_threadsafe(self._hall.close(), self._loop).result(START_S)
            self._loop.call_soon_threadsafe(self._loop.stop)
            self._thread.join(START_S)
        elif not self._loop.is_closed():
            self._loop.close()

    def _start(self, folder: Path) -> int:
        for one in self._courts:
            if one.station.folder == folder:  # it has gone on to this match by itself
                return one.station.port
        court = Remembering(folder, self._home)
        court.start()
        self._courts.append(court)
        self._board.add(court)
        return court.station.port

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        self._loop.run_forever()
        for _ in range(LAST_TURNS):
            self._loop.run_until_complete(asyncio.sleep(0))
        self._loop.close()
