"""Real disks of the test's own: a small one that fills up, one that is read-only. Need the rights of root."""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest


def _mount(*words: str | Path) -> bool:
    done = subprocess.run(["mount", *map(str, words)], capture_output=True, check=False)
    return done.returncode == 0


def _can_mount() -> bool:
    if sys.platform != "linux" or os.geteuid() != 0 or shutil.which("mount") is None:
        return False
    # In a namespace of its own, so that looking whether it works changes nothing here.
    probe = ["unshare", "-m", "mount", "-t", "tmpfs", "tmpfs", "/mnt"]
    if shutil.which("unshare") is None:
        return False
    return subprocess.run(probe, capture_output=True, check=False).returncode == 0


needs_mounts = pytest.mark.skipif(not _can_mount(), reason="needs root and the right to mount a small disk")


@contextlib.contextmanager
def small_disk(place: Path, kilobytes: int) -> Iterator[Path]:
    """A disk in memory of this size, at this place."""
    place.mkdir(parents=True, exist_ok=True)
    assert _mount("-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", place)
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def make_read_only(place: Path) -> None:
    """Nobody writes there any more; nothing may be open for writing."""
    assert _mount("-o", "remount,ro", place)


def make_writable(place: Path) -> None:
    assert _mount("-o", "remount,rw", place)


class Ballast:
    """A file that takes all the room that is left on a disk."""

    def __init__(self, place: Path) -> None:
        self._file = place / "ballast"

    def fill(self, but: int = 0) -> None:
        """Leave no more than `but` bytes, in whole pages."""
        free = os.statvfs(self._file.parent)
        size = free.f_bavail * free.f_frsize - but
        with self._file.open("wb") as file:
            os.posix_fallocate(file.fileno(), 0, max(size, 1))

    def drop(self) -> None:
        self._file.unlink()
