"""A hall in a box: virtual time, stations, a network, a workload, faults; all of it follows from the seed."""

from __future__ import annotations

import hashlib
import heapq
from collections import Counter, deque
from collections.abc import Callable
from itertools import count

from protocol.entry import Kind, private_text
from protocol.output import Arrived, Drop
from protocol.peer import Peer, WriteError
from protocol.roster import FoundingCharter, Invitation, Member
from tests.sim import checks
from tests.sim.network import Network
from tests.sim.profile import Profile, drawn
from tests.sim.station import SimIdentity, Station, rng_of

POSTS = ("scorer", "R1", "R2", "assistant", "site", "site")
QUIET_LIMIT = 40.0


class World:
    def __init__(self, seed: int, profile: Profile | None = None) -> None:
        self.seed = seed
        self.profile = profile or drawn(seed)
        self.rng = rng_of("world", seed)
        self.now = 0.0
        self.quiet = False
        self.counts: Counter[str] = Counter()
        self.trace = hashlib.sha256()
        self.last: deque[str] = deque(maxlen=200)
        self.ledger = checks.Ledger()
        self._heap: list[tuple[float, int, Callable[[], object]]] = []
        self._ties = count()
        self.network = Network(self)
        self.stations = self._stations()
        self.healed_after = 0.0

    def _stations(self) -> list[Station]:
        stations = [
            Station(self, number, POSTS[number], SimIdentity(f"{self.seed % 50} {number}"))
            for number in range(self.profile.stations)
        ]
        members = tuple(
            Member(
                station.identity.device, station.identity.public_key, b"certificate", b"binding", station.post
            )
            for station in stations
        )
        match = hashlib.sha256(f"match {self.seed}".encode()).digest()[:16]
        invitation = Invitation(match, stations[0].identity.device, members)
        voters = tuple(station.identity.device for station in stations if station.post != "site")
        for station in stations:
            station.invitation = invitation
            station.skew_ms = self.rng.gauss(0.0, self.profile.skew) * 1000.0
            station.drift = self.rng.uniform(-2e-4, 2e-4)
        stations[0].found = FoundingCharter(voters, {"sets": 5})
        return stations

    # -- time -------------------------------------------------------------------------------------------

    def at(self, when: float, do: Callable[[], object]) -> None:
        heapq.heappush(self._heap, (when, next(self._ties), do))

    def after(self, span: float, do: Callable[[], object]) -> None:
        self.at(self.now + span, do)

    def run_until(self, end: float, stop: Callable[[], bool] = lambda: False) -> None:
        look = self.now
        while self._heap and self._heap[0][0] <= end:
            self.now, _, do = heapq.heappop(self._heap)
            do()
            if self.now >= look:
                look = self.now + 0.1
                if stop():
                    return
        self.now = max(self.now, end)

    def note(self, station: Station, what: str, data: bytes) -> None:
        line = (
            f"{self.now:.6f} {station.number} {what} {hashlib.sha256(data).hexdigest()[:12] if data else ''}"
        )
        self.trace.update(line.encode())
        self.last.append(line)

    def count(self, what: str) -> None:
        self.counts[what] += 1

    # -- one run ----------------------------------------------------------------------------------------

    def run(self) -> World:
        """Play the whole run and check it. Errors: checks.Broken."""
        profile, rng = self.profile, self.rng
        for station in self.stations:
            self.after(0.0 if station.number == 0 else rng.uniform(0.0, 2.0), station.start)
            self.after(rng.expovariate(1.0 / profile.acts_every), self._acting(station))
        self.network.dial_all()
        if profile.cut_every and len(self.stations) > 1:
            self.after(rng.expovariate(1.0 / profile.cut_every), self.network.cut_some)
        if profile.crash_every:
            self.after(rng.expovariate(1.0 / profile.crash_every), self._crash_one)
        self.run_until(profile.span)
        self._heal()
        self.run_until(self.now + QUIET_LIMIT, stop=self._converged)
        self.healed_after = self.now - profile.span
        checks.at_the_end(self)
        return self

    def _heal(self) -> None:
        self.quiet = True
        self.network.calm = True
        for station in self.stations:
            station.start()

    def _converged(self) -> bool:
        live = [station.peer for station in self.stations if station.peer is not None]
        if any(station.peer is None and not station.gone for station in self.stations):
            return False
        vectors = [peer.vector() for peer in live]
        held = [len(peer.journal) for peer in live]
        saved = [sum(mark.length for mark in vector.values()) for vector in vectors]
        return all(vector == vectors[0] for vector in vectors) and held == saved and self._texts_came(live)

    def _texts_came(self, live: list[Peer]) -> bool:
        return all(not checks.texts_owed(self, peer) for peer in live)

    def _crash_one(self) -> None:
        if not self.quiet:
            self.rng.choice(self.stations).crash()
            self.after(self.rng.expovariate(1.0 / self.profile.crash_every), self._crash_one)

    # -- workload ---------------------------------------------------------------------------------------

    def _acting(self, station: Station) -> Callable[[], None]:
        def act() -> None:
            if not self.quiet:
                if station.peer is not None:
                    self._one_act(station)
                self.after(self.rng.expovariate(1.0 / self.profile.acts_every), act)

        return act

    def _one_act(self, station: Station) -> None:
        rng, profile = self.rng, self.profile
        if profile.clock_jump and rng.random() < profile.clock_jump:
            station.skew_ms += rng.choice((-1, 1)) * rng.choice((300_000.0, 86_400_000.0))
            self.count("clock jump")
        if rng.random() < profile.record:
            station.act("record", lambda peer, now, wall: self._write_record(station, peer, now, wall))
        else:
            station.act("free", lambda peer, now, wall: self._write_free(station, peer, now, wall))

    def _write_record(self, station: Station, peer: Peer, now: float, wall: int) -> None:
        if not peer.may_write():
            return
        number = self.rng.randrange(1000)
        try:
            entry = peer.author(Kind.RECORD, ("write", {"fact": ["point", {"n": number}]}), now, wall)
        except WriteError:
            return
        checks.written(self, station, peer, entry)
        self.count("record written")

    def _write_free(self, station: Station, peer: Peer, now: float, wall: int) -> None:
        fields: dict[str | bytes, object] = {"n": self.rng.randrange(1000)}
        private = None
        if self.rng.random() < self.profile.private:
            digest, private = private_text("invented", self.rng.randbytes(16))
            fields["text"] = {"hash": digest, "readers": ["R1", "R2"]}
        try:
            peer.author(Kind.FREE, ("note", fields), now, wall, private=private)  # type: ignore[arg-type]
        except WriteError:
            self.count("not admitted yet")

    # -- what stations report ---------------------------------------------------------------------------

    def arrived(self, station: Station, output: Arrived) -> None:
        checks.saved_is_on_disk(station, output)
        if output.own:
            self.ledger.saved.update({entry.id: entry for entry in output.entries})

    def dropped(self, station: Station, output: Drop) -> None:
        checks.no_link_is_broken(self, station, output)

    def looked_at(self, station: Station) -> None:
        """A station has done something: what it says now is looked at."""
