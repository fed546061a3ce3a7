"""One station without input or output of its own: bytes, times and events in; frames, commits, events out.

Knows the order of work: append, commit, then send and "saved here". Shell and simulator drive this class.
`now` is monotonic seconds, `wall_ms` the station's own wall clock; both are always handed in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from random import Random

from protocol import acts, wire
from protocol.book import Book, StationIdentity
from protocol.branch import Epoch, Node
from protocol.courier import Arrival, Courier
from protocol.courier_seal import RandomBytes
from protocol.entry import Entry, Kind, Payload, StoredEntry
from protocol.hearing import Hearing
from protocol.intake import Haul, take_in
from protocol.journal import Journal, Mark
from protocol.links import Links
from protocol.membership import Roster
from protocol.output import Arrived, Commit, Drop, DropReason, Forked, Output, PrivateCame, Refused, Send
from protocol.peer_state import PeerState, peer_state
from protocol.progress import Progress, progress
from protocol.receipts import Receipts, Stands
from protocol.roster import FoundingCharter, Invitation, Member
from protocol.session import Session
from protocol.standing import Standing
from protocol.taking import Asking, Taking
from protocol.write_error import (
    HolderHeard,
    MovedOn,
    NoMajority,
    NoRight,
    NotAdmitted,
    NotHolder,
    NotReady,
    WriteError,
)

__all__ = [
    "Arrived",
    "Asking",
    "Commit",
    "Drop",
    "DropReason",
    "Forked",
    "FoundingCharter",
    "HolderHeard",
    "MovedOn",
    "NoMajority",
    "NoRight",
    "NotAdmitted",
    "NotHolder",
    "NotReady",
    "Output",
    "Peer",
    "PeerState",
    "PrivateCame",
    "Progress",
    "Refused",
    "Send",
    "Stands",
    "WriteError",
]

MAX_UNSAVED_BYTES = 4 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class _Unsaved:
    """A row that waits for the disk, and what is to be told once it is there."""

    entry: Entry
    own: bool = False
    new: bool = True  # False: only private text was added, or it is one half of a proof


class Peer:
    """One station in one match, for one process run.

    `run`: 16 random bytes, new at every start. `stored`: the rows of earlier runs, in the order of saving.
    `found`: given only to the opener's station; used when the match has not been opened yet.
    """

    def __init__(
        self,
        identity: StationIdentity,
        invitation: Invitation,
        *,
        run: bytes,
        stored: Iterable[StoredEntry],
        wall_ms: int,
        now: float = 0.0,
        found: FoundingCharter | None = None,
    ) -> None:
        self._book = Book(identity, invitation, run)
        self._outputs: list[Output] = []
        self._links = Links(self._book, self._outputs, now)
        self._book.time.clocks = self._links.remotes
        self._receipts = Receipts(self._book)
        self._unsaved: list[_Unsaved] = []
        self._unsaved_bytes = 0
        self._saving: list[_Unsaved] | None = None
        self._urgent: set[bytes] = set()
        self._batch = 0
        self._hearing = Hearing(self._book, self._links, now)
        self._taking = Taking(self._book, self._hearing, Random(run).random)  # noqa: S311 - spreads retries
        self._book.load(stored)
        if found and self._book.roster.opened is None and identity.device == invitation.opener:
            self._keep_own(self._book.found(found, wall_ms))
        self._settle_log(wall_ms)
        if found:
            self._keep_own(self._book.finish_founding(wall_ms))

    # -- state ------------------------------------------------------------------------------------------

    @property
    def journal(self) -> Journal:
        return self._book.journal

    @property
    def roster(self) -> Roster:
        return self._book.roster

    @property
    def device(self) -> bytes:
        return self._book.identity.device

    @property
    def log(self) -> bytes | None:
        """Own log of this run; None until this device is admitted."""
        return self._book.log

    def standing(self) -> Standing:
        return self._book.standing()

    def vector(self) -> dict[bytes, Mark]:
        """What is saved here: for each log its length and the id of its last entry."""
        return self._book.journal.vector()

    def may_write(self) -> bool:
        """Whether this station can write a record entry now: the pen is its own, or its earlier run's."""
        return self._book.holds_pen() or self._book.held_by_earlier_run()

    def stands(self, entry_id: bytes) -> Stands | None:
        """On how many voters an entry of the record is safe; None when it is not on the counted branch."""
        return self._receipts.stands(entry_id, self._links.remotes)

    def held_by(self, entry_id: bytes) -> frozenset[bytes]:
        """Devices, this one too, that have said to have saved an entry of whatever kind."""
        entry = self._book.journal.get(entry_id)
        if entry is None:
            return frozenset()
        held = {device for device, remote in self._links.remotes.items() if remote.has(entry.log) > entry.seq}
        if self._book.journal.logs[entry.log].saved > entry.seq:
            held.add(self.device)
        return frozenset(held)

    @property
    def rankings(self) -> int:
        """How often the tree was ranked anew; unchanged while record entries only follow at the head."""
        return self._book.pen.rankings

    def path(self) -> tuple[Node, ...]:
        """The branch that counts, root first: openings, record entries, a seal."""
        return tuple(self._book.pen.path())

    def epochs(self) -> tuple[Epoch, ...]:
        """Every epoch that was opened, on whatever branch."""
        return tuple(node.epoch for node in self._book.pen.nodes.values() if node.epoch.id == node.entry.id)

    @property
    def receipts(self) -> int:
        """Counts up when others are linked, or are not any more, or say to have saved something else."""
        return self._links.receipts

    def members(self) -> tuple[bytes, ...]:
        """TLS certificates (DER) that may link now: of members, and of who was taken out and is not told."""
        out = self._book.roster.revoked
        untold = [out[device].member for device in self._links.untold()]
        return tuple(member.tls_cert for member in (*self._book.members(), *untold) if member is not None)

    def member(self, device: bytes) -> Member | None:
        """A device that belongs to the match now; None for strangers and the revoked."""
        return self._book.member(device)

    def peers(self, now: float | None = None) -> dict[bytes, PeerState]:
        """Every member but this one, by device id, and whoever is linked. Without `now` nobody is suspect."""
        devices = dict.fromkeys(member.device for member in self._book.members())
        devices.update(dict.fromkeys(self._links.remotes))
        devices.pop(self.device, None)
        return {device: peer_state(self._book, self._links, device, now) for device in devices}

    # -- own entries ------------------------------------------------------------------------------------

    def author(
        self,
        kind: str,
        payload: Payload,
        now: float,
        wall_ms: int,
        private: bytes | None = None,
        *,
        anchor: bytes | None = None,
        urgent: bool = False,
    ) -> Entry:
        """Sign and append one entry of this station. It is saved once `Arrived(own=True)` shows it.

        A record payload is `("write", {"fact": ..., "because": ...})`; epoch and index are filled in when
        absent, and must be right when given. `anchor`: the head it was decided on, the head as it is now
        unless given. `urgent`: by datagram it goes even where the way is full.
        Errors: NotAdmitted, NotHolder, MovedOn, Malformed.
        """
        if kind == Kind.RECORD and self._book.held_by_earlier_run():
            self._open_again(wall_ms)
        entry = self._book.append(kind, payload, wall_ms, anchor=anchor, private=private)
        self._keep_own([entry])
        if urgent:
            self._urgent.add(entry.id)
        if kind == Kind.ROSTER:
            self._roster_changed(now, wall_ms)
        return entry

    def erase_private(self, entry_id: bytes) -> None:
        """Take the private text of an entry away here, for good."""
        if (entry := self._book.erase_private(entry_id)) is not None:
            self._keep(_Unsaved(entry, new=False))

    def admit(self, member: Member, now: float, wall_ms: int) -> Entry:
        """Admit a device with a post, or give it another one. Errors: NotAdmitted."""
        entry = self._book.admit(member, wall_ms)
        self._keep_own([entry])
        self._roster_changed(now, wall_ms)
        return entry

    # -- the pen ----------------------------------------------------------------------------------------

    def holder_silent(self, now: float) -> bool:
        """Whether the one who writes counts as silent here, so that the pen can be taken."""
        return self._hearing.holder_silent(now)

    def asking(self) -> Asking | None:
        """The take that was begun here, while it is open."""
        return self._taking.asking()

    def confirming(self) -> bool:
        """Whether this station, which writes, waits for the voters to confirm it, or other voters."""
        return self._taking.confirming()

    def voters_in_reach(self, now: float) -> int:
        """How many of those who decide who writes are heard here, this station among them."""
        return self._hearing.in_reach(now)

    def progress(self) -> Progress:
        """How far this station has caught up with what the others say they have saved."""
        return progress(self._book, self._links)

    def take_pen(self, now: float, wall_ms: int, voters: tuple[bytes, ...] | None = None) -> None:
        """Ask the voters for the pen of a silent holder; the rest happens by itself.

        `voters`: who is to decide from then on, if others.
        Errors: NoRight, HolderHeard, NoMajority, NotReady.
        """
        self._keep_own(self._taking.take(now, wall_ms, voters))

    def name_voters(self, voters: tuple[bytes, ...], now: float, wall_ms: int) -> None:
        """Let these devices decide from now on who writes; the present voters certify it.

        Errors: NoRight, NotReady.
        """
        self._keep_own(self._taking.name_voters(voters, now, wall_ms))
        self._work(now, wall_ms)

    def stop_taking(self) -> None:
        self._taking.stop()

    def force_pen(self, now: float, wall_ms: int) -> None:
        """Write from now on without asking anybody. Errors: NoRight, NotReady."""
        self._keep_own(self._taking.force(wall_ms))

    def grant_pen(self, device: bytes, now: float, wall_ms: int) -> None:
        """Give the pen away. Errors: NoRight, NotReady."""
        if self._book.held_by_earlier_run():
            self._open_again(wall_ms)
        self._keep_own(self._taking.grant(device, wall_ms))

    def choose(self, head: bytes, device: bytes, now: float, wall_ms: int) -> None:
        """Let the record go on from this head, written by this device. Errors: NoRight, NotReady."""
        self._keep_own(self._taking.choose(head, device, wall_ms))

    def seal(self, sign_off: bytes, now: float, wall_ms: int) -> Entry:
        """End the record as signed off. Errors: NotHolder, NotReady.

        After a restart this run takes up the pen first; the seal must wait until the others confirm it.
        """
        if self._book.held_by_earlier_run():
            self._open_again(wall_ms)
        stands = self.stands(self.standing().head)
        firm = self.standing().firm
        entry = self._book.seal(sign_off, wall_ms, stands=firm and stands is not None and stands.yes)
        self._keep_own([entry])
        return entry

    def revoke(self, device: bytes, now: float, wall_ms: int) -> None:
        """Take a device out of the match; what is held of its logs now still counts. Errors: NoRight."""
        self._keep_own([self._book.revoke(device, wall_ms)])
        self._roster_changed(now, wall_ms)

    def _work(self, now: float, wall_ms: int) -> None:
        while made := self._taking.work(now, wall_ms):
            self._keep_own(made)

    def _open_again(self, wall_ms: int) -> None:
        """The pen belongs to an earlier run of this device: open an epoch for this one, on the head."""
        fields: Payload = (acts.OPEN, {"epoch": self.standing().epoch, "how": acts.RESTART})
        self._keep_own([self._book.append(Kind.PEN, fields, wall_ms)])

    def _settle_log(self, wall_ms: int) -> None:
        if self._book.due_log():
            self._keep_own([self._book.begin_log(wall_ms)])

    def _keep_own(self, entries: Iterable[Entry]) -> None:
        for entry in entries:
            self._keep(_Unsaved(entry, own=True))

    def _keep(self, unsaved: _Unsaved) -> None:
        self._unsaved.append(unsaved)
        self._unsaved_bytes += len(unsaved.entry.body)

    def _roster_changed(self, now: float, wall_ms: int) -> None:
        self._settle_log(wall_ms)
        self._links.part_from_revoked(now)
        self._links.desk.roster_changed()

    # -- commits ----------------------------------------------------------------------------------------

    def drain(self) -> list[Output]:
        """Everything to be done since the last call, in order."""
        if self._unsaved and self._saving is None:
            self._saving, self._unsaved, self._unsaved_bytes = self._unsaved, [], 0
            self._batch += 1
            self._outputs.append(Commit(self._batch, tuple(unsaved.entry.row for unsaved in self._saving)))
        if not self._outputs:
            self._links.send_owed()
        outputs = self._outputs[:]
        self._outputs.clear()
        return outputs

    def steps(self) -> Iterator[list[Output]]:
        """What to do now, step by step, until nothing is left."""
        while outputs := self.drain():
            yield outputs

    def committed(self, batch: int, now: float, wall_ms: int) -> None:
        """The rows of this Commit are safe on the disk."""
        if self._saving is None or batch != self._batch:
            return
        saved, self._saving = self._saving, None
        self._links.saved_batch = batch
        for unsaved in saved:
            if unsaved.entry.id in self._book.journal:
                self._book.journal.saved(unsaved.entry)
        self._links.relaying.came((one.entry for one in saved if one.new and not one.own), now)
        self._links.owe(now)
        if own := [one.entry for one in saved if one.own]:
            self._links.desk.saved(own, self._urgent, now)
            self._links.push(now)
        self._tell_saved(saved)

    def _tell_saved(self, saved: list[_Unsaved]) -> None:
        here = [unsaved for unsaved in saved if unsaved.entry.id in self._book.journal]
        for (new, own), group in groupby(here, key=lambda unsaved: (unsaved.new, unsaved.own)):
            entries = tuple(unsaved.entry for unsaved in group)
            if new:
                self._outputs.append(Arrived(entries, own))
            else:
                self._outputs.extend(PrivateCame(entry) for entry in entries)

    # -- links and time ---------------------------------------------------------------------------------

    def start_courier(self, port: int, random_bytes: RandomBytes) -> Courier:
        """Send small new entries by datagram, too, and take them at this port. Drive it beside this peer."""
        return self._links.desk.start(port, random_bytes)

    def link_up(self, link: int, device: bytes, now: float, wall_ms: int) -> None:
        """A link whose other end has proved to be `device`. A second link to one device is fine."""
        self._hearing.passes(now)
        self._links.up(link, device, now, wall_ms)

    def link_down(self, link: int, now: float) -> None:
        self._links.down(link)

    def next_tick(self) -> float | None:
        """When `tick` is due, in the seconds of `now`; None when nothing waits for time."""
        times = [due for due in (self._links.next_tick(), self._taking.due()) if due is not None]
        return min(times, default=None)

    def tick(self, now: float, wall_ms: int) -> None:
        """Let time pass. Call at `next_tick()`, or more often."""
        self._hearing.passes(now)
        self._links.tick(now, wall_ms)
        self._book.look_at_clocks(wall_ms)
        self._work(now, wall_ms)

    def receive(self, link: int, frame: bytes, now: float, wall_ms: int) -> None:
        """One whole frame, without its length prefix. Bad frames end in a Drop, never in an exception."""
        self._hearing.passes(now)
        handed = self._links.receive(link, frame, now, wall_ms)
        if handed is None:
            return
        session, message = handed
        if isinstance(message, wire.Texts):
            self._take_texts(message)
        else:
            if self._unsaved_bytes < MAX_UNSAVED_BYTES:  # a slow disk: what is left out now comes again
                self._take_chunk(session, message, now, wall_ms)
            session.took(message, self._batch_to_come())

    def _batch_to_come(self) -> int:
        """The batch after which everything taken so far is saved; 0 when it is already."""
        if self._unsaved:
            return self._batch + 1
        return self._batch if self._saving is not None else 0

    def carried(self, arrival: Arrival, now: float, wall_ms: int) -> None:
        """An entry came by datagram, from `Courier.receive`. It is taken as if it had come over a link."""
        self._hearing.passes(now)
        if self._unsaved_bytes >= MAX_UNSAVED_BYTES or self._book.member(arrival.device) is None:
            return
        carry = arrival.carry
        haul = self._take([wire.Packed(carry.body, carry.signature)], now, wall_ms)
        for entry in haul.early:
            self._links.desk.early.add(arrival.device, entry)
        for entry in (*haul.taken, *haul.early):
            self._links.desk.answer(arrival, entry.log, now)

    def _take_chunk(self, session: Session, chunk: wire.Chunk, now: float, wall_ms: int) -> None:
        haul = self._take(chunk.entries, now, wall_ms)
        self._links.answer(session, haul, now)

    def _take(self, packed: Iterable[wire.Packed], now: float, wall_ms: int) -> Haul:
        """Take entries; then those that had come before their time and fit now, until none does."""
        haul = self._take_some(packed, now, wall_ms)
        more = bool(haul.taken)
        while more:
            fitting = self._links.desk.early.fitting(self._book.journal)
            hauls = [self._take_some([_packed(entry)], now, wall_ms) for entry in fitting]
            more = any(later.taken for later in hauls)
        return haul

    def _take_some(self, packed: Iterable[wire.Packed], now: float, wall_ms: int) -> Haul:
        haul = take_in(self._book, packed)
        for entry in haul.taken:
            self._keep(_Unsaved(entry))
            self._taking.came(entry, now)
        for entry in haul.proofs:
            self._keep(_Unsaved(entry, new=False))
            log = self._book.journal.logs[entry.log]
            assert log.fork is not None
            self._outputs.append(Forked(log.id, len(log.entries), log.fork))
        for entry in haul.texts:
            self._keep(_Unsaved(entry, new=False))
        if haul.proofs or any(entry.kind == Kind.ROSTER for entry in haul.taken):
            self._roster_changed(now, wall_ms)
        if haul.taken:
            self._work(now, wall_ms)
        return haul

    def _take_texts(self, message: wire.Texts) -> None:
        for text in message.texts:
            if (entry := self._book.set_private(text.id, text.private)) is not None:
                self._keep(_Unsaved(entry, new=False))


def _packed(entry: Entry) -> wire.Packed:
    return wire.Packed(entry.body, entry.signature)
