"""What is known here about another device: linked or not, heard when, clock, what it still lacks."""

from __future__ import annotations

from dataclasses import dataclass

from protocol.book import Book
from protocol.links import Links
from protocol.progress import ahead
from protocol.session import DEAD_SECONDS, SUSPECT_SECONDS, Remote


@dataclass(frozen=True, slots=True)
class PeerState:
    """What is known about another device. Times in seconds of our monotonic clock, clocks in milliseconds.

    `suspect`, `dead`: no sign of life for three, ten seconds, not over others either. `lag`: entries saved
    here that it has not said it has saved; None while it has said nothing. `ahead`: entries that it has saved
    and this station has not. `silence`: seconds without a sign of life, not over others either,
    since this station runs; None without a moment.
    """

    device: bytes
    post: str | None
    linked: bool
    last_heard: float | None
    suspect: bool
    dead: bool
    offset_ms: float | None
    delay_ms: float | None
    lag: int | None
    ahead: int = 0
    silence: float | None = None


def peer_state(book: Book, links: Links, device: bytes, now: float | None) -> PeerState:
    """The state of a device at a moment; without one nobody is suspect."""
    remote = links.remotes.get(device) or Remote(device)
    silence = 0.0 if now is None else now - remote.alive if remote.alive is not None else DEAD_SECONDS
    lag = None
    if remote.vector is not None:
        lag = sum([max(0, log.saved - remote.has(log.id)) for log in book.journal.logs.values()])
    return PeerState(
        device=device,
        post=book.post(device),
        linked=device in links.current,
        last_heard=remote.heard,
        suspect=silence >= SUSPECT_SECONDS,
        dead=silence >= DEAD_SECONDS,
        offset_ms=remote.clock.offset_ms,
        delay_ms=remote.clock.delay_ms,
        lag=lag,
        ahead=ahead(book, links, remote),
        silence=None if now is None else max(0.0, now - (remote.alive or links.started)),
    )
