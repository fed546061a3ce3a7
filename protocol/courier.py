"""Small new entries also go as sealed datagrams beside the stream, again and again until the receipt.

Joins keys, words and pace for all other stations; no sockets, no clock: bytes and times in, datagrams out.
The stream stays the truth: a receipt only ends repeating, and whatever is left out here comes by it.
Nothing is answered that is not authentic. All times are our monotonic seconds.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple, Protocol

from protocol.bucket import Bucket
from protocol.courier_hedge import Hedge, Pause
from protocol.courier_lane import Lane
from protocol.courier_pace import EXTRA_BURST, EXTRA_RATE
from protocol.courier_parcel import Copy, Parcel
from protocol.courier_seal import Opened, RandomBytes, Seals, Shared
from protocol.courier_words import MARK_SIZE, MAX_CARRIED, Carry, Held, Passed, Receipt, Words, decode, encode
from protocol.entry import Entry, id_of

ASKER_RATE, ASKER_BURST = 12_000.0, 8_000.0
"""Bytes a second that one station may let us hand on; they count against our own budget, too."""
MOST_ASKED = 64
NOTHING = Held(bytes(MARK_SIZE), 0, 0)


class Cast(NamedTuple):
    """Send this datagram to a device, at the port it has named. It may be lost; nobody waits for it."""

    device: bytes
    port: int
    datagram: bytes


@dataclass(frozen=True, slots=True)
class Arrival:
    """An entry that came by datagram and is not held here: to be checked and taken like any other, then
    `Courier.answer`."""

    device: bytes
    counter: int
    carry: Carry


class Surroundings(Protocol):
    """What a courier is told of its station."""

    def heard(self, device: bytes) -> float | None:
        """When a device last said something over TLS."""

    def alive(self, device: bytes, now: float) -> None:
        """An authentic datagram of this device came."""

    def has(self, device: bytes, log: bytes, seq: int) -> bool:
        """Whether a device has told over TLS that it has saved this entry."""

    def trip(self, device: bytes) -> float | None:
        """The best round trip that was measured over TLS, in seconds."""

    def log_of(self, entry_id: bytes) -> bytes | None:
        """The log of an entry that is held here."""

    def held(self, log: bytes) -> Held:
        """How much of a log is held here, saved or not."""

    def writer(self, log: bytes) -> bytes | None:
        """The device that writes a log."""


class Courier:
    """The datagrams of one station, in one process run. `port`: where it listens itself."""

    def __init__(self, own: bytes, port: int, random_bytes: RandomBytes, around: Surroundings) -> None:
        self.port = port
        self.opened = 0  # authentic datagrams, each once
        self.latest = own  # who sent the last of them
        self._own = own
        self._around = around
        self._seals = Seals(own, random_bytes, around.heard)
        self._lanes: dict[bytes, Lane] = {}
        self._budget = Bucket(EXTRA_RATE, EXTRA_BURST)
        self._askers: dict[bytes, Bucket] = {}
        self._asked: OrderedDict[bytes, bytes] = OrderedDict()  # mark of a log -> whose entries we handed on
        self._turn = 0
        self._pause = Pause()
        self._out: list[Cast] = []

    # -- keys, over TLS ---------------------------------------------------------------------------------

    def begin(self, device: bytes) -> Shared | None:
        """A link to a device stands; what to say to it of our keys."""
        self._seals.begin(device)
        return self._seals.shared(device)

    def lacks(self, device: bytes) -> Shared | None:
        """What to say again to a device with which no key is settled yet."""
        return self._seals.again(device)

    def hear(self, device: bytes, port: int, said: Shared) -> Shared | None:
        """What a device said of its keys over TLS; what to answer. Port 0: it takes no datagrams."""
        answer = self._seals.hear(device, said)
        lane = self._lanes.get(device)
        if lane is None or lane.port != port:
            has, trip = partial(self._around.has, device), partial(self._around.trip, device)
            self._lanes[device] = Lane(device, port, has, trip, hedge=Hedge(self._pause))
        return self._seals.shared(device) if answer else None

    def forget(self, device: bytes) -> None:
        """A device was taken out of the match."""
        self._seals.forget(device)
        self._lanes.pop(device, None)
        self._askers.pop(device, None)

    def forget_all(self) -> None:
        """This device slept: no key of before counts any more."""
        for device in self.devices():
            self.forget(device)
        self._seals.forget_all()
        self._out.clear()

    def devices(self) -> tuple[bytes, ...]:
        """Devices with which there are keys or will be."""
        return tuple(dict.fromkeys((*self._seals.devices(), *self._lanes)))

    # -- out --------------------------------------------------------------------------------------------

    def offer(self, entry: Entry, now: float, *, urgent: bool = False) -> None:
        """An own entry that is saved here. `urgent`: its first copy goes even where the way is full."""
        if len(entry.body) > MAX_CARRIED:
            return
        carry = Carry(entry.signature, entry.body)
        for lane in self._lanes.values():
            if lane.port and self._seals.can_seal(lane.device, now):
                lane.offer(entry.log, entry.seq, carry, urgent, now)

    def asks(self, device: bytes) -> bool:
        """Whether a device is to say soon that the stream has brought what is sent now; asked once."""
        lane = self._lanes.get(device)
        if lane is None or not lane.asks:
            return False
        lane.asks = False
        return True

    def brought(self, device: bytes, now: float, reach: Mapping[bytes, int] | None = None) -> None:
        """A device has told over TLS what came; `reach`: how far logs go there, if it has not told all."""
        lane = self._lanes.get(device)
        if lane is not None:
            lane.brought(lane.has if reach is None else lambda log, seq: reach.get(log, 0) > seq, now)

    def parcels(self) -> list[Parcel]:
        """Everything that is open, to whomever."""
        return [parcel for lane in self._lanes.values() for parcel in lane.parcels()]

    def due(self, now: float) -> float | None:
        """When `drain` has something; None when nothing is open."""
        times = [due for lane in self._lanes.values() if (due := lane.due(now)) is not None]
        return min(times, default=None)

    def drain(self, now: float) -> list[Cast]:
        """The datagrams to be sent now."""
        for lane in self._lanes.values():
            if not lane.heard and lane.port and self._seals.can_seal(lane.device, now) and lane.greets(now):
                self._seal(lane, Receipt(0, NOTHING))
            due = lane.due(now)
            for copy in lane.work(now) if due is not None and due <= now else ():
                self._send_copy(lane, copy, now)
        out, self._out = self._out, []
        return out

    def _send_copy(self, lane: Lane, copy: Copy, now: float) -> None:
        if not self._seals.can_seal(lane.device, now):
            lane.went(copy, None, now)
            return
        size = len(copy.parcel.carry.body) + 128
        direct = copy.direct and (not copy.extra or lane.may_repeat(size, now))
        if direct and copy.extra and not self._budget.take(size, now):
            lane.postponed(copy, now)
            return
        counter = self._seal(lane, copy.parcel.carry) if direct else None
        third = self._third(lane, now) if copy.ask else None
        if third is not None and self._budget.take(size, now, leave=EXTRA_BURST / 2):
            carry = copy.parcel.carry
            self._seal(third, Carry(carry.signature, carry.body, lane.device))
        lane.went(copy, counter, now)

    def _third(self, lane: Lane, now: float) -> Lane | None:
        """Another station that answers, each time the next one."""
        able = [other for other in self._lanes.values() if other is not lane and self._reaches(other, now)]
        self._turn += 1
        return able[self._turn % len(able)] if able else None

    def _reaches(self, lane: Lane, now: float) -> bool:
        return lane.heard and not lane.silent(now) and self._seals.can_seal(lane.device, now)

    def _seal(self, lane: Lane, words: Words) -> int:
        counter, datagram = self._seals.seal(lane.device, encode(words))
        self._out.append(Cast(lane.device, lane.port, datagram))
        return counter

    # -- in ---------------------------------------------------------------------------------------------

    def receive(self, datagram: bytes, now: float) -> Arrival | None:
        """A datagram came, from whatever address; an entry in it that is new here."""
        opened = self._seals.open(datagram, now)
        if opened is None:
            return None
        self.opened += 1
        self.latest = opened.device
        self._around.alive(opened.device, now)
        lane = self._lanes.get(opened.device)
        if lane is not None:
            lane.hears(now)
        words = decode(opened.words)
        if isinstance(words, Carry):
            return self._carried(opened, words, now)
        if isinstance(words, Receipt):
            self._receipt(opened.device, words, now)
        elif isinstance(words, Passed):
            self._passed(words, now)
        return None

    def _carried(self, opened: Opened, carry: Carry, now: float) -> Arrival | None:
        arrival = Arrival(opened.device, opened.counter, carry)
        log = self._around.log_of(id_of(carry.body))
        if log is None:
            return arrival
        self.answer(arrival, log, now)
        return None

    def answer(self, arrival: Arrival, log: bytes, now: float) -> None:
        """Say how much of the log is held now, and hand the entry on if that was asked."""
        held = self._around.held(log)
        self._reply(arrival.device, Receipt(arrival.counter, held), now)
        writer = self._around.writer(log)
        if writer not in (None, self._own, arrival.device):
            assert writer is not None
            self._reply(writer, Receipt(0, held), now)
        if arrival.carry.to is not None:
            self._hand_on(arrival, log, now)

    def _reply(self, device: bytes, words: Words, now: float) -> None:
        lane = self._lanes.get(device)
        if lane is not None and lane.port and self._seals.can_seal(device, now):
            self._seal(lane, words)

    def _hand_on(self, arrival: Arrival, log: bytes, now: float) -> None:
        """One copy, once; it counts against what the asking station may ask, and against our own budget."""
        carry = arrival.carry
        lane = self._lanes.get(carry.to) if carry.to is not None else None
        if lane is None or carry.to == arrival.device or not lane.port:
            return
        if not self._seals.can_seal(lane.device, now) or not self._may_ask(arrival.device, carry, now):
            return
        self._asked[log[:MARK_SIZE]] = arrival.device
        self._asked.move_to_end(log[:MARK_SIZE])
        if len(self._asked) > MOST_ASKED:
            self._asked.popitem(last=False)
        self._seal(lane, Carry(carry.signature, carry.body))

    def _may_ask(self, device: bytes, carry: Carry, now: float) -> bool:
        size = len(carry.body) + 128
        asker = self._askers.setdefault(device, Bucket(ASKER_RATE, ASKER_BURST))
        return asker.take(size, now) and self._budget.take(size, now)

    def _receipt(self, device: bytes, receipt: Receipt, now: float) -> None:
        lane = self._lanes.get(device)
        if lane is not None:
            lane.receipt(receipt.echo, receipt.held, now)
        asker = self._asked.get(receipt.held.mark)
        if asker is not None and asker != device:
            self._reply(asker, Passed(device, receipt.held), now)

    def _passed(self, words: Passed, now: float) -> None:
        lane = self._lanes.get(words.device)
        if lane is not None:
            lane.receipt(0, words.held, now, direct=False)
