"""A match told entry by entry, by whoever signs it, so that the fold can be shown anything signed."""

from __future__ import annotations

import random

from protocol import acts
from protocol.entry import Entry, Kind, write
from protocol.journal import Journal, Place
from protocol.membership import fold_roster
from protocol.pen import Pen, Standing
from protocol.stamp import stamp_of
from tests.protocol.hall import WALL, Hall

SCORER, R1, R2, ASSISTANT = range(4)


class Story:
    """Four admitted stations; the first is the opener, all four vote."""

    def __init__(self) -> None:
        hall = Hall(4)
        self.hall = hall
        self.journal: Journal = hall[0].peer.journal
        opened = hall[0].peer.roster.opened
        assert opened is not None
        self.root = opened.entry.id
        self.logs = [station.peer.log or b"" for station in hall.stations]
        self.clock = [WALL] * 4
        self.entries = list(self.journal.in_order())

    def say(self, who: int, kind: str, act: str, anchor: bytes, **fields: object) -> Entry:
        """The next entry of a station's log."""
        log = self.journal.logs[self.logs[who]]
        entry = write(
            self.hall[who].keys,
            log=log.id,
            seq=len(log.entries),
            prev=log.entries[-1].id,
            anchor=anchor,
            time=self.clock[who],
            stamp=stamp_of(self.clock[who]) + len(self.entries),
            kind=kind,
            payload=(act, fields),  # type: ignore[arg-type]
        )
        assert self.journal.add(entry) is Place.NEXT
        self.entries.append(entry)
        return entry

    def record(self, who: int, epoch: bytes, head: bytes, index: int, count: int = 1) -> bytes:
        """So many record entries one after another; the id of the last."""
        for number in range(count):
            place = {"epoch": epoch, "index": index + number, "fact": [who, index + number]}
            head = self.say(who, Kind.RECORD, acts.WRITE, head, **place).id
        return head

    def certified(
        self, who: int, epoch: bytes, head: bytes, number: int, votes_of: tuple[int, ...], **more: object
    ) -> bytes:
        """A take with these votes, all on this head, and the opening that they certify."""
        take = self.say(who, Kind.PEN, acts.TAKE, head, epoch=epoch, round=number, **more)
        votes = [self.vote(voter, take.id, epoch, number, head) for voter in votes_of]
        return self.open(who, epoch, head, acts.CERTIFIED, take=take.id, votes=votes)

    def vote(self, who: int, take: bytes, epoch: bytes, number: int, head: bytes) -> bytes:
        return self.say(who, Kind.PEN, acts.VOTE, head, take=take, epoch=epoch, round=number).id

    def open(self, who: int, epoch: bytes, head: bytes, how: str, **more: object) -> bytes:
        return self.say(who, Kind.PEN, acts.OPEN, head, epoch=epoch, how=how, **more).id

    def pen(self) -> Pen:
        return Pen.folded(self.journal, fold_roster(self.journal))

    def standing(self) -> Standing:
        """The fold; first made sure that no other order of the same entries gives another."""
        found = self.pen().standing()
        for seed in range(6):
            assert self.reordered(seed) == found
        return found

    def reordered(self, seed: int) -> Standing:
        """The standing when the entries come in another order and are folded in one by one."""
        rng = random.Random(seed)
        journal = Journal(self.journal.match, self.journal.opener)
        pen = Pen(journal, fold_roster(journal))
        waiting = self.entries[:]
        while waiting:
            rng.shuffle(waiting)
            left = []
            for entry in waiting:
                if journal.add(entry) is not Place.NEXT:
                    left.append(entry)
                    continue
                pen.add(entry)
                if entry.kind == Kind.ROSTER:
                    pen = pen.changed(fold_roster(journal))
                if rng.random() < 0.2:
                    pen.standing()
            assert len(left) < len(waiting)
            waiting = left
        return pen.standing()

    def counted(self) -> list[object]:
        return [entry.fields["fact"] for entry in self.standing().chain]

    def aside(self) -> list[object]:
        return [entry.fields["fact"] for entry in self.standing().set_aside]
