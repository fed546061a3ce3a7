"""The folder of one station in one match: who it is, what it was invited to, what it is called, and its file.

identity/      the station's keys (0600)
court.json     the invitation: match, opener, members with their pinned certificates
station.json   this station's part: post, addresses to try, and for the opener the charter and the names
match.db       the journal
known.json     what a court that was joined is called
"""

from __future__ import annotations

from pathlib import Path

import msgspec
from msgspec import Struct, structs

from crewlink.charter import Charter, Names
from protocol.small_file import read_small, write_whole

FORMAT = "crewlink station 1"
CALLED = "known.json"


class FolderError(Exception):
    """A station folder that cannot be used: which file, what is wrong, what to do."""

    def __init__(self, path: Path, problem: str, advice: str) -> None:
        super().__init__(f"{path}: {problem} {advice}")
        self.path = path
        self.problem = problem
        self.advice = advice


class StationFile(Struct, frozen=True, omit_defaults=True, forbid_unknown_fields=True):
    """station.json. `port` 0: any free one. `addresses`: "host:port" of stations to try without discovery.

    `quiet`: neither announces itself nor looks for others, who know where it is.
    `event`: a word that keeps rehearsals and events apart on one network. `charter`, `names`: the opener's
    only.
    """

    format: str
    post: str
    event: str = ""
    port: int = 0
    quiet: bool = False
    addresses: tuple[str, ...] = ()
    charter: Charter | None = None
    names: Names | None = None


class StationFolder:
    """Paths and files of a station. Reading gives clear errors; nothing is created by reading."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.identity = path / "identity"
        self.invitation = path / "court.json"
        self.station = path / "station.json"
        self.database = path / "match.db"

    def write(self, station: StationFile) -> None:
        """Write station.json. Errors: FolderError."""
        try:
            self.path.mkdir(parents=True, exist_ok=True)
            write_whole(self.station, msgspec.json.format(msgspec.json.encode(station), indent=1))
        except OSError as error:
            raise FolderError(
                self.station, f"Cannot be written ({error.strerror}).", "Check the folder."
            ) from error

    def forget_names(self) -> None:
        """Take the names of the match out of these files. Errors: FolderError."""
        station = self.read()
        if station.names is not None:
            self.write(structs.replace(station, names=None))
        try:
            (self.path / CALLED).unlink(missing_ok=True)
        except OSError as error:
            raise FolderError(
                self.path / CALLED, f"Cannot be deleted ({error.strerror}).", "Delete it by hand."
            ) from error

    def read(self) -> StationFile:
        """Read station.json. Errors: FolderError."""
        try:
            raw = read_small(self.station)
        except FileNotFoundError as error:
            raise FolderError(
                self.station, "There is no station here.", "Open or join a court first."
            ) from error
        except OSError as error:
            raise FolderError(
                self.station, f"Cannot be read ({error.strerror}).", "Check who owns it."
            ) from error
        try:
            station = msgspec.json.decode(raw, type=StationFile)
        except (ValueError, RecursionError) as error:
            advice = "Mend that place, or open the court again."
            raise FolderError(self.station, f"Not readable: {error}.", advice) from error
        if station.format != FORMAT:
            advice = "Update crewlink on this device."
            raise FolderError(self.station, f"Made by another version ({station.format}).", advice)
        return station
