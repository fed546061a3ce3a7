"""Notices, suggestions and the ready chain as one post sees them."""

from __future__ import annotations

from collections.abc import Mapping

from crewlink.crew import life
from crewlink.crew.kinds import Kind, all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import Mark, Notice, Raised
from crewlink.crew.posts import TABLE, word
from crewlink.snapshot import NoticeView, ReceiptView

_LEVELS = {"now": 0, "soon": 1, "note": 2}
LATE_S = 5.0
GONE_AFTER_S = 5.0
UNCONFIRMED_S = 3.0
NEUTRAL_TITLE = "For R1"
"""What the table shows in place of a title that benches should not read."""


def notice_view(
    notice: Notice, post: str, moment: Moment, shown_at: Mapping[bytes, float], in_play: bool
) -> NoticeView | None:
    """One notice for one post, or None while it has nothing to show there."""
    raised = notice.raised
    if raised is None:
        return None
    kind, state = all_kinds()[raised.kind], life.state(notice, moment)
    held = life.held(notice, moment) or (in_play and not kind.reaches_in_rally(post))
    at = moment.local(raised.time, raised.device)
    neutral = kind.neutral and post in TABLE
    return NoticeView(
        id=notice.id.hex(),
        kind=raised.kind,
        level=kind.level,
        title=NEUTRAL_TITLE if neutral else title_of(raised, kind),
        detail=kind.table if neutral else detail_of(raised),
        state=str(state),
        raised_by=word(raised.post),
        age=max(0.0, moment.now - at),
        team="" if neutral else raised.team,
        number=None if neutral or raised.number < 0 else raised.number,
        due=None if neutral or raised.due < 0 else raised.due,
        asked=post in raised.asks and post not in notice.answers and post not in notice.relayed,
        mine=post == raised.post,
        held=held,
        quiet=kind.quiet,
        neutral=neutral,
        late=_late(notice, at, shown_at),
        repeated=1 if "again" in notice.steps else 0,
        count=1 + len(notice.joined),
        reason=notice.end.reason if notice.end is not None else "",
        told=_told(notice, raised, post),
        lasted=None
        if notice.end is None
        else max(0.0, moment.local(notice.end.time, notice.end.device) - at),
        receipts=tuple(_receipt(notice, raised, asked, at, moment) for asked in _listed(notice, raised)),
    )


def title_of(raised: Raised, kind: Kind) -> str:
    """The title of a plate: the kind, and the team where it is about one."""
    if kind.quiet and raised.team:
        return f"{kind.title} {raised.team}"
    return kind.title


def detail_of(raised: Raised) -> str:
    """The second line of a plate, without left or right: the reader may face the writer."""
    who = f"Team {raised.team}" if raised.team else ""
    if raised.number >= 0:
        who = f"{who}, number {raised.number}" if who else f"Number {raised.number}"
    parts = [who] if who else []
    if raised.due >= 0:
        parts.append(f"due {raised.due}")
    if raised.detail:
        parts.append(raised.detail)
    return ", ".join(parts)


def _listed(notice: Notice, raised: Raised) -> list[str]:
    others = [post for post in (*notice.answers, *notice.relayed) if post not in raised.asks]
    return [raised.post, *raised.asks, *sorted(set(others)), *raised.left_out]


def _receipt(notice: Notice, raised: Raised, post: str, at: float, moment: Moment) -> ReceiptView:
    def seconds(mark: Mark) -> float:
        return max(0.0, moment.local(mark.time, mark.device) - at)

    if post in raised.left_out:
        return ReceiptView(post, word(post), "unfilled")
    shown = seconds(notice.shown[post]) if post in notice.shown else None
    if post in notice.answers:
        return ReceiptView(post, word(post), "answered", seconds(notice.answers[post]), shown=shown)
    if post in notice.relayed:
        mark = notice.relayed[post]
        return ReceiptView(post, word(post), "relayed", seconds(mark), word(mark.by))
    if post == raised.post:
        return ReceiptView(post, word(post), "raised")
    if post in notice.shown:
        return ReceiptView(post, word(post), "shown", shown, shown=shown)
    state = "unconfirmed" if moment.now - at > UNCONFIRMED_S else "sent"
    return ReceiptView(post, word(post), state)


def _late(notice: Notice, at: float, shown_at: Mapping[bytes, float]) -> float:
    seen = shown_at.get(notice.id)
    late = 0.0 if seen is None else seen - at
    return late if late > LATE_S else 0.0


def _told(notice: Notice, raised: Raised, post: str) -> str:
    if post != raised.post or "told" not in notice.steps or notice.all_answered:
        return ""
    silent = [word(p) for p in raised.asks if p not in notice.answers and p not in notice.relayed]
    return f"{', '.join(silent)} not answered: use the whistle"


def stack_order(view: NoticeView) -> tuple[int, int, float]:
    """Where a plate stands in a stack: asked first, most urgent first, oldest first."""
    return (0 if view.asked else 1, _LEVELS[view.level], -view.age)


def still_shown(view: NoticeView, ended_for: float) -> bool:
    """Whether a plate stays: open and answered ones do; withdrawn ones for 5 s."""
    if view.state in (State.OPEN, State.ANSWERED):
        return not (view.state == State.ANSWERED and view.quiet)
    return view.state == State.WITHDRAWN and ended_for < GONE_AFTER_S


def has_ended(view: NoticeView) -> bool:
    """Whether a notice is over: closed, withdrawn or lapsed."""
    return view.state in (State.CLOSED, State.WITHDRAWN, State.LAPSED)
