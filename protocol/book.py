"""What one station knows of a match, and its own log in it: journal, roster and pen kept in step.

Knows how an entry is taken into all three, and how this station writes: its log of this run, anchors, the
epoch and index of a record entry. Knows nothing of links, commits or timers.
"""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from typing import Protocol

from protocol import acts
from protocol.common_time import CommonTime
from protocol.entry import (
    NONE,
    BadSignature,
    Entry,
    EntryError,
    Fields,
    Kind,
    Malformed,
    Payload,
    StoredEntry,
    decoded,
    header_bytes,
    log_id,
    private_fits,
    read,
    readers_of,
    verify,
    write,
)
from protocol.journal import Journal, Place
from protocol.membership import Roster, fold_roster
from protocol.pen import Pen, Standing
from protocol.roster import FoundingCharter, Invitation, Member, Right
from protocol.write_error import MovedOn, NoRight, NotAdmitted, NotHolder, NotReady
from protocol.write_error import WriteError as WriteError


class StationIdentity(Protocol):
    """What a station's `Identity` is needed for here."""

    @property
    def device(self) -> bytes:
        """Device id, 32 bytes."""

    @property
    def public_key(self) -> bytes:
        """Ed25519 key, 32 bytes."""

    def sign(self, data: bytes) -> bytes:
        """Ed25519 signature, 64 bytes."""


