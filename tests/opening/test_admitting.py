"""Letting devices into a match that is open: members, voters, and who may still write."""

from __future__ import annotations

import random

from crewlink.admitting import admit
from crewlink.pen_acts import crew_voters
from protocol.identity import Identity
from protocol.output import Commit
from protocol.pairing import Candidate
from protocol.pairing_shell import invitation_of
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation, Member

MATCH = bytes(range(16))


def identity(seed: int) -> Identity:
    return Identity.create(random.Random(seed).randbytes)


def member(of: Identity, post: str) -> Member:
    return Member(of.device, of.public_key, of.tls_cert, of.binding, post)


def candidate(of: Identity) -> Candidate:
    return Candidate(of.device, of.public_key, of.tls_cert, of.binding, "tablet")


def settle(peer: Peer, now: float) -> None:
    """Save whatever waits to be saved."""
    while outputs := peer.drain():
        for output in outputs:
            if isinstance(output, Commit):
                peer.committed(output.batch, now, int(now * 1000))


def opener(post: str = "scorer") -> tuple[Identity, Peer]:
    """A station that has just opened its match, alone."""
    me = identity(1)
    found = FoundingCharter((me.device,), {})
    invitation = Invitation(MATCH, me.device, (member(me, post),))
    peer = Peer(me, invitation, run=bytes(16), stored=(), wall_ms=0, found=found)
    settle(peer, 0.0)
    return me, peer


def let_in(peer: Peer, new: Identity, post: str, now: float) -> Invitation:
    admission = admit(peer, MATCH, 4001, candidate(new), post, now, int(now * 1000))
    settle(peer, now)
    assert admission.port == 4001
    return invitation_of(admission)


def test_who_is_let_in_becomes_a_member_and_gets_all_it_needs() -> None:
    me, peer = opener()
    new = identity(2)
    invitation = let_in(peer, new, "R2", 1.0)
    assert invitation.match == MATCH
    assert invitation.opener == me.device
    assert {one.device: one.post for one in invitation.members} == {me.device: "scorer", new.device: "R2"}
    assert peer.member(new.device) == member(new, "R2")


def test_the_crew_votes_and_the_opener_goes_on_writing() -> None:
    """The first one let in votes at once; the next one once that one has agreed."""
    me, peer = opener()
    r1, r2 = identity(2), identity(3)
    let_in(peer, r2, "R2", 1.0)
    assert peer.standing().voters == (r2.device, me.device) == crew_voters(peer, 1.0)
    assert peer.standing().firm
    let_in(peer, r1, "R1", 2.0)
    assert peer.standing().voters == (r2.device, me.device)
    assert crew_voters(peer, 2.0) == (r1.device, r2.device, me.device)
    assert peer.may_write()


def test_a_supervisor_is_let_in_without_a_vote() -> None:
    me, peer = opener()
    let_in(peer, identity(4), "site", 1.0)
    assert peer.standing().voters == (me.device,)
