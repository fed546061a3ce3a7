"""One device: a court joined to its link. Commands in, snapshots out; no sockets, no threads, no clock of
its own.

A station is driven like the peer it holds (`protocol.node` or the simulator drives it): each input goes to
the peer, `drain` folds what the link brought and does what the program owes the crew by itself (the writer
decides
requests, agreed decisions are written, steps of unanswered notices are taken). `submit` turns a command of
its person into entries, a request or a refusal.
`now` is monotonic seconds, `wall_ms` this station's own clock; both are handed in with each input.
"""

from __future__ import annotations

import math
import secrets
from collections.abc import Callable, Iterable, Iterator, Mapping

from msgspec import Struct

from crewlink import acts, charter, erasing, owed, pen_acts
from crewlink.acting import Me
from crewlink.acts import AnyCommand
from crewlink.charter import Charter, Names, shown_names
from crewlink.court import Court, Line
from crewlink.crew.commands import PenCommand
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment
from crewlink.crew.notice import Act
from crewlink.crew.outlook import Outlook, look
from crewlink.crew.posts import Post
from crewlink.drafts import Accepted, Draft, Failed, Outcome, Refused, Requested
from crewlink.lateness import late_now
from crewlink.link_reading import Peers, act_of, branches_aside, line_of, link_states, unheard
from crewlink.lost_post import lost_post, moved_post
from crewlink.match.ruling import Ruling, Severity
from crewlink.next_match import Handover, handover
from crewlink.owed import Debt
from crewlink.snapshot import Saved, Snapshot
from crewlink.spell import current
from crewlink.views.picture import crew_links, picture
from crewlink.views.writing import catch_up, device_views, record_views, writer_view
from protocol.book import WriteError
from protocol.courier import Arrival, Courier
from protocol.courier_seal import RandomBytes
from protocol.entry import Entry, EntryError, Kind, Payload, private_text, text_of
from protocol.membership import Roster
from protocol.peer import Arrived, Forked, Output, Peer, PeerState, PrivateCame

CLOCKS_ALIKE_MS = 2.0
"""So far the two clocks of a device may run apart before the times of others are worked out anew."""
RALLY_PRESUMED_S = 8.0
"""So long after the ball died, with nothing holding the service, play is taken to go on (nobody enters the
whistle).
"""

URGENT_ACTS = frozenset({"raise", "answer", "withdraw"})
"""What is sent at once even where the network is full."""

PATIENT_ACTS = frozenset({"raise", "answer", "shown", "wait", "withdraw", "step"})
PATIENCE_S = 0.05
"""What follows from these acts alone is due seconds later: the program looks once for many of them."""

LOOK_BACK_AFTER_S, LOOK_BACK_EVERY_S = 60.0, 3600.0
"""When a station looks for words that are older than the event keeps them: after its start, and again."""


class Answer(Struct, frozen=True):
    """What became of a command: "accepted", "requested", "refused" or "failed"; why; the entries it made."""

    kind: str
    sentence: str = ""
    reference: str = ""
    code: str = ""
    entries: tuple[str, ...] = ()

    @property
    def done(self) -> bool:
        """Whether the act went on its way."""
        return self.kind in ("accepted", "requested")


class _Present(Struct, frozen=True):
    """What follows from the court, the link and the clock at one moment, and what it was made from."""

    made_from: tuple[object, ...]
    peers: Peers
    moment: Moment
    me: Me


