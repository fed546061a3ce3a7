"""Couriers joined by a lossy air of the test's own, in virtual time; entries are bytes with a place."""

from __future__ import annotations

import hashlib
import heapq
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from itertools import count

from protocol.courier import Cast, Courier
from protocol.courier_lane import MOST_GREETINGS
from protocol.courier_words import MARK_SIZE, Held
from protocol.entry import NONE, TAG, Entry

PORT = 4000


def device(number: int) -> bytes:
    return bytes([number + 1]) * 32


def log_of(number: int) -> bytes:
    return hashlib.sha256(b"log" + device(number)).digest()


def made(number: int, seq: int, size: int = 200) -> Entry:
    """An entry as far as a courier looks at it: place, body, signature."""
    body = bytes([number]) + seq.to_bytes(4, "big") + bytes(size - 5)
    entry_id = hashlib.sha256(TAG + body).digest()
    payload = ("note", {})
    return Entry(entry_id, log_of(number), seq, NONE, NONE, 0, 0, "free", payload, body, bytes(64))  # type: ignore[arg-type]


@dataclass
class Place:
    """A station around a courier: takes entries in order of their log, keeps early ones."""

    number: int
    hall: Hall
    courier: Courier = field(init=False)
    logs: dict[bytes, list[bytes]] = field(default_factory=dict)
    ids: dict[bytes, bytes] = field(default_factory=dict)
    early: dict[tuple[bytes, int], bytes] = field(default_factory=dict)
    came: dict[bytes, float] = field(default_factory=dict)
    told: set[tuple[bytes, bytes, int]] = field(default_factory=set)
    tls: float | None = 0.0
    bytes_out: int = 0
    casts: int = 0

    def __post_init__(self) -> None:
        source = random.Random(f"{self.hall.seed} {self.number}")
        self.courier = Courier(device(self.number), PORT + self.number, source.randbytes, self)

    def heard(self, other: bytes) -> float | None:
        return self.tls

    def alive(self, other: bytes, now: float) -> None: ...

    def has(self, other: bytes, log: bytes, seq: int) -> bool:
        return (other, log, seq) in self.told

    def trip(self, other: bytes) -> float | None:
        return self.hall.best

    def log_of(self, entry_id: bytes) -> bytes | None:
        return self.ids.get(entry_id)

    def held(self, log: bytes) -> Held:
        base = len(self.logs.get(log, ()))
        ahead = [seq - base - 1 for of, seq in self.early if of == log]
        return Held(log[:MARK_SIZE], base, sum(1 << bit for bit in ahead if 0 <= bit < 64))

    def writer(self, log: bytes) -> bytes | None:
        return next((device(n) for n in range(len(self.hall.places)) if log_of(n) == log), None)

    def write(self, size: int = 200, *, urgent: bool = False) -> Entry:
        entry = made(self.number, len(self.logs.get(log_of(self.number), ())), size)
        self.take(entry.log, entry.seq, entry.body)
        self.courier.offer(entry, self.hall.now, urgent=urgent)
        self.hall.move(self)
        if self.hall.stream is not None:
            for place in self.hall.places:
                then = self.hall.now + self.hall.stream
                self.hall.at(then, partial(place.take, entry.log, entry.seq, entry.body))
                if self.hall.tells and place is not self:
                    self.hall.at(then + self.hall.stream, partial(self.hear_of, place.number, entry))
        return entry

    def hear_of(self, other: int, entry: Entry) -> None:
        """Another tells over the stream that it has brought an entry."""
        self.courier.brought(device(other), self.hall.now, {entry.log: entry.seq + 1})
        self.hall.move(self)

    def take(self, log: bytes, seq: int, body: bytes) -> None:
        if seq < len(self.logs.get(log, ())):
            return
        self.early[log, seq] = body
        while (body_ := self.early.pop((log, len(self.logs.get(log, ()))), None)) is not None:
            self.logs.setdefault(log, []).append(body_)
            entry_id = hashlib.sha256(TAG + body_).digest()
            self.ids[entry_id] = log
        self.came.setdefault(hashlib.sha256(TAG + body).digest(), self.hall.now)

    def receive(self, datagram: bytes) -> None:
        arrival = self.courier.receive(datagram, self.hall.now)
        if arrival is not None:
            body = arrival.carry.body
            self.take(log_of(body[0]), int.from_bytes(body[1:5], "big"), body)
            self.courier.answer(arrival, log_of(body[0]), self.hall.now)
        self.hall.move(self)


