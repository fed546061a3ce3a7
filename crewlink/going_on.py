"""The folder in which a device goes on with the next match: the same keys, a new match, its own file."""

from __future__ import annotations

import re
from pathlib import Path

from crewlink.folder import FORMAT, StationFile, StationFolder
from crewlink.next_match import Handover
from protocol.identity import Identity

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
            addresses=file.addresses,
            charter=handed.charter,
            names=handed.names,
        )
    )
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
