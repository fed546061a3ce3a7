"""What a node shows of itself: frozen values for the floors above. Knows no sockets."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from protocol.peer import PeerState


class Finding(StrEnum):
    """How looking for other stations goes."""

    OFF = "off"  # not asked to look
    STARTING = "starting"
    WORKING = "working"
    NO_NETWORK = "no network"  # this device has no network but itself
    NOT_HEARD = "not heard"  # announcements do not come back: this network blocks them
    ALONE = "alone"  # they do, but nobody else has been heard for a while

    def sentence(self) -> str:
        """What to tell the user; empty when all is well."""
        return _FINDING_SENTENCES.get(self, "")


_FINDING_SENTENCES = {
    Finding.NO_NETWORK: "This device has no network. Join the Wi-Fi of the crew.",
    Finding.NOT_HEARD: "This Wi-Fi hides the devices from each other. Type an address, or use another.",
    Finding.ALONE: "No other device is heard. If they are on, this Wi-Fi hides them: type an address.",
}


class Reach(StrEnum):
    """How far the way to another station goes; each step includes those before it."""

    UNKNOWN = "unknown"  # nothing heard
    HEARD = "heard"  # announced on this network
    BLOCKED = "blocked"  # heard, but calls do not get through
    REACHABLE = "reachable"  # calls get through
    VERIFIED = "verified"  # the right key, and talking
    IN_SYNC = "in sync"  # and it has saved all that is saved here

    def sentence(self) -> str:
        """What to tell the user; empty when there is nothing to do."""
        if self is Reach.BLOCKED:
            return "This Wi-Fi blocks devices from talking. Use another one, or a travel router."
        return ""


@dataclass(frozen=True, slots=True)
class Contact:
    """Another station as this node sees it.

    `heard`: announced on this network. `answered`: whether the last call reached anything, None before the
    first. `linked`: there is a link with the right key; `talking`: and words came over it. `address`: where
    it is linked, or may be met.
    """

    state: PeerState
    heard: bool
    answered: bool | None
    linked: bool
    talking: bool
    address: str | None

    @property
    def device(self) -> bytes:
        return self.state.device

    @property
    def post(self) -> str | None:
        return self.state.post

    @property
    def reachable(self) -> bool:
        return self.linked or self.answered is True

    @property
    def verified(self) -> bool:
        return self.talking

    @property
    def in_sync(self) -> bool:
        return self.talking and self.state.lag == 0

    @property
    def blocked(self) -> bool:
        return self.heard and not self.linked and self.answered is False

    @property
    def reach(self) -> Reach:
        """The furthest step."""
        if self.in_sync:
            return Reach.IN_SYNC
        if self.verified:
            return Reach.VERIFIED
        if self.reachable:
            return Reach.REACHABLE
        if self.blocked:
            return Reach.BLOCKED
        return Reach.HEARD if self.heard else Reach.UNKNOWN


@dataclass(frozen=True, slots=True)
class NodeState:
    """The node at one moment. `storage`: what keeps it from saving, in a sentence, or None."""

    port: int
    finding: Finding
    storage: str | None
    contacts: tuple[Contact, ...]

    def sentence(self) -> str:
        """What keeps this device from others, and what to do; empty when nothing does.

        One device that is announced and does not answer has mostly just gone; when nobody at all is linked
        it is the network.
        """
        sentences = [self.finding.sentence()]
        if not any(contact.linked for contact in self.contacts):
            sentences += [contact.reach.sentence() for contact in self.contacts]
        return next((sentence for sentence in sentences if sentence), "")
