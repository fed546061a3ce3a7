"""Reads a file that is small by nature, within a bound: a wrong file must not fill the memory."""

from __future__ import annotations

import errno
from pathlib import Path

MOST = 1024 * 1024


def read_small(path: Path, most: int = MOST) -> bytes:
    """The bytes of a file of at most `most` bytes. Errors: OSError, also for a longer one."""
    with path.open("rb") as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise OSError(errno.EFBIG, f"it is longer than {most // 1024} KiB", str(path))
    return content
