"""A running station as the source of one face: snapshots from the link's thread, commands to it, never
waiting.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from pathlib import Path

from crewlink.match.commands import Command as MatchCommand
from crewlink.match.ruling import Decision
from crewlink.record.incidents import MatchIncidents
from crewlink.running import RunningStation
from crewlink.snapshot import RefusalView, Snapshot
from crewlink.station import RALLY_PRESUMED_S
from protocol.link_thread import LinkThreadError
from ui.bridge.submit import Command
from ui.line.world import Verdict, verdict_of


@dataclass(frozen=True, slots=True)
class Sent:
    """A command on its way; what the rules say to it stands in the next snapshot."""

    refusal: RefusalView | None = None


class StationSource:
    """Starts the station of a folder. Errors of `start`: those of RunningStation."""

    def __init__(self, folder: Path, *, rally_after: float = RALLY_PRESUMED_S) -> None:
        self.station = RunningStation(folder, self.refresh, rally_after=rally_after)
        self._heard: Callable[[Snapshot], None] | None = None

    def start(self) -> None:
        """Open the file, listen, look for the others."""
        self.station.start()

    def snapshot(self) -> Snapshot:
        """The court now; waits for the link's thread, so only for the first frame."""
        return self.station.snapshot()

    def submit(self, command: Command) -> Sent:
        """Hand a command to the station; a refusal comes with the next snapshot."""
        try:
            self.station.send(command).add_done_callback(lambda _: self.refresh())
        except LinkThreadError as error:
            return Sent(RefusalView(str(error)))
        return Sent()

    def ask(self, command: MatchCommand, heard: Callable[[Verdict], None]) -> None:
        """What the rules say to `command`, given to `heard` from the link's thread."""

        def hand_over(made: Future[Decision | None]) -> None:
            decision = None if made.cancelled() or made.exception() is not None else made.result()
            if decision is not None:
                heard(verdict_of(decision))

        try:
            self.station.asking(command).add_done_callback(hand_over)
        except LinkThreadError:
            return  # the link is stopping: the line says nothing about the rules

    def incidents(self) -> Future[MatchIncidents]:
        """The incidents of the match. Errors: LinkThreadError; the future's: TakingOutError."""
        return self.station.incidents()

    def listen(self, heard: Callable[[Snapshot], None]) -> None:
        """Give every new snapshot to `heard`."""
        self._heard = heard
        self.refresh()

    def refresh(self) -> None:
        """Ask for a new snapshot; from any thread."""
        try:
            self.station.picture().add_done_callback(self._hand_over)
        except LinkThreadError:
            return  # the link is stopping: the last snapshot stays

    def stop(self) -> None:
        """End the station: what was written is saved, the others are told."""
        self._heard = None
        self.station.stop()

    def _hand_over(self, made: Future[Snapshot]) -> None:
        if self._heard is not None and not made.cancelled() and made.exception() is None:
            self._heard(made.result())
