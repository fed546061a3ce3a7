"""What the link holds as a court reads it: whose entry it is, acts, lines, lost branches, who is heard."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from crewlink.acting import Aside
from crewlink.court import Court, Line
from crewlink.crew.notice import Act
from crewlink.crew.posts import Post
from protocol.entry import Entry
from protocol.peer import Peer, PeerState
from protocol.pen import set_aside_heads

Peers = Mapping[bytes, PeerState]


class Author(NamedTuple):
    """Whose entry it is: the device, and the post it acted under."""

    device: bytes
    post: str


def author_of(peer: Peer, log: bytes | None) -> Author | None:
    """Whose log it is and the post it acts under; None for a log that does not count."""
    roster = peer.roster
    if log is None or log not in roster.posts:
        return None
    return Author(roster.devices[log], roster.posts[log])


def act_of(peer: Peer, entry: Entry) -> Act | None:
    """A free entry as an act of the crew; None from a log that does not count."""
    author = author_of(peer, entry.log)
    if author is None:
        return None
    return Act(
        id=entry.id,
        post=author.post,
        device=author.device,
        anchor=entry.anchor,
        time=entry.time,
        stamp=entry.stamp,
        name=entry.act,
        fields={str(key): value for key, value in entry.fields.items()},
    )


def line_of(peer: Peer, entry: Entry) -> Line:
    """A record entry as a line; one that cannot be read is kept as such."""
    author = author_of(peer, entry.log)
    fact, because = entry.fields.get("fact"), entry.fields.get("because")
    name, fields = fact if isinstance(fact, list) and len(fact) == 2 else ("unreadable", {})
    plain = {str(key): value for key, value in fields.items()} if isinstance(fields, dict) else {}
    return Line(
        id=entry.id,
        fact=(str(name), plain),
        because=because if isinstance(because, bytes) else None,
        device=author.device if author is not None else b"",
        time=entry.time,
        post=author.post if author is not None else "",
    )


def branches_aside(peer: Peer, court: Court) -> tuple[Aside, ...]:
    """The branches of the record that do not count, each from its fork on."""
    entries = {entry.id: entry for entry in peer.standing().set_aside}
    found = []
    for head in set_aside_heads(entries.values()) if entries else ():
        branch, at = [], head
        while at in entries:
            branch.append(line_of(peer, entries[at]))
            at = entries[at].anchor
        place = court.chain.index_of(at)
        found.append(Aside(head, tuple(reversed(branch)), 0 if place is None else place + 1))
    return tuple(found)


def link_states(peer: Peer, peers: Peers, now: float) -> dict[str, tuple[bool, float]]:
    """By post: whether its device is linked, and for how many seconds nothing was heard of it."""
    posts = {device: member.post for device, member in peer.roster.members.items()}
    return {
        posts[device]: (
            state.linked,
            now - state.last_heard if state.last_heard is not None else state.silence or 0.0,
        )
        for device, state in peers.items()
        if device in posts
    }


def unheard(peer: Peer, peers: Peers) -> tuple[str, ...]:
    """Posts among table and R2 of whom no sign of life came for ten seconds, not over others either."""
    posts = {device: member.post for device, member in peer.roster.members.items()}
    gone = {posts[device] for device, state in peers.items() if device in posts and state.dead}
    return tuple(str(post) for post in (Post.SCORER, Post.R2) if post in gone)
