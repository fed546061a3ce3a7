"""What is still open towards one other station: which entries go again, when, and what its answers tell.

Knows one direction of one pair. Knows nothing of keys, of budgets, or of the stations between. All times are
our monotonic seconds.

Three moods:
- *loud*: it answers, and each entry goes at the pace of the round trip.
- *silent*: nothing heard for a second of sending. Each new entry goes three times on the straight way, the
  newest as a probe twice a second, and all of them over third stations, until it is heard again.
- *deaf*: nothing was ever heard; datagrams are blocked here. Each new entry goes once, and no more.

Where the stream has lately been quick and nothing was lost, a first copy waits a little: mostly the stream
has brought the entry before it would go (`courier_hedge`).
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

from protocol.bucket import Bucket
from protocol.courier_hedge import SHORTEST_WAIT, Hedge
from protocol.courier_pace import (
    BLIND_BURST,
    BLIND_RATE,
    BRAKED_BURST,
    BRAKED_COPIES,
    BRAKED_RATE,
    ENTRY_BURST,
    ENTRY_RATE,
    PROBE_GAP,
    REPEAT_SECONDS,
    SILENT_SECONDS,
    TWIN_GAP,
    TWIN_SECONDS,
    UNHEARD_SECONDS,
    UNKNOWN_GAP,
    RoundTrip,
)
from protocol.courier_parcel import Copy, Parcel
from protocol.courier_words import Carry, Held

MOST_OPEN = 32
MOST_SENT = 512
DEAF_COPIES = 12
SILENT_COPIES = 3
MOST_GREETINGS = 3
POSTPONED_SECONDS = 0.05
TRY_SECONDS = 0.25


@dataclass(slots=True)
class Lane:
    """`has(log, seq)`: whether the other has told over the stream that it has saved this entry.

    `known_trip`: the round trip as the stream has measured it, None when it has not. `asks`: the other is to
    say soon that the stream has brought what was offered last.
    """

    device: bytes
    port: int
    has: Callable[[bytes, int], bool]
    known_trip: Callable[[], float | None] = lambda: None
    trip: RoundTrip = field(default_factory=RoundTrip)
    hedge: Hedge = field(default_factory=Hedge)
    heard: bool = False  # ever
    asks: bool = False
    greetings: int = 0
    _asked: OrderedDict[tuple[bytes, int], float] = field(default_factory=OrderedDict)  # when offered
    _open: dict[tuple[bytes, int], Parcel] = field(default_factory=dict)
    _sent: OrderedDict[int, float] = field(default_factory=OrderedDict)
    _doubts: dict[int, float] = field(default_factory=dict)  # first copies that may be lost -> known when
    _lossy_until: float = -1.0
    _greeted: float = -SILENT_SECONDS
    _unanswered: float | None = None  # since when we send and hear nothing
    _tries: int = 0
    _first_try: float | None = None
    _probe: float | None = None
    _blind: Bucket = field(default_factory=lambda: Bucket(BLIND_RATE, BLIND_BURST))
    _normal: Bucket = field(default_factory=lambda: Bucket(ENTRY_RATE, ENTRY_BURST))
    _braked: Bucket = field(default_factory=lambda: Bucket(BRAKED_RATE, BRAKED_BURST))

    def silent(self, now: float) -> bool:
        return self._unanswered is not None and now - self._unanswered >= SILENT_SECONDS

    def deaf(self, now: float) -> bool:
        if self.heard or self._first_try is None or self._tries < DEAF_COPIES:
            return False
        return now - self._first_try >= SILENT_SECONDS

    def parcels(self) -> list[Parcel]:
        """What is open, oldest first."""
        return list(self._open.values())

    # -- what is to go ----------------------------------------------------------------------------------

    def offer(self, log: bytes, seq: int, carry: Carry, urgent: bool, now: float) -> None:
        """A new entry, which also goes by stream. Past the limits it is left to that."""
        parcel = Parcel(log, seq, carry, born=now, until=now + REPEAT_SECONDS, due=now, urgent=urgent)
        trusted = (self.heard or self.deaf(now)) and not self.silent(now) and not self._lossy(now)
        wait = self.hedge.wait(now, urgent=urgent) if trusted else None
        if wait is not None:
            parcel.wait, parcel.waits, parcel.due = wait, True, now + wait
        elif not self._admit(parcel, now):
            return
        if wait is not None or (trusted and self.hedge.learns(now)):
            self._ask(log, seq, now)
        self._open[log, seq] = parcel
        if len(self._open) > MOST_OPEN:
            del self._open[next(iter(self._open))]

    def greets(self, now: float) -> bool:
        """Whether a word goes now that only shows the other that datagrams come through."""
        if self.heard or self.greetings >= MOST_GREETINGS or now < self._greeted + SILENT_SECONDS:
            return False
        self.greetings, self._greeted = self.greetings + 1, now
        return True

    def _ask(self, log: bytes, seq: int, now: float) -> None:
        self.asks = True
        self._asked[log, seq] = now
        if len(self._asked) > MOST_OPEN:
            self._asked.popitem(last=False)

    def _admit(self, parcel: Parcel, now: float) -> bool:
        """Whether the limits let it go; of an urgent one the first copy goes yet."""
        within = (self._braked if self.trip.braked else self._normal).take(1, now)
        if not within and not parcel.urgent:
            return False
        if not within or self.deaf(now):
            parcel.most = 1
        elif self._lossy(now):
            parcel.twin = True
        return True

    def due(self, now: float) -> float | None:
        """When `work` has something to do; None when nothing is open."""
        if not self._open:
            return None
        times = [parcel.due for parcel in self._open.values()]
        if self.silent(now) and self._probe is not None:
            times.append(self._probe)
        return min(times)

    def work(self, now: float) -> list[Copy]:
        """The copies that are due, oldest first, as none is of use before those in front of it. Each is to be
        confirmed with `went`, or `postponed`.
        """
        self._settle(now)
        for parcel in [one for one in self._open.values() if one.waits and one.due <= now]:
            self._end_wait(parcel, now)
        silent = self.silent(now)
        copies = [self._copy(parcel, silent) for parcel in self._open.values() if parcel.due <= now]
        if silent and self._open:
            copies += self._probes(now, copies)
        return copies

    def _end_wait(self, parcel: Parcel, now: float) -> None:
        """The stream has not brought it in time. One goes and shows whether datagrams are quicker now: on a
        full way they are not. What is urgent goes in any case.
        """
        if not parcel.urgent and not self.hedge.pause.is_on(now) and self._tries_one(now):
            parcel.due = now + SHORTEST_WAIT
        elif self._admit(parcel, now):
            parcel.waits = False
            if parcel.urgent and parcel.most is None and not self.trip.braked:
                parcel.twin = True
            elif self.trip.braked and not parcel.urgent:
                parcel.most = 1
        else:
            del self._open[parcel.log, parcel.seq]

    def _tries_one(self, now: float) -> bool:
        return any(
            one.wait and not one.waits and now - one.born < one.wait + TRY_SECONDS
            for one in self._open.values()
        )

    def _copy(self, parcel: Parcel, silent: bool) -> Copy:
        number = parcel.copies + 1
        if silent and parcel.copies >= SILENT_COPIES:
            return Copy(parcel, extra=True, ask=True, direct=False)
        return Copy(parcel, extra=parcel.first > 0, ask=silent or (number >= 3 and number % 2 == 1))

    def _probes(self, now: float, copies: list[Copy]) -> list[Copy]:
        if self._probe is None or any(copy.direct for copy in copies):
            self._probe = now + PROBE_GAP
        elif self._probe <= now:
            self._probe = now + PROBE_GAP
            newest = next(reversed(self._open.values()))
            return [Copy(newest, extra=True, ask=False)]
        return []

    def went(self, copy: Copy, counter: int | None, now: float) -> None:
        """A copy went out; `counter`: of the datagram on the straight way."""
        parcel = copy.parcel
        if counter is not None:
            self._sent[counter] = now
            if len(self._sent) > MOST_SENT:
                self._sent.popitem(last=False)
            self._tries += 1
            if self._first_try is None:
                self._first_try = now
            if self._unanswered is None:
                self._unanswered = now
            if not parcel.first:
                parcel.first = counter
        if parcel.due > now:
            return  # a probe: the pace goes on as it was
        if parcel.twin:
            parcel.twin, parcel.due = False, now + TWIN_GAP
            return
        parcel.copies += 1
        if self.trip.mean is None:
            self.trip.guess = self.known_trip()
        gap = max(self.trip.gap(parcel.copies), 0.0 if parcel.urgent else parcel.wait)
        parcel.due = now + (max(gap, UNKNOWN_GAP) if self.silent(now) else gap)
        if self._last(parcel, now):
            del self._open[parcel.log, parcel.seq]

    def _last(self, parcel: Parcel, now: float) -> bool:
        if parcel.most is not None and parcel.copies >= parcel.most:
            return True
        return self.deaf(now) or (self.trip.braked and parcel.copies >= BRAKED_COPIES)

    def may_repeat(self, size: int, now: float) -> bool:
        """Whether a repeat of so many bytes may go although nothing has come back yet."""
        return self._blind.take(size, now)

    def postponed(self, copy: Copy, now: float) -> None:
        """There was no budget for a copy: a little later."""
        copy.parcel.due = max(copy.parcel.due, now + POSTPONED_SECONDS)

    # -- what comes -------------------------------------------------------------------------------------

    def hears(self, now: float) -> None:
        """An authentic datagram of the other came: it is there, and what is open goes at once."""
        was_silent = self.silent(now)
        self.heard, self._unanswered, self._probe = True, None, None
        self._blind.fill()
        if was_silent:
            for parcel in self._open.values():
                parcel.due, parcel.copies = now, min(parcel.copies, 1)
                parcel.until = max(parcel.until, now + REPEAT_SECONDS)

    def receipt(self, echo: int, held: Held, now: float, *, direct: bool = True) -> None:
        """The other holds so much; `echo`: counter of the copy that it answers, 0 for none. `direct`: it says
        so itself.
        """
        sent = self._sent.pop(echo, None)
        if sent is not None:
            self.trip.add(now - sent, self.known_trip())
        self._doubts.pop(echo, None)
        for parcel in [one for one in self._open.values() if held.covers(one.log, one.seq)]:
            del self._open[parcel.log, parcel.seq]
            if sent is not None and echo > parcel.first > 0:  # a later one was quicker
                self._doubts[parcel.first] = now + self.trip.patience
            quicker = not direct or (sent is not None and not self.trip.is_slow(now - sent))
            if quicker and parcel.wait:
                self._beaten((parcel.log, parcel.seq), now)
        if direct:
            self._rest()

    def brought(self, has: Callable[[bytes, int], bool], now: float) -> None:
        """The other has said what the stream has brought it."""
        for key, offered in [*self._asked.items()] if self._asked else ():
            if has(*key):
                del self._asked[key]
                self.hedge.brought(now - offered, now)
                self._outrun(self._open.pop(key, None), now)

    def _outrun(self, parcel: Parcel | None, now: float) -> None:
        """The stream has brought it. If a datagram had gone by then, others that wait do so for longer."""
        if parcel is not None:
            self._rest()
        wait = self.hedge.wait(now, urgent=False) if parcel is not None and parcel.copies else None
        if wait is not None:
            for other in self._open.values():
                if other.waits and not other.urgent:
                    other.due = max(other.due, now + wait)

    def _beaten(self, key: tuple[bytes, int], now: float) -> None:
        """A datagram was quicker than the stream: nothing waits for that now."""
        self._asked.pop(key, None)
        self.hedge.pause.beaten(now)
        for parcel in self._open.values():
            if parcel.waits:
                parcel.due = now

    def _rest(self) -> None:
        if not self._open:
            self._unanswered = self._probe = None

    def _lossy(self, now: float) -> bool:
        """Whether a first copy was really lost lately: repeated, and its own receipt never came."""
        for counter, known in list(self._doubts.items()):
            if known <= now:
                del self._doubts[counter]
                self._lossy_until = max(self._lossy_until, known + TWIN_SECONDS)
                self.hedge.pause.hold(self._lossy_until)
        return now < self._lossy_until

    def _settle(self, now: float) -> None:
        """Close what the stream has told to be saved there, and what is too old."""
        silent = self.silent(now)
        for parcel in list(self._open.values()):
            over = now - parcel.born >= UNHEARD_SECONDS if silent else now >= parcel.until
            if over or ((parcel.copies or parcel.waits) and self.has(parcel.log, parcel.seq)):
                del self._open[parcel.log, parcel.seq]
        self._rest()
