"""Why a station has another job than before, or none any more, in one sentence for its person."""

from __future__ import annotations

from crewlink.crew.posts import word
from protocol.peer import Peer


def lost_post(peer: Peer, post: str) -> str:
    """Why the device has no job any more, or "" while it has one."""
    out = peer.roster.revoked.get(peer.device)
    if out is None:
        return ""
    others = [one for one in peer.roster.members.values() if one.post == post]
    who = f"{word(peer.roster.posts.get(out.by, 'Somebody'))} took this device out of the crew."
    return f"{who} Another device is {word(post)} now." if others else f"{who} Nobody is {word(post)} now."


def moved_post(first: str, now: str) -> str:
    """What changed if the device has another job now than when it was started, else ""."""
    return "" if first == now else f"This device is {word(now)} now, no longer {word(first)}."
