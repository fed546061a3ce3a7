"""Notices, suggestions and the ready chain as one post sees them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec.structs import replace

from crewlink.crew import life
from crewlink.crew.kinds import Kind, all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import Mark, Notice, Raised, may_close
from crewlink.crew.permissions import ERASERS
from crewlink.crew.posts import TABLE, Post, word
from crewlink.snapshot import NoticeView, ReceiptView
from crewlink.views.outcome import NOT_DECIDED, Decided

_LEVELS = {"now": 0, "soon": 1, "note": 2}
GOING_ON = (State.OPEN, State.ANSWERED)
LATE_S = 5.0
GONE_AFTER_S = 5.0
SAID_HOW = ("closed", "outcome", "missing")
"""Kinds, by what ends them, of which a person says how they ended."""
UNCONFIRMED_S = 3.0
PROGRAM = "Program"
"""Who raised what the program itself noticed."""
NEUTRAL_TITLE = "R1 deals with it"
"""What the table shows in place of a title that benches should not read."""


def notice_view(
    notice: Notice,
    post: str,
    moment: Moment,
    shown_at: Mapping[bytes, float],
    in_play: bool,
    decided: Decided = NOT_DECIDED,
    texts: Mapping[bytes, str] = {},
) -> NoticeView | None:
    """One notice for one post, or None while it has nothing to show there."""
    raised = notice.raised
    if raised is None:
        return None
    kind, state = all_kinds()[raised.kind], life.state(notice, moment)
    held = (
        life.held(notice, moment)
        or life.waits(notice, post, moment)
        or (in_play and not kind.reaches_in_rally(post, moment.profile, raised.level))
    )
    at = moment.local(raised.time, raised.device)
    neutral = kind.neutral and post in TABLE
    return NoticeView(
        id=notice.id.hex(),
        kind=raised.kind,
        level=raised.urgency,
        title=NEUTRAL_TITLE if neutral else title_of(raised, kind),
        detail=_detail(raised, kind, neutral, texts),
        state=str(state),
        raised_by=word(raised.behind[0]) if raised.behind else PROGRAM,
        entered_by=word(raised.post) if raised.on_behalf not in ("", raised.post) else "",
        age=max(0.0, moment.now - at),
        team="" if neutral else raised.team,
        number=None if neutral or raised.number < 0 else raised.number,
        due=None if neutral or raised.due < 0 else raised.due,
        asked=post in notice.unanswered,
        mine=post in raised.behind,
        held=held,
        quiet=kind.quiet,
        neutral=neutral,
        late=_late(notice, at, shown_at),
        repeated=1 if "again" in notice.steps else 0,
        count=1 + len(notice.joined),
        reason=notice.end.reason if notice.end is not None else "",
        told=_told(notice, raised, post, state, moment),
        lasted=_lasted(notice, moment, at),
        receipts=tuple(_receipt(notice, raised, asked, at, moment) for asked in _listed(notice, raised)),
        outcome="" if neutral else decided.words,
        line=decided.line,
        waits=tuple(word(one) for one in life.owing(notice, moment) if life.waits(notice, one, moment)),
        text=texts.get(raised.entry, ""),
        erasable=raised.entry in texts and (post in ERASERS or post == raised.post),
        puts_off=_may_put_off(notice, raised, kind, post, moment) and not held,
        closes=state in GOING_ON and kind.ends in SAID_HOW and may_close(raised, post),
        outcomes=kind.outcomes,
    )


def _may_put_off(notice: Notice, raised: Raised, kind: Kind, post: str, moment: Moment) -> bool:
    """Whether a post may say "not now": asked, of a kind that waits, and not put off here already."""
    return (
        kind.may_wait
        and raised.urgency == "soon"
        and post in notice.unanswered
        and life.state(notice, moment) is State.OPEN
    )


def over_unanswered(view: NoticeView, notice: Notice) -> NoticeView:
    """The NOTE that its raiser gets when a notice is over and nobody answered it."""
    silent = ", ".join(word(post) for post in notice.unanswered)
    return replace(view, level="note", detail=f"Over, not answered by {silent}", asked=False, held=False)


def _lasted(notice: Notice, moment: Moment, at: float) -> float | None:
    end = notice.end
    return None if end is None else max(0.0, moment.local(end.time, end.device) - at)


def title_of(raised: Raised, kind: Kind) -> str:
    """The title of a plate: the kind, and the team where it is about one."""
    if kind.quiet and raised.team:
        return f"{kind.title} {raised.team}"
    return kind.title


def _detail(raised: Raised, kind: Kind, neutral: bool, texts: Mapping[bytes, str]) -> str:
    """The second line of a plate; a message is its own words, once they are here."""
    if neutral:
        return kind.table
    words = texts.get(raised.entry, "") if kind.as_sent else ""
    return words or detail_of(raised)


def detail_of(raised: Raised) -> str:
    """The second line of a plate, without left or right: the reader may face the writer."""
    if raised.kind == "check_server" and raised.team and raised.number >= 0:
        return f"Is {raised.team} {raised.number} serving?"
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
    raiser = raised.behind[:1]
    listed = [*raiser, *notice.asks, *raised.left_out]
    joined = [one.post for one in notice.joined]
    others = {post for post in (*notice.answers, *notice.relayed, *joined) if post not in listed}
    return [*raiser, *notice.asks, *sorted(others), *(p for p in raised.left_out if p not in raiser)]


def _receipt(notice: Notice, raised: Raised, post: str, at: float, moment: Moment) -> ReceiptView:
    def seconds(mark: Mark) -> float:
        return max(0.0, moment.local(mark.time, mark.device) - at)

    shown = seconds(notice.shown[post]) if post in notice.shown else None
    if post in notice.answers:
        return ReceiptView(post, word(post), "answered", seconds(notice.answers[post]), shown=shown)
    if post in notice.relayed:
        mark = notice.relayed[post]
        return ReceiptView(post, word(post), "relayed", seconds(mark), word(mark.by))
    if post in raised.behind[:1]:
        by = word(raised.post) if raised.on_behalf not in ("", raised.post) else ""
        return ReceiptView(post, word(post), "raised", by=by)
    if raised.behind and post in (*notice.raisers, *(one.post for one in notice.joined)):
        return ReceiptView(post, word(post), "raised")
    if post in raised.left_out or (moment.filled is not None and post not in moment.filled):
        return ReceiptView(post, word(post), "unfilled")
    if post in notice.shown and moment.holds(post, notice.shown[post].device):
        return ReceiptView(post, word(post), "shown", shown, shown=shown)
    state = "unconfirmed" if moment.now - at > UNCONFIRMED_S else "sent"
    return ReceiptView(post, word(post), state)


def _late(notice: Notice, at: float, shown_at: Mapping[bytes, float]) -> float:
    seen = shown_at.get(notice.id)
    late = 0.0 if seen is None else seen - at
    return late if late > LATE_S else 0.0


def _told(notice: Notice, raised: Raised, post: str, state: State, moment: Moment) -> str:
    """What a post is told of silence: the raiser, later the supervisor; and all, when a person must go."""
    silent = ", ".join(word(one) for one in life.owing(notice, moment))
    if state is not State.OPEN or not silent:
        return ""
    if "phone" in notice.steps:
        return f"{silent} not answered: send a person, phone"
    if post in raised.behind and "told" in notice.steps:
        return f"{silent} not answered: use the whistle"
    return f"{silent} not answered" if post == Post.SITE and "site" in notice.steps else ""


def stack_order(view: NoticeView, stamp: int) -> tuple[int, int, int]:
    """Where a plate stands in a stack: asked first, most urgent first, raised first (`stamp`)."""
    return (0 if view.asked else 1, _LEVELS[view.level], stamp)


def still_shown(view: NoticeView, ended_for: float) -> bool:
    """Whether a plate stays: open and answered ones do; withdrawn ones for 5 s."""
    if view.state in (State.OPEN, State.ANSWERED):
        return not (view.state == State.ANSWERED and view.quiet)
    return view.state == State.WITHDRAWN and ended_for < GONE_AFTER_S


FLOOD_MOST, FLOOD_OVER, FLOOD_S = 10, 5, 600.0
"""More than ten notices in ten minutes at one station are a flood; it is over below five (ANSI/ISA-18.2)."""


def flooded(raised_at: Iterable[float], now: float) -> bool:
    """Whether a station is in a flood now, by when its notices were raised (seconds, any order)."""
    came = sorted(at for at in raised_at if at <= now)
    flood = False
    for moment in sorted({now, *came, *(at + FLOOD_S for at in came if at + FLOOD_S <= now)}):
        young = sum(1 for at in came if moment - FLOOD_S < at <= moment)
        flood = young > FLOOD_MOST or (flood and young >= FLOOD_OVER)
    return flood


def has_ended(view: NoticeView) -> bool:
    """Whether a notice is over: closed, withdrawn or lapsed."""
    return view.state in (State.CLOSED, State.WITHDRAWN, State.LAPSED)
