"""Small files, read within a bound and written whole or not at all.

A wrong file must not fill the memory, and a full disk must not cost what was there before.
"""

from __future__ import annotations

import contextlib
import errno
import os
from pathlib import Path

MOST = 1024 * 1024


def read_small(path: Path, most: int = MOST) -> bytes:
    """The bytes of a file of at most `most` bytes. Errors: OSError, also for a longer one."""
    with path.open("rb") as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise OSError(errno.EFBIG, f"it is longer than {most // 1024} KiB", str(path))
    return content


def write_whole(path: Path, content: bytes) -> None:
    """Replace a file once its new content is on the disk. Errors: OSError; then the old one is untouched."""
    partial = path.with_name(path.name + ".part")
    try:
        with partial.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        partial.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            partial.unlink()
        raise
