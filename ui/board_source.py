"""The courts of a hall as the source of one board: a running station of post "site" for each, in one process.

A court's number is the one in its name ("Court 7"), else its place in the order the folders were given.
"""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from datetime import datetime
from pathlib import Path
from typing import Protocol

import platformdirs

from crewlink.record.incidents import MatchIncidents
from crewlink.record.taking_out import TakingOutError, write_incidents
from crewlink.site.board import board, silence
from crewlink.snapshot import BoardSnapshot, CourtSight, PlannedMatch, RefusalView, Snapshot
from protocol.link_thread import LinkThreadError
from ui.bridge.submit import Answer, Command
from ui.station_source import Sent

PACE_S = 0.1
WAIT_S = 10.0
FONTS = Path(__file__).parent / "fonts"


class CourtSource(Protocol):
    """One court of the hall: a `StationSource`, or something that plays one."""

    def snapshot(self) -> Snapshot:
        """The newest snapshot."""

    def submit(self, command: Command) -> Answer:
        """Take a command; never blocks."""

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        """Give every new snapshot to `heard`, from any thread."""

    def refresh(self) -> None:
        """Give a new snapshot soon."""

    def stop(self) -> None:
        """End."""

    def incidents(self) -> Future[MatchIncidents]:
        """The incidents of the court. The future's errors: TakingOutError."""


def numbered(snapshots: Sequence[Snapshot]) -> tuple[int, ...]:
    """The number of each court; where a name has none, or one that is taken, the lowest free place."""
    taken: list[int] = []
    named = [re.search(r"\d+", snapshot.court) for snapshot in snapshots]
    wanted = [int(found[0]) if found else 0 for found in named]
    for number in wanted:
        free = number > 0 and number not in taken
        place = next(n for n in range(1, 2 * len(wanted) + 1) if n not in taken and n not in wanted)
        taken.append(number if free else place)
    return tuple(taken)


class BoardSource:
    """Listens to all courts and offers the board they make, at most one in `pace` seconds and one at each
    refresh.

    `now` gives monotonic seconds, `wall` seconds of the clock. `folder`: where incident lists are written.
    """

    def __init__(
        self,
        courts: Sequence[CourtSource],
        hall: str = "",
        plan: Sequence[PlannedMatch] = (),
        *,
        now: Callable[[], float] = time.monotonic,
        wall: Callable[[], float] = time.time,
        pace: float = PACE_S,
        folder: Path | None = None,
    ) -> None:
        self._folder = platformdirs.user_documents_path() if folder is None else folder
        self._courts = tuple(courts)
        self._hall, self._plan = hall, tuple(plan)
        self._now, self._wall, self._pace = now, wall, pace
        self._told_at = -pace
        self._lock = threading.Lock()
        self._seen: list[Snapshot] = []
        self._heard: Callable[[BoardSnapshot], None] | None = None

    def add(self, court: CourtSource) -> None:
        """One more court, whose station runs already; it stands on the board from now on. From any thread."""
        first = court.snapshot()
        with self._lock:
            if not self._seen:
                self._seen = [one.snapshot() for one in self._courts]
            place = len(self._courts)
            self._courts = (*self._courts, court)
            self._seen.append(first)
            listening = self._heard is not None
        if listening:
            court.listen(lambda snapshot: self._take(place, snapshot))
            self._tell()

    def board(self) -> BoardSnapshot:
        """The board now; the first call waits for each court's own thread."""
        with self._lock:
            if not self._seen:
                self._seen = [court.snapshot() for court in self._courts]
            return self._made()

    def _made(self) -> BoardSnapshot:
        sights = [
            CourtSight(number, snapshot, silence(snapshot.links))
            for number, snapshot in zip(numbered(self._seen), self._seen, strict=True)
        ]
        hall = self._hall or next((one.event for one in self._seen if one.event), "All courts")
        return board(hall, sights, self._now(), round(self._wall() * 1000), self._plan)

    def submit_to(self, court: int, command: Command) -> Answer:
        """Hand a command to the station of a court; never blocks."""
        with self._lock:
            numbers = numbered(self._seen)
        if court not in numbers:
            return Sent(RefusalView(f"Court {court} is not on this board."))
        return self._courts[numbers.index(court)].submit(command)

    def save_incidents(self, told: Callable[[str], None]) -> None:
        """Write the incident lists of all courts beside the person's documents; `told` hears where, or why
        not, from another thread.
        """

        def work() -> None:
            try:
                futures = [court.incidents() for court in self._courts]
                found = [future.result(WAIT_S) for future in futures]
                path = write_incidents(found, self._folder, datetime.now().astimezone(), FONTS)
            except (TakingOutError, LinkThreadError, TimeoutError) as error:
                told(str(error) or "A court does not answer. Try again.")
            else:
                told(f"Saved for you alone: {path} (.csv, .pdf)")

        threading.Thread(target=work, name="crewlink incidents", daemon=True).start()

    def listen(self, heard: Callable[[BoardSnapshot], None]) -> None:
        """Give every new board to `heard`, from any thread, until `stop`."""
        self.board()
        self._heard = heard
        for place, court in enumerate(self._courts):
            court.listen(lambda snapshot, place=place: self._take(place, snapshot))

    def _take(self, place: int, snapshot: Snapshot) -> None:
        with self._lock:
            self._seen[place] = snapshot
            soon = self._now() - self._told_at < self._pace
        if not soon:
            self._tell()

    def _tell(self) -> None:
        with self._lock:
            made, heard = self._made(), self._heard
            self._told_at = self._now()
        if heard is not None:
            heard(made)

    def refresh(self) -> None:
        """Offer the board as it is now and ask every court for a new snapshot."""
        self._tell()
        for court in self._courts:
            court.refresh()

    def stop(self) -> None:
        """End all stations; after this nothing is heard."""
        self._heard = None
        for court in self._courts:
            court.stop()
