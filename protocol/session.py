"""The conversation of two stations over one link, and what is remembered of the other device between links.

Knows greeting, what the other has saved, what is on the way to it, clock samples and silence. What to send is
worked out from the other's vector: there is no queue per station. Knows nothing of what entries mean.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from protocol import wire
from protocol.bucket import Bucket
from protocol.clock import ClockFilter
from protocol.entry import MAX_SEQ, Entry, readers_of
from protocol.journal import Journal, Log

PING_SECONDS = 1.0
SUSPECT_SECONDS = 3.0
LINK_SECONDS = 3.5
"""A link that is silent so long is given up and dialled anew: faster than waiting for the stream."""
DEAD_SECONDS = 10.0
RESEND_SECONDS = 1.5
SLOW_TIMES = 4
"""What is not confirmed goes again after 1.5 s, or so many round trips where the link is that slow."""
ALL_SECONDS = 2.0
VECTOR_RATE, VECTOR_BURST = 4.0, 4.0  # a second
FEW_RELAYED = 2
RELAY_SECONDS, RELAY_MANY_SECONDS, MOST_RELAY_SECONDS = 0.4, 1.2, 5.0
MAX_CHUNKS_OUT = 32
MAX_BYTES_OUT = 256 * 1024
CAME_SECONDS = 0.010
"""So long a word that a chunk came waits for more of its kind; nobody's work waits for it."""
WANT_STRETCH = 32
WANT_SECONDS = 0.5


@dataclass(slots=True)
class Remote:
    """Another device, as far as it has told of itself. Its vector belongs to its run."""

    device: bytes
    run: bytes | None = None
    vector: dict[bytes, wire.LogMark] | None = None
    number: int = 0
    clock: ClockFilter = field(default_factory=ClockFilter)
    heard: float | None = None  # when a frame of it came on a link
    alive: float | None = None  # when it was heard, or a newer sign of life came over others
    beat: wire.Beat | None = None
    grew: dict[bytes, float] = field(default_factory=dict)  # logs -> when it last told of more of them

    def sign_of_life(self, beat: wire.Beat, now: float) -> None:
        """Others pass on that it lives; only a newer beat says anything."""
        if self.beat is None or (beat.logs, beat.seconds) > (self.beat.logs, self.beat.seconds):
            self.beat, self.alive = beat, now

    def has(self, log: bytes) -> int:
        """How much of a log it has saved."""
        mark = self.vector.get(log) if self.vector else None
        return mark.length if mark else 0

    def take(self, vector: wire.Vector, now: float) -> bool:
        """Its vector came; one of another run, or an older one, is ignored."""
        if vector.run != self.run or vector.number <= self.number:
            return False
        before = self.vector
        if vector.part and before is None:
            return False  # the whole was missed; it is told again soon
        self.number = vector.number
        told = {mark.log: mark for mark in vector.logs}
        grew = {
            log: now if self.has(log) < mark.length else self.grew.get(log, now) for log, mark in told.items()
        }
        if before is not None and vector.part and len(before) + len(told) <= wire.MAX_LOGS:
            self.grew, self.vector = {**self.grew, **grew}, {**before, **told}
        else:
            self.grew, self.vector = grew, told
        return True


@dataclass(slots=True)
class _Out:
    """A chunk on its way: number, when it went, its size, and how far it brings each log."""

    number: int
    sent: float
    size: int
    reach: dict[bytes, int]


