"""The match file over real SQLite: what is answered is on the disk, and every kind of bad file is named."""

import hashlib
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from queue import SimpleQueue

import pytest

from protocol import store as store_module
from protocol.entry import StoredEntry
from protocol.store import Store
from protocol.store_error import (
    DiskFull,
    ForeignFile,
    InUse,
    NewerFile,
    NotWritable,
    OtherMatch,
    StoreError,
)
from protocol.store_file import open_file

MATCH = bytes(range(16))
WAIT = 20.0


def row(number: int, private: bytes | None = None) -> StoredEntry:
    body = random.Random(number).randbytes(200)
    return StoredEntry(hashlib.sha256(body).digest(), body, bytes(64), private)


def quiet(trouble: StoreError | None) -> None:
    raise AssertionError(f"no trouble expected, but: {trouble}")


def opened(path: Path, on_trouble: Callable[[StoreError | None], None] = quiet) -> Store:
    store = Store.open(path, MATCH)
    store.start(on_trouble)
    return store


def save(store: Store, *rows: StoredEntry) -> None:
    commit(store, rows)


def commit(store: Store, rows: Sequence[StoredEntry], then: Callable[[], None] = lambda: None) -> bool:
    """Returns when the rows are saved and `then` was called; whether the store had them saved at once."""
    done = threading.Event()

    def tell() -> None:
        then()
        done.set()

    if at_once := store.commit(rows, tell):
        assert not done.is_set()
        tell()
    assert done.wait(WAIT)
    return at_once


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "data" / "match.sqlite"


@pytest.fixture
def filled(path: Path) -> Path:
    store = opened(path)
    save(store, *(row(n) for n in range(300)))
    store.close()
    return path


def test_rows_come_back_in_order_of_arrival(path: Path) -> None:
    store = opened(path)
    assert store.load() == ()
    for n in (5, 3, 9):
        save(store, row(n, b"text"))
    store.close()
    store = opened(path)
    assert store.load() == (row(5, b"text"), row(3, b"text"), row(9, b"text"))
    assert store.rescue is None
    store.close()


def test_waiting_batches_share_one_transaction_and_keep_their_order(path: Path) -> None:
    store = opened(path)
    commits: list[str] = []
    store._connection.set_trace_callback(lambda text: commits.append(text) if text == "COMMIT" else None)
    answered: SimpleQueue[int] = SimpleQueue()
    held, release = threading.Event(), threading.Event()

    def hold() -> None:
        held.set()
        release.wait(WAIT)

    store.commit([row(0)], hold)
    assert held.wait(WAIT)
    for n in range(1, 101):
        store.commit([row(n)], lambda n=n: answered.put(n))  # type: ignore[misc]
    release.set()
    assert [answered.get(timeout=WAIT) for _ in range(100)] == list(range(1, 101))
    store.close()
    assert len(commits) == 2
    store = opened(path)
    assert store.load() == tuple(row(n) for n in range(101))
    store.close()


def test_an_answered_row_is_in_the_synced_file_at_that_moment(path: Path, tmp_path: Path) -> None:
    """Copies the files when the answer comes, as a kill would leave them, and opens the copy."""
    store = opened(path)
    assert store._connection.execute("PRAGMA synchronous").fetchone() == (2,)
    assert store._connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    for n in range(20):
        copy = tmp_path / f"copy{n}"
        commit(store, [row(n)], lambda to=copy: shutil.copytree(path.parent, to))  # type: ignore[misc]
        again = opened(copy / path.name)
        assert again.load() == tuple(row(k) for k in range(n + 1))
        again.close()
    store.close()


