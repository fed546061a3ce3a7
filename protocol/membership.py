"""The fold of the roster entries: which logs count, how far, and with which post and rights.

Knows admissions, revocations with their cuts, the opening of the match. Knows nothing of the record.
A pure function of the entries held: equal sets give an equal roster.

Of two stations that revoke each other the one with the higher post stays. A revocation or an admission past a
cut does not count; one written before the cut does.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from protocol import acts
from protocol.entry import Entry, Kind, decoded
from protocol.journal import Journal
from protocol.roster import Member, Post, Right


@dataclass(frozen=True, slots=True)
class Opened:
    """The entry that opened the match, and what it says."""

    entry: Entry
    voters: tuple[bytes, ...]
    charter: Mapping[str, object]
    fold: int
    posts: tuple[Post, ...]


@dataclass(frozen=True, slots=True)
class TakenOut:
    """A device that was taken out: the revocation that counts, its author's log, and who it was before."""

    entry: bytes
    by: bytes
    member: Member | None


@dataclass(frozen=True, slots=True)
class Roster:
    """Who belongs, as of one set of entries.

    `posts`: post of each log that counts ("" for a founding log before its own admission). `devices`: whose
    log it is. `cuts`: how many entries count of a log that a revocation cut. `members`, `admissions`: by
    device, without the revoked; the latest admission is the last. `revoked`: by device, how it was taken out.
    """

    opener: bytes
    opened: Opened | None = None
    posts: Mapping[bytes, str] = field(default_factory=dict)
    devices: Mapping[bytes, bytes] = field(default_factory=dict)
    cuts: Mapping[bytes, int] = field(default_factory=dict)
    members: Mapping[bytes, Member] = field(default_factory=dict)
    admissions: Mapping[bytes, tuple[bytes, ...]] = field(default_factory=dict)
    revoked: Mapping[bytes, TakenOut] = field(default_factory=dict)

    def counts(self, entry: Entry) -> bool:
        """Whether the entry's log counts and reaches this far."""
        return entry.log in self.posts and not self.past_cut(entry.log, entry.seq)

    def past_cut(self, log: bytes, seq: int) -> bool:
        cut = self.cuts.get(log)
        return cut is not None and seq >= cut

    def has(self, log: bytes, right: Right) -> bool:
        """Whether the post of a log carries a right."""
        post = self.posts.get(log)
        return post is not None and right in self.rights(post)

    def rights(self, post: str) -> frozenset[Right]:
        posts = self.opened.posts if self.opened else ()
        return next((known.rights for known in posts if known.label == post), frozenset())

    def height(self, post: str | None) -> int:
        """Greater for a higher post; 0 for one that is not listed."""
        labels = [known.label for known in self.opened.posts] if self.opened else []
        return len(labels) - labels.index(post) if post in labels else 0

    def admission_of(self, device: bytes) -> bytes | None:
        """Id of the latest admission of a device that counts; None when there is none."""
        return self.admissions[device][-1] if self.admissions.get(device) else None


def fold_roster(journal: Journal) -> Roster:
    """The roster that these entries give."""
    opened = _opened(journal)
    order = [post.label for post in opened.posts] if opened else []
    work = _Fold(journal, opened, order)
    for entry, revoke in work.revocations():
        work.revoke(entry, revoke)
    return work.result()


def _opened(journal: Journal) -> Opened | None:
    """Of several openings, which only a fault can make, the smallest id counts."""
    best: Opened | None = None
    for entry in _acts(journal, acts.OPEN):
        shape = decoded(entry.fields, acts.Open)
        if shape is None or journal.device_of(entry.log) != journal.opener:
            continue
        if best is None or entry.id < best.entry.id:
            posts = tuple(
                Post(post.label, frozenset(Right(right) for right in post.rights if right in set(Right)))
                for post in shape.posts
            )
            best = Opened(entry, tuple(dict.fromkeys(shape.voters)), shape.charter, shape.fold, posts)
    return best


def _acts(journal: Journal, act: str) -> list[Entry]:
    return sorted(
        (
            entry
            for log in journal.logs.values()
            if journal.admitted(log)
            for entry in log.entries
            if entry.kind == Kind.ROSTER and entry.act == act
        ),
        key=lambda entry: entry.id,
    )


