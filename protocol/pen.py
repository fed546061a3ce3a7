"""Who writes the record, and which entries of it count: the fold of pen and record entries.

Knows how openings and record entries become nodes of the tree (`branch` decides which branch counts). A pure
function of the entries held and the roster: equal sets give an equal standing. A record entry at the head
costs one step; anything else ranks the tree again when it is next asked for.
"""

from __future__ import annotations

from protocol import acts
from protocol.branch import Epoch, Node, Step, counted_path
from protocol.entry import Entry, Kind, decoded
from protocol.journal import Journal
from protocol.membership import Roster
from protocol.roster import Right
from protocol.standing import Standing as Standing
from protocol.standing import set_aside_heads as set_aside_heads


class _Missing(Exception):
    """An entry rests on something that is not held yet."""

    def __init__(self, on: bytes) -> None:
        self.on = on


class _Unfit(Exception):
    """An entry that no rule lets count."""


class Pen:
    """The tree of one match, kept up to date entry by entry."""

    def __init__(self, journal: Journal, roster: Roster) -> None:
        self._journal = journal
        self._roster = roster
        self.nodes: dict[bytes, Node] = {}
        self.takes: dict[bytes, tuple[Entry, acts.Take]] = {}
        self.votes: dict[bytes, tuple[Entry, acts.Vote]] = {}
        self.unfit: dict[bytes, Entry] = {}
        self.rankings = 0
        self._seen: set[bytes] = set()
        self._waiting: dict[bytes, list[Entry]] = {}
        self._path: list[Node] = []
        self._chain: list[Entry] = []
        self._position: dict[bytes, int] = {}
        self._epochs: tuple[Epoch, ...] = ()
        self._records = 0
        self._stale = True
        self._standing: Standing | None = None

    @classmethod
    def folded(cls, journal: Journal, roster: Roster) -> Pen:
        """The tree of everything the journal holds."""
        pen = cls(journal, roster)
        for entry in journal.in_order():
            pen.add(entry)
        return pen

    def add(self, entry: Entry) -> None:
        """Take one more entry of the journal, of whatever kind. Before the match is opened nothing counts."""
        if self._roster.opened is None:
            return
        stack = [entry]
        while stack:
            entry = stack.pop()
            try:
                self._place(entry)
            except _Missing as missing:
                self._waiting.setdefault(missing.on, []).append(entry)
                continue
            except _Unfit:
                self.unfit[entry.id] = entry
            self._seen.add(entry.id)
            stack.extend(self._waiting.pop(entry.id, ()))
            if entry.seq == 0:
                stack.extend(self._waiting.pop(entry.log, ()))

    def changed(self, roster: Roster) -> Pen:
        """The tree under another roster: this one if nothing in it can differ, else a new one."""
        old = self._roster
        same = old.opened == roster.opened and old.cuts == roster.cuts
        if same and all(roster.posts.get(log) == post for log, post in old.posts.items()):
            self._roster = roster
            return self
        return Pen.folded(self._journal, roster)

    def standing(self) -> Standing:
        """The record as it stands; the same object until something changes it."""
        if self._standing is None:
            self._rank()
            self._standing = self._result()
        return self._standing

    def path(self) -> list[Node]:
        """Nodes of the branch that counts, root first."""
        self._rank()
        return self._path

    def position(self, entry_id: bytes) -> int | None:
        """Place of an opening, record entry or seal on that branch; None when it is not on it."""
        self._rank()
        return self._position.get(entry_id)

    def _rank(self) -> None:
        if self._stale and self.nodes:
            nodes = list(self.nodes.values())
            self._path = counted_path(nodes[0], nodes)
            self._chain = [node.entry for node in self._path if node.is_record]
            self._epochs = tuple(node.epoch for node in self._path if node.epoch.id == node.entry.id)
            self._position = {node.entry.id: place for place, node in enumerate(self._path)}
            self.rankings += 1
        self._stale = False

    def _result(self) -> Standing:
        if not self._path:
            return Standing()
        tip = self._path[-1]
        aside: list[Entry] = []
        if self._records > len(self._chain):
            on_path = {entry.id for entry in self._chain}
            lost = [node for node in self.nodes.values() if node.is_record and node.entry.id not in on_path]
            aside = [node.entry for node in sorted(lost, key=lambda node: (node.count, node.entry.id))]
        return Standing(
            chain=tuple(self._chain),
            head=tip.head,
            epoch=tip.epoch.id,
            holder_log=tip.epoch.holder,
            set_aside=tuple(aside),
            sealed=tip.is_seal,
            firm=tip.epoch.firm,
            voters=tip.epoch.voters,
            epochs=self._epochs,
        )

    def _place(self, entry: Entry) -> None:
        opened = self._roster.opened
        assert opened is not None
        if entry.id == opened.entry.id:
            epoch = Epoch(entry.id, entry.log, opened.voters, True, Step.CHOSEN, entry.id)
            self._grow(Node(entry, None, epoch, entry.id, 0, Step.CHOSEN))
        elif entry.kind == Kind.RECORD:
            self._place_record(entry)
        elif entry.kind == Kind.PEN:
            self._place_pen(entry)
        elif entry.kind == Kind.ROSTER and entry.act == acts.SEAL:
            self._place_seal(entry)

    def _grow(self, node: Node) -> None:
        self.nodes[node.entry.id] = node
        if node.parent is not None:
            node.parent.children.append(node)
        self._records += node.is_record
        self._standing = None
        at_tip = self._path and node.parent is self._path[-1] and len(node.parent.children) == 1
        if node.is_record and at_tip and not self._stale:
            self._position[node.entry.id] = len(self._path)
            self._path.append(node)
            self._chain.append(node.entry)
        else:
            self._stale = True

    def _place_record(self, entry: Entry) -> None:
        write = decoded(entry.fields, acts.Write)
        if write is None or entry.act != acts.WRITE:
            raise _Unfit
        parent = self._parent(write.epoch, entry.anchor)
        if entry.log != parent.epoch.holder or write.index != parent.count:
            raise _Unfit
        step = Step.PLAIN if self._roster.counts(entry) else Step.REVOKED
        self._grow(Node(entry, parent, parent.epoch, entry.id, parent.count + 1, step, is_record=True))

    def _parent(self, epoch_id: bytes, head: bytes) -> Node:
        """The place in an epoch at which this head is the last record entry."""
        opening = self._node(epoch_id)
        if opening.epoch.id != epoch_id:
            raise _Unfit
        if opening.epoch.start == head:
            return opening
        node = self._node(head)
        if not node.is_record or node.epoch.id != epoch_id:
            raise _Unfit
        return node

    def _node(self, entry_id: bytes) -> Node:
        node = self.nodes.get(entry_id)
        if node is None:
            if entry_id in self.unfit:
                raise _Unfit
            raise _Missing(entry_id)
        return node

    def _place_seal(self, entry: Entry) -> None:
        seal = decoded(entry.fields, acts.Seal)
        if seal is None or seal.number < 1:
            raise _Unfit
        parent = self._parent(seal.epoch, entry.anchor)
        if entry.log != parent.epoch.holder or not parent.epoch.firm or not self._roster.counts(entry):
            raise _Unfit
        signed = self._held(seal.sign_off)
        sign_off = decoded(signed.fields, acts.SignOff)
        if sign_off is None or signed.kind != Kind.FREE or signed.act != acts.SIGN_OFF:
            raise _Unfit
        right = self._roster.counts(signed) and self._roster.has(signed.log, Right.SIGN_OFF)
        if not right or sign_off.number != seal.number or signed.anchor != entry.anchor:
            raise _Unfit
        node = Node(entry, parent, parent.epoch, parent.head, parent.count, Step.PLAIN)
        node.seal = (seal.number, entry.id)
        node.rests_on = (signed,)
        self._grow(node)

    def _held(self, entry_id: bytes) -> Entry:
        entry = self._journal.get(entry_id)
        if entry is None or entry_id not in self._seen:
            raise _Missing(entry_id)
        return entry

    def _place_pen(self, entry: Entry) -> None:
        fields = entry.fields
        if entry.act == acts.TAKE and (take := decoded(fields, acts.Take)):
            self.takes[entry.id] = (entry, take)
        elif entry.act == acts.VOTE and (vote := decoded(fields, acts.Vote)):
            self.votes[entry.id] = (entry, vote)
        elif entry.act == acts.GRANT and (grant := decoded(fields, acts.Grant)):
            self._place_grant(entry, grant)
        elif entry.act == acts.OPEN and (opening := decoded(fields, acts.Opening)):
            self._place_opening(entry, opening)
        elif entry.act == acts.CHOOSE and (choose := decoded(fields, acts.Choose)):
            self._place_choice(entry, choose)
        else:
            raise _Unfit

    def _open(self, entry: Entry, parent: Node, epoch: Epoch) -> Node:
        node = Node(entry, parent, epoch, parent.head, parent.count, epoch.step)
        self._grow(node)
        return node

    def _place_grant(self, entry: Entry, grant: acts.Grant) -> None:
        parent = self._parent(grant.epoch, entry.anchor)
        left = parent.epoch
        if entry.log != left.holder:
            raise _Unfit
        step = Step.GRANT if self._roster.counts(entry) else Step.REVOKED
        firm = left.firm and step is Step.GRANT
        self._open(entry, parent, Epoch(entry.id, grant.to, left.voters, firm, step, entry.anchor, left.id))

    def _place_choice(self, entry: Entry, choose: acts.Choose) -> None:
        if not self._roster.has(entry.log, Right.CHOOSE):
            raise _Unfit
        parent = self._node(entry.anchor)
        if parent.head != entry.anchor:
            raise _Unfit
        counts = self._roster.counts(entry)
        step = Step.CHOSEN if counts else Step.REVOKED
        voters = parent.epoch.voters
        epoch = Epoch(entry.id, choose.to, voters, counts, step, entry.anchor, parent.epoch.id)
        node = Node(entry, parent, epoch, parent.head, parent.count, step)
        if counts:
            height = self._roster.height(self._roster.posts.get(entry.log))
            node.choice = (choose.number, height, entry.id)
        self._grow(node)

    def _place_opening(self, entry: Entry, opening: acts.Opening) -> None:
        parent = self._parent(opening.epoch, entry.anchor)
        left = parent.epoch
        if opening.how == acts.CERTIFIED:
            self._place_certified(entry, opening, parent)
            return
        if opening.how == acts.RESTART:
            right = self._same_device(entry.log, left.holder) and entry.log != left.holder
        elif opening.how == acts.FORCED:
            right = self._roster.has(entry.log, Right.TAKE)
        else:
            right = False
        if not right:
            raise _Unfit
        step = Step.FORCED if self._roster.counts(entry) else Step.REVOKED
        self._open(entry, parent, Epoch(entry.id, entry.log, left.voters, False, step, entry.anchor, left.id))

    def _same_device(self, one: bytes, other: bytes) -> bool:
        for log in (one, other):
            if log not in self._journal.logs:
                raise _Missing(log)
        return self._journal.device_of(one) == self._journal.device_of(other)

    def _place_certified(self, entry: Entry, opening: acts.Opening, parent: Node) -> None:
        """A certificate counts in full, whatever was revoked later."""
        left = parent.epoch
        if opening.take is None:
            raise _Unfit
        self._held(opening.take)
        taken = self.takes.get(opening.take)
        if taken is None:
            raise _Unfit
        by, take = taken
        may = self._roster.has(by.log, Right.TAKE) or self._same_device(by.log, left.holder)
        if by.log != entry.log or take.epoch != left.id or not may:
            raise _Unfit
        votes = [self._vote_for(opening.take, vote, take, parent) for vote in opening.votes]
        said = {self._journal.device_of(vote.log) for vote in votes}
        if len(said & set(left.voters)) < left.majority:
            raise _Unfit
        voters = tuple(dict.fromkeys(take.voters)) if take.voters else left.voters
        epoch = Epoch(
            entry.id, entry.log, voters, True, Step.CERTIFIED, entry.anchor, left.id, round=take.round
        )
        self._open(entry, parent, epoch).rests_on = (by, *votes)

    def _vote_for(self, take_id: bytes, vote_id: bytes, take: acts.Take, parent: Node) -> Entry:
        """The vote, if it is for this take and its record is inside the opening's."""
        self._held(vote_id)
        known = self.votes.get(vote_id)
        if known is None:
            raise _Unfit
        entry, vote = known
        if vote.take != take_id or vote.epoch != take.epoch or vote.round != take.round:
            raise _Unfit
        if not _reaches(parent, self._node(entry.anchor)):
            raise _Unfit
        return entry


def _reaches(node: Node, head: Node) -> bool:
    """Whether `head` is the last record entry at `node`, or before it."""
    at: Node | None = node
    while at is not None and at.count >= head.count:
        if at.head == head.entry.id or at is head:
            return True
        at = at.parent
    return False