class Session:
    """One link to one device. All times are our monotonic seconds."""

    def __init__(self, link: int, remote: Remote, now: float) -> None:
        self.link = link
        self.remote = remote
        self.heard = now
        self.run: bytes | None = None
        self.number = 0  # of the last vector that came on this link
        self.greeted = False  # their hello came and fits
        self.known = False  # they have ours: a vector came
        self.next_ping = now
        self.next_hello = now
        self.refused: dict[bytes, int] = {}
        self.parts_at: float | None = None  # until then its device, which was taken out, is told so
        self.vector_due: float | None = None  # a vector was put off until then
        self.all_due = now  # when a vector tells all again, and not only what has changed
        self._told: dict[bytes, wire.LogMark] = {}
        self._vectors = Bucket(VECTOR_RATE, VECTOR_BURST)
        self.near: frozenset[bytes] = frozenset()  # whom it says to be linked with: first 8 bytes each
        self._trip = 0.0  # the latest round trip on this link
        self._pings: dict[int, tuple[float, int]] = {}
        self._ping = 0
        self._out: deque[_Out] = deque()
        self._chunk = 0
        self._reach: dict[bytes, int] = {}
        self._in: deque[tuple[int, int, int]] = deque()  # number, batch, bytes
        self._in_bytes = 0
        self._got = 0
        self._asked = 0  # the last chunk of which the other wants to hear soon that it came
        self._came_due = 0.0  # then it is told
        self._wanted: dict[bytes, float] = {}

    # -- time -------------------------------------------------------------------------------------------

    def due(self) -> float:
        """When this session next needs a tick."""
        times = [self.next_ping, self.heard + LINK_SECONDS]
        if not self.known:
            times.append(self.next_hello)
        if self._out:
            times.append(self._out[0].sent + self._patience)
        if self.vector_due is not None:
            times.append(self.vector_due)
        if self._asked:
            times.append(self._came_due)
        if self.parts_at is not None:
            times.append(self.parts_at)
        return min(times)

    def silent(self, now: float) -> bool:
        return now - self.heard >= LINK_SECONDS

    def hello_due(self, now: float) -> bool:
        """Whether to say hello (again): until the other is known to have it."""
        if self.known or now < self.next_hello:
            return False
        self.next_hello = now + PING_SECONDS
        return True

    def ping(self, now: float, wall_ms: int, beats: list[wire.Beat], near: list[bytes]) -> wire.Ping | None:
        if now < self.next_ping:
            return None
        self.next_ping = now + PING_SECONDS
        self._ping += 1
        self._pings[self._ping] = (now, wall_ms)
        self._pings.pop(self._ping - 16, None)
        return wire.Ping(self._ping, beats, near)

    def pong(self, answer: wire.Pong, now: float, wall_ms: int) -> None:
        asked = self._pings.pop(answer.number, None)
        if asked is not None:
            self._trip = now - asked[0]
            if self.greeted:  # else it is not known which run's clock this is
                self.remote.clock.add(asked[0], asked[1], answer.wall, now, wall_ms, self.run)

    # -- what goes out ----------------------------------------------------------------------------------

    def behind(self, journal: Journal, now: float) -> list[Log]:
        """Logs of which more is saved here than the other has told to have or is on its way."""
        if not self.greeted or self.remote.vector is None:
            return []
        self.expire(now)
        return [log for log in journal.logs.values() if log.saved > self.length(log.id)]

    def chunks(
        self,
        journal: Journal,
        post: str | None,
        now: float,
        last: bytes | None = None,
        held: Mapping[bytes, int] | None = None,
    ) -> list[wire.Chunk]:
        """Entries that one who is behind lacks, as far as the limits on what may be on its way allow; up to
        `last`.

        `held`: logs of which a device that has this length gets no more yet.
        """
        made: list[wire.Chunk] = []
        while len(self._out) < MAX_CHUNKS_OUT and sum(out.size for out in self._out) < MAX_BYTES_OUT:
            has = self._has(journal, held or {})
            entries = journal.missing(has, wire.MAX_CHUNK_ENTRIES, wire.MAX_CHUNK_BYTES, last)
            if not entries:
                break
            self._chunk += 1
            size = sum(len(entry.body) + len(entry.private or b"") for entry in entries)
            reach = {entry.log: entry.seq + 1 for entry in entries}
            self._out.append(_Out(self._chunk, now, size, reach))
            self._reach.update(reach)
            made.append(wire.Chunk(self._chunk, packed(entries, post)))
        return made

    def _has(self, journal: Journal, held: Mapping[bytes, int]) -> Mapping[bytes, int]:
        has: dict[bytes, int] = {}
        for log in journal.logs:
            mark = self.remote.vector.get(log) if self.remote.vector else None
            length = max(mark.length if mark else 0, self._reach.get(log, 0))
            ended = log in self.refused or (mark is not None and mark.fork is not None)
            ended = ended or length >= held.get(log, MAX_SEQ)
            has[log] = len(journal.logs[log].entries) if ended else length
        return has

    def expire(self, now: float) -> None:
        """What was sent long ago, and was not answered, counts as lost."""
        if self._out and now - self._out[0].sent >= self._patience:
            while self._out and now - self._out[0].sent >= self._patience:
                self._out.popleft()
            self._work_out_reach()

    def _work_out_reach(self) -> None:
        self._reach = {}
        for out in self._out:
            self._reach.update(out.reach)

    def settle(self, got: int) -> None:
        """The other has dealt with chunks up to this number; what of them it lacks still has to go again."""
        while self._out and self._out[0].number <= got:
            self._out.popleft()
        self._work_out_reach()

    def came(self, number: int) -> dict[bytes, int]:
        """How far what is on its way has brought the other, which says that chunks up to this number came."""
        reach: dict[bytes, int] = {}
        for out in self._out:
            if out.number <= number:
                reach.update(out.reach)
        return reach

    @property
    def _patience(self) -> float:
        return max(RESEND_SECONDS, SLOW_TIMES * self._trip)

    def relay_patience(self, count: int, now: float) -> float:
        """So long after an entry of another was saved here, and the other told of more of its log, it is
        relayed, with the rest of so many.
        """
        waits = [now - sent for sent, _ in self._pings.values()]
        least = RELAY_SECONDS if count <= FEW_RELAYED else RELAY_MANY_SECONDS
        return min(MOST_RELAY_SECONDS, max(least, SLOW_TIMES * max(self._trip, *waits, 0.0)))

    def news(self, marks: list[wire.LogMark], now: float) -> list[wire.LogMark]:
        """Of what is saved here, what the next vector on this link tells: now and then all of it."""
        if now >= self.all_due:
            self.all_due = now + ALL_SECONDS
            self._told = {}
        news = [mark for mark in marks if self._told.get(mark.log) != mark]
        self._told.update((mark.log, mark) for mark in news)
        return news

    def may_tell(self, now: float) -> bool:
        """Whether a vector goes now; if not it is put off a little: so many in a row say little more.

        The other may wait for it: after so many chunks, or so many bytes, it goes at once.
        """
        wait = max(1 / VECTOR_RATE, self._trip)
        due = self.vector_due is not None and now >= self.vector_due
        many = len(self._in) >= MAX_CHUNKS_OUT // 4 or self._in_bytes >= MAX_BYTES_OUT // 4
        early = self.vector_due is None or due or many
        within = early and self._vectors.take(min(VECTOR_RATE * wait, VECTOR_BURST), now)
        if within or due or many:
            self.vector_due = None
            return True
        if self.vector_due is None:
            self.vector_due = now + wait
        return False

    def length(self, log: bytes) -> int:
        """How much of a log the other has, with what is on its way."""
        return max(self.remote.has(log), self._reach.get(log, 0))

    def may_want(self, log: bytes, now: float) -> bool:
        """Whether to ask again for a stretch of this log: twice a second at most."""
        if now - self._wanted.get(log, -WANT_SECONDS) < WANT_SECONDS:
            return False
        self._wanted[log] = now
        return True

    def hear(self, now: float) -> None:
        self.heard = self.remote.heard = self.remote.alive = now

    def greet(self, run: bytes) -> None:
        """Their hello came. A new run forgets what the old one had told."""
        if self.remote.run != run:
            self.remote.run, self.remote.vector, self.remote.number = run, None, 0
        self.run = run
        self.greeted = True

    def vector(self, vector: wire.Vector, now: float) -> bool:
        """Their vector came on this link; False when it is an old one."""
        if vector.run != self.run:
            return False
        self.number = max(self.number, vector.number)
        if not self.remote.take(vector, now):
            return False
        self.known = True
        self.settle(vector.got)
        return True

    def take_over(self) -> None:
        """Another link to that device has ended: what its other end had told counts no longer.

        Mostly that was the same run. If not, the device runs twice, and only the run on this link is left.
        """
        if self.remote.run != self.run:
            self.remote.run, self.remote.vector = self.run, None
        self.remote.number = self.number

    # -- what came in -----------------------------------------------------------------------------------

    def took(self, chunk: wire.Chunk, batch: int) -> None:
        """A chunk came; it is dealt with once this batch is saved (0: at once)."""
        size = sum(len(one.body) for one in chunk.entries)
        self._in.append((chunk.number, batch, size))
        self._in_bytes += size

    def got(self, saved_batch: int) -> int:
        """Highest chunk that is dealt with, for our vector."""
        while self._in and self._in[0][1] <= saved_batch:
            number, _, size = self._in.popleft()
            self._got = max(self._got, number)
            self._in_bytes -= size
        return self._got

    def asks_for(self, number: int, now: float) -> None:
        """The other wants to hear soon that this chunk came."""
        if not self._asked:
            self._came_due = now + CAME_SECONDS
        self._asked = max(self._asked, number)

    def came_due(self, now: float) -> int | None:
        """The chunk of which the other is to be told now that it came; None when a vector has told."""
        if not self._asked or now < self._came_due:
            return None
        asked, self._asked = self._asked, 0
        return asked if asked > self._got else None


def packed(entries: Iterable[Entry], post: str | None) -> list[wire.Packed]:
    """Entries as they travel to a device with this post: private text only for its readers."""
    return [
        wire.Packed(entry.body, entry.signature, entry.private or None if post in readers_of(entry) else None)
        for entry in entries
    ]
