"""A station without a window: started from its folder, driven by lines, until the input ends."""

from __future__ import annotations

import json
import sys
import threading
from pathlib import Path
from typing import TextIO

from crewlink.control import obey
from crewlink.folder import FolderError
from crewlink.match.beginning import SetupError
from crewlink.rules.format import FormatError
from crewlink.rules.loading import ProfileError
from crewlink.running import RunningStation
from protocol.address import AddressError
from protocol.identity import IdentityError
from protocol.link_thread import LinkThreadError
from protocol.ports import PortError
from protocol.roster import InvitationError
from protocol.store_error import StoreError

TROUBLES = (
    FolderError,
    SetupError,
    FormatError,
    ProfileError,
    AddressError,
    IdentityError,
    LinkThreadError,
    PortError,
    InvitationError,
    StoreError,
)
"""What a user can mend; each says what, where and what to do."""


def serve(folder: Path, *, control: bool, rally_after: float) -> int:
    """Run until the input ends or a line says stop; returns the exit code. Errors: TROUBLES."""
    told = _Told(sys.stdout, control)
    station = RunningStation(folder, told.changed, rally_after=rally_after)
    station.start()
    for note in station.notes:
        sys.stderr.write(f"crewlink: {note}\n")
    try:
        told.say({"ready": True})
        for line in sys.stdin:
            if not control or not line.strip():
                continue
            answer = obey(station, line)
            told.say(answer)
            if answer.get("stopped"):
                break
    finally:
        station.stop()
    return 0


class _Told:
    """The output, a line at a time from any thread; without control only the input's end matters."""

    def __init__(self, out: TextIO, control: bool) -> None:
        self._out = out
        self._control = control
        self._lock = threading.Lock()
        self._changes = 0

    def changed(self) -> None:
        """Say that the court or the links changed."""
        self._changes += 1
        self.say({"changed": self._changes})

    def say(self, line: dict[str, object]) -> None:
        """One line out."""
        if not self._control:
            return
        with self._lock:
            self._out.write(json.dumps(line) + "\n")
            self._out.flush()
