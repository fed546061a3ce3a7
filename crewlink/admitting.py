"""Letting a device into a match that is open: it becomes a member. Who decides who writes follows the crew by
itself (`crewlink.pen_acts.follow_crew`).

The device has proved the code already (`protocol.pairing`); a person here has said yes.
"""

from __future__ import annotations

from crewlink import pen_acts
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
    pen_acts.follow_crew(peer, now, wall_ms)
    invitation = Invitation(match, peer.roster.opener, tuple(peer.roster.members.values()))
    return admission_of(invitation, port)
