"""Why a station has another job than before, or none any more, in one sentence for its person."""

from __future__ import annotations

from crewlink.crew.posts import word
from protocol import acts
from protocol.entry import decoded
from protocol.peer import Peer


def lost_post(peer: Peer, post: str) -> str:
    """Why the device has no job any more, or "" while it has one."""
    if peer.device not in peer.roster.revoked:
        return ""
    others = [one for one in peer.roster.members.values() if one.post == post]
    who = f"{word(_revoker(peer))} took this device off the match."
    return f"{who} Another device is {word(post)} now." if others else f"{who} Nobody is {word(post)} now."


def moved_post(first: str, now: str) -> str:
    """What changed if the device has another job now than when it was started, else ""."""
    return "" if first == now else f"This device is {word(now)} now, no longer {word(first)}."


def _revoker(peer: Peer) -> str:
    """The post that revoked this device."""
    for entry in peer.journal.in_order():
        if entry.act != acts.REVOKE or entry.log not in peer.roster.posts:
            continue
        revoke = decoded(entry.fields, acts.Revoke)
        if revoke is not None and revoke.device == peer.device:
            return peer.roster.posts[entry.log]
    return "Somebody"
