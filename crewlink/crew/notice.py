"""One notice: what was raised, how far it came at each post, and how it ended.

A notice is a set of acts. Every reduction here is a minimum or a union, so acts give the same notice in
any order and any number of times, also when an answer arrives before the raise. What came first or last is
told by stamps, which no wrong clock disturbs; `time` is for how long ago. What follows from the
match (held, lapsed) is not stored: `crewlink.crew.life` reads it against the court.
Levels, steps and states: the words are those of ANSI/ISA-18.2's alarm states where they apply, ours else.
"""

from __future__ import annotations

from enum import IntEnum

from msgspec import Struct, structs

from crewlink.crew.kinds import LEVELS, all_kinds
from crewlink.crew.posts import CREW, Post


class Act(Struct, frozen=True):
    """A free entry as the crew reads it: who (`post`, `device`), when (`time`, own clock, ms), its
    place among the acts of all (`stamp`), at which record entry (`anchor`), and what (`name`, `fields`)."""

    id: bytes
    post: str
    device: bytes
    anchor: bytes
    time: int
    stamp: int
    name: str
    fields: dict[str, object]

    def text(self, key: str) -> str:
        """The text under `key`, or "" where it is missing or no text."""
        value = self.fields.get(key)
        return value if isinstance(value, str) else ""

    def octets(self, key: str) -> bytes:
        """The bytes under `key`, or b"" where they are missing or no bytes."""
        value = self.fields.get(key)
        return value if isinstance(value, bytes) else b""

    def number(self, key: str) -> int | None:
        """The whole number under `key`, or None."""
        value = self.fields.get(key)
        return value if isinstance(value, int) and not isinstance(value, bool) else None

    def ids(self, key: str) -> tuple[bytes, ...]:
        """The list of bytes under `key`; anything else in it is passed over."""
        value = self.fields.get(key)
        return tuple(v for v in value if isinstance(v, bytes)) if isinstance(value, (list, tuple)) else ()

    def names(self, key: str) -> tuple[str, ...]:
        """The list of texts under `key`; anything else in it is passed over."""
        value = self.fields.get(key)
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, (list, tuple)) else ()


class Mark(Struct, frozen=True, order=True):
    """An act of one post on a notice: stamp, entry id, whose device, who entered it, own-clock time (ms)."""

    stamp: int
    entry: bytes
    device: bytes
    by: str
    time: int


class Raised(Struct, frozen=True, order=True):
    """A raise of a notice; several stations may raise the same one, the least by (stamp, entry) speaks.

    `level`: as it was sent, "" for the kind's own. `closed_by`: the one post that may close it, "" for the
    kind's rule. `entries`: what it is about, for entries that do not count.
    """

    stamp: int
    entry: bytes
    device: bytes
    post: str
    kind: str
    anchor: bytes
    time: int
    asks: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    team: str = ""
    number: int = -1
    due: int = -1
    detail: str = ""
    subject: str = ""
    joins: bytes = b""
    on_behalf: str = ""
    in_play: bool = False
    level: str = ""
    closed_by: str = ""
    entries: tuple[bytes, ...] = ()

    @property
    def urgency(self) -> str:
        """Its level: as it was sent, else the kind's."""
        kind = all_kinds()[self.kind]
        return self.level if kind.as_sent and self.level in LEVELS else kind.level

    @property
    def behind(self) -> tuple[str, ...]:
        """The posts that raised it: the one whose sign was seen, and the one that entered it; none where the
        program did, on whatever device.
        """
        if all_kinds()[self.kind].by_program:
            return ()
        return tuple(dict.fromkeys((self.on_behalf or self.post, self.post)))


class Wait(Struct, frozen=True, order=True):
    """A post that must answer holds the notice to the next dead ball after `anchor`."""

    stamp: int
    entry: bytes
    anchor: bytes


class Joined(Struct, frozen=True, order=True):
    """A raise that joined this notice on purpose: who, and whom that one asks besides."""

    entry: bytes
    post: str
    asks: tuple[str, ...]


class EndKind(IntEnum):
    """How a notice was ended by an act, in the rank that decides when two acts cross."""

    CLOSED = 0
    WITHDRAWN = 1


class End(Struct, frozen=True, order=True):
    """An ending: rank first, then stamp and entry id, so all stations pick the same.

    `by` entered it; where `by` is another than `post`, `post` gave a sign.
    """

    rank: int
    stamp: int
    entry: bytes
    device: bytes
    post: str
    by: str
    reason: str
    time: int


