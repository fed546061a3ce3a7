"""One simulated station: a real `Peer` on a simulated disk, clock and process that can die at any point."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from protocol.membership import Roster
from protocol.output import Arrived, Commit, Drop, Forked, Output, PrivateCame, Refused, Send
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation
from tests.sim import air, moments
from tests.sim.broken import Broken
from tests.sim.disk import Disk, Trouble

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
        self.disk = Disk(self)
        self.peer: Peer | None = None
        self.runs = 0
        self.gone = False  # for good
        self.found: FoundingCharter | None = None
        self.invitation: Invitation | None = None
        self.skew_ms = 0.0  # of the device; the run has what it was at its start
        self.run_skew_ms = 0.0
        self.drift = 0.0
        self.slept = 0.0  # for how long the monotonic clock has stood still
        self.frozen_until = 0.0
        self.heard: dict[bytes, float] = {}  # device -> when a frame of it last came
        self.looked: dict[bytes, int] = {}  # own logs, and how far what was written there is known
        self.proofs: set[bytes] = set()  # forked logs that this run has told of, or began with
        self.carried: set[bytes] = set()  # bodies sent by datagram that this run has on its disk
        self.belong: tuple[Roster, tuple[bytes, ...]] | None = None  # the last look at who has keys
        self._ticking = float("inf")
        self._ticked, self._ticks = 0.0, 0

    # -- time -------------------------------------------------------------------------------------------

    def clock(self) -> float:
        return (self.world.now - self.slept) * (1.0 + self.drift)

    def wall(self) -> int:
        """The device's wall clock as it was when this run began, counted on, as `protocol.run_wall` does."""
        return int(1_700_000_000_000 + self.world.now * 1000.0 * (1.0 + self.drift) + self.run_skew_ms)

    # -- life -------------------------------------------------------------------------------------------

    def start(self) -> None:
        if self.peer is not None or self.gone:
            return
        assert self.invitation is not None
        if self.disk.refuses() and self.disk.trouble is Trouble.READ_ONLY:
            self.world.count("start refused: disk read-only")
            self.world.at(self.disk.refuses_until, self.start)
            return
        self.runs += 1
        self.run_skew_ms = self.skew_ms
        run = hashlib.sha256(f"{self.world.seed} {self.number} {self.runs}".encode()).digest()[:16]
        self.disk.pending = None
        self._ticking = float("inf")
        self.heard, self.carried, self.belong = {}, set(), None
        self.peer = Peer(
            self.identity,
            self.invitation,
            run=run,
            stored=list(self.disk.rows.values()),
            wall_ms=self.wall(),
            now=self.clock(),
            found=self.found,
        )
        own = self.peer.journal.logs_of(self.identity.device)
        self.looked = {log.id: log.saved for log in own}
        self.proofs = {log.id for log in self.peer.journal.logs.values() if log.fork}
        if self.world.profile.air is not None:
            keys = rng_of("keys", self.world.seed, self.number, self.runs)
            self.peer.start_courier(air.PORT + self.number, keys.randbytes)
        self.world.note(self, "start", run)
        self.act("started", lambda peer, now, wall: None)

    def take_over(self, peer: Peer, other: Station) -> None:
        """Go on as a copy of another station's process, without its links."""
        self.peer, self.run_skew_ms = peer, other.run_skew_ms
        self.heard, self.looked, self.proofs = dict(other.heard), dict(other.looked), set(other.proofs)
        for link in list(peer._links._sessions):
            peer.link_down(link, self.clock())
        if other.disk.pending is not None:
            self.disk.save(other.disk.pending, peer)
        self.act("cloned", lambda peer, now, wall: None)

    def crash(self) -> None:
        """Die now."""
        if self.peer is None:
            return
        self.frozen_until = 0.0
        self.world.note(self, "crash", b"")
        self.world.count("crash")
        rng, profile = self.world.rng, self.world.profile
        self.disk.power_cut()
        if rng.random() < profile.restore and not self.world.quiet:
            self.disk.older_copy()
            self.world.restored.add(self.number)
            self.world.count("restored")
        self.peer = None
        self.world.network.station_gone(self)
        if not self.gone:
            self.world.after(rng.expovariate(1.0 / profile.down_span), self.start)

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
            self._send_datagrams(peer)
        except Crash:
            self.crash()
            return False
        if not data or data[:9].find(b"\xa4p") < 0:  # a ping or its answer says nothing of entries
            self.world.looked_at(self)
        moments.what_was_written(self)
        air.check(self, peer)
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

    def _send_datagrams(self, peer: Peer) -> None:
        courier = air.courier_of(peer)
        for cast in courier.drain(self.clock()) if courier else ():
            self.world.air.take(self, cast)

    def _plan_tick(self, peer: Peer) -> None:
        due = peer.next_tick()
        courier = air.courier_of(peer)
        open_until = courier.due(self.clock()) if courier else None
        if open_until is not None:
            due = open_until if due is None else min(due, open_until)
        if due is None:
            return
        at = max(self.world.now + 1e-4, due / (1.0 + self.drift) + self.slept + 1e-4)
        if at < self._ticking - 1e-9:
            self._ticking = at
            self.world.at(at, lambda: self._tick(peer, at))

    def _tick(self, peer: Peer, at: float) -> None:
        if self.peer is peer and self._ticking == at:
            self._ticking = float("inf")
            self._ticks = self._ticks + 1 if self.world.now - self._ticked < 0.001 else 0
            if self._ticks > 20:
                raise Broken("comes-to-rest", f"station {self.number} asks for one tick after the other")
            self._ticked = self.world.now
            self.act("tick", _tick)

    def _do(self, output: Output) -> None:
        if isinstance(output, Send):
            moments.nothing_unsaved_is_sent(self, output.frame)
            self.world.network.send(output.link, output.frame)
        elif isinstance(output, Commit):
            assert self.peer is not None
            self.disk.save(output, self.peer)
        elif isinstance(output, Drop):
            self.world.count(f"drop {output.reason}")
            self.world.dropped(self, output)
            self.world.network.close(output.link)
        elif isinstance(output, Arrived):
            self.world.arrived(self, output)
        elif isinstance(output, Forked):
            self.proofs.add(output.log)
            self.world.count("fork proven")
        elif isinstance(output, PrivateCame):
            self.world.count("private text came later")
        elif isinstance(output, Refused):
            self.world.count("refused")

    def saved(self, commit: Commit, peer: Peer) -> None:
        """The disk answers: the batch is there."""
        try:
            self._maybe_crash()
        except Crash:
            self.crash()
            return
        self.act("committed", lambda peer, now, wall: peer.committed(commit.batch, now, wall))


def _tick(peer: Peer, now: float, wall: int) -> None:
    peer.tick(now, wall)


def rng_of(*words: object) -> random.Random:
    """A source that follows from words."""
    return random.Random(" ".join(str(word) for word in words))