class Hall:
    """`delay()`, `lost(a, b)`: the air. `run(until)` lets time pass."""

    def __init__(self, stations: int = 3, *, seed: int = 0, loss: float = 0.0) -> None:
        self.seed = seed
        self.now = 100.0
        self.rng = random.Random(f"air {seed}")
        self.loss = loss
        self.stream: float | None = None  # so many seconds later a stream brings the same
        self.best: float | None = None  # round trip as the stream has measured it
        self.tells = False  # and as many seconds later the writer hears of it
        self.cut: set[tuple[int, int]] = set()
        self.delay: Callable[[], float] = lambda: self.rng.uniform(0.001, 0.005)
        self.seen: list[tuple[float, int, int, bytes]] = []
        self._heap: list[tuple[float, int, Callable[[], None]]] = []
        self._ties = count()
        self._planned: dict[int, float] = {}
        self.places: list[Place] = []
        self.places += [Place(number, self) for number in range(stations)]
        for place in self.places:
            place.tls = self.now
        for a in range(stations):
            for b in range(a + 1, stations):
                self.agree(a, b)
        for place in self.places:
            for lane in place.courier._lanes.values():
                lane.greetings = MOST_GREETINGS  # so that what is counted are entries and their receipts

    def __getitem__(self, number: int) -> Place:
        return self.places[number]

    def agree(self, a: int, b: int) -> None:
        """A new link between two: they agree on a key over it."""
        waiting = [(a, b, self[a].courier.begin(device(b))), (b, a, self[b].courier.begin(device(a)))]
        for _ in range(10):
            if not waiting:
                return
            sender, receiver, said = waiting.pop(0)
            assert said is not None
            answer = self[receiver].courier.hear(device(sender), PORT + sender, said)
            if answer is not None:
                waiting.append((receiver, sender, answer))
        raise AssertionError("they never agree")

    def at(self, when: float, do: Callable[[], None]) -> None:
        heapq.heappush(self._heap, (when, next(self._ties), do))

    def move(self, place: Place) -> None:
        """Carry what a station sends, and see when it is due again."""
        for cast in place.courier.drain(self.now):
            self._carry(place, cast)
        due = place.courier.due(self.now)
        if due is not None and due < self._planned.get(place.number, float("inf")):
            self._planned[place.number] = due
            self.at(max(due, self.now) + 1e-6, lambda: self._tick(place, due))

    def _tick(self, place: Place, due: float) -> None:
        if self._planned.get(place.number) == due:
            del self._planned[place.number]
            self.move(place)

    def _carry(self, place: Place, cast: Cast) -> None:
        other = cast.port - PORT
        assert device(other) == cast.device
        place.casts += 1
        place.bytes_out += len(cast.datagram)
        self.seen.append((self.now, place.number, other, cast.datagram))
        if (place.number, other) not in self.cut and self.rng.random() >= self.loss:
            self.at(self.now + self.delay(), lambda: self.places[other].receive(cast.datagram))

    def run(self, seconds: float) -> None:
        end = self.now + seconds
        while self._heap and self._heap[0][0] <= end:
            self.now, _, do = heapq.heappop(self._heap)
            do()
        self.now = end

    def latency(self, entry: Entry, born: float) -> float:
        """From writing until the last of the others has it; infinite when one has not."""
        others = [place for place in self.places if log_of(place.number) != entry.log]
        return max(place.came.get(entry.id, float("inf")) for place in others) - born