class Notice(Struct, frozen=True):
    """All acts about one notice.

    `raised` is None until its raise arrives; `raisers`: the posts that raised it, each by itself.
    """

    id: bytes
    raised: Raised | None = None
    raisers: tuple[str, ...] = ()
    shown: dict[str, Mark] = {}
    answers: dict[str, Mark] = {}
    relayed: dict[str, Mark] = {}
    steps: dict[str, Mark] = {}
    ends: tuple[End, ...] = ()
    joined: tuple[Joined, ...] = ()
    waits: dict[str, Wait] = {}

    @property
    def asks(self) -> tuple[str, ...]:
        """Posts that must answer: those of the raise, then those that a joined raise added."""
        if self.raised is None:
            return ()
        more = [post for one in self.joined for post in one.asks if post not in self.raised.behind]
        return tuple(dict.fromkeys((*self.raised.asks, *more)))

    @property
    def end(self) -> End | None:
        """The ending that counts: the least by (rank, stamp, entry) of those whose post may end this kind."""
        if self.raised is None:
            return None
        return next((end for end in self.ends if _may_end(self.raised, end)), None)

    @property
    def all_answered(self) -> bool:
        """Every post that must answer did, by itself or by a sign that another entered."""
        return self.raised is not None and not self.unanswered

    @property
    def unanswered(self) -> tuple[str, ...]:
        """Posts that must answer and have not; who joined it knows."""
        raisers = self.raisers if self.raised is not None and self.raised.behind else ()
        knows = {*self.answers, *self.relayed, *raisers, *(one.post for one in self.joined)}
        return tuple(post for post in self.asks if post not in knows)


def may_close(raised: Raised, post: str) -> bool:
    """Whether a post may close what was raised: the post it names, if it names one; an outcome is R1's; else
    raiser and R1, and the crew or who was asked what only needs to be dealt with.
    """
    if raised.closed_by:
        return post == raised.closed_by
    kind = all_kinds()[raised.kind]
    if kind.ends == "outcome":
        return post == Post.R1
    anybody = kind.ends in ("closed", "missing")
    return post in (*raised.behind, Post.R1) or (anybody and post in (*CREW, *raised.asks))


def _may_end(raised: Raised, end: End) -> bool:
    """Whether `end.post` may end what was raised; a withdrawal is its raiser's and R1's."""
    if end.rank == EndKind.WITHDRAWN:
        return end.post in (*raised.behind, Post.R1)
    return may_close(raised, end.post)


def with_raise(notice: Notice, raised: Raised) -> Notice:
    """The notice with one more raise of it."""
    first = raised if notice.raised is None else min(notice.raised, raised)
    raisers = tuple(sorted({*notice.raisers, raised.on_behalf or raised.post}))
    return structs.replace(notice, raised=first, raisers=raisers)


def with_mark(notice: Notice, field: str, post: str, mark: Mark) -> Notice:
    """The notice with a mark of `post` under `field` ("shown", "answers", "relayed", "steps")."""
    marks: dict[str, Mark] = getattr(notice, field)
    old = marks.get(post)
    if old is not None and old <= mark:
        return notice
    return structs.replace(notice, **{field: {**marks, post: mark}})


def with_end(notice: Notice, end: End) -> Notice:
    """The notice with one more ending, kept in the order in which they count."""
    return structs.replace(notice, ends=tuple(sorted({*notice.ends, end})))


def with_join(notice: Notice, joined: Joined) -> Notice:
    """The notice with another raise that joined it on purpose."""
    return structs.replace(notice, joined=tuple(sorted({*notice.joined, joined})))


def with_wait(notice: Notice, post: str, wait: Wait) -> Notice:
    """The notice with one more hold to the next dead ball; of several by one post the newest counts."""
    newest = max(wait, notice.waits.get(post, wait))
    return structs.replace(notice, waits={**notice.waits, post: newest})


def raised_from(act: Act) -> Raised:
    """A raise out of its act."""
    number, due = act.number("number"), act.number("due")
    return Raised(
        stamp=act.stamp,
        entry=act.id,
        device=act.device,
        post=act.post,
        kind=act.text("kind"),
        anchor=act.anchor,
        time=act.time,
        asks=act.names("asks"),
        left_out=act.names("left_out"),
        team=act.text("team"),
        number=-1 if number is None else number,
        due=-1 if due is None else due,
        detail=act.text("detail"),
        subject=act.text("subject"),
        joins=act.octets("joins"),
        on_behalf=act.text("on_behalf"),
        in_play=act.fields.get("in_play") is True,
        level=act.text("level"),
        closed_by=act.text("closed_by"),
        entries=act.ids("entries"),
    )
