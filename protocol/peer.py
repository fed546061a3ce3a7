"""One station without input or output of its own: bytes, times and events in; frames, commits, events out.

Knows the order of work: append, commit, then send and "saved here". Shell and simulator drive this class.
`now` is monotonic seconds, `wall_ms` the station's own wall clock; both are always handed in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from protocol.entry import Entry, Payload, StoredEntry
from protocol.output import Arrived, Commit, Drop, DropReason, Forked, Output, PrivateCame, Refused, Send
from protocol.roster import FoundingCharter, Invitation

__all__ = [
    "Arrived",
    "Commit",
    "Drop",
    "DropReason",
    "Forked",
    "FoundingCharter",
    "Output",
    "Peer",
    "PeerState",
    "PrivateCame",
    "Refused",
    "Send",
]


class StationIdentity(Protocol):
    """What a peer needs of `protocol.identity.Identity`."""

    @property
    def device(self) -> bytes: ...

    @property
    def public_key(self) -> bytes: ...

    def sign(self, data: bytes) -> bytes: ...


@dataclass(frozen=True, slots=True)
class PeerState:
    """What is known about another device. Times in seconds of our monotonic clock, clocks in milliseconds.

    `lag`: entries saved here that the device has not said it has saved; None while it has said nothing.
    """

    device: bytes
    post: str | None
    linked: bool
    last_heard: float | None
    suspect: bool
    offset_ms: float | None
    delay_ms: float | None
    lag: int | None


class Peer:
    """One station in one match, for one process run.

    `run`: 16 random bytes, new at every start. `stored`: the rows of earlier runs, in the order of saving.
    `found`: given only to the opener's station; used when the match has not been opened yet.
    """

    def __init__(
        self,
        identity: StationIdentity,
        invitation: Invitation,
        *,
        run: bytes,
        stored: Iterable[StoredEntry],
        wall_ms: int,
        now: float = 0.0,
        found: FoundingCharter | None = None,
    ) -> None:
        raise NotImplementedError

    def receive(self, link: int, frame: bytes, now: float, wall_ms: int) -> None:
        """One whole frame, without its length prefix. Bad frames end in a Drop, never in an exception."""
        raise NotImplementedError

    def link_up(self, link: int, device: bytes, now: float, wall_ms: int) -> None:
        """A link whose other end has proved to be `device`. A second link to one device is fine."""
        raise NotImplementedError

    def link_down(self, link: int, now: float) -> None:
        raise NotImplementedError

    def tick(self, now: float, wall_ms: int) -> None:
        """Let time pass. Call at `next_tick()`, or more often."""
        raise NotImplementedError

    def next_tick(self) -> float | None:
        """When `tick` is due, in the seconds of `now`; None when nothing waits for time."""
        raise NotImplementedError

    def committed(self, batch: int, now: float, wall_ms: int) -> None:
        """The rows of this Commit are safe on the disk."""
        raise NotImplementedError

    def author(
        self, kind: str, payload: Payload, now: float, wall_ms: int, private: bytes | None = None
    ) -> Entry:
        """Sign and append one entry of this station. It is saved once `Arrived(own=True)` shows it.

        A record payload is `("write", {"fact": ..., "because": ...})`; epoch and index are filled in when
        absent, and must be right when given. Errors: NotAdmitted, NotHolder, MovedOn, Malformed.
        """
        raise NotImplementedError

    def drain(self) -> list[Output]:
        """Everything to be done since the last call, in order."""
        raise NotImplementedError

    def may_write(self) -> bool:
        """Whether this station holds the pen now."""
        raise NotImplementedError

    def peers(self) -> dict[bytes, PeerState]:
        """Every member but this one, by device id, and whoever is linked."""
        raise NotImplementedError

    def vector(self) -> dict[bytes, tuple[int, bytes]]:
        """What is saved here: for each log its length and the id of its last entry."""
        raise NotImplementedError

    def members(self) -> tuple[bytes, ...]:
        """TLS certificates (DER) that are welcome now: by roster and invitation, without the revoked."""
        raise NotImplementedError