class Book:
    """Journal, roster and pen of one match at one station, in one process run."""

    def __init__(self, identity: StationIdentity, invitation: Invitation, run: bytes) -> None:
        self.identity = identity
        self.invitation = invitation
        self.run = run
        self._run_of_log = run
        self.journal = Journal(invitation.match, invitation.opener)
        self.time = CommonTime(self.journal)
        self.roster: Roster = fold_roster(self.journal)
        self.pen = Pen(self.journal, self.roster)
        self.log: bytes | None = None  # own log of this run, once it has begun
        self.damaged = 0  # stored rows that could not be used
        self.lacking: dict[bytes, Entry] = {}  # entries whose private text we may read and have not got

    def load(self, rows: Iterable[StoredEntry]) -> None:
        """Take what earlier runs saved. A row that is damaged, or hangs in the air, is left out."""
        waiting = [entry for row in rows if (entry := self._stored(row)) is not None]
        before = -1
        while waiting and len(waiting) != before:
            before = len(waiting)
            waiting = [entry for entry in waiting if not self._load_one(entry)]
        self.damaged += len(waiting)
        self.refold()

    def _stored(self, row: StoredEntry) -> Entry | None:
        try:
            return read(row.body, row.signature, row.private)
        except EntryError:
            self.damaged += 1
            return None

    def _load_one(self, entry: Entry) -> bool:
        """True when the entry is dealt with, False to try again after others."""
        place = self.journal.place(entry)
        if place not in (Place.NEXT, Place.RIVAL):
            return place in (Place.KNOWN, Place.ENDED, Place.WRONG, Place.FULL)
        try:
            self.check(entry)
        except BadSignature:
            self.damaged += 1
            return True
        self.journal.add(entry)
        if place is Place.NEXT:
            self.journal.saved(entry)
            self.time.stamps.see(entry.stamp)
        return True

    def check(self, entry: Entry) -> None:
        """Check the signature of an entry whose place is NEXT or RIVAL. Errors: BadSignature."""
        key = self.journal.key_for(entry)
        if key is None:
            raise BadSignature(entry.log, entry.seq)
        verify(entry, key)

    def refold(self) -> None:
        """Roster and pen from scratch: after a load, or after a fork took entries away."""
        self.roster = fold_roster(self.journal)
        self.pen = Pen.folded(self.journal, self.roster)
        self.lacking = {}
        for entry in self.journal.in_order():
            self._note_lacking(entry)

    def take(self, entry: Entry) -> Place:
        """Take an entry whose signature has been checked, or that was written here."""
        if entry.log == self.log and self.journal.place(entry) is Place.RIVAL:
            self._part_from_twin(entry.seq)
        place = self.journal.add(entry)
        if place is Place.NEXT:
            self.time.stamps.see(entry.stamp)
            self._fold_in(entry)
        elif place is Place.RIVAL:
            self.refold()
        return place

    def _part_from_twin(self, seq: int) -> None:
        """Somebody else writes in this very log: this process was cloned. The next log has to be another
        than the clone's next, and all that the two differ in is what each of them wrote there.
        """
        assert self.log is not None
        entries = self.journal.logs[self.log].entries
        if seq < len(entries):
            self._run_of_log = sha256(self._run_of_log + entries[seq].id).digest()[:16]

    def _fold_in(self, entry: Entry) -> None:
        if entry.kind == Kind.ROSTER:
            self.roster = fold_roster(self.journal)
            pen = self.pen.changed(self.roster)
            if pen is self.pen:
                pen.add(entry)
            self.pen = pen
        else:
            self.pen.add(entry)
        self._note_lacking(entry)

    def _note_lacking(self, entry: Entry) -> None:
        if entry.private is None and "text" in entry.fields and self.post() in readers_of(entry):
            self.lacking[entry.id] = entry

    def set_private(self, entry_id: bytes, private: bytes) -> Entry | None:
        """Lay private text beside an entry that lacks it, if it is the right text."""
        entry = self.journal.get(entry_id)
        if entry is None or entry.private is not None or not private_fits(entry, private):
            return None
        self.lacking.pop(entry_id, None)
        return self.journal.set_private(entry_id, private)

    def erase_private(self, entry_id: bytes) -> Entry | None:
        """Take the private text away for good; the chain is untouched."""
        if entry_id not in self.journal:
            return None
        self.lacking.pop(entry_id, None)
        return self.journal.set_private(entry_id, b"")

    def standing(self) -> Standing:
        return self.pen.standing()

    def look_at_clocks(self, wall_ms: int) -> None:
        """Keep up with the common time, also while nothing is written."""
        self.time.look(self.log, self.pen, wall_ms)

    def post(self, device: bytes | None = None) -> str | None:
        """Post of a device (this one by default): by the roster, before the opening by the invitation."""
        device = device or self.identity.device
        member = self.member(device)
        return member.post if member else None

    def member(self, device: bytes) -> Member | None:
        """A device that belongs now."""
        if device in self.roster.members:
            return self.roster.members[device]
        return None if device in self.roster.revoked else self.invitation.member(device)

    def members(self) -> tuple[Member, ...]:
        """Everybody who belongs now: by the invitation, then by the roster; without the revoked."""
        devices = dict.fromkeys([member.device for member in self.invitation.members])
        devices.update(dict.fromkeys(self.roster.members))
        return tuple(member for device in devices if (member := self.member(device)) is not None)

    def holds_pen(self) -> bool:
        """Whether the record's holder is this log, and the record is open."""
        standing = self.standing()
        return (
            self.log is not None
            and standing.holder_log == self.log
            and not standing.sealed
            and not self.roster.past_cut(self.log, len(self.journal.logs[self.log].entries))
            and self.log in self.roster.posts
        )

    def held_by_earlier_run(self) -> bool:
        """Whether the pen belongs to an earlier log of this device."""
        standing = self.standing()
        holder = standing.holder_log
        return (
            self.log is not None
            and self.log in self.roster.posts
            and holder is not None
            and holder != self.log
            and not standing.sealed
            and self.journal.device_of(holder) == self.identity.device
        )

    def due_log(self) -> bool:
        """Whether this station has to begin a (new) log: first in this run, other admission, or forked."""
        admission = self.roster.admission_of(self.identity.device)
        if self.log is None:
            return admission is not None
        log = self.journal.logs[self.log]
        if admission is None:
            return False
        under = log.header.admission or self.roster.admissions[self.identity.device][0]
        cut = self.roster.past_cut(self.log, len(log.entries))
        return under != admission or log.fork is not None or cut

    def begin_log(self, wall_ms: int) -> Entry:
        """Begin a log under the latest admission; the opener's very first log has none."""
        own = self.journal.logs_of(self.identity.device)
        payload: Payload = (
            acts.LOG,
            {
                "match": self.invitation.match,
                "key": self.identity.public_key,
                "run": self._run_of_log,
                "admission": self.roster.admission_of(self.identity.device),
                "closes": {log.id: len(log.entries) for log in own},
            },
        )
        self.log = log_id(header_bytes(payload))
        return self._append(Kind.ROSTER, payload, wall_ms, 0, NONE, self.standing().head, None)

    def found(self, charter: FoundingCharter, wall_ms: int) -> list[Entry]:
        """Open the match: the first log, the opening entry, an admission for everyone invited."""
        posts = [[post.label, sorted(right.value for right in post.rights)] for post in charter.posts]
        opening: Fields = {
            "voters": list(charter.voters),
            "charter": charter.charter,  # type: ignore[dict-item]  # plain values, checked when packed
            "fold": charter.fold,
            "posts": posts,  # type: ignore[dict-item]
        }
        self.time.begin()
        made = [self.begin_log(wall_ms), self.append(Kind.ROSTER, (acts.OPEN, opening), wall_ms)]
        made += [self.admit(member, wall_ms) for member in self.invitation.members]
        return made

    def finish_founding(self, wall_ms: int) -> list[Entry]:
        """Admit the invited that are not yet, if the founding was cut short and nobody else has joined."""
        alone = all(log.device == self.identity.device for log in self.journal.logs.values())
        if self.log is None or self.roster.opened is None or not alone:
            return []
        known = self.roster.members.keys() | self.roster.revoked
        late = [one for one in self.invitation.members if one.device not in known]
        return [self.admit(member, wall_ms) for member in late]

    def admit(self, member: Member, wall_ms: int) -> Entry:
        """Admit a device with a post."""
        fields: Fields = {
            "device": member.device,
            "sign_key": member.sign_key,
            "tls_cert": member.tls_cert,
            "binding": member.binding,
            "post": member.post,
            "number": len(self.roster.admissions.get(member.device, ())) + 1,
        }
        return self.append(Kind.ROSTER, (acts.ADMIT, fields), wall_ms)

    def revoke(self, device: bytes, wall_ms: int) -> Entry:
        """Take a device out; what is held of its logs now still counts. Errors: NoRight."""
        if self.log is None or not self.roster.has(self.log, Right.REVOKE):
            raise NoRight("take a device out")
        fields: dict[str | bytes, object] = {
            "device": device,
            "admissions": list(self.roster.admissions.get(device) or self._admissions(device)),
            "cuts": {log.id: len(log.entries) for log in self.journal.logs_of(device)},
        }
        return self.append(Kind.ROSTER, (acts.REVOKE, fields), wall_ms)  # type: ignore[arg-type]

    def _admissions(self, device: bytes) -> list[bytes]:
        """All that are held of a device which is out already: the revocation that took it out may fall."""
        roster = [entry for entry in self.journal.in_order() if entry.kind == Kind.ROSTER]
        admits = [(entry, decoded(entry.fields, acts.Admit)) for entry in roster if entry.act == acts.ADMIT]
        return [entry.id for entry, admit in admits if admit is not None and admit.device == device]

    def seal(self, sign_off: bytes, wall_ms: int, *, stands: bool) -> Entry:
        """End the record as signed off. `stands`: whether its head does. Errors: NotHolder, NotReady."""
        standing = self.standing()
        if not self.holds_pen():
            raise NotHolder(standing.holder_log)
        entry = self.journal.get(sign_off)
        signed = decoded(entry.fields, acts.SignOff) if entry else None
        if entry is None or signed is None or entry.anchor != standing.head or not stands:
            raise NotReady("The last line is not signed off, or not safe on enough devices yet.")
        fields: Fields = {"epoch": standing.epoch, "sign_off": sign_off, "number": signed.number}
        return self.append(Kind.ROSTER, (acts.SEAL, fields), wall_ms)

    def append(
        self,
        kind: str,
        payload: Payload,
        wall_ms: int,
        *,
        anchor: bytes | None = None,
        private: bytes | None = None,
    ) -> Entry:
        """Sign an entry of this station and take it. Anchor: the head as it is seen here, unless given.

        Errors: NotAdmitted, NotHolder, MovedOn, Malformed.
        """
        if self.log is None or self.journal.logs[self.log].fork is not None:
            raise NotAdmitted
        standing = self.standing()
        if kind == Kind.RECORD:
            payload = self._record_payload(payload, standing, anchor)
        entries = self.journal.logs[self.log].entries
        return self._append(
            kind, payload, wall_ms, len(entries), entries[-1].id, anchor or standing.head, private
        )

    def _record_payload(self, payload: Payload, standing: Standing, anchor: bytes | None) -> Payload:
        if not self.holds_pen():
            raise NotHolder(standing.holder_log)
        act, fields = payload
        place: Fields = {"epoch": standing.epoch, "index": standing.index}
        given = {name: fields[name] for name in place if name in fields}
        if anchor not in (None, standing.head) or any(place[name] != value for name, value in given.items()):
            raise MovedOn(standing.head)
        return act, {**place, **fields}

    def _append(
        self,
        kind: str,
        payload: Payload,
        wall_ms: int,
        seq: int,
        prev: bytes,
        anchor: bytes,
        private: bytes | None,
    ) -> Entry:
        assert self.log is not None
        entry = write(
            self.identity,
            log=self.log,
            seq=seq,
            prev=prev,
            anchor=anchor,
            time=wall_ms,
            stamp=self.time.stamp(self.log, self.pen, wall_ms),
            kind=kind,
            payload=payload,
            private=private,
        )
        if private is not None and not private_fits(entry, private):
            raise Malformed("the private text is not the one the payload names")
        place = self.take(entry)
        if place is not Place.NEXT:
            raise Malformed(f"it has no place in the own log ({place.name.lower()})")
        return entry
