"""The site of an event: the passes it has given out, its door, and a place for each court that comes in.

    passes/<event>.pass    the text of a pass; the same that a court is shown

Knows folders and the door. How a court's station is started is handed in.
"""

from __future__ import annotations

import asyncio
import re
import secrets
import time
from collections.abc import Callable
from pathlib import Path

from crewlink.folder import FORMAT, FolderError, StationFile, StationFolder
from crewlink.home import Home
from protocol import interfaces
from protocol.address import Address
from protocol.event_pass import LONGEST_TEXT, MOST_ADDRESSES, SITE_POST, EventPass, PassError
from protocol.identity import IdentityError
from protocol.near import NearSign
from protocol.pairing import PairingRefused, Refusal
from protocol.ports import listen
from protocol.roster import Invitation, InvitationError
from protocol.site_door import Introduced, SiteDoor
from protocol.small_file import read_small, write_whole
from protocol.store_error import StoreError

MOST_COURTS = 64
DAY_SECONDS = 86400


def make_pass(home: Home, event: str, hours: int, now: float | None = None) -> tuple[EventPass, Path]:
    """Give out a pass for an event, good for so many hours; kept in the home, where the board finds it.

    All passes of a home name one door: the port of the first. Errors: PassError, FolderError, IdentityError,
    PortError.
    """
    start = time.time() if now is None else now
    port = _door_port(passes(home)) or _free_port()
    hosts = interfaces.addresses(interfaces.snapshot())[:MOST_ADDRESSES]
    at = tuple(Address(host, port) for host in hosts)
    made = EventPass.create(home.identity(), at, event, int(start) + hours * 3600, secrets.token_bytes)
    path = home.passes / f"{re.sub(r'[^a-z0-9]+', '-', event.casefold()).strip('-') or 'event'}.pass"
    try:
        home.passes.mkdir(parents=True, exist_ok=True)
        write_whole(path, made.text.encode())
    except OSError as error:
        raise FolderError(path, f"Cannot be written ({error.strerror}).", "Check the disk.") from error
    return made, path


def passes(home: Home) -> tuple[EventPass, ...]:
    """The passes that this home has given out; files that are none are passed over."""
    try:
        files = sorted(home.passes.glob("*.pass"))
    except OSError:
        return ()
    found = []
    for file in files[:MOST_COURTS]:
        try:
            found.append(read_pass(file))
        except (PassError, FolderError):
            continue
    return tuple(found)


def read_pass(path: Path) -> EventPass:
    """The pass in a file. Errors: PassError, FolderError."""
    try:
        return EventPass.parse(read_small(path).decode("utf-8", "replace")[: 2 * LONGEST_TEXT + 1])
    except OSError as error:
        raise FolderError(path, f"Cannot be read ({error.strerror}).", "Look where the file is.") from error


class Hall:
    """Takes courts in at the door. `begin`: starts the station of a folder, gives its port; may be slow."""

    def __init__(self, home: Home, begin: Callable[[Path], int]) -> None:
        self._home = home
        self._begin = begin
        self._ports: dict[bytes, int] = {}
        self._lock = asyncio.Lock()
        self._door: SiteDoor | None = None
        self._sign: NearSign | None = None

    async def open(self) -> int:
        """Open the door; gives its port. Errors: IdentityError, PortError."""
        identity = self._home.identity()
        self._door = SiteDoor(identity, lambda: passes(self._home), self._place)
        await self._door.start(_door_port(passes(self._home)))
        self._sign = NearSign(identity.device, self._door.port)
        await self._sign.__aenter__()
        return self._door.port

    async def close(self) -> None:
        """Shut the door; stations go on."""
        if self._sign is not None:
            await self._sign.__aexit__(None, None, None)
        if self._door is not None:
            await self._door.close()

    def running(self, folder: Path, port: int) -> None:
        """The station of this folder runs already, at this port. Errors: InvitationError."""
        self._ports[Invitation.load(StationFolder(folder).invitation).match] = port

    async def _place(self, court: Introduced) -> int:
        async with self._lock:
            match = court.invitation.match
            if match not in self._ports:
                if len(self._ports) >= MOST_COURTS:
                    raise PairingRefused(Refusal.FULL)
                self._ports[match] = await asyncio.to_thread(self._start, court)
            return self._ports[match]

    def _start(self, court: Introduced) -> int:
        folder = self._folder_of(court.invitation.match)
        try:
            if folder is None:
                station = StationFile(FORMAT, SITE_POST, quiet=True, addresses=(str(court.court),))
                folder = self._home.add(station, self._home.identity(), court.invitation)
            return self._begin(folder)
        except (FolderError, IdentityError, InvitationError, StoreError) as error:
            raise PairingRefused(Refusal.FULL) from error

    def _folder_of(self, match: bytes) -> Path | None:
        for known in self._home.courts():
            path = Path(known.folder)
            try:
                if known.post == SITE_POST and Invitation.load(StationFolder(path).invitation).match == match:
                    return path
            except InvitationError:
                continue
        return None


def courts_of_today(home: Home, now: float) -> tuple[Path, ...]:
    """Folders of courts that this site took part in during the last day, oldest first."""
    known = [one for one in home.courts() if one.post == SITE_POST and now - one.used < DAY_SECONDS]
    return tuple(Path(one.folder) for one in reversed(known[:MOST_COURTS]))


def _door_port(given: tuple[EventPass, ...]) -> int:
    return given[0].addresses[0].port if given else 0


def _free_port() -> int:
    with listen(0) as ear:
        return int(ear.getsockname()[1])