class _Fold:
    """One pass: revocations are taken from the highest post down, each on what the ones before it left."""

    def __init__(self, journal: Journal, opened: Opened | None, order: list[str]) -> None:
        self.journal = journal
        self.opened = opened
        self.order = order
        self.cuts: dict[bytes, int] = {}
        self.ended: set[bytes] = set()  # admissions that a revocation ended
        self.by: dict[bytes, set[bytes]] = {}  # device -> devices that revoked it
        self.first: dict[bytes, Entry] = {}  # device -> the first revocation of it that counts
        self.admits = {
            entry.id: (entry, admit)
            for entry in _acts(journal, acts.ADMIT)
            if (admit := decoded(entry.fields, acts.Admit)) is not None
        }

    def revocations(self) -> Iterable[tuple[Entry, acts.Revoke]]:
        found = [
            (entry, revoke)
            for entry in _acts(self.journal, acts.REVOKE)
            if (revoke := decoded(entry.fields, acts.Revoke)) is not None
        ]
        return sorted(found, key=lambda pair: (self._low(self._post(pair[0].log)), pair[0].id))

    def revoke(self, entry: Entry, revoke: acts.Revoke) -> None:
        author = self.journal.device_of(entry.log)
        if author is None or not self._may(entry, Right.REVOKE):
            return
        if revoke.device in self.by.get(author, set()):
            return  # the other one revoked this author, and comes first
        self.by.setdefault(revoke.device, set()).add(author)
        self.first.setdefault(revoke.device, entry)
        self.ended.update(revoke.admissions)
        for log in self.journal.logs_of(revoke.device):
            if log.header.admission in revoke.admissions or log.header.admission is None:
                cut = revoke.cuts.get(log.id, 0)
                self.cuts[log.id] = min(cut, self.cuts.get(log.id, cut))

    def result(self) -> Roster:
        posts: dict[bytes, str] = {}
        devices: dict[bytes, bytes] = {}
        for log in self.journal.logs.values():
            post = self._post(log.id) if self._stands(log.id) else None
            if post is not None:
                posts[log.id] = post
                devices[log.id] = log.device
        members: dict[bytes, Member] = {}
        admissions: dict[bytes, list[bytes]] = {}
        for entry, admit in sorted(self.admits.values(), key=lambda pair: (pair[1].number, pair[0].id)):
            if entry.id not in self.ended and self._may(entry, Right.ADMIT):
                members[admit.device] = Member(
                    admit.device, admit.sign_key, admit.tls_cert, admit.binding, admit.post
                )
                admissions.setdefault(admit.device, []).append(entry.id)
        return Roster(
            opener=self.journal.opener,
            opened=self.opened,
            posts=posts,
            devices=devices,
            cuts=self.cuts,
            members=members,
            admissions={device: tuple(ids) for device, ids in admissions.items()},
            revoked={
                device: TakenOut(entry.id, entry.log, self._before(device))
                for device, entry in self.first.items()
                if device not in members
            },
        )

    def _before(self, device: bytes) -> Member | None:
        """A device as it was last admitted."""
        known = [
            (admit.number, entry.id, admit) for entry, admit in self.admits.values() if admit.device == device
        ]
        if not known:
            return None
        last = max(known, key=lambda one: one[:2])[2]
        return Member(last.device, last.sign_key, last.tls_cert, last.binding, last.post)

    def _low(self, post: str | None) -> int:
        return self.order.index(post) if post in self.order else len(self.order)

    def _post(self, log_id: bytes) -> str | None:
        log = self.journal.logs[log_id]
        if log.header.admission is None:
            own = [admit.post for entry, admit in self._own(log_id) if admit.device == log.device]
            return own[0] if own else ""
        known = self.admits.get(log.header.admission)
        return known[1].post if known else None

    def _own(self, log_id: bytes) -> list[tuple[Entry, acts.Admit]]:
        pairs = [pair for pair in self.admits.values() if pair[0].log == log_id]
        return sorted(pairs, key=lambda pair: pair[0].seq)

    def _stands(self, log_id: bytes) -> bool:
        """Whether the admission that a log stands on was made by somebody who might, before any cut."""
        log = self.journal.logs[log_id]
        if log.header.admission is None:
            return log.device == self.journal.opener
        known = self.admits.get(log.header.admission)
        return known is not None and self._may(known[0], Right.ADMIT)

    def _may(self, entry: Entry, right: Right) -> bool:
        cut = self.cuts.get(entry.log)
        if (cut is not None and entry.seq >= cut) or not self._stands(entry.log):
            return False
        if self.journal.device_of(entry.log) == self.journal.opener and right is Right.ADMIT:
            return True
        posts = self.opened.posts if self.opened else ()
        post = self._post(entry.log)
        return any(known.label == post and right in known.rights for known in posts)
