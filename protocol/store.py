"""The thread that saves: every verified entry of one match is safe on the disk before anyone is told of it.

Knows durability: what waits, what is saved, what went wrong. The file itself is protocol.store_file.

All batches that wait share one transaction (group commit). A batch is answered after SQLite has synced it,
never before. A batch that cannot be saved is kept and tried again until it is, in order; meanwhile the
trouble is told.

Handing a small batch to another thread and back costs nearly as much as a quick disk takes to save it. So
while the disk has been quick for some time the caller saves a few rows itself, and goes on with them saved.
A disk that then stalls holds the caller up, once: after that it has to be quick for hundreds of batches
before it is relied on again.
"""

from __future__ import annotations

import contextlib
import sqlite3
import threading
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import NamedTuple

from protocol.entry import StoredEntry
from protocol.store_error import StoreError
from protocol.store_file import OpenFile, Rescue, insert, open_file, store_error

RETRY_SECONDS = 1.0
QUIET_SECONDS = 1.0  # so long without a write, then the write-ahead log goes into the main file
QUICK_SECONDS = 0.005  # a commit of a quick disk takes less
STALL_SECONDS = 0.1
RELIABLE = 32  # so many quick commits in a row, and the caller saves a few rows itself
FEW_ROWS = 16
AFTER_STALL = -500  # where the count begins after a stall


class _Job(NamedTuple):
    """Rows that wait, and whom to tell when they are on the disk."""

    rows: Sequence[StoredEntry]
    done: Callable[[], None]