def test_a_killed_writer_loses_nothing_it_was_told_of(path: Path) -> None:
    code = (
        "import sys, itertools\nfrom pathlib import Path\nfrom tests.link.test_store import *\n"
        "store = opened(Path(sys.argv[1]))\n"
        "for n in itertools.count():\n"
        "    save(store, row(n))\n"
        "    print(n, flush=True)\n"
    )
    child = subprocess.Popen([sys.executable, "-c", code, path], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    with child:
        told = [int(child.stdout.readline()) for _ in range(50)]
        child.kill()
        told += [int(line) for line in child.stdout if line.endswith("\n")]
    store = opened(path)
    rows = store.load()
    store.close()
    assert store.rescue is None
    assert len(rows) - len(told) in (0, 1)
    assert rows == tuple(row(n) for n in range(len(rows)))


def test_known_row_again_changes_nothing_but_a_late_text(path: Path) -> None:
    store = opened(path)
    save(store, row(1), row(2, b"kept"))
    save(store, row(2, b"kept"), row(1, b"late"))
    store.close()
    store = opened(path)
    assert store.load() == (row(1, b"late"), row(2, b"kept"))
    store.close()


def test_erased_text_is_in_no_file(path: Path) -> None:
    secret = b"a name nobody may read later"
    store = opened(path)
    save(store, row(1, secret), row(2, b"other"))
    assert any(secret in file.read_bytes() for file in path.parent.iterdir())
    save(store, row(1))
    assert not any(secret in file.read_bytes() for file in path.parent.iterdir())
    store.close()
    store = opened(path)
    assert store.load() == (row(1), row(2, b"other"))
    store.close()


def test_second_process_is_told_that_the_file_is_in_use(path: Path) -> None:
    store = opened(path)
    with pytest.raises(InUse, match=r"match\.sqlite: Another crewlink here has this match open"):
        opened(path)
    store.close()


def test_other_match(filled: Path) -> None:
    before = filled.read_bytes()
    with pytest.raises(OtherMatch, match="another match"):
        Store.open(filled, bytes(16))
    assert filled.read_bytes() == before


def test_newer_file_is_left_alone(filled: Path) -> None:
    connection = sqlite3.connect(filled)
    connection.execute("PRAGMA user_version = 7")
    connection.close()
    before = filled.read_bytes()
    with pytest.raises(NewerFile, match="later version"):
        opened(filled)
    assert filled.read_bytes() == before
    assert [file.name for file in filled.parent.iterdir()] == [filled.name]


def test_foreign_database_is_left_alone(path: Path) -> None:
    path.parent.mkdir()
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE recipes (name)")
    connection.commit()
    connection.close()
    before = path.read_bytes()
    with pytest.raises(ForeignFile, match="not a crewlink match file"):
        opened(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"just a text", b"\0" * 5000])
def test_file_that_is_no_database_is_moved_aside(path: Path, content: bytes) -> None:
    path.parent.mkdir()
    path.write_bytes(content)
    store = opened(path)
    assert store.rescue is not None
    assert store.rescue.moved_to.read_bytes() == content
    assert str(store.rescue.moved_to) in store.rescue.sentence()
    save(store, row(1))
    store.close()
    store = opened(path)
    assert store.load() == (row(1),)
    store.close()


@pytest.mark.parametrize("seed", range(40))
def test_damage_anywhere_is_found_and_the_rows_before_it_are_rescued(filled: Path, seed: int) -> None:
    rng = random.Random(seed)
    good = filled.read_bytes()
    bad = bytearray(good)
    for _ in range(8):
        at = rng.randrange(100, len(bad))
        bad[at] ^= 1 << rng.randrange(8)
    filled.write_bytes(bytes(bad))
    store = opened(filled)
    rows = store.load()
    store.close()
    # Whatever was hit (a row, an index, free space): what comes back is a true beginning of what was saved.
    assert rows == tuple(row(n) for n in range(len(rows)))
    if store.rescue is None:
        assert len(rows) == 300
    else:
        assert store.rescue.rescued == len(rows)
        assert store.rescue.moved_to.exists()


def test_damaged_row_is_rescued_up_to_it(filled: Path) -> None:
    raw = filled.read_bytes()
    assert raw.count(row(200).body) == 1
    filled.write_bytes(raw.replace(row(200).body, bytes(200)))
    store = opened(filled)
    assert store.load() == tuple(row(n) for n in range(200))
    store.close()
    assert store.rescue is not None
    assert store.rescue.problem == "entry 201 is not as it was written"
    assert store.rescue.moved_to.name == "match.damaged-1.sqlite"


def test_each_damaged_file_gets_a_name_of_its_own(path: Path) -> None:
    path.parent.mkdir()
    for n in range(1, 4):
        path.write_bytes(b"bad" * n)
        opened(path).close()
        assert (path.parent / f"match.damaged-{n}.sqlite").read_bytes() == b"bad" * n


