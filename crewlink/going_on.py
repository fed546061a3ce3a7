"""The folder in which a device goes on with the next match: the same keys, a new match, its own file."""

from __future__ import annotations

import contextlib
import re
from pathlib import Path

from crewlink.folder import FORMAT, StationFile, StationFolder
from crewlink.next_match import Handover
from crewlink.site.calling import FILE_NAME as SITE_PASS
from crewlink.whereabouts import FILE_NAME as WHEREABOUTS
from protocol.identity import Identity
from protocol.small_file import read_small, write_whole

CARRIED = (WHEREABOUTS, SITE_PASS)
WHAT = "The next match could not be opened here"


def folder_after(old: StationFolder, handed: Handover) -> StationFolder:
    """Make the folder of the next match beside the old one.

    Errors: FolderError, IdentityError, InvitationError.
    """
    file = old.read()
    identity = Identity.load(old.identity)
    folder = StationFolder(_beside(old.path))
    identity.save(folder.identity)
    handed.invitation.save(folder.invitation)
    folder.write(
        StationFile(
            FORMAT,
            handed.post,
            event=file.event,
            port=file.port,
            quiet=file.quiet,
            addresses=file.addresses,
            charter=handed.charter,
            names=handed.names,
        )
    )
    for name in CARRIED:  # where the others are, and the site's pass, hold on
        with contextlib.suppress(OSError):
            write_whole(folder.path / name, read_small(old.path / name))
    return folder


def _beside(path: Path) -> Path:
    """A path that is free: "court-7" is followed by "court-7-match-2"."""
    stem, number = path.name, 1
    numbered = re.fullmatch(r"(.+)-match-(\d+)", path.name)
    if numbered is not None:
        stem, number = numbered[1], int(numbered[2])
    while True:
        number += 1
        free = path.with_name(f"{stem}-match-{number}")
        if not free.exists():
            return free