class Store:
    """The open file of one match and its thread. `commit` may be called from any thread.

    `done` and `on_trouble` are called on the thread that saves: hand over, do not work there.
    `clock`: seconds, tells how quick the disk is.
    """

    def __init__(self, file: OpenFile, clock: Callable[[], float] = time.monotonic) -> None:
        self.path: Path = file.path
        self.rescue: Rescue | None = file.rescue
        self._rows: tuple[StoredEntry, ...] | None = file.rows
        self._connection = file.connection
        self._clock = clock
        self._on_trouble: Callable[[StoreError | None], None] = _ignore
        self._jobs: SimpleQueue[_Job | None] = SimpleQueue()  # None: something else is to be seen to
        self._turn = threading.Lock()  # whoever holds it uses the file, and the three below
        self._quick = 0  # commits in a row
        self._clean = True  # all is in the main file
        self._busy = False  # a caller has written since the thread last looked
        self._gate = threading.Lock()  # guards the one below
        self._unanswered = 0
        self._closing = threading.Event()
        self._trouble: StoreError | None = None
        self._unsaved: StoreError | None = None
        self._thread = threading.Thread(target=self._run, name="crewlink store", daemon=True)

    @classmethod
    def open(cls, path: Path, match: bytes) -> Store:
        """Open or make the file of a match (16 bytes). Errors: those of store_file.open_file."""
        return cls(open_file(path, match))

    def start(self, on_trouble: Callable[[StoreError | None], None]) -> None:
        """Begin to save. `on_trouble` hears what keeps rows from being saved, and None when that is over."""
        self._on_trouble = on_trouble
        self._thread.start()

    def load(self) -> tuple[StoredEntry, ...]:
        """The rows that were in the file when it was opened, in order of arrival; once."""
        rows, self._rows = self._rows, None
        if rows is None:
            raise ValueError("the rows of this store were loaded before")
        return rows

    def commit(self, rows: Sequence[StoredEntry], done: Callable[[], None]) -> bool:
        """Save these rows, in the order of the calls. True: they are on the disk, `done` is not called.

        False: `done` is called when they are. A row whose id is there already sets its private text; with
        None the text is gone from every file.
        """
        if len(rows) <= FEW_ROWS and self._quick >= RELIABLE and self._save_here(rows, done):
            return True
        with self._gate:
            self._unanswered += 1
        self._jobs.put(_Job(rows, done))
        return False

    def close(self) -> None:
        """Save what waits and close the file. Errors: StoreError when something could not be saved."""
        self._closing.set()
        self._jobs.put(None)
        if self._thread.ident is None:
            self._connection.close()
        else:
            self._thread.join()
        if self._unsaved is not None:
            raise self._unsaved

    def _save_here(self, rows: Sequence[StoredEntry], done: Callable[[], None]) -> bool:
        """Save rows on the caller's own thread; False when they must wait for others, or the disk refuses."""
        if self._unanswered or self._trouble or not self._turn.acquire(blocking=False):
            return False
        try:
            if self._clean:
                self._jobs.put(None)  # the thread is to see to it later
            self._busy = True
            self._write_now([_Job(rows, done)])
        except sqlite3.Error:
            self._quick = 0
            return False
        finally:
            self._turn.release()
        return True

    def _run(self) -> None:
        while True:
            jobs, last = self._take(None if self._clean else QUIET_SECONDS)
            if jobs:
                self._save(jobs)
            elif not last:
                self._tidy()
            if last:
                break
        with contextlib.suppress(sqlite3.Error):
            self._checkpoint()
        self._connection.close()

    def _take(self, patience: float | None) -> tuple[list[_Job], bool]:
        """All jobs that wait, at least one unless patience (seconds) ends; and whether the store closes."""
        found: list[_Job | None] = []
        with contextlib.suppress(Empty):
            found.append(self._jobs.get(timeout=patience))
            while True:
                found.append(self._jobs.get_nowait())
        return [job for job in found if job is not None], self._closing.is_set() and self._jobs.empty()

    def _save(self, jobs: list[_Job]) -> None:
        """One transaction for all jobs, again and again until it succeeds or the store closes."""
        while True:
            try:
                with self._turn:
                    self._write_now(jobs)
                break
            except sqlite3.Error as error:
                self._tell(store_error(self.path, error))
            if self._closing.wait(RETRY_SECONDS):
                with contextlib.suppress(sqlite3.Error), self._turn:
                    self._write_now(jobs)
                    break
                self._unsaved = self._trouble
                return
        with self._gate:
            self._unanswered -= len(jobs)
        for job in jobs:
            job.done()

    def _write_now(self, jobs: list[_Job]) -> None:
        """One transaction, and how long it took. Hold the turn. Errors: sqlite3.Error."""
        begun = self._clock()
        erased = self._write(jobs)
        took = self._clock() - begun
        if took >= STALL_SECONDS:
            self._quick = AFTER_STALL
        else:
            self._quick = self._quick + 1 if took < QUICK_SECONDS else min(self._quick, 0)
        self._tell(None)
        self._clean = erased and self._checkpoint()

    def _tidy(self) -> None:
        """Where nothing was written for a while, bring all into the main file."""
        with self._turn:
            self._clean = self._clean or (not self._busy and self._checkpoint())
            self._busy = False

    def _write(self, jobs: list[_Job]) -> bool:
        connection = self._connection
        connection.execute("BEGIN IMMEDIATE")
        try:
            erased = [insert(connection, job.rows) for job in jobs]
            connection.execute("COMMIT")
        except BaseException:
            with contextlib.suppress(sqlite3.Error):
                connection.execute("ROLLBACK")
            raise
        return any(erased)

    def _checkpoint(self) -> bool:
        """Move the write-ahead log into the file and cut it; whether that worked, else it is tried again."""
        try:
            busy: int = self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
        except sqlite3.Error as error:
            self._tell(store_error(self.path, error))
            return False
        return busy == 0

    def _tell(self, trouble: StoreError | None) -> None:
        if (trouble is None) != (self._trouble is None) or type(trouble) is not type(self._trouble):
            self._trouble = trouble
            self._on_trouble(trouble)


def _ignore(_trouble: StoreError | None) -> None:
    """Until the store starts nothing is saved, so nothing goes wrong."""
