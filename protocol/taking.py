"""How the pen changes hands at this station: taking it in rounds, voting, certificates, granting, choosing.

Knows when to ask, when to vote, when an opening is due. What counts in the end is decided by the fold alone
(`pen`, `branch`); nothing here can make an entry count. Silence is a local judgement, by our own clock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from protocol import acts
from protocol.book import Book
from protocol.entry import Entry, Fields, Kind
from protocol.hearing import Hearing
from protocol.pen import Standing
from protocol.roster import Right
from protocol.write_error import HolderHeard, NoMajority, NoRight, NotReady

RETRY_SECONDS = 4.0
RETRY_SPREAD = 2.0
TAKE_IS_FRESH = 6.0
GIVE_UP_SECONDS = 60.0
SETTLE_SECONDS = 0.5
LOOK_SECONDS = 0.25


@dataclass(frozen=True, slots=True)
class Asking:
    """A take that is under way: its round, the votes it has and needs, of how many voters, since when (s)."""

    round: int
    votes: int
    needed: int
    voters: int
    began: float


@dataclass(slots=True)
class _Try:
    epoch: bytes
    round: int
    take: bytes
    began: float
    retry: float
    own: bool  # for an epoch that this device holds already: nobody has to be silent
    voters: tuple[bytes, ...] | None


class Taking:
    """The pen work of one station. `random` gives numbers in [0, 1) that spread the retries."""

    def __init__(self, book: Book, hearing: Hearing, random: Callable[[], float]) -> None:
        self._book = book
        self._hearing = hearing
        self._random = random
        self._try: _Try | None = None
        self._seen: dict[bytes, float] = {}  # takes of the current epoch: when they came
        self._wish_since: float | None = None
        self._look: float | None = None  # when to look again at a take that cannot be voted for yet

    # -- what the station is told -----------------------------------------------------------------------

    def came(self, entry: Entry, now: float) -> None:
        """An entry of another station came."""
        if entry.kind == Kind.PEN and entry.act == acts.TAKE:
            self._seen[entry.id] = now

    def asking(self) -> Asking | None:
        """The take that a person at this station has begun, if it is still open."""
        if self._try is None or self._try.own:
            return None
        standing, attempt = self._book.standing(), self._try
        votes = len(self._votes_for(attempt))
        return Asking(attempt.round, votes, standing.majority, len(standing.voters), attempt.began)

    def confirming(self) -> bool:
        """Whether a take of the writer's own is open."""
        return self._try is not None and self._try.own

    def due(self) -> float | None:
        """When `work` is due next; None when nothing waits for time."""
        times = [self._try.retry] if self._try else []
        if self._wish_since is not None:
            times.append(self._wish_since + SETTLE_SECONDS)
        if self._look is not None:
            times.append(self._look)
        return min(times, default=None)

    # -- what a person asks for -------------------------------------------------------------------------

    def take(self, now: float, wall_ms: int, voters: tuple[bytes, ...] | None = None) -> list[Entry]:
        """Begin to take the pen; nothing new while that is under way.

        Errors: NoRight, HolderHeard, NoMajority, NotReady.
        """
        self._need_right(Right.TAKE, "take the pen")
        standing = self._open_record()
        if self._book.holds_pen():
            raise NotReady("You write already.")
        if not self._hearing.holder_silent(now):
            raise HolderHeard
        reached = self._hearing.in_reach(now)
        if reached < standing.majority:
            raise NoMajority(reached, standing.majority)
        if self._asks(standing.epoch, voters):
            return []  # another round now would only void the votes that are on their way
        return self._ask(now, wall_ms, own=False, began=now, voters=voters)

    def _asks(self, epoch: bytes, voters: tuple[bytes, ...] | None) -> bool:
        """Whether a person's take of this epoch, with these voters, is under way."""
        now = self._try
        return now is not None and not now.own and (now.epoch, now.voters) == (epoch, voters)

    def name_voters(self, voters: tuple[bytes, ...], now: float, wall_ms: int) -> list[Entry]:
        """The writer lets these devices decide who writes; the present voters certify it.

        Errors: NoRight, NotReady.
        """
        self._open_record()
        if not (self._book.holds_pen() or self._book.held_by_earlier_run()):
            raise NoRight("name who decides who writes")
        return self._ask(now, wall_ms, own=True, began=now, voters=voters)

    def stop(self) -> None:
        """Stop asking. Votes that were given stay given."""
        self._try = None

    def force(self, wall_ms: int) -> list[Entry]:
        """Open an epoch for this station without asking anybody. Errors: NoRight, NotReady."""
        self._need_right(Right.TAKE, "write without asking")
        standing = self._open_record()
        if self._book.holds_pen():
            raise NotReady("You write already.")
        return [self._open({"epoch": standing.epoch, "how": acts.FORCED}, wall_ms)]

    def grant(self, to: bytes, wall_ms: int) -> list[Entry]:
        """Give the pen to the present log of a device. Errors: NoRight, NotReady."""
        standing = self._open_record()
        if not self._book.holds_pen():
            raise NoRight("give the pen away")
        fields: Fields = {"epoch": standing.epoch, "to": self._log_of(to)}
        return [self._book.append(Kind.PEN, (acts.GRANT, fields), wall_ms)]

    def choose(self, head: bytes, to: bytes, wall_ms: int) -> list[Entry]:
        """Open an epoch on any head of the record, for a device. Errors: NoRight, NotReady."""
        self._need_right(Right.CHOOSE, "choose which record counts")
        node = self._book.pen.nodes.get(head)
        if node is None or node.head != head:
            raise NotReady("That is not a line of the record.")
        number = 1 + max(other.choice[0] for other in self._book.pen.nodes.values())
        fields: Fields = {"number": number, "to": self._log_of(to)}
        return [self._book.append(Kind.PEN, (acts.CHOOSE, fields), wall_ms, anchor=head)]

    def _log_of(self, device: bytes) -> bytes:
        """The log a device writes in now: the one that closes most of its others."""
        logs = [log for log in self._book.journal.logs_of(device) if log.id in self._book.roster.posts]
        if not logs or self._book.member(device) is None:
            raise NotReady("That device is not there yet.")
        return max(logs, key=lambda log: (len(log.header.closes), log.id)).id

    def _need_right(self, right: Right, asked: str) -> None:
        if self._book.log is None or not self._book.roster.has(self._book.log, right):
            raise NoRight(asked)

    def _open_record(self) -> Standing:
        standing = self._book.standing()
        if standing.holder_log is None:
            raise NotReady("The match has not been opened yet.")
        if standing.sealed:
            raise NotReady("The record is closed.")
        return standing

    # -- what happens by itself -------------------------------------------------------------------------

    def work(self, now: float, wall_ms: int) -> list[Entry]:
        """Votes, retries, openings that are due now. Call until it gives nothing."""
        standing = self._book.standing()
        if self._book.log is None or self._book.log not in self._book.roster.posts or standing.sealed:
            self._try = self._look = self._wish_since = None
            return []
        self._forget(standing, now)
        return (
            self._opening(wall_ms)
            or self._vote(now, wall_ms)
            or self._again(now, wall_ms)
            or self._own_wish(now, wall_ms)
        )

    def _forget(self, standing: Standing, now: float) -> None:
        if self._try is not None:
            over = self._try.epoch != standing.epoch or now - self._try.began >= GIVE_UP_SECONDS
            if over or (not self._try.own and not self._hearing.holder_silent(now)):
                self._try = None
        for take, came in list(self._seen.items()):
            if now - came >= TAKE_IS_FRESH:
                del self._seen[take]
        self._look = now + LOOK_SECONDS if self._seen else None

    def _ask(
        self, now: float, wall_ms: int, *, own: bool, began: float, voters: tuple[bytes, ...] | None
    ) -> list[Entry]:
        standing = self._book.standing()
        number = 1 + max(self._rounds(standing.epoch), default=0)
        fields: dict[str | bytes, object] = {"epoch": standing.epoch, "round": number}
        if voters:
            fields["voters"] = list(voters)
        take = self._book.append(Kind.PEN, (acts.TAKE, fields), wall_ms)  # type: ignore[arg-type]
        self._try = _Try(standing.epoch, number, take.id, began, now + self._pause(), own, voters)
        made = [take]
        if self._book.identity.device in standing.voters:
            made.append(self._vote_for(take.id, standing.epoch, number, wall_ms))
        return made

    def _pause(self) -> float:
        """Four to six seconds; of rivals the higher post comes first."""
        roster = self._book.roster
        posts = max(1, len(roster.opened.posts) if roster.opened else 1)
        below = 1.0 - roster.height(self._book.post()) / posts
        return RETRY_SECONDS + RETRY_SPREAD * min(1.0, 0.8 * below + 0.2 * self._random())

    def _rounds(self, epoch: bytes) -> list[int]:
        return [take.round for _, take in self._book.pen.takes.values() if take.epoch == epoch]

    def _vote_for(self, take: bytes, epoch: bytes, number: int, wall_ms: int) -> Entry:
        fields: Fields = {"take": take, "epoch": epoch, "round": number}
        return self._book.append(Kind.PEN, (acts.VOTE, fields), wall_ms)

    def _open(self, fields: Fields, wall_ms: int) -> Entry:
        return self._book.append(Kind.PEN, (acts.OPEN, fields), wall_ms)

    def _voted(self, epoch: bytes) -> int:
        """Highest round of this epoch that this device has voted for, in any run."""
        mine = self._book.identity.device
        device_of = self._book.journal.device_of
        return max(
            (
                vote.round
                for entry, vote in self._book.pen.votes.values()
                if vote.epoch == epoch and device_of(entry.log) == mine
            ),
            default=0,
        )

    def _vote(self, now: float, wall_ms: int) -> list[Entry]:
        standing = self._book.standing()
        if not self._seen or self._book.identity.device not in standing.voters:
            return []
        best: tuple[int, Entry] | None = None
        for take_id in self._seen:
            entry, take = self._book.pen.takes.get(take_id, (None, None))
            if entry is None or take is None or take.epoch != standing.epoch:
                continue
            if self._may_vote(entry, standing, now) and (best is None or take.round > best[0]):
                best = (take.round, entry)
        if best is None or best[0] <= self._voted(standing.epoch):
            return []
        if self._try is not None and best[0] > self._try.round:
            self._try = None  # a higher round is under way; our own would only cross it
        return [self._vote_for(best[1].id, standing.epoch, best[0], wall_ms)]

    def _may_vote(self, take: Entry, standing: Standing, now: float) -> bool:
        roster, device_of = self._book.roster, self._book.journal.device_of
        if not roster.counts(take):
            return False
        assert standing.holder_log is not None
        if device_of(take.log) == device_of(standing.holder_log):
            return True
        mine = self._book.holds_pen() or self._book.held_by_earlier_run()
        return not mine and roster.has(take.log, Right.TAKE) and self._hearing.holder_silent(now)

    def _votes_for(self, attempt: _Try) -> list[Entry]:
        """One vote of each voter for this take, if all that it names is on the record here."""
        standing = self._book.standing()
        found: dict[bytes, Entry] = {}
        for entry, vote in self._book.pen.votes.values():
            device = self._book.journal.device_of(entry.log)
            if vote.take == attempt.take and device in standing.voters:
                if self._book.pen.position(entry.anchor) is not None:
                    found[device] = entry
        return [found[device] for device in sorted(found)]

    def _opening(self, wall_ms: int) -> list[Entry]:
        """A majority has voted, and the longest record it named is here: open the epoch."""
        if self._try is None:
            return []
        votes = self._votes_for(self._try)
        if len(votes) < self._book.standing().majority:
            return []
        fields: Fields = {
            "epoch": self._try.epoch,
            "how": acts.CERTIFIED,
            "take": self._try.take,
            "votes": [vote.id for vote in votes],
        }
        self._try = None
        return [self._open(fields, wall_ms)]

    def _again(self, now: float, wall_ms: int) -> list[Entry]:
        """The round brought no majority: ask in the next one, if that has a chance."""
        if self._try is None or now < self._try.retry:
            return []
        attempt = self._try
        if self._hearing.in_reach(now) < self._book.standing().majority:
            attempt.retry = now + self._pause()
            return []
        return self._ask(now, wall_ms, own=attempt.own, began=attempt.began, voters=attempt.voters)

    def _own_wish(self, now: float, wall_ms: int) -> list[Entry]:
        """A writer that nobody confirmed asks for a certificate as soon as a majority is in reach."""
        if self._try is not None or not self._unconfirmed():
            self._wish_since = None
            return []
        if self._hearing.in_reach(now) < self._book.standing().majority:
            self._wish_since = None
            return []
        if self._wish_since is None:
            self._wish_since = now
        if now - self._wish_since < SETTLE_SECONDS:
            return []
        self._wish_since = None
        return self._ask(now, wall_ms, own=True, began=now, voters=None)

    def _unconfirmed(self) -> bool:
        """Whether the pen is this device's, and its epoch is not firm, or voted away, or an earlier run's."""
        if self._book.held_by_earlier_run():
            return True
        if not self._book.holds_pen():
            return False
        standing = self._book.standing()
        return not standing.firm or any(
            vote.epoch == standing.epoch for _, vote in self._book.pen.votes.values()
        )
