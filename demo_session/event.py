"""An invented event: keys, posts and folders for the stations of one court, made before they start.

What the pairing at the table does in a gym is done here beforehand: every station gets the same invitation,
with the certificates of all, so that nobody else is let in.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from crewlink.charter import Charter, Names
from crewlink.folder import FORMAT, StationFile, StationFolder
from protocol.identity import Identity
from protocol.roster import Invitation, Member


@dataclass(frozen=True, slots=True)
class Crew:
    """The folders of one court, by post."""

    event: str
    folders: dict[str, Path]


def guest(folder: Path, post: str, event: str) -> Member:
    """The folder of a device that comes in later, without its invitation; gives what it pairs with."""
    identity = Identity.create(os.urandom)
    identity.save(StationFolder(folder).identity)
    StationFolder(folder).write(StationFile(FORMAT, post, event=event))
    return Member(identity.device, identity.public_key, identity.tls_cert, identity.binding, post)


def prepare(root: Path, posts: Sequence[str], charter: Charter, names: Names) -> Crew:
    """Make a court below `root`: the first post opens the match, all are invited."""
    event = secrets.token_hex(4)
    folders = {post: root / post for post in posts}
    members = []
    for post, path in folders.items():
        identity = Identity.create(os.urandom)
        identity.save(StationFolder(path).identity)
        members.append(
            Member(identity.device, identity.public_key, identity.tls_cert, identity.binding, post)
        )
    invitation = Invitation(secrets.token_bytes(16), members[0].device, tuple(members))
    for number, (post, path) in enumerate(folders.items()):
        folder = StationFolder(path)
        opens = number == 0
        folder.write(
            StationFile(
                FORMAT,
                post,
                event=event,
                charter=charter if opens else None,
                names=names if opens else None,
            )
        )
        invitation.save(folder.invitation)
    return Crew(event, folders)
