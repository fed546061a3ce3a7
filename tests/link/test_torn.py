"""A power cut tears what was being written: a write-ahead log cut anywhere, or with a torn last page, gives
back every row whose commit had reached the disk, and calls nothing damaged.
"""

from __future__ import annotations

import random
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from protocol import store as store_module
from tests.link.test_store import commit, opened, row, save

IN_THE_FILE, IN_THE_LOG = 30, 25


@dataclass(frozen=True)
class Cut:
    """The files as they lay there after the last commit, and how long the log was after each one."""

    database: Path
    log: bytes
    lengths: tuple[int, ...]

    def opened_with(self, log: bytes, folder: Path) -> tuple[int, bool]:
        """How many rows are found with this log, all of them a true beginning; whether damage was told."""
        folder.mkdir(exist_ok=True)
        path = folder / self.database.name
        shutil.copy(self.database, path)
        path.with_name(path.name + "-wal").write_bytes(log)
        store = opened(path)
        rows = store.load()
        save(store, row(1000))
        store.close()
        assert rows == tuple(row(n) for n in range(len(rows)))
        again = opened(path)
        assert again.load() == (*rows, row(1000)) and again.rescue is None
        again.close()
        return len(rows), store.rescue is not None

    def whole(self, length: int) -> int:
        """Rows whose commits lie wholly in so much of the log."""
        return IN_THE_FILE + sum(1 for end in self.lengths if end <= length)


@pytest.fixture(scope="module")
def cut(tmp_path_factory: pytest.TempPathFactory) -> Cut:
    folder = tmp_path_factory.mktemp("cut")
    path, kept = folder / "match.sqlite", folder / "kept.sqlite"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store_module, "QUIET_SECONDS", 3600.0)  # the log is not moved into the file meanwhile
        store = opened(path)
        save(store, *(row(n) for n in range(IN_THE_FILE)))
        store.close()
        store = opened(path)
        lengths, log = [], path.with_name(path.name + "-wal")
        for n in range(IN_THE_FILE, IN_THE_FILE + IN_THE_LOG):
            commit(store, [row(n)], lambda: lengths.append(log.stat().st_size))
        shutil.copy(path, kept)
        raw = log.read_bytes()
        store.close()
    return Cut(kept, raw, tuple(lengths))


def test_the_whole_log_brings_every_row(cut: Cut, tmp_path: Path) -> None:
    assert cut.opened_with(cut.log, tmp_path / "whole") == (IN_THE_FILE + IN_THE_LOG, False)


@pytest.mark.parametrize("seed", range(40))
def test_a_log_cut_anywhere(cut: Cut, tmp_path: Path, seed: int) -> None:
    rng = random.Random(seed)
    length = rng.choice((rng.randrange(len(cut.log)), rng.choice(cut.lengths), rng.choice(cut.lengths) - 1))
    assert cut.opened_with(cut.log[:length], tmp_path / "cut") == (cut.whole(length), False)


@pytest.mark.parametrize("seed", range(25))
def test_a_torn_last_write(cut: Cut, tmp_path: Path, seed: int) -> None:
    """The disk wrote some sectors of the last commit and not others, or old bytes are where it ends."""
    rng = random.Random(seed)
    last = rng.randrange(1, IN_THE_LOG)
    begin, end = cut.lengths[last - 1], cut.lengths[last]
    torn = bytearray(cut.log[:end])
    at = rng.randrange(begin, end)
    torn[at : at + 512] = rng.choice((bytes(512), rng.randbytes(512), torn[:512]))[: len(torn[at : at + 512])]
    changed = bytes(torn) != cut.log[:end]
    assert cut.opened_with(bytes(torn), tmp_path / "torn") == (cut.whole(begin if changed else end), False)


def test_no_log_at_all_is_no_damage(cut: Cut, tmp_path: Path) -> None:
    assert cut.opened_with(b"", tmp_path / "none") == (IN_THE_FILE, False)


@pytest.mark.parametrize("part", [0.3, 0.5, 0.7, 0.9])
def test_a_file_that_lost_its_end_is_damage_and_is_told(cut: Cut, tmp_path: Path, part: float) -> None:
    path = tmp_path / "match.sqlite"
    raw = cut.database.read_bytes()
    path.write_bytes(raw[: int(len(raw) * part)])
    store = opened(path)
    rows = store.load()
    store.close()
    assert store.rescue is not None and store.rescue.rescued == len(rows) < IN_THE_FILE
    assert rows == tuple(row(n) for n in range(len(rows)))
