"""One simulated station: a real `Peer` on a simulated disk, clock and process that can die at any point."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from protocol.entry import StoredEntry
from protocol.output import Arrived, Commit, Drop, Forked, Output, PrivateCame, Refused, Send
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation
from tests.sim import moments

if TYPE_CHECKING:
    from tests.sim.world import World


class SimIdentity:
    """Keys that follow from a word."""

    def __init__(self, word: str) -> None:
        self._key = Ed25519PrivateKey.from_private_bytes(hashlib.sha256(word.encode()).digest())
        self.public_key = self._key.public_key().public_bytes_raw()
        self.device = hashlib.sha256(self.public_key).digest()

    def sign(self, data: bytes) -> bytes:
        return self._key.sign(data)


class Crash(Exception):
    """The process dies here."""


class Station:
    def __init__(self, world: World, number: int, post: str, identity: SimIdentity) -> None:
        self.world = world
        self.number = number
        self.post = post
        self.identity = identity
        self.disk: dict[bytes, StoredEntry] = {}
        self.peer: Peer | None = None
        self.runs = 0
        self.gone = False  # for good
        self.found: FoundingCharter | None = None
        self.invitation: Invitation | None = None
        self.skew_ms = 0.0
        self.drift = 0.0
        self.frozen_until = 0.0
        self.heard: dict[bytes, float] = {}  # device -> when a frame of it last came
        self.votes_seen = 0
        self._pending: Commit | None = None
        self._ticking = float("inf")

    # -- time -------------------------------------------------------------------------------------------

    def clock(self) -> float:
        return self.world.now * (1.0 + self.drift)

    def wall(self) -> int:
        return int(1_700_000_000_000 + self.world.now * 1000.0 + self.skew_ms)

    # -- life -------------------------------------------------------------------------------------------

    def start(self) -> None:
        if self.peer is not None or self.gone:
            return
        assert self.invitation is not None
        self.runs += 1
        run = hashlib.sha256(f"{self.world.seed} {self.number} {self.runs}".encode()).digest()[:16]
        self._pending = None
        self._ticking = float("inf")
        self.heard = {}
        self.votes_seen = 0
        self.peer = Peer(
            self.identity,
            self.invitation,
            run=run,
            stored=list(self.disk.values()),
            wall_ms=self.wall(),
            now=self.clock(),
            found=self.found,
        )
        self.world.note(self, "start", run)
        self.act("started", lambda peer, now, wall: None)

    def crash(self) -> None:
        """Die now. What the disk had not answered for may be there, in part, or not at all."""
        if self.peer is None:
            return
        self.frozen_until = 0.0
        self.world.note(self, "crash", b"")
        self.world.count("crash")
        rng, profile = self.world.rng, self.world.profile
        if self._pending is not None:
            fate = rng.random()
            if fate < 0.4:
                self._write(self._pending)
                self.world.count("crash after the disk, before the answer")
            elif fate < 0.4 + profile.torn:
                rows = self._pending.rows
                kept = rng.randrange(len(rows))
                self._write(Commit(0, rows[:kept]))
                torn = rows[kept]
                if torn.id not in self.disk:
                    body = torn.body[: rng.randrange(len(torn.body))]
                    self.disk[b"torn" + torn.id] = torn._replace(body=body)
                self.world.count("torn tail")
        if rng.random() < profile.restore and not self.world.quiet:
            self._restore()
        self.peer = None
        self._pending = None
        self.world.network.station_gone(self)
        if not self.gone:
            self.world.after(rng.expovariate(1.0 / profile.down_span), self.start)

    def _restore(self) -> None:
        """The device comes back with an older copy of its disk."""
        kept = self.world.rng.randint(0, len(self.disk))
        self.disk = dict(list(self.disk.items())[:kept])
        self.world.restored.add(self.number)
        self.world.count("restored")

    def _write(self, commit: Commit) -> None:
        for row in commit.rows:
            self.disk[row.id] = row

    # -- work -------------------------------------------------------------------------------------------

    def act(self, name: str, do: Callable[[Peer, float, int], object], data: bytes = b"") -> bool:
        """Let the peer do something, then do what it asks for. False when the station was or went down."""
        peer = self.peer
        if peer is None:
            return False
        if self.world.now < self.frozen_until and not self.world.quiet:
            self.world.at(self.frozen_until, lambda: self.peer is peer and self.act(name, do, data))
            return False
        self.world.note(self, name, data)
        try:
            do(peer, self.clock(), self.wall())
            self._maybe_crash()
            for output in peer.drain():
                self._do(output)
                self._maybe_crash()
        except Crash:
            self.crash()
            return False
        self.world.looked_at(self)
        moments.no_vote_while_heard(self)
        self._plan_tick(peer)
        return True

    def hear(self, peer: Peer, sender: Station, link: int, frame: bytes) -> None:
        if link in peer._links._sessions:  # else the frame came before the link, or after its end
            self.heard[sender.identity.device] = self.clock()
        peer.receive(link, frame, self.clock(), self.wall())

    def _maybe_crash(self) -> None:
        chance = self.world.profile.crash_at_step
        if chance and not self.world.quiet and self.world.rng.random() < chance:
            self.world.count("crash at a step")
            raise Crash

    def _plan_tick(self, peer: Peer) -> None:
        due = peer.next_tick()
        if due is None:
            return
        at = max(self.world.now + 1e-4, due / (1.0 + self.drift) + 1e-4)
        if at < self._ticking - 1e-9:
            self._ticking = at
            self.world.at(at, lambda: self._tick(peer, at))

    def _tick(self, peer: Peer, at: float) -> None:
        if self.peer is peer and self._ticking == at:
            self._ticking = float("inf")
            self.act("tick", lambda peer, now, wall: peer.tick(now, wall))

    def _do(self, output: Output) -> None:
        if isinstance(output, Send):
            moments.nothing_unsaved_is_sent(self, output.frame)
            self.world.network.send(output.link, output.frame)
        elif isinstance(output, Commit):
            self._pending = output
            rng, profile = self.world.rng, self.world.profile
            stalls = not self.world.quiet and rng.random() < profile.stall
            span = rng.expovariate(1.0) * profile.fsync
            if stalls:  # but not into the time when all has to be well
                span += max(0.0, min(rng.uniform(0.5, 2.5), profile.span - self.world.now))
            peer = self.peer
            assert peer is not None
            self.world.after(span, lambda: self._durable(peer, output))
        elif isinstance(output, Drop):
            self.world.count(f"drop {output.reason}")
            self.world.dropped(self, output)
            self.world.network.close(output.link)
        elif isinstance(output, Arrived):
            self.world.arrived(self, output)
        elif isinstance(output, Forked):
            self.world.count("fork proven")
        elif isinstance(output, PrivateCame):
            self.world.count("private text came later")
        elif isinstance(output, Refused):
            self.world.count("refused")

    def _durable(self, peer: Peer, commit: Commit) -> None:
        if self.peer is not peer:
            return
        self._write(commit)
        self._pending = None
        try:
            self._maybe_crash()
        except Crash:
            self.crash()
            return
        self.act("committed", lambda peer, now, wall: peer.committed(commit.batch, now, wall))


def rng_of(*words: object) -> random.Random:
    """A source that follows from words."""
    return random.Random(" ".join(str(word) for word in words))