def test_full_disk_is_told_and_saving_goes_on_by_itself(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store_module, "RETRY_SECONDS", 0.01)
    troubles: SimpleQueue[StoreError | None] = SimpleQueue()
    store = opened(path, troubles.put)
    pages = store._connection.execute("PRAGMA page_count").fetchone()[0]
    store._connection.execute(f"PRAGMA max_page_count = {pages}")
    done: SimpleQueue[int] = SimpleQueue()
    store.commit([row(n) for n in range(100)], lambda: done.put(1))
    store.commit([row(100)], lambda: done.put(2))
    full = troubles.get(timeout=WAIT)
    assert isinstance(full, DiskFull)
    assert "disk is full" in str(full)
    assert done.empty()
    store._connection.execute("PRAGMA max_page_count = 100000")
    assert troubles.get(timeout=WAIT) is None
    assert [done.get(timeout=WAIT), done.get(timeout=WAIT)] == [1, 2]
    store.close()
    store = opened(path)
    assert store.load() == tuple(row(n) for n in range(101))
    store.close()


def test_closing_with_something_unsaved_says_so(path: Path) -> None:
    troubles: SimpleQueue[StoreError | None] = SimpleQueue()
    store = opened(path, troubles.put)
    store._connection.execute("PRAGMA max_page_count = 1")
    answered: list[int] = []
    store.commit([row(n) for n in range(100)], lambda: answered.append(1))
    assert isinstance(troubles.get(timeout=WAIT), DiskFull)
    with pytest.raises(DiskFull):
        store.close()
    assert answered == []


