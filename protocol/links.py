"""All links of one station: who is linked, what is said to them and when, what they answer.

Knows sessions, greeting, vectors, pushing, silence. Hands chunks and texts back to the peer, because only the
peer may take them and see to it that they are saved. Knows nothing of commits or of writing.

A device that was taken out is told so before its link is dropped: it gets what is held up to the entry that
says it, no private text, and has a few seconds to answer that it has saved it.
"""

from __future__ import annotations

from collections import Counter

from msgspec import structs

from protocol import wire
from protocol.book import Book
from protocol.clock_news import clocks_for, take_clocks
from protocol.courier_desk import Desk
from protocol.entry import readers_of
from protocol.intake import Haul
from protocol.journal import Log
from protocol.output import Drop, DropReason, Output, Refused, Send
from protocol.relaying import Relaying
from protocol.session import SUSPECT_SECONDS, WANT_STRETCH, Remote, Session, packed

VECTOR_SECONDS = 2.0
GAP_SECONDS = 0.1
PARTING_SECONDS = 3.0
MAX_PARTINGS = 3
"""So often a device that was taken out may link to be told, if it never says that it knows."""


class Links:
    """`saved_batch` is set by the peer: the last batch that is safe on the disk."""

    def __init__(self, book: Book, outputs: list[Output], now: float) -> None:
        self.saved_batch = 0
        self.remotes: dict[bytes, Remote] = {}
        self.current: dict[bytes, Session] = {}
        self.desk = Desk(book, self.remotes)
        self._book = book
        self._outputs = outputs
        self._sessions: dict[int, Session] = {}
        self._partings: Counter[bytes] = Counter()
        self.declined: set[bytes] = set()  # logs of which more is there than is taken here
        self._vector_number = 0
        self.started = now
        self._next_vector = now
        self._last_vector = now - VECTOR_SECONDS
        self._owed: float | None = None  # since when something is saved that no vector has told
        self._unpassed: float | None = None  # since when something is saved that was not passed on
        self.relaying = Relaying()
        self.receipts = 0  # counts up when others are linked, or are not, or say to have saved something else

    # -- links and time ---------------------------------------------------------------------------------

    def up(self, link: int, device: bytes, now: float, wall_ms: int) -> None:
        """A link whose other end has proved to be `device`."""
        remote = self.remotes.setdefault(device, Remote(device))
        session = self._sessions[link] = Session(link, remote, now)
        if self._book.member(device) is None:
            self._part(session, now)
        if link in self._sessions:
            self._tick_session(session, now, wall_ms)

    def down(self, link: int) -> None:
        session = self._sessions.pop(link, None)
        if session is not None:
            self._forget(session)

    def part_from_revoked(self, now: float) -> None:
        """Tell devices that do not belong any more, then close their links."""
        for session in list(self._sessions.values()):
            if self._book.member(session.remote.device) is not None:
                session.parts_at = None
            elif session.parts_at is None:
                self._part(session, now)

    def untold(self) -> tuple[bytes, ...]:
        """Devices that were taken out and may still link, to be told."""
        return tuple(device for device in self._book.roster.revoked if not self._is_told(device))

    def _part(self, session: Session, now: float) -> None:
        device = session.remote.device
        if device not in self._book.roster.revoked or self._is_told(device):
            self._drop(session, DropReason.REVOKED)
            return
        self._partings[device] += 1
        session.parts_at = now + PARTING_SECONDS

    def _is_told(self, device: bytes) -> bool:
        """Whether a device that was taken out has said that it knows, or has had its chances."""
        parting = any(
            one.parts_at is not None and one.remote.device == device for one in self._sessions.values()
        )
        return self._knows(device) or (not parting and self._partings[device] >= MAX_PARTINGS)

    def _knows(self, device: bytes) -> bool:
        """Whether a device has saved the entry that took it out."""
        out, remote = self._book.roster.revoked.get(device), self.remotes.get(device)
        entry = None if out is None else self._book.journal.get(out.entry)
        return entry is not None and remote is not None and remote.has(entry.log) > entry.seq

    def _has_parted(self, session: Session, now: float) -> bool:
        """End a link whose device knows that it was taken out, or was given long enough."""
        if session.parts_at is None:
            return False
        if now >= session.parts_at or self._knows(session.remote.device):
            self._drop(session, DropReason.REVOKED)
            return True
        return False

    def alive(self, device: bytes) -> float | None:
        """When a device was last heard, on its link or over others; None when never in this run."""
        remote = self.remotes.get(device)
        return remote.alive if remote else None

    def suspect(self, device: bytes, now: float) -> bool:
        alive = self.alive(device)
        return alive is None or now - alive >= SUSPECT_SECONDS

    def next_tick(self) -> float | None:
        """When `tick` is due; None without links."""
        times = [session.due() for session in self._sessions.values()]
        if self._owed is not None:
            times.append(self._owed)
        if self.relaying.due is not None:
            times.append(self.relaying.due)
        return min(*times, self._next_vector) if self._sessions else None

    def tick(self, now: float, wall_ms: int) -> None:
        self.relaying.passes(now)
        for session in list(self._sessions.values()):
            self._tick_session(session, now, wall_ms)
        self.send_owed()
        if now >= self._next_vector:
            self.send_vectors(now)
            self._send_lack()
            for session in self.current.values():
                if session.parts_at is None:
                    self._say_keys(session, self.desk.again(session))

    def _tick_session(self, session: Session, now: float, wall_ms: int) -> None:
        if session.silent(now):
            self._drop(session, DropReason.SILENT)
            return
        if self._has_parted(session, now):
            return
        if session.hello_due(now):
            invitation, device = self._book.invitation, self._book.identity.device
            hello = wire.Hello(list(wire.PROTOCOL_VERSIONS), invitation.match, device, self._book.run)
            self._send(session, hello)
        if ping := session.ping(now, wall_ms, self._beats(now), self._near()):
            self._send(session, structs.replace(ping, clocks=clocks_for(session, self.remotes)))
        if session.vector_due is not None and not self._is_current(session):
            session.vector_due = None
        if session.vector_due is not None and session.may_tell(now):
            self._send_vector(session, self._marks(), now)
        if (number := session.came_due(now)) is not None:
            self._send(session, wire.Came(number))
        session.expire(now)
        self._push(session, now)

    def _is_current(self, session: Session) -> bool:
        return self.current.get(session.remote.device) is session

    def _beats(self, now: float) -> list[wire.Beat]:
        """Our own sign of life, one a second, and the newest of everybody else."""
        mine = self._book.identity.device
        own = wire.Beat(mine, len(self._book.journal.logs_of(mine)), max(0, int(now - self.started)))
        known = [remote.beat for remote in self.remotes.values() if remote.beat]
        return [own, *known][: wire.MAX_IDS]

    def _near(self) -> list[bytes]:
        return [device[: wire.NEAR_SIZE] for device in self.current][: wire.MAX_IDS]

    def _on_ping(self, session: Session, ping: wire.Ping, now: float, wall_ms: int) -> None:
        session.near = frozenset(ping.near)
        self._send(session, wire.Pong(ping.number, wall_ms))
        for beat in ping.beats:
            if beat.device != self._book.identity.device and self._book.member(beat.device):
                self.remotes.setdefault(beat.device, Remote(beat.device)).sign_of_life(beat, now)
        take_clocks(session, ping.clocks, self.remotes, now)

    def _drop(self, session: Session, reason: DropReason, detail: str = "") -> None:
        if self._sessions.pop(session.link, None) is not None:
            self._forget(session)
            self._outputs.append(Drop(session.link, reason, detail))

    def _forget(self, session: Session) -> None:
        """Another greeted link to the same device, if there is one, takes over.

        Vectors are numbered by their run. A device that was cloned runs twice under one number series, so
        what counts after an end is the link that is left, or the next one from its beginning.
        """
        self.receipts += 1
        device = session.remote.device
        if self.current.get(device) is session:
            del self.current[device]
            for other in self._sessions.values():
                if other.remote is session.remote and other.greeted:
                    self.current[device] = other
        if (left := self.current.get(device)) is not None:
            left.take_over()
        else:
            session.remote.number = 0
            self._tell_near(session.heard)

    def _tell_near(self, now: float) -> None:
        """With whom we are linked has changed: all others are to hear it, as it decides what they relay."""
        for session in self._sessions.values():
            session.next_ping = min(session.next_ping, now)

    # -- what goes out ----------------------------------------------------------------------------------

    def _send(self, session: Session, message: wire.Message) -> None:
        self._outputs.append(Send(session.link, wire.encode(message)))

    def owe(self, now: float) -> None:
        """Something is saved: it is passed on, then told of, once all else is out; at the latest with the
        next tick.
        """
        self._owed = self._unpassed = now

    def send_owed(self) -> None:
        """Pass on what was saved, if that is still to be done; with nothing to pass on, tell of it."""
        if self._unpassed is not None:
            self.push(self._unpassed)
        if self._owed is not None and not self._outputs:
            self.send_vectors(self._owed)

    def send_vectors(self, now: float) -> None:
        """Tell everybody what is saved here: after each commit, and every two seconds."""
        self._next_vector = now + VECTOR_SECONDS
        self._last_vector = now
        self._owed = None
        marks = self._marks()
        for session in self.current.values():
            if session.may_tell(now):
                self._send_vector(session, marks, now)

    def _marks(self) -> list[wire.LogMark]:
        vector = self._book.journal.vector()
        marks = [wire.LogMark(log, mark.length, mark.head, mark.fork) for log, mark in vector.items()]
        return marks[: wire.MAX_LOGS]

    def _send_vector(self, session: Session, marks: list[wire.LogMark], now: float) -> None:
        self._vector_number += 1
        got, news = session.got(self.saved_batch), session.news(marks, now)
        part = len(news) < len(marks)
        self._send(session, wire.Vector(self._book.run, self._vector_number, got, news, part))

    def _send_lack(self) -> None:
        ids = list(self._book.lacking)[: wire.MAX_IDS]
        if ids:
            for session in self.current.values():
                self._send(session, wire.Lack(ids))

    def push(self, now: float) -> None:
        """Send everybody what they lack of what is saved here."""
        self._unpassed = None
        for session in self.current.values():
            self._push(session, now)

    def _push(self, session: Session, now: float) -> None:
        behind = session.behind(self._book.journal, now) if self._is_current(session) else []
        held = self.relaying.held(session, behind, now)
        if len(held) == len(behind):
            return
        device = session.remote.device
        out = None if session.parts_at is None else self._book.roster.revoked.get(device)
        last = None if out is None else out.entry
        chunks = session.chunks(self._book.journal, self._book.post(device), now, last, held)
        if chunks and self.desk.asks(device):
            chunks[-1] = structs.replace(chunks[-1], soon=True)
        for chunk in chunks:
            self._send(session, chunk)

    def answer(self, session: Session, haul: Haul, now: float) -> None:
        """Say what follows from a chunk that was dealt with."""
        for sentence in haul.sentences:
            self._outputs.append(Refused(session.remote.device, sentence))
        if haul.broken is not None:
            self._drop(session, DropReason.BROKEN, haul.broken)
            return
        for refusal in haul.refusals:
            self.declined.add(refusal.log)
            self._send(session, refusal)
        for want in haul.wants:
            if session.may_want(want.log, now):
                self._send(session, want)
        if haul.early and now - self._last_vector >= GAP_SECONDS:
            self.send_vectors(now)

    # -- what comes in ----------------------------------------------------------------------------------

    def receive(
        self, link: int, frame: bytes, now: float, wall_ms: int
    ) -> tuple[Session, wire.Chunk | wire.Texts] | None:
        """Deal with a frame; what brings entries or texts is handed back to be taken."""
        session = self._sessions.get(link)
        if session is None:
            return None
        try:
            message = wire.decode(frame)
        except wire.UnknownMessage:
            session.hear(now)
            return None
        except wire.BadFrame as error:
            self._drop(session, DropReason.BROKEN, str(error))
            return None
        session.hear(now)
        if isinstance(message, wire.Hello):
            self._on_hello(session, message)
        elif isinstance(message, wire.Ping):
            self._on_ping(session, message, now, wall_ms)
        elif isinstance(message, wire.Pong):
            session.pong(message, now, wall_ms)
        elif session.greeted:
            return self._on_message(session, message, now)
        return None

    def _on_message(
        self, session: Session, message: wire.Message, now: float
    ) -> tuple[Session, wire.Chunk | wire.Texts] | None:
        if isinstance(message, wire.Chunk | wire.Texts):
            if isinstance(message, wire.Chunk) and message.soon:
                session.asks_for(message.number, now)
            return session, message
        if isinstance(message, wire.Vector):
            self._on_vector(session, message, now)
        elif session.parts_at is not None:
            return None
        elif isinstance(message, wire.Came):
            self.desk.brought(session.remote.device, now, session.came(message.number))
        elif isinstance(message, wire.Want):
            self._on_want(session, message)
        elif isinstance(message, wire.Lack):
            self._on_lack(session, message)
        elif isinstance(message, wire.Keys):
            self._say_keys(session, self.desk.keys(session, message))
        elif isinstance(message, wire.Refuse):
            if message.log in self._book.journal.logs:
                session.refused[message.log] = message.seq
        return None

    def _on_hello(self, session: Session, hello: wire.Hello) -> None:
        problem = self._misfit(session, hello)
        if problem is not None:
            self._drop(session, DropReason.REFUSED, problem)
            return
        session.greet(hello.run)
        self.receipts += 1
        is_news = session.remote.device not in self.current
        self.current[session.remote.device] = session
        if is_news:
            self._tell_near(session.heard)
        session.all_due = session.heard
        self._send_vector(session, self._marks(), session.heard)
        if session.parts_at is None:
            self._say_keys(session, self.desk.greeted(session))

    def _say_keys(self, session: Session, keys: wire.Keys | None) -> None:
        if keys is not None:
            self._send(session, keys)

    def _misfit(self, session: Session, hello: wire.Hello) -> str | None:
        if not set(hello.versions) & set(wire.PROTOCOL_VERSIONS):
            return "No common version of the link. Update crewlink on the older device."
        if hello.match != self._book.invitation.match:
            return "That device is at another match."
        if hello.device != session.remote.device:
            return "That device says it is another one than it is."
        return None

    def _on_vector(self, session: Session, vector: wire.Vector, now: float) -> None:
        before = session.remote.vector
        if not session.vector(vector, now):
            return
        if session.remote.vector != before:
            self.receipts += 1
        if self._has_parted(session, now):
            return
        self.desk.brought(session.remote.device, now)
        self._compare(session, vector, now)
        self._push(session, now)

    def _compare(self, session: Session, vector: wire.Vector, now: float) -> None:
        """Where the other holds another entry than we do, one log is forked: bring the proof together."""
        for mark in vector.logs:
            log = self._book.journal.logs.get(mark.log)
            if log is None:
                continue
            if log.fork is not None:
                self._send_proof(session, log, mark)
            elif 0 < mark.length <= log.saved and log.entries[mark.length - 1].id != mark.head:
                start = max(0, mark.length - WANT_STRETCH)
                if session.may_want(log.id, now):
                    self._send(session, wire.Want(log.id, start, mark.length))
        if not vector.part:
            self._prove_beginnings(session, {mark.log for mark in vector.logs})

    def _prove_beginnings(self, session: Session, named: set[bytes]) -> None:
        """Of a log that forks at its beginning nothing goes but the proof: to who has not named it."""
        for log in self._book.journal.logs.values():
            if log.fork is not None and not log.entries and log.id not in named:
                self._send_proof(session, log, None)

    def _send_proof(self, session: Session, log: Log, mark: wire.LogMark | None) -> None:
        assert log.fork is not None
        ours = (len(log.entries), log.fork[0].id, log.fork[1].id)
        theirs = (mark.length, *mark.fork) if mark is not None and mark.fork else None
        if theirs is None or ours < theirs:
            self._send(session, wire.Chunk(0, packed(log.fork, self._book.post(session.remote.device))))

    def _on_want(self, session: Session, want: wire.Want) -> None:
        log = self._book.journal.logs.get(want.log)
        if log is not None and want.start < want.stop:
            entries = log.entries[want.start : min(want.stop, log.saved, want.start + WANT_STRETCH)]
            self._send_few(session, packed(entries, self._book.post(session.remote.device)))

    def _send_few(self, session: Session, entries: list[wire.Packed]) -> None:
        """Chunks that want no receipt, each within the limit."""
        part: list[wire.Packed] = []
        size = 0
        for entry in entries:
            part.append(entry)
            size += len(entry.body) + len(entry.private or b"")
            if size >= wire.MAX_CHUNK_BYTES:
                self._send(session, wire.Chunk(0, part))
                part, size = [], 0
        if part:
            self._send(session, wire.Chunk(0, part))

    def _on_lack(self, session: Session, lack: wire.Lack) -> None:
        """Private text goes only to a device whose post may read it."""
        post = self._book.post(session.remote.device)
        texts: list[wire.Text] = []
        size = 0
        for entry_id in lack.ids:
            entry = self._book.journal.get(entry_id)
            if entry is None or not entry.private or post not in readers_of(entry):
                continue
            size += len(entry.private)
            if size > wire.MAX_CHUNK_BYTES:
                break
            texts.append(wire.Text(entry_id, entry.private))
        if texts:
            self._send(session, wire.Texts(texts))
