"""The match file on disk: its layout, how it is made, checked and opened, and what happens to a damaged one.

Knows SQLite files. Knows nothing of threads or of what the bytes of an entry mean.

A new file is made under another name and renamed when whole, so a file of the right name is never half
made. Its head (application id and layout number) is read before SQLite opens it, so a foreign or newer file
is never written to. A damaged file is moved aside under a name that is told, never deleted; the entries
before the damage are carried over, into a whole file before anything is moved, so that a power cut in between
loses none of them.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import sys
import zlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from protocol.entry import StoredEntry
from protocol.store_error import DiskFull, ForeignFile, InUse, NewerFile, NotWritable, OtherMatch, StoreError

APPLICATION_ID = 0x63724C31  # "crL1": lets other tools tell the file
LAYOUT = 1

_MAGIC = b"SQLite format 3\0"
_LAYOUT_AT = 60  # offsets in the head of an SQLite file, from its published file format
_APPLICATION_AT = 68
_HEAD_SIZE = 100
_LATEST_CHECKPOINT_PAGES = 4000
_LONGEST_VALUE = 1_000_000  # above that a length in the file is damage, and nothing is allocated for it
_WRITER_AT, _LATEST_WRITER = 18, 2

_OF_THE_SYSTEM = frozenset(
    {
        *(sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY),
        *(sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_NOMEM, sqlite3.SQLITE_PERM),
    }
)
"""Errors that come from the disk, its rights or another process; all others are in the bytes of the file."""

_MAKE = f"""
BEGIN;
CREATE TABLE about (name TEXT PRIMARY KEY, value BLOB NOT NULL) WITHOUT ROWID;
CREATE TABLE entry (
    place INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    body BLOB NOT NULL,
    signature BLOB NOT NULL,
    sum INTEGER NOT NULL,
    private BLOB,
    private_sum INTEGER
);
PRAGMA application_id = {APPLICATION_ID};
PRAGMA user_version = {LAYOUT};
COMMIT;
"""
_INSERT = """
INSERT INTO entry (id, body, signature, sum, private, private_sum) VALUES (?, ?, ?, ?, ?, ?)
ON CONFLICT (id) DO UPDATE SET private = excluded.private, private_sum = excluded.private_sum
WHERE excluded.private IS NOT NULL
"""
_ERASE = "UPDATE entry SET private = NULL, private_sum = NULL WHERE id = ? AND private IS NOT NULL"
_SELECT = "SELECT place, id, body, signature, sum, private, private_sum FROM entry ORDER BY place"


@dataclass(frozen=True, slots=True)
class Rescue:
    """A damaged file was found: where it lies now, what was wrong, how many entries were carried over."""

    moved_to: Path
    problem: str
    rescued: int

    def sentence(self) -> str:
        """What to tell the user."""
        return (
            f"The match file was damaged and is kept as {self.moved_to}. "
            f"{self.rescued} entries were carried over; the other devices bring the rest."
        )


@dataclass(frozen=True, slots=True)
class OpenFile:
    """A checked, open match file: a connection for any thread, one at a time; rows in order of arrival."""

    path: Path
    connection: sqlite3.Connection
    rows: tuple[StoredEntry, ...]
    rescue: Rescue | None


class _Damaged(Exception):
    def __init__(self, problem: str, rows: tuple[StoredEntry, ...]) -> None:
        super().__init__(problem)
        self.problem = problem
        self.rows = rows


def open_file(path: Path, match: bytes) -> OpenFile:
    """Open the file of this match (16 bytes), or make it, and check all of it.

    Errors: ForeignFile, NewerFile, OtherMatch, InUse, DiskFull, NotWritable.
    A damaged file is no error: see Rescue.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        rescue = None
        if _rescued(path).exists():  # the power went away in the middle of the lines below
            rescue = Rescue(_put_rescued(path), "it was being carried over", 0)
        elif not path.exists():
            _make(path, match, ())
        try:
            connection, rows = _open_checked(path, match)
            return OpenFile(path, connection, rows, rescue and replace(rescue, rescued=len(rows)))
        except _Damaged as damage:
            _make(_rescued(path), match, damage.rows)
            rescue = Rescue(_put_rescued(path), damage.problem, len(damage.rows))
            connection, rows = _open_checked(path, match)
            return OpenFile(path, connection, rows, rescue)
    except sqlite3.Error as error:
        raise store_error(path, error) from error
    except OSError as error:
        raise NotWritable(path, error.strerror or str(error)) from error


