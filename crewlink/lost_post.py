"""Why a station has no job in the match any more, in one sentence for its person."""

from __future__ import annotations

from crewlink.crew.posts import word
from protocol import acts
from protocol.entry import decoded
from protocol.peer import Peer


def lost_post(peer: Peer, post: str) -> str:
    """The sentence, or "" while the device holds the post it was admitted for."""
    member = peer.roster.members.get(peer.device)
    if member is not None:
        return (
            "" if member.post == post else f"This device is {word(member.post)} now, no longer {word(post)}."
        )
    if peer.device not in peer.roster.revoked:
        return ""
    others = [one for one in peer.roster.members.values() if one.post == post]
    who = f"{word(_revoker(peer))} took this device off the match."
    return f"{who} Another device is {word(post)} now." if others else f"{who} Nobody is {word(post)} now."


def _revoker(peer: Peer) -> str:
    """The post that revoked this device."""
    for entry in peer.journal.in_order():
        if entry.act != acts.REVOKE or entry.log not in peer.roster.posts:
            continue
        revoke = decoded(entry.fields, acts.Revoke)
        if revoke is not None and revoke.device == peer.device:
            return peer.roster.posts[entry.log]
    return "Somebody"