def as_another_user(code: str, *arguments: object) -> subprocess.CompletedProcess[str]:
    """Runs code without the rights of root, for whom no folder is read-only."""
    drop = "import os\nif os.getuid() == 0:\n    os.setgroups([]); os.setgid(65534); os.setuid(65534)\n"
    imports = "import sys\nfrom pathlib import Path\nfrom tests.link.test_store import *\n"
    return subprocess.run(
        [sys.executable, "-B", "-c", imports + drop + code, *map(str, arguments)],
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def test_read_only_folder(tmp_path: Path, filled: Path) -> None:
    for folder in (tmp_path, *tmp_path.parents):
        if folder.stat().st_uid == os.getuid() and folder != Path("/"):
            folder.chmod(0o755)
        if folder.name.startswith("pytest-of"):
            break
    filled.chmod(0o644)
    filled.parent.chmod(0o555)
    code = "try:\n    opened(Path(sys.argv[1]))\nexcept NotWritable as error:\n    print(error)\n"
    for target in (filled, filled.with_name("new.sqlite")):
        result = as_another_user(code, target)
        assert result.stdout.startswith(f"{target}: The match file cannot be written ("), result.stderr
        assert "Check the folder" in result.stdout
    filled.parent.chmod(0o755)


def test_folder_that_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(NotWritable, match="cannot be written"):
        opened(tmp_path / "file" / "match.sqlite")


def test_write_error_of_the_system_is_told_and_survived(path: Path) -> None:
    """A limit on file sizes makes real writes fail in the middle; lifting it lets the same rows through."""
    code = (
        "import resource\nfrom protocol import store as s\ns.RETRY_SECONDS = 0.01\n"
        "q = SimpleQueue(); done = SimpleQueue()\n"
        "store = opened(Path(sys.argv[1]), q.put)\n"
        "hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20000, hard))\n"
        "store.commit([row(n) for n in range(300)], lambda: done.put(1))\n"
        "print(q.get(timeout=WAIT)); assert done.empty()\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))\n"
        "print(q.get(timeout=WAIT), done.get(timeout=WAIT)); store.close()\n"
    )
    result = subprocess.run(
        [sys.executable, "-c", "import sys\nfrom tests.link.test_store import *\n" + code, str(path)],
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert "cannot be written" in result.stdout, result.stderr
    assert result.stdout.endswith("None 1\n")
    store = opened(path)
    assert store.load() == tuple(row(n) for n in range(300))
    store.close()


def test_the_log_goes_into_the_file_when_it_is_quiet(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store_module, "QUIET_SECONDS", 0.01)
    store = opened(path)
    cut = threading.Event()
    wal = path.with_name(path.name + "-wal")
    store._connection.set_trace_callback(lambda text: cut.set() if "wal_checkpoint" in text else None)
    save(store, row(1))
    assert cut.wait(WAIT)
    save(store, row(2))
    store.close()
    assert not wal.exists()


class PowerCut(BaseException):
    """Ends the work at once, as nothing in the store would catch it."""


@pytest.mark.parametrize("step", range(6))
def test_a_power_cut_in_the_middle_of_a_rescue_loses_nothing(
    filled: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    """Every rename of the rescue is the last thing that happens, in turn; then the file is opened again."""
    raw = filled.read_bytes()
    filled.write_bytes(raw.replace(row(200).body, bytes(200)))
    filled.with_name(filled.name + "-shm").write_bytes(b"left over")
    left = step
    rename, replace = Path.rename, Path.replace

    def cut(act: Callable[[Path, Path], Path]) -> Callable[[Path, Path], Path]:
        def run(self: Path, target: Path) -> Path:
            nonlocal left
            if left == 0:
                raise PowerCut
            left -= 1
            return act(self, target)

        return run

    monkeypatch.setattr(Path, "rename", cut(rename))
    monkeypatch.setattr(Path, "replace", cut(replace))
    told = []
    try:
        store = opened(filled)
        told.append(store.rescue)
        store.close()
    except PowerCut:
        assert left == 0
    monkeypatch.undo()
    store = opened(filled)
    assert store.load() == tuple(row(n) for n in range(200))
    store.close()
    told += [store.rescue] if store.rescue else []
    assert [(each.rescued, each.moved_to.name) for each in told if each] == [(200, "match.damaged-1.sqlite")]
    names = {path.name for path in filled.parent.iterdir()}
    assert {name for name in names if ".damaged-" not in name} == {filled.name}
    assert [name for name in names if name.endswith(".sqlite") and name != filled.name] == [
        "match.damaged-1.sqlite"
    ]


@pytest.mark.parametrize(
    ("place", "value"),
    [
        *((18, b"\x07"), (18, b"\x07\x07"), (19, b"\x09"), (16, b"\x00\x01")),
        *((44, b"\x00\x00\x00\x09"), (28, b"\xff")),
    ],
)
def test_a_damaged_head_does_not_cost_the_rows(filled: Path, place: int, value: bytes) -> None:
    """Fields of SQLite's head, by its published file format: what can be read is carried over."""
    raw = filled.read_bytes()
    filled.write_bytes(raw[:place] + value + raw[place + len(value) :])
    store = opened(filled)
    rows = store.load()
    assert rows == tuple(row(n) for n in range(len(rows)))
    save(store, row(1000))
    store.close()
    store = opened(filled)
    assert store.rescue is None and store.load() == (*rows, row(1000))
    store.close()


@pytest.mark.parametrize("word", [b"CREATE TABLE entry", b"tableentryentry", b"about"])
def test_a_damaged_layout_is_damage(filled: Path, word: bytes) -> None:
    raw = filled.read_bytes()
    assert word in raw
    filled.write_bytes(raw.replace(word, b"\xff" * len(word)))
    store = opened(filled)
    assert store.rescue is not None
    rows = store.load()
    assert rows == tuple(row(n) for n in range(len(rows)))
    save(store, row(1000))
    store.close()


class Clock:
    """Seconds that pass only when told."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def with_clock(path: Path, clock: Clock, on_trouble: Callable[[StoreError | None], None] = quiet) -> Store:
    store = Store(open_file(path, MATCH), clock)
    store.start(on_trouble)
    return store


def relied_on(store: Store, first: int = 0) -> int:
    """Commit until the disk is relied on; the number of the next row."""
    for n in range(first, first + store_module.RELIABLE):
        assert not commit(store, [row(n)])
    return first + store_module.RELIABLE


def slow_by(store: Store, clock: Clock, seconds: float) -> Callable[[list[store_module._Job]], bool]:
    """A way to write that takes so long."""
    write = store._write

    def slowly(jobs: list[store_module._Job]) -> bool:
        clock.now += seconds
        return write(jobs)

    return slowly


def test_a_caller_saves_a_few_rows_itself_once_the_disk_has_been_quick_for_long(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    store = with_clock(path, clock)
    threads: list[threading.Thread] = []
    write = store._write

    def watched(jobs: list[store_module._Job]) -> bool:
        threads.append(threading.current_thread())
        return write(jobs)

    monkeypatch.setattr(store, "_write", watched)
    n = relied_on(store)
    assert set(threads) == {store._thread}
    threads.clear()
    assert commit(store, [row(n)])
    assert not commit(store, [row(k) for k in range(n + 1, n + 40)])  # so many it gives to the thread
    assert commit(store, [row(n + 40)])
    assert threads == [threading.current_thread(), store._thread, threading.current_thread()]
    store.close()
    store = opened(path)
    assert store.load() == tuple(row(k) for k in range(n + 41))
    store.close()


def test_a_disk_that_was_slow_once_has_to_be_quick_for_as_long_again(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    store = with_clock(path, clock)
    n = relied_on(store)
    with monkeypatch.context() as patch:
        patch.setattr(store, "_write", slow_by(store, clock, 0.02))
        assert commit(store, [row(n)])
    assert commit(store, [row(relied_on(store, n + 1))])
    store.close()


def test_a_disk_that_stalls_holds_its_caller_up_once(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    clock = Clock()
    store = with_clock(path, clock)
    n = relied_on(store)
    with monkeypatch.context() as patch:
        patch.setattr(store, "_write", slow_by(store, clock, 2.0))
        assert commit(store, [row(n)])
    n = relied_on(store, n + 1)
    for k in range(n, n + 200):  # quick ever since, and yet not relied on
        assert not commit(store, [row(k)])
    store.close()


def test_while_something_waits_nobody_overtakes_it(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = with_clock(path, Clock())
    n = relied_on(store)
    release, begun, write = threading.Event(), threading.Event(), store._write

    def stall(jobs: list[store_module._Job]) -> bool:
        begun.set()
        assert release.wait(WAIT)
        return write(jobs)

    monkeypatch.setattr(store, "_write", stall)
    answered: SimpleQueue[int] = SimpleQueue()
    many = [row(k) for k in range(n, n + 40)]
    assert not store.commit(many, lambda: answered.put(1))
    assert begun.wait(WAIT)
    assert not store.commit([row(n + 40)], lambda: answered.put(2))
    assert answered.empty()
    release.set()
    assert [answered.get(timeout=WAIT), answered.get(timeout=WAIT)] == [1, 2]
    store.close()
    store = opened(path)
    assert store.load() == tuple(row(k) for k in range(n + 41))
    store.close()


def test_what_callers_have_saved_goes_into_the_main_file_when_all_is_quiet(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store_module, "QUIET_SECONDS", 0.01)
    store = with_clock(path, Clock())
    n = relied_on(store)
    tidied = threading.Event()
    checkpoint = store._checkpoint

    def watched() -> bool:
        done = checkpoint()
        tidied.set()
        return done

    monkeypatch.setattr(store, "_checkpoint", watched)
    assert store.commit([row(n)], lambda: None)
    while path.with_name(path.name + "-wal").stat().st_size:
        assert tidied.wait(WAIT)
        tidied.clear()
    store.close()


def test_what_keeps_an_erased_text_in_the_log_stays_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    troubles: SimpleQueue[StoreError | None] = SimpleQueue()
    store = with_clock(path, Clock(), troubles.put)
    save(store, row(1, b"secret"))

    def fails() -> bool:
        store._tell(DiskFull(path))
        return False

    monkeypatch.setattr(store, "_checkpoint", fails)
    save(store, row(1))
    assert isinstance(troubles.get(timeout=WAIT), DiskFull) and troubles.empty()
    store.close()


def test_a_disk_that_fills_under_a_caller_is_told_and_tried_again(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store_module, "RETRY_SECONDS", 0.01)
    troubles: SimpleQueue[StoreError | None] = SimpleQueue()
    store = with_clock(path, Clock(), troubles.put)
    n = relied_on(store)
    pages = store._connection.execute("PRAGMA page_count").fetchone()[0]
    store._connection.execute(f"PRAGMA max_page_count = {pages}")
    done: SimpleQueue[int] = SimpleQueue()
    large = StoredEntry(row(n).id, bytes(40_000), bytes(64), None)
    assert not store.commit([large], lambda: done.put(1))
    assert not store.commit([row(n + 1)], lambda: done.put(2))
    assert isinstance(troubles.get(timeout=WAIT), DiskFull)
    assert done.empty()
    store._connection.execute("PRAGMA max_page_count = 100000")
    assert troubles.get(timeout=WAIT) is None
    assert [done.get(timeout=WAIT), done.get(timeout=WAIT)] == [1, 2]
    store.close()
    store = opened(path)
    assert store.load() == (*(row(k) for k in range(n)), large, row(n + 1))
    store.close()


def test_rows_saved_at_once_are_in_the_synced_file_when_commit_returns(path: Path, tmp_path: Path) -> None:
    store = with_clock(path, Clock())
    first = relied_on(store)
    for n in range(first, first + 10):
        assert store.commit([row(n)], lambda: None)
        copy = tmp_path / f"copy{n}"
        shutil.copytree(path.parent, copy)
        again = opened(copy / path.name)
        assert again.load() == tuple(row(k) for k in range(n + 1))
        again.close()
    store.close()