def insert(connection: sqlite3.Connection, rows: Sequence[StoredEntry]) -> bool:
    """Add rows inside the caller's transaction; of a known id only the private text is set, or taken away.

    True when a text was taken away: it is gone from the disk after the next checkpoint.
    """
    made = [(*row[:3], _sum(*row[:3]), row.private, _text_sum(row)) for row in rows]
    blank = any(row.private == b"" for row in rows)
    if not blank and connection.executemany(_INSERT, made).rowcount == len(rows):
        return False  # as nearly always: all are new, or bring a text
    last = {row.id: row.private for row in rows}
    erased = connection.executemany(_ERASE, [(id_,) for id_, text in last.items() if not text]).rowcount > 0
    if blank:
        connection.executemany(_INSERT, made)
    return erased


def store_error(path: Path, error: sqlite3.Error) -> StoreError:
    """The named error behind an SQLite error."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return DiskFull(path)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return InUse(path)
    return NotWritable(path, str(error))


def _rescued(path: Path) -> Path:
    """Where what is carried over waits, whole, for the place of the damaged file."""
    return path.with_name(path.name + ".rescued")


def _put_rescued(path: Path) -> Path:
    """Put it there; where the damaged file lies now."""
    aside = _move_aside(path)
    _rescued(path).replace(path)
    _sync_folder(path.parent)
    return aside


def _make(path: Path, match: bytes, rows: tuple[StoredEntry, ...]) -> None:
    fresh = path.with_name(path.name + ".new")
    fresh.unlink(missing_ok=True)
    try:
        _fill(fresh, match, rows)
    except sqlite3.Error:  # no room: what is half made takes up what there is
        fresh.unlink(missing_ok=True)
        raise
    fresh.replace(path)
    _sync_folder(path.parent)


def _fill(fresh: Path, match: bytes, rows: tuple[StoredEntry, ...]) -> None:
    with contextlib.closing(sqlite3.connect(fresh, isolation_level=None)) as connection:
        _set_up(connection)
        connection.executescript(_MAKE)
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("INSERT INTO about VALUES ('match', ?)", (match,))
        insert(connection, rows)
        connection.execute("COMMIT")


def _set_up(connection: sqlite3.Connection) -> None:
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LONGEST_VALUE)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA secure_delete = ON")  # erased text must not stay in free pages
    if sys.platform == "darwin":
        connection.execute("PRAGMA fullfsync = 1")
        connection.execute("PRAGMA checkpoint_fullfsync = 1")


def _open_checked(path: Path, match: bytes) -> tuple[sqlite3.Connection, tuple[StoredEntry, ...]]:
    _check_head(path)
    connection = sqlite3.connect(path, timeout=0, isolation_level=None, check_same_thread=False)
    try:
        # First of all: then SQLite keeps the index of the log in memory, and opens on a full disk, too.
        connection.execute("PRAGMA locking_mode = EXCLUSIVE")
        _set_up(connection)
        connection.execute("PRAGMA journal_mode = WAL")
        # The store does it when idle; a commit only when it has put that off for long.
        connection.execute(f"PRAGMA wal_autocheckpoint = {_LATEST_CHECKPOINT_PAGES}")
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("COMMIT")
        _check_pages(connection)
        _check_format(path, connection)
        _check_match(path, connection, match)
        rows, problem = _read(connection)
        if problem is not None:
            raise _Damaged(problem, rows)
        return connection, rows
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:  # a message may quote damaged text
        rows = _rescue(connection, error)
        connection.close()
        raise _Damaged(str(error), rows) from error
    except BaseException:
        connection.close()
        raise


def _check_head(path: Path) -> None:
    with path.open("rb") as file:
        head = file.read(_HEAD_SIZE)
    if len(head) < _HEAD_SIZE or not head.startswith(_MAGIC):
        raise _Damaged("it is not a database", ())
    if int.from_bytes(head[_APPLICATION_AT : _APPLICATION_AT + 4], "big") != APPLICATION_ID:
        raise ForeignFile(path)
    layout = int.from_bytes(head[_LAYOUT_AT : _LAYOUT_AT + 4], "big")
    if layout > LAYOUT:
        raise NewerFile(path, layout, LAYOUT)


def _check_pages(connection: sqlite3.Connection) -> None:
    found = [str(row[0]) for row in connection.execute("PRAGMA integrity_check")]
    if found != ["ok"]:
        raise _Damaged(found[0], _read(connection)[0])


def _check_format(path: Path, connection: sqlite3.Connection) -> None:
    """A head that asks for a later SQLite was damaged: every commit would find the file read-only."""
    with path.open("rb") as file:
        head = file.read(_HEAD_SIZE)
    if head[_WRITER_AT] > _LATEST_WRITER:
        raise _Damaged("its head is not as it was written", _read(connection)[0])


def _check_match(path: Path, connection: sqlite3.Connection, match: bytes) -> None:
    row = connection.execute("SELECT value FROM about WHERE name = 'match'").fetchone()
    if row is None:
        raise _Damaged("it does not name its match", ())
    if row[0] != match:
        raise OtherMatch(path)


def _read(connection: sqlite3.Connection) -> tuple[tuple[StoredEntry, ...], str | None]:
    """Rows in order of arrival up to the first damaged one, and what is wrong there."""
    rows: list[StoredEntry] = []
    try:
        for place, entry, body, signature, check, private, text_check in connection.execute(_SELECT):
            row = StoredEntry(entry, body, signature, private)
            if not _is_whole(row) or (check, text_check) != (_sum(*row[:3]), _text_sum(row)):
                return tuple(rows), f"entry {len(rows) + 1} is not as it was written"
            if place != len(rows) + 1:
                return tuple(rows), f"entry {len(rows) + 1} is missing"
            rows.append(row)
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        return tuple(rows), str(error)
    return tuple(rows), None


def _rescue(connection: sqlite3.Connection, error: Exception) -> tuple[StoredEntry, ...]:
    """What can still be read, unless the error has nothing to do with damage: then that error again."""
    if getattr(error, "sqlite_errorcode", 0) & 0xFF in _OF_THE_SYSTEM:
        connection.close()
        raise error
    return _read(connection)[0]


def _aside(path: Path, number: int) -> Path:
    return path.with_name(f"{path.stem}.damaged-{number}{path.suffix}")


def _move_aside(path: Path) -> Path:
    """The file last: as long as it is in its place, what belongs to it gets the same name again."""
    number = 1
    while _aside(path, number).exists():
        number += 1
    if not path.exists():
        number = max(1, number - 1)  # it was moved before, in a rescue that was cut off
    aside = _aside(path, number)
    for ending in ("-wal", "-shm", ""):
        with contextlib.suppress(FileNotFoundError):
            path.with_name(path.name + ending).rename(aside.with_name(aside.name + ending))
    return aside


def _is_whole(row: StoredEntry) -> bool:
    return all(isinstance(part, bytes) for part in row[:3]) and isinstance(row.private, bytes | None)


def _sum(entry: bytes, body: bytes, signature: bytes) -> int:
    return zlib.crc32(entry, zlib.crc32(signature, zlib.crc32(body)))


def _text_sum(row: StoredEntry) -> int | None:
    return None if row.private is None else zlib.crc32(row.private)


def _sync_folder(folder: Path) -> None:
    if sys.platform == "win32":
        return  # a folder cannot be synced there; the rename is journalled by the file system
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
