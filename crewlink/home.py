"""The data folder of this device: the courts it knows, and how its person likes the program.

    choices.json          hand, theme, motion, whether known devices' invitations are taken at once
    identity/             the keys of this device, made at the first court
    devices.json          devices it was in a crew with (`crewlink.known_devices`)
    passes/<name>.pass    event passes that this device, as a site, has given out
    courts/<name>/        one station folder a court (`crewlink.folder`)
    courts/<name>/known.json    what a court that was joined is called, once that is known here

The folder is `crewlink-officials` where the system keeps data, or CREWLINK_HOME, or what is handed in.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import threading
import time
from collections.abc import Callable, Iterable
from enum import StrEnum
from pathlib import Path

import msgspec
import platformdirs
from msgspec import Struct

from crewlink.folder import CALLED, FORMAT, FolderError, StationFile, StationFolder
from crewlink.known_devices import MOST_DEVICES, KnownDevice, met, named, without
from crewlink.opening import CourtPlan, charter_of, names_of
from protocol.identity import FILE_NAME, Identity, IdentityError
from protocol.roster import Invitation, Member
from protocol.small_file import read_small, write_whole

APPLICATION = "crewlink-officials"
VARIABLE = "CREWLINK_HOME"


class Hand(StrEnum):
    """The hand that holds the tablet: pads stand on its side."""

    LEFT = "left"
    RIGHT = "right"


class Choices(Struct, frozen=True, omit_defaults=True):
    """How this person likes the program."""

    hand: Hand = Hand.LEFT
    bright: bool = False
    calm: bool = False
    comes: bool = False
    """Whether this device comes by itself when a known one invites it."""


class Called(Struct, frozen=True):
    """What a court is called, and who plays there."""

    court: str
    teams: str = ""
    event: str = ""


class KnownCourt(Struct, frozen=True):
    """A court this device has a folder for. `used`: when it was last used, seconds since 1970."""

    folder: str
    post: str
    court: str
    teams: str
    event: str
    used: float


def home_folder(given: Path | None, environment: dict[str, str] | None = None) -> Path:
    """Where this device keeps its courts."""
    if given is not None:
        return given
    named = (os.environ if environment is None else environment).get(VARIABLE)
    return Path(named) if named else platformdirs.user_data_path(APPLICATION, appauthor=False)


class Home:
    """The data folder. Nothing is made by reading."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._choices = path / "choices.json"
        self._courts = path / "courts"
        self._identity = path / "identity"
        self._devices = path / "devices.json"
        self.passes = path / "passes"
        self._listing = threading.RLock()

    def choices(self) -> Choices:
        """What was kept; the usual choices where nothing was, or where it can't be read."""
        try:
            return msgspec.json.decode(read_small(self._choices), type=Choices)
        except (OSError, ValueError, RecursionError):
            return Choices()

    def keep(self, choices: Choices) -> None:
        """Keep choices. Errors: FolderError."""
        try:
            self.path.mkdir(parents=True, exist_ok=True)
            write_whole(self._choices, msgspec.json.format(msgspec.json.encode(choices), indent=1))
        except OSError as error:
            raise FolderError(
                self._choices, f"Cannot be written ({error.strerror}).", "Check the folder and the disk."
            ) from error

    def identity(self, random: Callable[[int], bytes] = secrets.token_bytes) -> Identity:
        """The keys of this device, made now if there are none. Errors: IdentityError."""
        if not (self._identity / FILE_NAME).exists():
            Identity.create(random).save(self._identity)
        return Identity.load(self._identity)

    def devices(self) -> tuple[KnownDevice, ...]:
        """Devices this one was in a crew with; what is damaged is left out."""
        try:
            found = msgspec.json.decode(read_small(self._devices), type=tuple[KnownDevice, ...])
        except (OSError, ValueError, RecursionError):
            return ()
        return tuple(one for one in found[:MOST_DEVICES] if one.sound)

    def keep_devices(self, devices: tuple[KnownDevice, ...]) -> None:
        """Keep the list. Errors: FolderError."""
        try:
            self.path.mkdir(parents=True, exist_ok=True)
            write_whole(self._devices, msgspec.json.format(msgspec.json.encode(devices), indent=1))
        except OSError as error:
            raise FolderError(
                self._devices, f"Cannot be written ({error.strerror}).", "Check the folder and the disk."
            ) from error

    def meet(self, members: Iterable[Member], court: str, now: float) -> None:
        """Remember who was in a crew with this device. A disk that refuses costs nothing but the memory."""
        with self._listing, contextlib.suppress(FolderError, IdentityError):
            own = self.identity().device
            self.keep_devices(met(self.devices(), members, court, now, own))

    def learn(self, member: Member, court: str, name: str) -> None:
        """Remember a device and what it calls itself; as `meet`."""
        with self._listing:
            self.meet([member], court, time.time())
            self.call(member.device, name)

    def call(self, device: bytes, name: str) -> None:
        """Remember what a device calls itself; as `meet`."""
        with self._listing, contextlib.suppress(FolderError):
            self.keep_devices(named(self.devices(), device, name))

    def forget(self, device: bytes) -> None:
        """Take a device out of the list: it has to type a code again. Errors: FolderError."""
        with self._listing:
            self.keep_devices(without(self.devices(), device))

    def courts(self) -> tuple[KnownCourt, ...]:
        """The courts this device knows, last used first; folders that can't be read are passed over."""
        try:
            folders = [path for path in self._courts.iterdir() if path.is_dir()]
        except OSError:
            return ()
        found = [known for path in folders if (known := _known(path)) is not None]
        return tuple(sorted(found, key=lambda known: (-known.used, known.folder)))

    def open_court(self, plan: CourtPlan, random: Callable[[int], bytes] = secrets.token_bytes) -> Path:
        """Make the station folder of a new court; this device is its opener and first member.

        Errors: FolderError, IdentityError, InvitationError.
        """
        names = names_of(plan)
        identity = self.identity(random)
        station = StationFile(FORMAT, plan.post, charter=charter_of(plan), names=names)
        me = member_of(identity, plan.post)
        invitation = Invitation(random(16), identity.device, (me,))
        return self.add(station, identity, invitation)

    def add(self, station: StationFile, identity: Identity, invitation: Invitation) -> Path:
        """Keep a court that was opened or joined. Errors: as `open_court`."""
        folder = StationFolder(self._new_folder(station.names.court if station.names else "joined"))
        identity.save(folder.identity)
        invitation.save(folder.invitation)
        folder.write(station)
        return folder.path

    def note(self, folder: Path, called: Called) -> None:
        """Keep what a joined court is called. Errors: FolderError."""
        path = folder / CALLED
        try:
            write_whole(path, msgspec.json.format(msgspec.json.encode(called), indent=1))
        except OSError as error:
            raise FolderError(path, f"Cannot be written ({error.strerror}).", "Check the disk.") from error

    def _new_folder(self, court: str) -> Path:
        word = re.sub(r"[^a-z0-9]+", "-", court.casefold()).strip("-") or "court"
        number = 1
        while (path := self._courts / (word if number == 1 else f"{word}-{number}")).exists():
            number += 1
        return path


def member_of(identity: Identity, post: str) -> Member:
    """A device as others pin it."""
    return Member(identity.device, identity.public_key, identity.tls_cert, identity.binding, post)


def _known(path: Path) -> KnownCourt | None:
    folder = StationFolder(path)
    try:
        station = folder.read()
        used = max(file.stat().st_mtime for file in (folder.station, folder.database) if file.exists())
    except (FolderError, OSError):
        return None
    called = _called(path, station)
    return KnownCourt(str(path), station.post, called.court, called.teams, called.event, used)


def _called(path: Path, station: StationFile) -> Called:
    names = station.names
    if names is not None:
        return Called(names.court, f"{names.a.name}, {names.b.name}", names.event)
    try:
        return msgspec.json.decode(read_small(path / CALLED), type=Called)
    except (OSError, ValueError, RecursionError):
        return Called("A court joined")
