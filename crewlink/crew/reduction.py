"""The crew: what all free entries of a match come to, whatever order they arrive in.

`reduce(crew, act)` is the one step. It never looks at the match, a clock or a link; what depends on the
record (held, lapsed, stale ready) is read later against the chain. Acts of a newer program are counted
and otherwise passed over; acts that the post may not do are counted under `ignored` and change nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct, structs

from crewlink.crew import notice as n
from crewlink.crew.kinds import all_kinds
from crewlink.crew.notice import Act, End, EndKind, Mark, Notice
from crewlink.crew.permissions import may_act
from crewlink.crew.signed import SIGN_OFF, SIGNED, Signed, signed_from


class Request(Struct, frozen=True):
    """A command that a post without the pen asked for, and what the writer made of it."""

    id: bytes
    post: str = ""
    device: bytes = b""
    time: int = 0
    stamp: int = 0
    anchor: bytes = b""
    command: tuple[str, dict[str, object]] | None = None
    cause: bytes = b""
    on_behalf: str = ""
    refusals: dict[bytes, dict[str, object]] = {}


class Vote(Struct, frozen=True, order=True):
    """What one official said to a proposal. `own`: by himself; else `by` entered a sign that it saw.

    Of several the last one of his own counts, and only without one the last that was entered for him.
    """

    own: bool
    stamp: int
    entry: bytes
    by: str
    agree: bool


class Tick(Struct, frozen=True, order=True):
    """A duty that a post ticked off (or found wrong: `fault`) at a record entry. `by` entered it."""

    stamp: int
    entry: bytes
    duty: str
    team: str
    post: str
    by: str
    anchor: bytes
    fault: str = ""
    device: bytes = b""


class ClockAct(Struct, frozen=True, order=True):
    """A clock that somebody started, held, let run on or ended; or how long the clock of `line` had run
    ("ran", said by one who took over the writing). `ms`: its length, or how long it had run.
    """

    stamp: int
    entry: bytes
    device: bytes
    kind: str
    do: str
    ms: int
    time: int
    line: bytes = b""


class Expected(Struct, frozen=True, order=True):
    """A post that is still at work elsewhere: `where` in a few words ("court 3")."""

    stamp: int
    entry: bytes
    post: str
    where: str


class Erase(Struct, frozen=True, order=True):
    """Somebody wants the free words of a notice gone, or the names of the match."""

    stamp: int
    entry: bytes
    device: bytes
    post: str
    notice: bytes = b""
    names: bool = False


class NextAct(Struct, frozen=True, order=True):
    """Somebody opened the next match on this court with `device`; of several the first one counts."""

    stamp: int
    entry: bytes
    post: str
    device: bytes


class ReadyMark(Struct, frozen=True, order=True):
    """A post said ready at a record entry."""

    post: str
    anchor: bytes
    stamp: int
    entry: bytes


class Crew(Struct, frozen=True):
    """Everything people said to each other in a match. `causes`: the requests that name a notice as cause."""

    notices: dict[bytes, Notice] = {}
    requests: dict[bytes, Request] = {}
    causes: dict[bytes, tuple[bytes, ...]] = {}
    consents: dict[bytes, dict[str, Vote]] = {}
    ready: tuple[ReadyMark, ...] = ()
    ticks: tuple[Tick, ...] = ()
    clocks: tuple[ClockAct, ...] = ()
    expected: tuple[Expected, ...] = ()
    again: dict[bytes, str] = {}
    signed: tuple[Signed, ...] = ()
    next: tuple[NextAct, ...] = ()
    erased: tuple[Erase, ...] = ()
    ignored: tuple[bytes, ...] = ()
    unknown: tuple[bytes, ...] = ()


def reduce(crew: Crew, act: Act) -> Crew:
    """The crew with one more act."""
    step = _STEPS.get(act.name)
    if step is None:
        return structs.replace(crew, unknown=tuple(sorted((*crew.unknown, act.id))))
    if not may_act(act):
        return structs.replace(crew, ignored=tuple(sorted((*crew.ignored, act.id))))
    return step(crew, act)


def reduce_all(acts: Iterable[Act]) -> Crew:
    """The crew of a set of acts."""
    crew = Crew()
    for act in acts:
        crew = reduce(crew, act)
    return crew


def _change(crew: Crew, notice_id: bytes, change: Callable[[Notice], Notice]) -> Crew:
    old = crew.notices.get(notice_id) or Notice(notice_id)
    return structs.replace(crew, notices={**crew.notices, notice_id: change(old)})


def _raise(crew: Crew, act: Act) -> Crew:
    raised = n.raised_from(act)
    if raised.kind not in all_kinds():
        return structs.replace(crew, unknown=tuple(sorted((*crew.unknown, act.id))))
    crew = _change(crew, act.octets("id") or act.id, lambda old: n.with_raise(old, raised))
    if raised.joins:
        joined = n.Joined(act.id, raised.on_behalf or raised.post, raised.asks)
        crew = _change(crew, raised.joins, lambda old: n.with_join(old, joined))
    return crew


def _mark(act: Act) -> Mark:
    return Mark(stamp=act.stamp, entry=act.id, device=act.device, by=act.post, time=act.time)


def _shown(crew: Crew, act: Act) -> Crew:
    return _change(crew, act.octets("notice"), lambda old: n.with_mark(old, "shown", act.post, _mark(act)))


def _answer(crew: Crew, act: Act) -> Crew:
    behalf = act.text("on_behalf")
    field, post = ("relayed", behalf) if behalf and behalf != act.post else ("answers", act.post)
    return _change(crew, act.octets("notice"), lambda old: n.with_mark(old, field, post, _mark(act)))


def _step(crew: Crew, act: Act) -> Crew:
    name = act.text("step")
    return _change(crew, act.octets("notice"), lambda old: n.with_mark(old, "steps", name, _mark(act)))


def _end(rank: EndKind) -> Callable[[Crew, Act], Crew]:
    def step(crew: Crew, act: Act) -> Crew:
        post = act.text("on_behalf") or act.post
        reason = act.text("reason")
        end = End(int(rank), act.stamp, act.id, act.device, post, act.post, reason, act.time)
        return _change(crew, act.octets("notice"), lambda old: n.with_end(old, end))

    return step


def _request(crew: Crew, act: Act) -> Crew:
    old = crew.requests.get(act.id) or Request(act.id)
    made = structs.replace(
        old,
        post=act.post,
        device=act.device,
        time=act.time,
        stamp=act.stamp,
        anchor=act.anchor,
        command=_command(act.fields.get("command")),
        cause=act.octets("cause"),
        on_behalf=act.text("on_behalf"),
    )
    if made.cause:
        known = crew.causes.get(made.cause, ())
        crew = structs.replace(crew, causes={**crew.causes, made.cause: tuple(sorted({*known, act.id}))})
    return structs.replace(crew, requests={**crew.requests, act.id: made})


def _command(wire: object) -> tuple[str, dict[str, object]]:
    """A command as it came, or one that no engine knows."""
    match wire:
        case [str(name), dict(fields)]:
            return name, {str(key): value for key, value in fields.items()}
        case _:
            return "unreadable", {}


def _refusal(crew: Crew, act: Act) -> Crew:
    asked = act.octets("request")
    ruling = act.fields.get("ruling")
    old = crew.requests.get(asked) or Request(asked)
    refusals = {**old.refusals, act.octets("epoch"): ruling if isinstance(ruling, dict) else {}}
    made = structs.replace(old, refusals=refusals)
    return structs.replace(crew, requests={**crew.requests, asked: made})


def _consent(crew: Crew, act: Act) -> Crew:
    proposal, post = act.octets("proposal"), act.text("on_behalf") or act.post
    vote = Vote(post == act.post, act.stamp, act.id, act.post, act.fields.get("agree") is True)
    votes = crew.consents.get(proposal, {})
    old = votes.get(post)
    newest = vote if old is None else max(old, vote)
    return structs.replace(crew, consents={**crew.consents, proposal: {**votes, post: newest}})


def _ready(crew: Crew, act: Act) -> Crew:
    mark = ReadyMark(act.post, act.anchor, act.stamp, act.id)
    return structs.replace(crew, ready=tuple(sorted((*crew.ready, mark))))


def _wait(crew: Crew, act: Act) -> Crew:
    wait = n.Wait(act.stamp, act.id, act.anchor)
    return _change(crew, act.octets("notice"), lambda old: n.with_wait(old, act.post, wait))


def _tick(crew: Crew, act: Act) -> Crew:
    post = act.text("on_behalf") or act.post
    tick = Tick(
        stamp=act.stamp,
        entry=act.id,
        duty=act.text("duty"),
        team=act.text("team"),
        post=post,
        by=act.post,
        anchor=act.anchor,
        fault=act.text("fault"),
        device=act.device,
    )
    return structs.replace(crew, ticks=tuple(sorted({*crew.ticks, tick})))


def _clock(crew: Crew, act: Act) -> Crew:
    made = ClockAct(
        stamp=act.stamp,
        entry=act.id,
        device=act.device,
        kind=act.text("kind"),
        do=act.text("do"),
        ms=max(0, act.number("ms") or 0),
        time=act.time,
        line=act.octets("line"),
    )
    return structs.replace(crew, clocks=tuple(sorted({*crew.clocks, made})))


def _expected(crew: Crew, act: Act) -> Crew:
    made = Expected(act.stamp, act.id, act.text("post"), act.text("where"))
    return structs.replace(crew, expected=tuple(sorted({*crew.expected, made})))


def _again(crew: Crew, act: Act) -> Crew:
    """Somebody wants the entries of a notice about uncounted ones written again."""
    notice = act.octets("notice")
    first = min(act.post, crew.again.get(notice, act.post))
    return structs.replace(crew, again={**crew.again, notice: first})


def _erase(crew: Crew, act: Act) -> Crew:
    names = act.fields.get("names") is True
    made = Erase(act.stamp, act.id, act.device, act.post, act.octets("notice"), names)
    return structs.replace(crew, erased=tuple(sorted({*crew.erased, made})))


def _signed(crew: Crew, act: Act) -> Crew:
    made = signed_from(act)
    if made is None:
        return structs.replace(crew, unknown=tuple(sorted((*crew.unknown, act.id))))
    return structs.replace(crew, signed=tuple(sorted({*crew.signed, made})))


def _next(crew: Crew, act: Act) -> Crew:
    made = NextAct(act.stamp, act.id, act.post, act.device)
    return structs.replace(crew, next=tuple(sorted({*crew.next, made})))


_STEPS: dict[str, Callable[[Crew, Act], Crew]] = {
    "raise": _raise,
    "shown": _shown,
    "answer": _answer,
    "step": _step,
    "close": _end(EndKind.CLOSED),
    "withdraw": _end(EndKind.WITHDRAWN),
    "request": _request,
    "refusal": _refusal,
    "consent": _consent,
    "ready": _ready,
    "wait": _wait,
    "tick": _tick,
    "clock": _clock,
    "expected": _expected,
    "again": _again,
    SIGNED: _signed,
    SIGN_OFF: _signed,
    "next": _next,
    "erase": _erase,
}
