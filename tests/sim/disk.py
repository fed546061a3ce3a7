"""The disk of one simulated station: what is on it, what waits for it, when it stalls, is full or refuses.

Behaves as `protocol.store` does: one batch at a time, answered only when it is there, tried again until it
is. A batch is all there or not at all, but for the torn tail of a power cut.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from protocol.entry import StoredEntry
from protocol.output import Commit
from protocol.peer import Peer
from tests.sim.broken import Broken

if TYPE_CHECKING:
    from tests.sim.station import Station

RETRY_SECONDS = 1.0


class Trouble(StrEnum):
    """Why a disk refuses. A file that cannot be written cannot be opened either; a full one can."""

    FULL = "disk full"
    READ_ONLY = "disk read-only"


class Disk:
    def __init__(self, station: Station) -> None:
        self.rows: dict[bytes, StoredEntry] = {}
        self.pending: Commit | None = None
        self.trouble = Trouble.FULL
        self.refuses_until = 0.0
        self._station = station

    def __contains__(self, entry_id: bytes) -> bool:
        return entry_id in self.rows

    def get(self, entry_id: bytes) -> StoredEntry | None:
        return self.rows.get(entry_id)

    def refuses(self) -> bool:
        return self._station.world.now < self.refuses_until and not self._station.world.quiet

    def save(self, commit: Commit, peer: Peer) -> None:
        """Save a batch some time later, and say so to the peer, if it lives then."""
        if self.pending is not None:
            raise Broken("saved-survives", f"station {self._station.number} has two batches under way")
        self.pending = commit
        world = self._station.world
        rng, profile = world.rng, world.profile
        stalls = not world.quiet and rng.random() < profile.stall
        span = rng.expovariate(1.0) * profile.fsync
        if stalls:  # but not into the time when all has to be well
            world.count("disk stalled")
            span += max(0.0, min(rng.uniform(0.5, 2.5), profile.span - world.now))
        world.after(span, lambda: self._try(commit, peer))

    def _try(self, commit: Commit, peer: Peer) -> None:
        if self._station.peer is not peer:
            return
        if self.refuses():
            self.refused(commit, peer)
            return
        self.write(commit)
        self.pending = None
        self._station.saved(commit, peer)

    def refused(self, commit: Commit, peer: Peer) -> None:
        """Nothing of it is there: the same batch again, a second later."""
        self._station.world.count(f"commit refused: {self.trouble}")
        self._station.world.after(RETRY_SECONDS, lambda: self._try(commit, peer))

    def write(self, commit: Commit) -> None:
        for row in commit.rows:
            self.rows[row.id] = row

    def power_cut(self) -> None:
        """What the disk had not answered for may be there, in part, or not at all."""
        commit, self.pending = self.pending, None
        if commit is None:
            return
        world = self._station.world
        if self.refuses():
            world.count(f"crash while the {self.trouble}")
            return
        fate = world.rng.random()
        if fate < 0.4:
            self.write(commit)
            world.count("crash after the disk, before the answer")
        elif fate < 0.4 + world.profile.torn:
            kept = world.rng.randrange(len(commit.rows))
            self.write(Commit(0, commit.rows[:kept]))
            torn = commit.rows[kept]
            if torn.id not in self.rows:
                body = torn.body[: world.rng.randrange(len(torn.body))]
                self.rows[b"torn" + torn.id] = torn._replace(body=body)
            world.count("torn tail")

    def older_copy(self) -> None:
        """The device comes back with an older copy of its disk."""
        kept = self._station.world.rng.randint(0, len(self.rows))
        self.rows = dict(list(self.rows.items())[:kept])
