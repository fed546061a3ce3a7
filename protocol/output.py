"""What a peer hands to the shell (or the simulator) that drives it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from protocol.entry import Entry, StoredEntry


class DropReason(StrEnum):
    """Why a link is to be closed."""

    SILENT = "silent"  # nothing heard for 3.5 seconds; to be dialled again
    REFUSED = "refused"  # another match, another protocol version, or not the device of the link
    BROKEN = "broken"  # a frame that no honest station sends
    REVOKED = "revoked"  # the device is no longer a member


@dataclass(frozen=True, slots=True)
class Send:
    """Send this frame (msgpack bytes, without the length prefix) on a link."""

    link: int
    frame: bytes


@dataclass(frozen=True, slots=True)
class Commit:
    """Save these rows for good, in this order, then call `committed(batch)`. One batch is out at a time."""

    batch: int
    rows: tuple[StoredEntry, ...]


@dataclass(frozen=True, slots=True)
class Drop:
    """Close this link. The peer has forgotten it already; no `link_down` is needed."""

    link: int
    reason: DropReason
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Arrived:
    """These entries are saved here and count. `own`: this station wrote them in this run."""

    entries: tuple[Entry, ...]
    own: bool


@dataclass(frozen=True, slots=True)
class PrivateCame:
    """The private text of an entry that arrived earlier is here and saved."""

    entry: Entry


@dataclass(frozen=True, slots=True)
class Forked:
    """Proof that a log holds two signed entries at one place. From that place on the log does not count.

    What was folded from it must be folded again without it.
    """

    log: bytes
    place: int
    proof: tuple[Entry, Entry]


@dataclass(frozen=True, slots=True)
class Refused:
    """A peer sent something that cannot be taken; `sentence` says why in plain words."""

    device: bytes
    sentence: str


Output: TypeAlias = Send | Commit | Drop | Arrived | PrivateCame | Forked | Refused
