"""A hall in a box: virtual time, stations, a network, a workload, faults; all of it follows from the seed."""

from __future__ import annotations

import hashlib
import heapq
from collections import Counter, deque
from collections.abc import Callable
from itertools import count

from protocol.entry import Entry
from protocol.output import Arrived, Drop
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation, Member
from tests.sim import checks, devices, said, workload
from tests.sim.air import Air
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
        self.clock_rng = rng_of("clocks", seed)  # of its own, so that clocks change nothing else
        self.now = 0.0
        self.quiet = False
        self.counts: Counter[str] = Counter()
        self.trace = hashlib.sha256()
        self.last: deque[str] = deque(maxlen=200)
        self.ledger = said.Ledger()
        self.restored: set[int] = set()  # stations that came back with an older disk
        self.cloned: set[int] = set()  # stations of a device that ran twice
        self.malicious: set[int] = set()  # stations that sent what no honest one sends
        self.forked: set[bytes] = set()  # logs that were made to hold two entries at one place
        self.strange: set[bytes] = set()  # entries that must be nowhere
        self.places: dict[bytes, tuple[bytes, int]] = {}  # entry -> its log and number
        self.first: dict[tuple[bytes, int], bytes] = {}  # log and number -> the entry signed there first
        self.acts: list[tuple[float, int, int, str, str]] = []  # every act signed: when, by whom, what
        self.folds = 0
        self.slow: int | None = None  # the station whose links carry little
        self.usurped: set[bytes] = set()  # record entries of one without the pen: must count nowhere
        self._heap: list[tuple[float, int, Callable[[], object]]] = []
        self._ties = count()
        self.network = Network(self)
        self.air = Air(self)
        self.stations = self._stations()
        self.healed_after = 0.0  # seconds from the heal until everybody holds the same
        self.confirmed_after = 0.0  # and until nobody waits for a certificate any more

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
        voting = [station for station in stations if station.post != "site"]
        if self.rng.random() < 0.5:
            voting = self.rng.sample(stations, self.rng.randint(min(2, len(stations)), len(stations)))
        voters = tuple(station.identity.device for station in voting)
        for station in stations:
            station.invitation = invitation
            station.skew_ms = self.rng.gauss(0.0, self.profile.skew) * 1000.0
            station.drift = self.rng.uniform(-2e-5, 2e-5)
        if self.profile.drift:
            self.rng.choice(stations).drift = self.rng.choice((-1, 1)) * self.profile.drift
            self.count("clock that drifts 200 ppm")
        if self.rng.random() < self.profile.slow:
            self.slow = self.rng.choice(stations).number
            self.count("slow link")
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
            self.begin_acting(station)
        if rng.random() < profile.partial:
            self.network.leave_out_pairs()
        self.network.dial_all()
        if rng.random() < profile.lose:
            self.after(rng.uniform(5.0, profile.span), self._lose_one)
        if profile.cut_every and len(self.stations) > 1:
            self.after(rng.expovariate(1.0 / profile.cut_every), self.network.cut_some)
        if profile.crash_every:
            self.after(rng.expovariate(1.0 / profile.crash_every), self._crash_one)
        if profile.mutual:
            self.after(rng.uniform(3.0, profile.span - 2.0), lambda: workload.revoke_each_other(self))
        devices.schedule(self)
        self.run_until(profile.span)
        self._heal()
        owed = {station.number: self._held(station) for station in self.stations}
        self.run_until(self.now + QUIET_LIMIT, stop=lambda: self._arrived_all(owed))
        self.healed_after = self.now - profile.span
        self.run_until(self.now + QUIET_LIMIT, stop=self._confirmed)
        self.confirmed_after = self.now - profile.span
        self.counts["record entries said to stand"] += len(self.ledger.stood)
        checks.at_the_end(self)
        return self

    def _heal(self) -> None:
        self.quiet = True
        self.network.calm = True
        self.network.empty_slow_links()
        devices.stop_one_of_two(self)
        for station in self.stations:
            station.start()

    def groups(self) -> list[list[Station]]:
        """Live stations that take each other for members: one group, unless somebody was taken out."""
        left = [station for station in self.stations if station.peer is not None]
        found: list[list[Station]] = []
        while left:
            group = [left.pop(0)]
            for one in group:
                near = [other for other in left if _members_both(one, other)]
                group += near
                left = [other for other in left if other not in near]
            found.append(group)
        return found

    def _held(self, station: Station) -> dict[bytes, Entry]:
        return {entry.id: entry for entry in station.peer.journal.in_order()} if station.peer else {}

    def _arrived_all(self, owed: dict[int, dict[bytes, Entry]]) -> bool:
        """Whether what anybody in a group held at the heal is saved at all of that group."""
        return all(
            self._has_all(station.peer, owed[other.number])
            for group in self.groups()
            for station in group
            for other in group
            if station.peer is not None
        )

    def _has_all(self, peer: Peer, owed: dict[bytes, Entry]) -> bool:
        return all(
            entry.log in peer.journal.logs and peer.journal.logs[entry.log].saved > entry.seq
            for entry in owed.values()
            if entry.log not in self.forked
        )

    def _converged(self) -> bool:
        if any(station.peer is None and not station.gone for station in self.stations):
            return False
        return all(self._agreed([s.peer for s in group if s.peer]) for group in self.groups())

    def _agreed(self, peers: list[Peer]) -> bool:
        vectors = [peer.vector() for peer in peers]
        held = [sum(len(log.entries) for log in peer.journal.logs.values()) for peer in peers]
        saved = [sum(mark.length for mark in vector.values()) for vector in vectors]
        same = all(vector == vectors[0] for vector in vectors) and held == saved
        return same and all(not checks.texts_owed(self, peers, peer) for peer in peers)

    def _confirmed(self) -> bool:
        """A writer who had to ask has been confirmed, if a majority is there to do it; and all know of it."""
        groups = [[station.peer for station in group if station.peer] for group in self.groups()]
        owed = any(checks.certificate_owed(self, peers, peer) for peers in groups for peer in peers)
        return not owed and self._converged()

    def _lose_one(self) -> None:
        """One station is gone for good, mostly the one that writes."""
        holders = [station for station in self.stations if station.peer and station.peer.may_write()]
        self.lose(self.rng.choice(holders if holders and self.rng.random() < 0.7 else self.stations))

    def lose(self, station: Station) -> None:
        """It is gone for good."""
        station.gone = True
        station.crash()
        self.count("lost for good")

    def _crash_one(self) -> None:
        if not self.quiet:
            self.rng.choice(self.stations).crash()
            self.after(self.rng.expovariate(1.0 / self.profile.crash_every), self._crash_one)

    # -- workload ---------------------------------------------------------------------------------------

    def begin_acting(self, station: Station) -> None:
        self.after(self.rng.expovariate(1.0 / self.profile.acts_every), self._acting(station))

    def _acting(self, station: Station) -> Callable[[], None]:
        def act() -> None:
            if not self.quiet:
                if station.peer is not None:
                    workload.one_act(self, station)
                self.after(self.rng.expovariate(1.0 / self.profile.acts_every), act)

        return act

    # -- what stations report ---------------------------------------------------------------------------

    def arrived(self, station: Station, output: Arrived) -> None:
        checks.saved_is_on_disk(station, output)
        if output.own:
            device = station.identity.device
            self.ledger.saved.update({entry.id: (device, entry.log) for entry in output.entries})

    def dropped(self, station: Station, output: Drop) -> None:
        checks.no_link_is_broken(self, station, output)

    def looked_at(self, station: Station) -> None:
        """A station has done something: what it says now is looked at."""
        said.what_it_says(self, station)

    def signed(self, station: Station, entry: Entry) -> None:
        """A station has signed an entry. Two at one place are a fork, which has to be proven."""
        self.acts.append((self.now, station.number, entry.seq, str(entry.kind), entry.act))
        place = (entry.log, entry.seq)
        self.places[entry.id] = place
        if self.first.setdefault(place, entry.id) != entry.id and entry.log not in self.forked:
            self.forked.add(entry.log)
            self.count("log forked by a clone")


def _members_both(one: Station, other: Station) -> bool:
    assert one.peer is not None and other.peer is not None
    return bool(one.peer.member(other.identity.device) and other.peer.member(one.identity.device))
