"""What lies on a disk: match files, identities, invitations, stations, choices. Damaged anywhere."""

from __future__ import annotations

import hashlib
import random
import shutil
import tempfile
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from crewlink import whereabouts
from crewlink.charter import Charter, Names, TeamNames
from crewlink.folder import FORMAT, FolderError, StationFile, StationFolder
from crewlink.home import Choices, Home
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import TeamSheet
from protocol.address import Address
from protocol.entry import StoredEntry
from protocol.identity import FILE_NAME, Identity, IdentityError
from protocol.roster import Invitation, InvitationError
from protocol.store import Store
from protocol.store_error import StoreError
from tests.fuzz.meeting_targets import identities
from tests.fuzz.mutation import Form
from tests.fuzz.target import Run, Target
from tests.link.crew import invite

MATCH = bytes(range(16))
NAMES = ("station.json", "known.json", whereabouts.FILE_NAME)


class Folder:
    """A folder of this process's own, emptied for each input; gone with the process that made it."""

    def __init__(self) -> None:
        self._made = tempfile.TemporaryDirectory()
        self.path = Path(self._made.name) / "inside"
        self.path.mkdir()

    def fresh(self) -> Path:
        shutil.rmtree(self.path, ignore_errors=True)
        self.path.mkdir()
        return self.path


@lru_cache
def stored_rows() -> tuple[StoredEntry, ...]:
    rng = random.Random(3)
    bodies = [rng.randbytes(60 + 20 * number) for number in range(60)]
    private = [b"private text" if number % 7 == 0 else None for number in range(60)]
    return tuple(
        StoredEntry(hashlib.sha256(body).digest(), body, bytes(64), text)
        for body, text in zip(bodies, private, strict=True)
    )


def save_match(path: Path, rows: Sequence[StoredEntry]) -> None:
    store = Store.open(path, MATCH)
    store.start(lambda trouble: None)
    store.commit(rows, lambda: None)
    store.close()


def match_file_samples() -> Sequence[bytes]:
    with tempfile.TemporaryDirectory() as folder:
        paths = [Path(folder) / name for name in ("empty", "full")]
        save_match(paths[0], ())
        save_match(paths[1], stored_rows())
        return [path.read_bytes() for path in reversed(paths)]


def match_files() -> Run:
    """Opened, a row saved, opened again: what is read is a true beginning, and the new row is there."""
    folder, rows = Folder(), stored_rows()
    last = StoredEntry(bytes(32), b"new", bytes(64), None)

    def run(data: bytes) -> bool:
        path = folder.fresh() / "match.db"
        path.write_bytes(data)
        try:
            store = Store.open(path, MATCH)
        except StoreError:
            assert path.read_bytes() == data, "a file that is refused is left alone"
            return False
        rescued, found = store.rescue, store.load()
        assert found == rows[: len(found)]
        assert rescued is None or rescued.moved_to.exists()
        save(store, last)
        store = Store.open(path, MATCH)
        assert store.rescue is None and store.load() == (*found, last)
        store.close()
        return rescued is None

    return run


def save(store: Store, row: StoredEntry) -> None:
    store.start(lambda trouble: None)
    store.commit([row], lambda: None)
    store.close()


def write_ahead_logs() -> Run:
    """A good match file beside a write-ahead log of any bytes: the file's own rows are there."""
    folder, rows = Folder(), stored_rows()
    good = match_file_samples()[0]

    def run(data: bytes) -> bool:
        path = folder.fresh() / "match.db"
        path.write_bytes(good)
        path.with_name("match.db-wal").write_bytes(data)
        try:
            store = Store.open(path, MATCH)
        except StoreError:
            return False
        found = store.load()
        store.close()
        assert found[: len(rows)] == rows or store.rescue is not None
        return store.rescue is None

    return run


def write_ahead_samples() -> Sequence[bytes]:
    """The log of one more row, as a power cut would leave it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "match.db"
        save_match(path, stored_rows())
        store = Store.open(path, MATCH)
        more = StoredEntry(b"m" * 32, b"more", bytes(64), None)
        saved: list[bytes] = []

        def read() -> None:
            saved.append(path.with_name("match.db-wal").read_bytes())

        store.start(lambda trouble: None)
        if store.commit([more], read):
            read()
        store.close()
        return saved


def identity_files() -> Run:
    folder = Folder()

    def run(data: bytes) -> bool:
        path = folder.fresh()
        (path / FILE_NAME).write_bytes(data)
        try:
            Identity.load(path)
        except IdentityError:
            return False
        return True

    return run


def identity_samples() -> Sequence[bytes]:
    with tempfile.TemporaryDirectory() as folder:
        return [identities()[0].save(Path(folder)).read_bytes()]


def invitation_files() -> Run:
    folder = Folder()

    def run(data: bytes) -> bool:
        path = folder.path / "court.json"
        path.write_bytes(data)
        try:
            Invitation.load(path)
        except InvitationError:
            return False
        return True

    return run


def invitation_samples() -> Sequence[bytes]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "court.json"
        invite(identities(), MATCH).save(path)
        return [path.read_bytes()]


def station_files() -> Run:
    """station.json, known.json, addresses.json and choices.json, each with these bytes."""
    folder = Folder()
    home = Home(folder.path)
    court = home.path / "courts" / "one"
    court.mkdir(parents=True)

    def run(data: bytes, _kept: Folder = folder) -> bool:
        for path in (home.path / "choices.json", *(court / name for name in NAMES)):
            path.write_bytes(data)
        home.choices()
        home.courts()
        whereabouts.read(court).known(5.0)
        try:
            StationFolder(court).read()
        except FolderError:
            return False
        return True

    return run


def station_samples() -> Sequence[bytes]:
    sheet = TeamSheet(players=tuple(range(1, 15)), captain=1, liberos=(13,))
    charter = Charter(MatchSetup(team_a=sheet, team_b=sheet))
    names = Names("Court 1", "Cup", TeamNames("Harbour", "Harbour", "#102030"), TeamNames("Valley"))
    with tempfile.TemporaryDirectory() as folder:
        station = StationFolder(Path(folder))
        station.write(StationFile(FORMAT, "scorer", "cup", 5005, ("192.168.1.9:5005",), charter, names))
        full = station.station.read_bytes()
        station.write(StationFile(FORMAT, "R2"))
        home = Home(Path(folder) / "home")
        home.keep(Choices(bright=True))
        met = whereabouts.Whereabouts().linked(5005, 1.0, {bytes(32): (Address("10.0.0.7", 80),)})
        whereabouts.write(home.path, met)
        kept = [home.path / name for name in ("choices.json", whereabouts.FILE_NAME)]
        return [full, station.station.read_bytes(), *(path.read_bytes() for path in kept)]


TARGETS = (
    Target("match files", Form.BYTES, match_files, match_file_samples, 3, 65_536, 10.0, 8192),
    Target("write-ahead logs", Form.BYTES, write_ahead_logs, write_ahead_samples, 4, 65_536, 10.0, 8192),
    Target("identity files", Form.JSON, identity_files, identity_samples, 10),
    Target("invitation files", Form.JSON, invitation_files, invitation_samples, 30, 8192),
    Target("station files", Form.JSON, station_files, station_samples, 20),
)