class Station:
    """A device in its crew. `post`: the job it was admitted for; a later admission gives it another one."""

    def __init__(
        self,
        peer: Peer,
        post: str,
        *,
        names: Names | None = None,
        salt: Callable[[], bytes] = lambda: secrets.token_bytes(16),
        rally_after: float = RALLY_PRESUMED_S,
    ) -> None:
        self.peer = peer
        self._first_post = post
        self.names = Names()
        self.court: Court | None = None
        self.trouble = ""
        self._to_name = names
        self._salt = salt
        self._rally_after = rally_after
        self._lines: list[Line] = []
        self._heard: set[bytes] = set()
        self._unsaved: dict[bytes, float] = {}  # own entries not on the disk yet, and since when (s)
        self._arrived_at: dict[bytes, float] = {}
        self._ended_at: dict[bytes, float] = {}
        self._next_since: dict[bytes, float] = {}
        self._owed: set[tuple[object, ...]] = set()
        self._texts: dict[bytes, str] = {}
        self._worded: dict[bytes, Entry] = {}
        self._look_back_at = math.inf
        self._names_erased = False
        self.dead_since = 0.0
        self.now, self.wall_ms = 0.0, 0
        self._clocks = (0.0, 0)  # a reading of both clocks, kept while they run alike
        self._outlook = Outlook()
        self._present: _Present | None = None
        self._debts: tuple[_Present, tuple[Debt, ...]] | None = None
        self._stirred = True  # something has happened since the program last looked what it owes
        self._wake = math.inf  # unless something happens, it need not look before then
        self._filled: tuple[Roster | None, Charter | None, tuple[str, ...]] = None, None, ()
        self.last_refusal: tuple[float, Refused] | None = None
        opened = peer.roster.opened
        if opened is not None:
            self._opened(opened.entry)

    @property
    def texts(self) -> Mapping[bytes, str]:
        """Free words that this post may read and that are still here, by the entry they travel beside."""
        return self._texts

    @property
    def names_erased(self) -> bool:
        """Whether the names of the match are gone from here for good."""
        return self._names_erased

    @property
    def post(self) -> str:
        """The job of this device now."""
        member = self.peer.roster.members.get(self.peer.device)
        return member.post if member is not None else self._first_post

    # -- driven like a peer

    def receive(self, link: int, frame: bytes, now: float, wall_ms: int) -> None:
        """A frame from a link."""
        self._pass(now, wall_ms)
        if self.court is not None and self.court.match.finished:
            self._stirred = True  # the record is locked once the others say to have it
        self.peer.receive(link, frame, now, wall_ms)

    def link_up(self, link: int, device: bytes, now: float, wall_ms: int) -> None:
        """A link to a device stands."""
        self._pass(now, wall_ms)
        self._stirred = True
        self.peer.link_up(link, device, now, wall_ms)

    def link_down(self, link: int, now: float) -> None:
        """A link is gone."""
        self.now, self._present, self._stirred = now, None, True
        self.peer.link_down(link, now)

    def tick(self, now: float, wall_ms: int) -> None:
        """Time passed."""
        self._pass(now, wall_ms)
        self._stirred = True
        self.peer.tick(now, wall_ms)
        pen_acts.follow_crew(self.peer, now, wall_ms)

    def start_courier(self, port: int, random_bytes: RandomBytes) -> Courier:
        """Take datagrams, too."""
        return self.peer.start_courier(port, random_bytes)

    def carried(self, arrival: Arrival, now: float, wall_ms: int) -> None:
        """An entry came by datagram."""
        self._pass(now, wall_ms)
        self.peer.carried(arrival, now, wall_ms)

    def committed(self, batch: int, now: float, wall_ms: int) -> None:
        """A batch of rows is safe on the disk."""
        self._pass(now, wall_ms)
        self.peer.committed(batch, now, wall_ms)

    def author(
        self, kind: str, payload: Payload, now: float, wall_ms: int, private: bytes | None = None
    ) -> Entry:
        """Make an entry by hand; commands of a person go through `submit`."""
        self._pass(now, wall_ms)
        return self.peer.author(kind, payload, now, wall_ms, private)

    @property
    def receipts(self) -> int:
        """Counts up when what others have saved, or who is linked, may have changed."""
        return self.peer.receipts

    def peers(self, now: float | None = None) -> dict[bytes, PeerState]:
        """What is known about the other devices."""
        return self.peer.peers(now)

    def members(self) -> tuple[bytes, ...]:
        """Certificates that are welcome."""
        return self.peer.members()

    def steps(self) -> Iterator[list[Output]]:
        """What the shell is to do now, step by step; after each the station folds it, in the end it does what
        it owes.
        """
        while True:
            fresh = self.peer.drain()
            if fresh:
                yield fresh
            moved = self._absorb(fresh)
            if any(isinstance(output, Arrived) for output in fresh):
                yield []  # the faces see it before the program goes on
            if fresh or moved:
                continue
            if not self._stirred and self.now < self._wake:
                return
            if not self._attend():
                self._stirred, self._wake = False, self._next_wake()
                return

    def drain(self) -> list[Output]:
        """All steps at once."""
        return [output for step in self.steps() for output in step]

    def next_tick(self) -> float | None:
        """When `tick` is due (seconds of `now`), or None."""
        times = (self.peer.next_tick(), self._next_wake() if self._stirred else self._wake)
        return min((at for at in times if at is not None and at < math.inf), default=None)

    # -- commands

    def submit(self, command: AnyCommand, now: float, wall_ms: int) -> Answer:
        """Carry out a command of the person at this station."""
        self._pass(now, wall_ms)
        if self.court is None:
            return self._failed(self.trouble or "The match is not here yet. Wait for the link to the table.")
        lost = lost_post(self.peer, self.post)
        if lost:
            return self._failed(lost)
        if isinstance(command, PenCommand):
            return self._carry_out(pen_acts.carry_out(self.peer, self.post, command, now, wall_ms))
        return self._carry_out(acts.act(self.court, self._here_and_now().me, command))

    def _pass(self, now: float, wall_ms: int) -> None:
        self.now, self.wall_ms = now, wall_ms
        if abs((now - self._clocks[0]) * 1000 - (wall_ms - self._clocks[1])) > CLOCKS_ALIKE_MS:
            self._clocks = (now, wall_ms)
        self._present = None

    def _absorb(self, outputs: Iterable[Output]) -> bool:
        """Fold what the link brought; True when the record moved."""
        for output in outputs:
            if isinstance(output, Arrived):
                for entry in output.entries:
                    self._unsaved.pop(entry.id, None)
                    self._take(entry)
                    self._stir(entry)
            elif isinstance(output, PrivateCame):
                self._read_private(output.entry)
                self._stirred = True
            elif isinstance(output, Forked):
                self._refold()
                self._stirred = True
        moved = self._follow()
        self._stirred = self._stirred or moved
        return moved

    def _stir(self, entry: Entry) -> None:
        """The program may owe something because of an entry: at once, or in a moment for all that come."""
        if entry.kind == Kind.FREE and entry.act in PATIENT_ACTS:
            self._wake = min(self._wake, self.now + PATIENCE_S)
        else:
            self._stirred = True

    def _attend(self) -> bool:
        """Do what the program owes the crew now; True when entries were made."""
        if self.court is None:
            return False
        if self._to_name is not None and self.peer.may_write():
            names, self._to_name = self._to_name, None
            return self._author(_naming(names)) is not None
        present, made = self._here_and_now(), False
        self._keep_no_longer(present.peers)
        for debt in self._owing(present):
            if debt.key in self._owed or debt.at > self.now:
                continue
            self._owed.add(debt.key)
            for draft in debt.drafts:
                made = self._author(draft) is not None or made
            if made:
                break  # the court has moved: what is owed is asked anew
        return made

    def _next_wake(self) -> float:
        """When this station itself has something to do next (seconds of `now`); infinite without that."""
        if self.court is None:
            return math.inf
        now, present = self.now, self._here_and_now()
        times = [debt.at for debt in self._owing(present) if debt.key not in self._owed]
        if self.court.match.in_set and not present.me.in_play:
            times.append(self.dead_since + self._rally_after)
        return min((at for at in times if at > now), default=math.inf)

    # -- out

    def moment(self) -> Moment:
        """The court as the life of notices needs it."""
        return self._here_and_now().moment

    def _here_and_now(self) -> _Present:
        """Everything about this moment, worked out once until an input comes or the court moves."""
        assert self.court is not None
        made_from = (self.court, self.peer.standing(), self.peer.roster)
        old = self._present
        if old is None or any(one is not other for one, other in zip(made_from, old.made_from, strict=True)):
            peers = self.peer.peers(self.now)
            offsets = {d: one.offset_ms for d, one in peers.items() if one.offset_ms is not None}
            moment, rests_on = self._moment(offsets), self._notices_rest_on(offsets)
            self._outlook = look(self._outlook, self.court.crew.notices, moment, rests_on)
            old = self._present = _Present(made_from, peers, moment, self._me(peers))
        return old

    def _owing(self, present: _Present) -> tuple[Debt, ...]:
        """What the program owes the crew, worked out once for a moment."""
        assert self.court is not None
        if self._debts is None or self._debts[0] is not present:
            epochs = frozenset(epoch.id for epoch in self.peer.standing().epochs)
            debts = owed.debts(self.court, present.me, present.moment, epochs)
            self._debts = present, tuple(debts)
        return self._debts[1]

    def _notices_rest_on(self, offsets: Mapping[bytes, float]) -> tuple[object, ...]:
        """What `_moment` is made from, but for the time."""
        court = self.court
        assert court is not None
        record, crew = (court.lines, court.chain, court.written), (court.crew.causes, court.crew.expected)
        aside = self.peer.standing().set_aside
        return (record, crew, self.filled(), self._clocks, offsets, aside)

    def _moment(self, offsets: Mapping[bytes, float]) -> Moment:
        assert self.court is not None
        court, (then, then_ms) = self.court, self._clocks
        subject, filled, own = current(court.match)[2], self.filled(), self.peer.device

        def local(time: int, device: bytes) -> float:
            return then - (then_ms - (time - offsets.get(device, 0.0))) / 1000

        return Moment(
            now=self.now,
            here=court.here,
            place=court.place,
            true=lambda wanted: (
                wanted == subject or late_now(court, filled, wanted) or self._lacks(court, wanted)
            ),
            settled=lambda notice: court.settling(notice) is not None,
            wrote=court.wrote,
            local=local,
            knows=lambda device: device == own or device in offsets,
            planned=lambda at: local(at, own),
            died=lambda anchor: _ended(court.rally_end(anchor), local),
            dead_since=self.dead_since,
            profile=court.match.profile,
            device=own,
            filled=filled,
            holds=self._holds,
        )

    def going_on(self) -> Handover | None:
        """The next match on this court, as soon as this device can go on there."""
        told = None if self.court is None else next(iter(self.court.crew.next), None)
        if self.court is None or told is None:
            return None
        waited = self.now - self._next_since.setdefault(told.entry, self.now)
        return handover(self.peer, self.court, self.names, self._texts, waited)

    def _holds(self, post: str, device: bytes) -> bool:
        """Whether a post is this device's now."""
        member = self.peer.roster.members.get(device)
        return member is not None and member.post == post

    def _lacks(self, court: Court, head: str) -> bool:
        """Whether a branch of the record that ends so is not counted and holds lines that are missing."""
        aside = branches_aside(self.peer, court)
        return any(one.head.hex() == head and owed.missing_lines(court, one) for one in aside)

    def in_play(self) -> bool:
        """Whether play is taken to go on: some seconds after the ball died, unless something holds the
        service.
        """
        court = self.court
        if court is None or not court.match.in_set or court.match.phase != "play":
            return False
        if court.lines and self.now - self.dead_since < self._rally_after:
            return False
        return not self._held()

    def snapshot(self, now: float, wall_ms: int) -> Snapshot:
        """The court as this post sees it now."""
        self._pass(now, wall_ms)
        if self.court is None:
            return Snapshot(
                taken=now,
                post=self.post,
                court=self.names.court,
                findings=self._troubles(),
                catching_up=catch_up(self.peer, here=False),
                here=False,
            )
        present = self._here_and_now()
        me, moment, peers = present.me, present.moment, present.peers
        records = record_views(self.court, me.aside, moment) if me.aside else ()
        lost = lost_post(self.peer, self.post)
        acts_as = "" if lost else me.post
        return picture(
            self.court,
            me,
            moment,
            names=shown_names(self.names, self.court.charter.settings),
            lost=lost,
            moved=moved_post(self._first_post, self.post),
            texts=self._texts,
            links=crew_links(link_states(self.peer, peers, now), self.post),
            saved=self._saved(),
            writing=writer_view(self.peer, peers, acts_as, moment, records),
            devices=device_views(self.peer, peers, acts_as, moment),
            catching_up=catch_up(self.peer, here=True),
            shown_at=self._arrived_at,
            ended_at=self._ended_at,
            refusal=self.last_refusal,
            wall_ms=wall_ms,
        )

    def _troubles(self) -> tuple[str, ...]:
        return (self.trouble,) if self.trouble else ()

    def _saved(self) -> Saved:
        stands = self.peer.stands(self.peer.standing().head)
        on, of = (1, 1) if stands is None else (stands.on, stands.of)
        since = min(self._unsaved.values(), default=self.now)
        return Saved(not self._unsaved, on, of, len(self._unsaved), max(0.0, self.now - since))

    # -- the work

    def _me(self, peers: Peers) -> Me:
        court = self.court
        assert court is not None
        standing = self.peer.standing()
        safe = self.peer.stands(standing.head) if court.match.finished and not standing.sealed else None
        return Me(
            post=self.post,
            writes=self.peer.may_write(),
            head=standing.head,
            filled=self.filled(),
            in_play=self.in_play(),
            epoch=standing.epoch,
            sealed=standing.sealed,
            stands=safe is not None and safe.yes,
            unheard=unheard(self.peer, peers),
            aside=branches_aside(self.peer, court),
            states=self._outlook.states,
            live=self._outlook.live,
            steps=self._outlook.steps,
        )

    def filled(self) -> tuple[str, ...]:
        """Posts that somebody holds in this match, in the crew's order."""
        roster, opened = self.peer.roster, self.court.charter if self.court is not None else None
        if self._filled[0] is not roster or self._filled[1] is not opened:
            held = {member.post for member in roster.members.values()}
            if opened is not None and not opened.settings.worn:
                held.add(str(Post.R1))  # on the stand without a device: answers by signs
            self._filled = roster, opened, tuple(str(post) for post in Post if post in held)
        return self._filled[2]

    def _carry_out(self, outcome: Outcome) -> Answer:
        if isinstance(outcome, Refused):
            self.last_refusal = (self.now, outcome)
            ruling = outcome.ruling
            return Answer("refused", ruling.sentence, ruling.reference, ruling.code)
        if isinstance(outcome, Failed):
            return self._failed(outcome.sentence)
        made = [self._author(draft) for draft in outcome.drafts]
        entries = tuple(entry.id.hex() for entry in made if entry is not None)
        if len(entries) < len(outcome.drafts):
            return self._failed(self.trouble)
        sentence = ""
        if isinstance(outcome, Accepted) and outcome.ruling is not None:
            sentence = outcome.ruling.sentence
        return Answer(
            "requested" if isinstance(outcome, Requested) else "accepted", sentence, entries=entries
        )

    def _failed(self, sentence: str) -> Answer:
        self.last_refusal = (self.now, Refused(Ruling("failed", Severity.REFUSE, sentence)))
        return Answer("failed", sentence)

    def _lock(self, sign_off: object) -> Entry | None:
        """End the record; None while the link can't: it is tried anew when the pen or its safety changes."""
        try:
            return self.peer.seal(sign_off if isinstance(sign_off, bytes) else b"", self.now, self.wall_ms)
        except WriteError:
            return None

    def _author(self, draft: Draft) -> Entry | None:
        if draft.kind == Kind.ROSTER:
            return self._lock(draft.fields["sign_off"])
        fields, private = dict(draft.fields), None
        if draft.text:
            hashed, private = private_text(draft.text, self._salt())
            fields["text"] = {"hash": hashed, "readers": list(draft.readers)}
        try:
            entry = self.peer.author(
                draft.kind,
                (draft.act, fields),  # type: ignore[arg-type]
                self.now,
                self.wall_ms,
                private,
                urgent=draft.act in URGENT_ACTS,
            )
        except (WriteError, EntryError) as error:
            self.trouble = str(error)
            return None
        self._unsaved.setdefault(entry.id, self.now)
        self._take(entry)
        self._stir(entry)
        self._follow()
        return entry

    def _take(self, entry: Entry) -> bool:
        """Fold one entry that is new here; the record itself is followed as a chain."""
        if entry.id in self._heard:
            return False
        self._heard.add(entry.id)
        if entry.kind == "roster" and entry.act == "open":
            return self._opened(entry)
        if entry.kind != "free":
            return True
        self._read_private(entry)
        if self.court is None or entry.act == "names":
            return True
        act = act_of(self.peer, entry)
        if act is not None:
            self._hear(act)
        return True

    def _hear(self, act: Act) -> None:
        assert self.court is not None
        self.court = self.court.hear(act)
        if act.name == "raise":
            self._arrived_at.setdefault(act.octets("id") or act.id, self.now)
        elif act.name in ("close", "withdraw"):
            self._ended_at.setdefault(act.octets("notice"), self.now)
        elif act.name == "refusal":
            self._hear_refusal(act)
        elif act.name == "erase":
            self._erase()

    def _hear_refusal(self, act: Act) -> None:
        """Tell this station's person that the one who writes refused what was asked here."""
        assert self.court is not None
        asked, ruling = self.court.crew.requests.get(act.octets("request")), act.fields.get("ruling")
        if asked is None or asked.device != self.peer.device or not isinstance(ruling, dict):
            return
        code, sentence, reference = (str(ruling.get(key, "")) for key in ("code", "sentence", "reference"))
        self.last_refusal = (self.now, Refused(Ruling(code, Severity.REFUSE, sentence, reference)))

    def _opening(self) -> bytes | None:
        opened = self.peer.roster.opened
        return opened.entry.id if opened is not None else None

    def _opened(self, entry: Entry) -> bool:
        if self.court is not None or entry.id != self._opening():
            return False
        fold = entry.fields.get("fold")
        try:
            opened: Charter = charter.from_map(
                entry.fields.get("charter"), fold if isinstance(fold, int) else 1
            )
        except charter.CharterError as error:
            self.trouble = str(error)
            return False
        self.court = Court.start(opened, entry.id)
        self._refold()
        return True

    def _refold(self) -> None:
        """Fold everything the journal holds again: an opening that came late, a fork, a revocation."""
        if self.court is None:
            return
        self.court = Court.start(self.court.charter, self.court.opening)
        self._lines.clear()
        for entry in self.peer.journal.in_order():
            self._heard.discard(entry.id)
            self._take(entry)
        self._follow()

    def _follow(self) -> bool:
        """Bring the court to the counted chain as the link has it; True when the record moved."""
        if self.court is None:
            return False
        chain = self.peer.standing().chain
        same = 0
        if (
            self._lines
            and len(chain) >= len(self._lines)
            and chain[len(self._lines) - 1].id == self._lines[-1].id
        ):
            same = len(self._lines)
        if same == len(chain) and same == len(self._lines):
            return False
        self._lines[same:] = [line_of(self.peer, entry) for entry in chain[same:]]
        self.court = self.court.follow(self._lines)
        self.dead_since = self.now
        return True

    def _read_private(self, entry: Entry) -> None:
        """The names of the match, or the free words of a notice, where this post may read them."""
        if not entry.private:
            return
        self._worded[entry.id] = entry
        if entry.act != "names":
            self._texts[entry.id] = text_of(entry.private)
        elif (names := Names.from_text(text_of(entry.private))) is not None:
            self.names = names
        if self.court is not None and self.court.crew.erased:
            self._erase()

    def _erase(self, everything: bool = False) -> None:
        """Take away, for good, the words that are to go (crewlink.erasing)."""
        assert self.court is not None
        for id_ in erasing.due(self.court, tuple(self._worded.values()), everything):
            gone = self._worded.pop(id_)
            self._texts.pop(id_, None)
            self.peer.erase_private(id_)
            if gone.act == "names":
                self.names, self._to_name, self._names_erased = Names(), None, True

    def _keep_no_longer(self, peers: Peers) -> None:
        """A minute after the start, then every hour: erase what is older than the event keeps it."""
        if self._look_back_at == math.inf:
            self._look_back_at = self.now + LOOK_BACK_AFTER_S
        if self.court is None or self.now < self._look_back_at:
            return
        self._look_back_at = self.now + LOOK_BACK_EVERY_S
        alone = not any(one.linked for one in peers.values())
        if erasing.kept_too_long(self.court, self.wall_ms, alone=alone):
            self._erase(everything=True)

    def _held(self) -> bool:
        assert self.court is not None
        for notice in self.court.crew.notices.values():
            raised = notice.raised
            if raised is None or notice.end is not None or not all_kinds()[raised.kind].stops:
                continue
            place = self.court.place(raised.anchor)
            here = place is None or place.rallies >= self.court.here.rallies
            if here and self.court.settling(notice.id) is None:
                return True
        return False


def _ended(line: Line | None, local: Callable[[int, bytes], float]) -> float | None:
    """When a line was written (seconds, this clock), if there is one."""
    return None if line is None else local(line.time, line.device)


def _naming(names: Names) -> Draft:
    """The entry that brings the names of a match to every post."""
    return Draft("free", "names", {}, names.to_text(), tuple(map(str, Post)))
