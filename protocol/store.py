"""The thread that saves: every verified entry of one match is safe on the disk before anyone is told of it.

Knows durability: what waits, what is saved, what went wrong. The file itself is protocol.store_file.

All batches that wait share one transaction (group commit). A batch is answered after SQLite has synced it,
never before. A batch that cannot be saved is kept and tried again until it is, in order; meanwhile the
trouble is told.

Only this thread touches the file. Handing a small batch over and back costs more than a quick disk takes to
save it, because two busy threads wait for each other; so while the disk is quick the caller stands still for
a few milliseconds, and goes on with the batch saved. A disk that stalls holds the caller up that long, once.
"""

from __future__ import annotations

import contextlib
import sqlite3
import threading
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from queue import Empty, SimpleQueue

from protocol.entry import StoredEntry
from protocol.store_error import StoreError
from protocol.store_file import OpenFile, Rescue, insert, open_file, store_error

RETRY_SECONDS = 1.0
QUIET_SECONDS = 1.0  # so long without a write, then the write-ahead log goes into the main file
QUICK_SECONDS = 0.005  # a disk that was quicker than this the last time is waited for
WAIT_SECONDS = 0.005  # no longer than this
FEW_ROWS = 16  # more are not waited for: the caller has better things to do meanwhile


class _Job:
    """Rows that wait. `waits`: held while the caller stands waiting and they are not saved, else None."""

    __slots__ = ("done", "rows", "saved", "waits")

    def __init__(self, rows: Sequence[StoredEntry], done: Callable[[], None]) -> None:
        self.rows = rows
        self.done = done
        self.waits: threading.Lock | None = None
        self.saved = False


class Store:
    """The open file of one match and its thread. `commit` may be called from any thread.

    `done` and `on_trouble` are called on the store's own thread: hand over, do not work there.
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
        self._gate = threading.Lock()  # guards the two below, and of each job `saved` and `waits`
        self._unanswered = 0
        self._quick = False
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
        job = _Job(rows, done)
        with self._gate:
            if self._quick and not self._unanswered and len(rows) <= FEW_ROWS:
                job.waits = threading.Lock()
                job.waits.acquire()
            self._unanswered += 1
        waits = job.waits
        self._jobs.put(job)
        if waits is None or waits.acquire(timeout=WAIT_SECONDS):
            return waits is not None
        with self._gate:
            job.waits = None
            return job.saved

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

    def _run(self) -> None:
        clean = True
        while True:
            jobs, last = self._take(None if clean else QUIET_SECONDS)
            if jobs:
                clean = self._save(jobs)
            elif not last:
                clean = self._checkpoint()
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

    def _save(self, jobs: list[_Job]) -> bool:
        """One transaction for all jobs, again and again until it succeeds or the store closes."""
        begun = self._clock()
        while True:
            try:
                erased = self._write(jobs)
                break
            except sqlite3.Error as error:
                self._tell(store_error(self.path, error))
            if self._closing.wait(RETRY_SECONDS):
                with contextlib.suppress(sqlite3.Error):
                    erased = self._write(jobs)
                    break
                self._unsaved = self._trouble
                return False
        self._tell(None)
        clean = erased and self._checkpoint()
        self._answer(jobs, quick=self._clock() - begun < QUICK_SECONDS)
        return clean

    def _answer(self, jobs: list[_Job], *, quick: bool) -> None:
        """Tell every caller that its rows are on the disk: the one that stands waiting, and the others."""
        left: list[_Job] = []
        with self._gate:
            self._quick = quick
            for job in jobs:
                job.saved = True
                if job.waits is None:
                    left.append(job)
                else:
                    job.waits.release()
            self._unanswered -= len(jobs) - len(left)
        for job in left:
            job.done()
        if left:
            with self._gate:
                self._unanswered -= len(left)

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
