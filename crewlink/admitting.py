"""Letting a device into a match that is open: it becomes a member, and a voter if it is of the crew.

The device has proved the code already (`protocol.pairing`); a person here has said yes.
"""

from __future__ import annotations

from crewlink.crew.posts import CREW
from protocol.pairing import Candidate
from protocol.pairing_shell import admission_of
from protocol.pairing_wire import Admission
from protocol.peer import Peer
from protocol.roster import Invitation, Member


def admit(
    peer: Peer, match: bytes, port: int, candidate: Candidate, post: str, now: float, wall_ms: int
) -> Admission:
    """Admit a device for a job; gives what it needs to come in. `port`: where this station listens.

    Errors: NotAdmitted, NoRight, NotReady.
    """
    member = Member(candidate.device, candidate.sign_key, candidate.tls_cert, candidate.binding, post)
    peer.admit(member, now, wall_ms)
    if peer.may_write() and post in set(map(str, CREW)):
        peer.name_voters(crew_devices(peer), now, wall_ms)
    invitation = Invitation(match, peer.roster.opener, tuple(peer.roster.members.values()))
    return admission_of(invitation, port)


def crew_devices(peer: Peer) -> tuple[bytes, ...]:
    """Devices that work on the court, highest job first."""
    posts = [str(post) for post in CREW]
    crew = [member for member in peer.roster.members.values() if member.post in posts]
    return tuple(
        member.device for member in sorted(crew, key=lambda one: (posts.index(one.post), one.device))
    )
