"""Faults put into the station on purpose, one at a time: the simulation has to find each of them.

A simulation that finds nothing proves nothing until it has found these: `python3 -m tests.sim.hunt` tells
after how many seeds.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass, replace
from typing import Any
from unittest.mock import patch

from protocol import acts, branch, courier_desk, courier_seal, links, pen, receipts, session
from protocol.book import Book
from protocol.hearing import Hearing
from protocol.journal import Journal, Log, Mark, Place
from protocol.output import Arrived
from protocol.peer import Peer
from protocol.taking import Taking
from tests.sim import plants
from tests.sim import profile as profiles
from tests.sim.profile import CARRIED, Profile


@dataclass(frozen=True)
class Planted:
    """A fault, the invariants it may break, where to look for it, and how many seeds may be needed.

    `start`: a first seed from which it does not take long; from 0 it is found as well, only later.
    """

    name: str
    plant: Callable[[], Any]
    breaks: tuple[str, ...]
    profiles: tuple[Profile, ...]
    within: int = 60
    start: int = 0


def _said_before_saved() -> Any:
    """ "Saved here" is said when an entry is written, not when it is on the disk."""
    original = Peer._keep_own

    def keep_own(self: Peer, entries: Any) -> None:
        entries = list(entries)
        original(self, entries)
        self._outputs.append(Arrived(tuple(entries), own=True))

    return patch.object(Peer, "_keep_own", keep_own)


def _receipt_before_saved() -> Any:
    """The vector tells what is held, not what is saved."""

    def mark(self: Log) -> Mark:
        fork = (self.fork[0].id, self.fork[1].id) if self.fork else None
        return Mark(len(self.entries), self.entries[-1].id if self.entries else bytes(32), fork)

    return patch.object(Log, "mark", property(mark))


def _voter_forgets() -> Any:
    """A voter votes for every take of a round, not for one."""

    def vote(self: Taking, now: float, wall_ms: int) -> Any:
        standing = self._book.standing()
        mine = {v.take for e, v in self._book.pen.votes.values() if e.log == self._book.log}
        for take_id in self._seen:
            entry, take = self._book.pen.takes.get(take_id, (None, None))
            if entry is None or take is None or take.epoch != standing.epoch or take_id in mine:
                continue
            voter = self._book.identity.device in standing.voters
            if voter and take.round >= self._voted(take.epoch) and self._may_vote(entry, standing, now):
                return [self._vote_for(take_id, take.epoch, take.round, wall_ms)]
        return []

    return patch.object(Taking, "_vote", vote)


def _votes_though_heard() -> Any:
    """Everybody takes the holder for silent at all times."""
    return patch.object(Hearing, "holder_silent", lambda self, now: True)


def _writes_on() -> Any:
    """Who has held the pen goes on writing."""
    original = Book.holds_pen

    def holds_pen(self: Book) -> bool:
        had = getattr(self, "had_pen", False) or original(self)
        self.had_pen = had  # type: ignore[attr-defined]
        return had

    return patch.object(Book, "holds_pen", holds_pen)


def _counts_who_voted_away() -> Any:
    """A voter is counted for an epoch that it has voted away."""
    return patch.object(receipts, "settled", lambda book, device: True)


def _says_it_of_any_epoch() -> Any:
    """ "On 2 of 3" is said of forced epochs too."""
    return patch.object(receipts, "_firm_epoch", lambda path, position: path[position].epoch)


def _length_first() -> Any:
    """The longer branch counts, certificate or not."""

    def key(child: Any, parent: Any) -> Any:
        weight = child.weight
        return (weight.length, child.step, child.entry.id)

    return patch.object(branch, "_key", key)


def _first_come() -> Any:
    """Of two branches the one that came first counts."""

    def key(child: Any, parent: Any) -> Any:
        return -parent.children.index(child)

    return patch.object(branch, "_key", key)


def _old_vector_kept() -> Any:
    """What an earlier run of the other device had told is believed of its new run."""

    def greet(self: session.Session, run: bytes) -> None:
        if self.remote.run != run:
            self.remote.run, self.remote.number = run, 0
        self.run = run
        self.greeted = True

    original = session.Remote.take

    def take(self: session.Remote, vector: Any, now: float) -> bool:
        old = dict(self.vector or {})
        taken = original(self, vector, now)
        if taken and self.vector is not None:
            for log, mark in old.items():
                if log not in self.vector or self.vector[log].length < mark.length:
                    self.vector[log] = mark
        return taken

    stack = ExitStack()
    stack.enter_context(patch.object(session.Session, "greet", greet))
    stack.enter_context(patch.object(session.Remote, "take", take))
    return stack


def _only_own_logs() -> Any:
    """Nobody passes on what others wrote."""
    original = Journal.missing

    def missing(self: Journal, *given: Any, **named: Any) -> Any:
        found = original(self, *given, **named)
        mine = getattr(self, "mine", None)
        return [entry for entry in found if self.device_of(entry.log) == mine]

    init = Book.__init__

    def remember(self: Book, identity: Any, invitation: Any, run: bytes) -> None:
        init(self, identity, invitation, run)
        self.journal.mine = identity.device  # type: ignore[attr-defined]

    stack = ExitStack()
    stack.enter_context(patch.object(Journal, "missing", missing))
    stack.enter_context(patch.object(Book, "__init__", remember))
    return stack


def _text_for_all() -> Any:
    """Private text goes to whoever is linked."""

    def packed(entries: Any, post: str | None) -> Any:
        return [links.wire.Packed(entry.body, entry.signature, entry.private or None) for entry in entries]

    stack = ExitStack()
    stack.enter_context(patch.object(session, "packed", packed))
    stack.enter_context(patch.object(links, "packed", packed))
    return stack


def _text_never_asked_for() -> Any:
    """Who lacks a text it may read does not ask for it."""
    return patch.object(links.Links, "_send_lack", lambda self: None)


def _forks_ignored() -> Any:
    """Of two entries at one place the first to come is kept."""
    original = Journal.place

    def place(self: Journal, entry: Any) -> Place:
        found = original(self, entry)
        return Place.KNOWN if found is Place.RIVAL else found

    return patch.object(Journal, "place", place)


def _one_log_for_all_runs() -> Any:
    """A restarted station goes on in the log of its last run."""
    original = Peer._settle_log

    def settle_log(self: Peer, wall_ms: int) -> None:
        own = self.journal.logs_of(self.device)
        if self._book.log is None and own:
            self._book.log = own[-1].id
        original(self, wall_ms)

    return patch.object(Peer, "_settle_log", settle_log)


def _signatures_unchecked() -> Any:
    """Entries are taken without a look at their signature."""
    return patch.object(Book, "check", lambda self, entry: None)


def _any_key_will_do() -> Any:
    """A log is taken when the admission exists, whoever it admits."""

    def admits(self: Journal, admission: bytes, device: bytes, key: bytes) -> bool:
        return admission in self

    return patch.object(Journal, "_admits", admits)


def _anybody_writes() -> Any:
    """The fold takes a record entry by whoever wrote it."""
    original = pen.Pen._place_record

    def place_record(self: pen.Pen, entry: Any) -> None:
        write = acts.Write
        fields = pen.decoded(entry.fields, write)
        opening = self.nodes.get(fields.epoch) if fields else None
        if opening is None or opening.epoch.holder == entry.log:
            original(self, entry)
            return
        kept = opening.epoch
        node = self._parent(fields.epoch, entry.anchor)
        changed = replace(node.epoch, holder=entry.log)
        node.epoch = changed
        try:
            original(self, entry)
        finally:
            node.epoch = kept

    return patch.object(pen.Pen, "_place_record", place_record)


def _never_again() -> Any:
    """What was sent once is not sent again."""
    stack = ExitStack()
    stack.enter_context(patch.object(session, "RESEND_SECONDS", 1e9))
    stack.enter_context(patch.object(session.Session, "settle", lambda self, got: None))
    return stack


def _nobody_confirms() -> Any:
    """A writer who forced or restarted never asks for a certificate."""
    return patch.object(Taking, "_own_wish", lambda self, now, wall_ms: [])


def _half_is_enough() -> Any:
    """Half of the voters make a majority."""
    majority = property(lambda self: max(1, len(self.voters) // 2))
    stack = ExitStack()
    stack.enter_context(patch.object(branch.Epoch, "majority", majority))
    stack.enter_context(patch.object(pen.Standing, "majority", majority))
    return stack


def _steps_are_trusted() -> Any:
    """A record entry anywhere is put at the end of the chain, without ranking the tree again."""
    original = pen.Pen._grow

    def grow(self: pen.Pen, node: Any) -> None:
        stale = self._stale
        original(self, node)
        if node.is_record and not stale and self._path and self._stale:
            self._stale = False
            self._path.append(node)
            self._chain.append(node.entry)

    return patch.object(pen.Pen, "_grow", grow)


def _cuts_are_forgotten() -> Any:
    """What a revoked device wrote after the cut counts in full."""
    return patch.object(pen.Roster, "past_cut", lambda self, log, seq: False)


def _datagrams_open_again() -> Any:
    """Whether a datagram has come before is not looked at."""
    return patch.object(courier_seal.Window, "is_new", lambda self, counter: True)


def _datagrams_are_trusted() -> Any:
    """What a member has sealed is taken without a look at the signature inside."""
    original = Peer.carried

    def carried(self: Peer, arrival: Any, now: float, wall_ms: int) -> None:
        with patch.object(Book, "check", lambda self, entry: None):
            original(self, arrival, now, wall_ms)

    return patch.object(Peer, "carried", carried)


def _carried_before_saved() -> Any:
    """An entry goes by datagram when it is written, not when it is on the disk."""
    original = Peer._keep_own

    def keep_own(self: Peer, entries: Any) -> None:
        entries = list(entries)
        original(self, entries)
        links = getattr(self, "_links", None)
        if links is not None:
            links.desk.saved(entries, set(), getattr(links.desk, "_now", 0.0))

    passes = Hearing.passes

    def remember(self: Hearing, now: float) -> None:
        self._links.desk._now = now  # type: ignore[attr-defined]
        passes(self, now)

    stack = ExitStack()
    stack.enter_context(patch.object(Peer, "_keep_own", keep_own))
    stack.enter_context(patch.object(Hearing, "passes", remember))
    return stack


def _keys_are_kept() -> Any:
    """Who is taken out keeps its keys."""
    return patch.object(courier_desk.Desk, "roster_changed", lambda self: None)


ROUGH, PARTED, CRASHING = profiles.ROUGH, profiles.PARTED, profiles.CRASHING
STALLING, LOSSY, FORCED = profiles.STALLING, profiles.LOSSY, profiles.FORCED
CLONED, FULL = profiles.CLONED, profiles.FULL
RESTORING, MALICIOUS, REVOKING = profiles.RESTORING, profiles.MALICIOUS, profiles.REVOKING

PLANTED = (
    Planted("said before saved", _said_before_saved, ("saved-survives",), (CRASHING,)),
    Planted("vector sent before commit", _receipt_before_saved, ("saved-survives",), (CRASHING, ROUGH), 300),
    Planted(
        "voter forgets its promise",
        _voter_forgets,
        ("one-certified-child", "what-stands-stays"),
        (profiles.RIVALS,),
        300,
        start=50,
    ),
    Planted("votes though heard", _votes_though_heard, ("no-vote-while-heard",), (STALLING,), 300),
    Planted("holder writes on", _writes_on, ("no-writing-without-pen",), (STALLING,)),
    Planted(
        "counts who voted away",
        _counts_who_voted_away,
        ("what-stands-stays",),
        (profiles.SLOW, STALLING),
        400,
    ),
    Planted(
        "says it of any epoch", _says_it_of_any_epoch, ("what-stands-stays",), (profiles.FULL_FORCED,), 100
    ),
    Planted("length first", _length_first, ("what-stands-stays",), (FORCED, STALLING), 300),
    Planted("first come", _first_come, ("same-set-same-state", "all-arrive"), (FORCED,)),
    Planted("old vector kept", _old_vector_kept, ("all-arrive",), (RESTORING,)),
    Planted("only own logs", _only_own_logs, ("all-arrive",), (profiles.PARTIAL,)),
    Planted("text for all", _text_for_all, ("private-stays-private",), (LOSSY,)),
    Planted("text never asked for", _text_never_asked_for, ("all-arrive",), (LOSSY,)),
    Planted("dedup by sequence only", _forks_ignored, ("all-arrive", "forks-are-proven"), (MALICIOUS,)),
    Planted(
        "one log for all runs",
        _one_log_for_all_runs,
        # A device whose disk was set back gets what its later run wrote into the log it now writes in: there
        # it stands behind what that run had not seen.
        ("all-arrive", "forks-are-proven", "no-vote-while-heard", "stamps-grow"),
        (RESTORING,),
    ),
    Planted(
        "signature unchecked",
        _signatures_unchecked,
        ("strangers-change-nothing", "saved-survives", "all-arrive", "forks-are-proven"),
        (MALICIOUS,),
    ),
    Planted("any key will do", _any_key_will_do, ("strangers-change-nothing",), (MALICIOUS,)),
    Planted("anybody writes", _anybody_writes, ("strangers-change-nothing",), (MALICIOUS,)),
    Planted("never again", _never_again, ("all-arrive",), (LOSSY,)),
    Planted("nobody confirms", _nobody_confirms, ("all-arrive",), (CRASHING,)),
    Planted(
        "half is enough", _half_is_enough, ("one-certified-child", "what-stands-stays"), (STALLING,), 300
    ),
    Planted(
        "steps are trusted",
        _steps_are_trusted,
        ("same-set-same-state", "what-stands-stays", "one-chain", "no-writing-without-pen"),
        (FORCED,),
    ),
    Planted("datagrams open again", _datagrams_open_again, ("datagrams-open-once",), CARRIED),
    Planted(
        "datagrams are trusted",
        _datagrams_are_trusted,
        ("strangers-change-nothing", "saved-survives", "all-arrive", "forks-are-proven"),
        CARRIED[-1:],
    ),
    Planted("carried before saved", _carried_before_saved, ("saved-survives",), CARRIED),
    Planted("keys are kept", _keys_are_kept, ("keys-end",), CARRIED),
    Planted("cuts are forgotten", _cuts_are_forgotten, ("cuts-hold",), (REVOKING,), 200, start=240),
    Planted("sent before commit", plants.sent_before_commit, ("saved-survives",), (CRASHING,)),
    Planted("cut at own head", plants.cut_at_own_head, ("what-stands-stays",), (profiles.BEHIND,), 300),
    Planted("revocation ignored", plants.revocations_ignored, ("cuts-hold",), (REVOKING,)),
    Planted("relay drops unknown kinds", plants.unknown_kinds_dropped, ("all-arrive",), (LOSSY,)),
    Planted(
        "anchor ignored",
        plants.anchor_ignored,
        ("strangers-change-nothing", "one-chain"),
        (MALICIOUS,),
    ),
    Planted("stale consent accepted", plants.stale_consent_accepted, ("one-chain",), (LOSSY,)),
    Planted("quota by time", plants.quota_by_time, ("all-arrive",), (LOSSY,)),
    Planted("clone not noticed", plants.clone_not_noticed, ("all-arrive", "forks-are-proven"), (CLONED,)),
    Planted("twin heeded for ever", plants.twin_is_heeded_for_ever, ("all-arrive",), (CLONED,), 200),
    Planted("never rests", plants.never_rests, ("comes-to-rest",), (CLONED,)),
    Planted("told though refused", plants.told_though_refused, ("saved-survives",), (FULL,)),
    Planted("refused and forgotten", plants.refused_and_forgotten, ("all-arrive",), (FULL,)),
    Planted("clocks decide", plants.clocks_decide, ("what-stands-stays",), (profiles.CLOCKS,), 200),
    Planted("stamped by own clock", plants.stamped_by_own_clock, ("stamps-grow",), (profiles.CLOCKS,)),
    Planted("stamps not seen", plants.stamps_not_seen, ("stamps-grow",), (LOSSY,)),
)
