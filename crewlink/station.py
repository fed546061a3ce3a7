"""One device: a court joined to its link. Commands in, snapshots out; no sockets, no threads, no clock of
its own.

A station is driven like the peer it holds (`protocol.node` or the simulator drives it): each input goes to
the peer, `drain` folds what the link brought and does what the program owes the crew by itself (the writer
decides requests, agreed decisions are written, steps of unanswered notices are taken). `submit` turns a
command of its person into entries, a request or a refusal.
`now` is monotonic seconds, `wall_ms` this station's own clock; both are handed in with each input.
"""

from __future__ import annotations

import math
import secrets
from collections.abc import Callable, Iterable, Iterator, Mapping

from msgspec import Struct

from crewlink import acts, charter, owed, pen_acts
from crewlink.acts import AnyCommand
from crewlink.charter import Charter, Names, shown_names
from crewlink.court import Court, Line
from crewlink.crew.commands import PenCommand
from crewlink.crew.life import Moment
from crewlink.crew.notice import Act
from crewlink.crew.posts import Post
from crewlink.drafts import Accepted, Draft, Failed, Outcome, Refused, Requested
from crewlink.link_reading import act_of, line_of, link_states
from crewlink.lost_post import lost_post, moved_post
from crewlink.match.ruling import Ruling, Severity
from crewlink.next_match import Handover, handover
from crewlink.owed import Debt
from crewlink.present import Present, Watch
from crewlink.private_words import PrivateWords
from crewlink.snapshot import Saved, Snapshot
from crewlink.views.picture import crew_links, picture
from crewlink.views.writing import catch_up, device_views, record_views, writer_view
from protocol.book import WriteError
from protocol.courier import Arrival, Courier
from protocol.courier_seal import RandomBytes
from protocol.entry import Entry, EntryError, Kind, Payload, private_text
from protocol.peer import Arrived, Forked, Output, Peer, PeerState, PrivateCame

RALLY_PRESUMED_S = 8.0
"""So long after the ball died, with nothing holding the service, play is taken to go on (nobody enters the
whistle).
"""

URGENT_ACTS = frozenset({"raise", "answer", "withdraw"})
"""What is sent at once even where the network is full."""

PATIENT_ACTS = frozenset({"raise", "answer", "shown", "wait", "withdraw", "step"})
PATIENCE_S = 0.05
"""What follows from these acts alone is due seconds later: the program looks once for many of them."""
LOOK_SECONDS = 1.0
"""So often it looks in any case: who is heard, and by whose clock, changes with time."""


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
        self.court: Court | None = None
        self.trouble = ""
        self._to_name = names
        self._salt = salt
        self._watch = Watch(peer, rally_after)
        self._words = PrivateWords(peer)
        self._lines: list[Line] = []
        self._heard: set[bytes] = set()
        self._unsaved: dict[bytes, float] = {}  # own entries not on the disk yet, and since when (s)
        self._arrived_at: dict[bytes, float] = {}
        self._ended_at: dict[bytes, float] = {}
        self._next_since: dict[bytes, float] = {}
        self._owed: set[tuple[object, ...]] = set()
        self.now, self.wall_ms = 0.0, 0
        self._debts: tuple[Present, tuple[Debt, ...]] | None = None
        self._stirred = True  # something has happened since the program last looked what it owes
        self._wake = math.inf  # unless something happens, it need not look before then
        self._looked = -math.inf  # when it did so last
        self.last_refusal: tuple[float, Refused] | None = None
        opened = peer.roster.opened
        if opened is not None:
            self._opened(opened.entry)

    @property
    def names(self) -> Names:
        """The names of the match, as far as they have come and are still here."""
        return self._words.names

    @property
    def texts(self) -> Mapping[bytes, str]:
        """Free words that this post may read and that are still here, by the entry they travel beside."""
        return self._words.texts

    @property
    def names_erased(self) -> bool:
        """Whether the names of the match are gone from here for good."""
        return self._words.names_erased

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
        self.now, self._stirred = now, True
        self._watch.forget(now)
        self.peer.link_down(link, now)

    def tick(self, now: float, wall_ms: int) -> None:
        """Time passed."""
        self._pass(now, wall_ms)
        self._stirred = self._stirred or now - self._looked >= LOOK_SECONDS
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
                self._stirred, self._looked, self._wake = False, self.now, self._next_wake()
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
        return self._carry_out(acts.act(self.court, self._present().me, command))

    def _pass(self, now: float, wall_ms: int) -> None:
        self.now, self.wall_ms = now, wall_ms
        self._watch.passes(now, wall_ms)

    def _absorb(self, outputs: Iterable[Output]) -> bool:
        """Fold what the link brought; True when the record moved."""
        for output in outputs:
            if isinstance(output, Arrived):
                for entry in output.entries:
                    self._unsaved.pop(entry.id, None)
                    self._take(entry)
                    self._stir(entry)
            elif isinstance(output, PrivateCame):
                self._words.read(output.entry, self.court)
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
        if self._to_name is not None and not self.names_erased and self.peer.may_write():
            names, self._to_name = self._to_name, None
            return self._author(_naming(names)) is not None
        present, made = self._present(), False
        alone = not any(one.linked for one in present.peers.values())
        self._words.keep_no_longer(self.court, self.now, self.wall_ms, alone=alone)
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
        now, present = self.now, self._present()
        times = [debt.at for debt in self._owing(present) if debt.key not in self._owed]
        if self.court.match.in_set and not present.me.in_play:
            times.append(self._watch.play_presumed_at)
        return min((at for at in times if at > now), default=math.inf)

    # -- out

    def moment(self) -> Moment:
        """The court as the life of notices needs it."""
        return self._present().moment

    def _present(self) -> Present:
        """Everything about this moment."""
        assert self.court is not None
        return self._watch.present(self.court, self.post)

    def _owing(self, present: Present) -> tuple[Debt, ...]:
        """What the program owes the crew, worked out once for a moment."""
        assert self.court is not None
        if self._debts is None or self._debts[0] is not present:
            epochs = frozenset(epoch.id for epoch in self.peer.standing().epochs)
            debts = owed.debts(self.court, present.me, present.moment, epochs)
            self._debts = present, tuple(debts)
        return self._debts[1]

    def going_on(self) -> Handover | None:
        """The next match on this court, as soon as this device can go on there."""
        told = None if self.court is None else next(iter(self.court.crew.next), None)
        if self.court is None or told is None:
            return None
        waited = self.now - self._next_since.setdefault(told.entry, self.now)
        return handover(self.peer, self.court, self.names, self.texts, waited)

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
        present = self._present()
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
            texts=self.texts,
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

    def filled(self) -> tuple[str, ...]:
        """Posts that somebody holds in this match, in the crew's order."""
        return self._watch.filled(self.court)

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
        self._words.read(entry, self.court)
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
            self._words.erase(self.court)

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
        self._watch.ball_died()
        return True


def _naming(names: Names) -> Draft:
    """The entry that brings the names of a match to every post."""
    return Draft("free", "names", {}, names.to_text(), tuple(map(str, Post)))
