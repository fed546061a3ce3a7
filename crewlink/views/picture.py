"""The whole picture of a court for one post: joins teams, history, notices, links and clocks into a
Snapshot.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from crewlink import erasing, older, owed
from crewlink.acting import Me
from crewlink.charter import Names
from crewlink.court import Court
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import Notice, Raised
from crewlink.crew.posts import CREW, Post, word
from crewlink.crew.proposals import Suggested
from crewlink.crew_view import CatchUp, DeviceView, WriterView
from crewlink.drafts import Refused
from crewlink.lateness import expected
from crewlink.match.courts import change_due
from crewlink.match.state import Match
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.snapshot import (
    Explanation,
    NoticeView,
    PostLink,
    ProposalView,
    RefusalView,
    Saved,
    SheetView,
    Snapshot,
    TeamView,
)
from crewlink.spell import current
from crewlink.views.clocks import clock_views, courts_changed
from crewlink.views.duties import duties
from crewlink.views.exchanges import exchanges
from crewlink.views.history import history, score_text, text_of, undo_text
from crewlink.views.notices import (
    flooded,
    has_ended,
    notice_view,
    over_unanswered,
    stack_order,
    still_shown,
)
from crewlink.views.outcome import decided
from crewlink.views.ready import ready_view
from crewlink.views.signing import audit_views, sign_views, sign_wait
from crewlink.views.teams import next_points, team_view

SEALED = ("sealed", "Finished and locked")
HISTORY_LINES = 40
PAST_NOTICES = 8
_WORDS = {
    Phase.BEFORE_MATCH: ("before", "Before the match"),
    Phase.LINE_UPS_DUE: ("line_ups", "Line-ups due"),
    Phase.CHECK: ("check", "Check positions"),
    Phase.PLAY: ("dead_ball", "Dead ball"),
    Phase.TIME_OUT: ("time_out", "Time-out"),
    Phase.STOPPED: ("dead_ball", "Play stopped"),
    Phase.BETWEEN_SETS: ("between_sets", "Between sets"),
    Phase.FINISHED: ("finished", "Finished"),
}


def picture(
    court: Court,
    me: Me,
    moment: Moment,
    *,
    names: Names,
    links: tuple[PostLink, ...],
    saved: Saved,
    writing: WriterView,
    devices: tuple[DeviceView, ...],
    catching_up: CatchUp | None,
    shown_at: dict[bytes, float],
    ended_at: dict[bytes, float],
    refusal: tuple[float, Refused] | None,
    wall_ms: int,
    lost: str = "",
    moved: str = "",
    texts: Mapping[bytes, str] = {},
) -> Snapshot:
    """The court as `me` sees it at `moment`; `lost` why this device has no job any more, `moved` that it has
    another one; `texts` the free words it may read, by entry.
    """
    match = court.match
    phase, phase_word = SEALED if me.sealed else _phase(match, me.in_play)
    proposals = (*_proposals(court, me), *_older(court, me))
    open_here = _notices(court, me, moment, shown_at, ended_at, texts)
    flood = flooded(_raised_here(court, me, moment), moment.now)
    shown = tuple(one for one in open_here if not (flood and one.level == "note"))
    clocks = clock_views(court, moment)
    duty_phase, duty_views = duties(court, me, moment, clocks)
    standing, standing_team, _ = current(match)

    def local_ms(time: int, device: bytes) -> int:
        return wall_ms - round((moment.now - moment.local(time, device)) * 1000)

    return Snapshot(
        taken=moment.now,
        post=me.post,
        court=names.court,
        event=names.event,
        phase=phase,
        phase_word=phase_word,
        phase_age=max(0.0, moment.now - moment.dead_since),
        set_number=match.set_number,
        deciding=match.format.is_deciding(match.set_number),
        left=str(match.left or Team.A),
        a=_team(match, me, names, Team.A),
        b=_team(match, me, names, Team.B),
        server_team=str(match.serving) if match.serving is not None and match.in_set else "",
        server=match.server,
        last_served=str(match.rallies[-1].serving) if match.rallies else "",
        standing=standing,
        standing_team=standing_team,
        next_points=next_points(match),
        links=links,
        saved=saved,
        writing=writing,
        history=history(court, local_ms, HISTORY_LINES),
        undo=undo_text(court),
        notices=shown,
        past=_past(court, me, moment),
        proposals=proposals,
        suggestion=_suggestion(court, me),
        ready=ready_view(court, me, moment),
        clock=clocks[0] if clocks else None,
        sheets=_sheets(match),
        refusal=_refusal(refusal),
        findings=(*(one for one in (lost, moved) if one), *(finding.sentence for finding in match.findings)),
        waiting_requests=_waiting(court, me),
        courts_changed=courts_changed(court, moment),
        courts_due=change_due(match),
        toss_due=match.toss_due and not match.finished,
        result=_result(match),
        clocks=clocks,
        duties=duty_views,
        duty_phase=duty_phase,
        flood=flood,
        folded=len(open_here) - len(shown),
        lost=lost,
        expected=_expected(court, me),
        signing=sign_views(court, me),
        sign_wait=sign_wait(court, me),
        audit=audit_views(court),
        devices=devices,
        catching_up=catching_up,
        names_erasable=erasing.names_erasable(court, me),
    )


def _team(match: Match, me: Me, names: Names, team: Team) -> TeamView:
    """The team; R2 alone gets the substitutions that could be asked for, while the ball is dead."""
    view = team_view(match, names, team)
    if me.post != Post.R2 or me.in_play:
        return view
    return replace(
        view,
        exchanges=exchanges(match, team, view.bench),
        asked=team in match.interruption.asked,
    )


def _phase(match: Match, in_play: bool) -> tuple[str, str]:
    if in_play:
        return "rally", "Rally"
    return _WORDS[match.phase]


def _notices(
    court: Court,
    me: Me,
    moment: Moment,
    shown_at: dict[bytes, float],
    ended_at: dict[bytes, float],
    texts: Mapping[bytes, str],
) -> tuple[NoticeView, ...]:
    views = []
    for id_, notice in court.crew.notices.items():
        if me.states.get(id_) is State.CLOSED or not _concerns(court, me, notice):
            continue
        view = notice_view(notice, me.post, moment, shown_at, me.in_play, decided(court, notice), texts)
        if view is None or notice.raised is None:
            continue
        if _lapsed_now(court, notice, view):
            views.append((notice.raised.stamp, over_unanswered(view, notice)))
        elif still_shown(view, moment.now - ended_at.get(id_, moment.now)):
            views.append((notice.raised.stamp, view))
    views.sort(key=lambda one: stack_order(one[1], one[0]))
    return tuple(view for _, view in views)


def _lapsed_now(court: Court, notice: Notice, view: NoticeView) -> bool:
    """Whether the raiser is still told that this one is over with the set that just ended, not answered."""
    place = court.place(notice.raised.anchor) if notice.raised is not None else None
    if place is None or not view.mine or view.quiet or view.level != "soon" or view.state != "lapsed":
        return False
    return (
        not court.match.in_set and place.set_number == court.here.set_number - 1 and bool(notice.unanswered)
    )


def _concerns(court: Court, me: Me, notice: Notice) -> bool:
    """Whether a notice is a plate at this post: who raised it, must answer, or was shown it; all that calls
    R1 to the table; all but set points at the supervisor's. One that joined another is counted there.
    """
    raised = notice.raised
    if raised is None or _joined(court, raised):
        return False
    if me.post in (*notice.asks, *raised.behind, *notice.shown, *(one.post for one in notice.joined)):
        return True
    kind = all_kinds()[raised.kind]
    return kind.neutral if me.post != Post.SITE else not kind.quiet


def _joined(court: Court, raised: Raised) -> bool:
    """Whether it joined another notice that is here."""
    target = court.crew.notices.get(raised.joins) if raised.joins else None
    return target is not None and target.raised is not None


def _raised_here(court: Court, me: Me, moment: Moment) -> list[float]:
    """When each notice that concerns this post was raised."""
    return [
        moment.local(notice.raised.time, notice.raised.device)
        for notice in court.crew.notices.values()
        if notice.raised is not None and _concerns(court, me, notice)
    ]


def _expected(court: Court, me: Me) -> tuple[tuple[str, str], ...]:
    """Posts that nobody has filled yet and that are known to be at work elsewhere."""
    return tuple(
        (str(post), where) for post in CREW if post not in me.filled and (where := expected(court, post))
    )


def _older(court: Court, me: Me) -> tuple[ProposalView, ...]:
    """Changes that reach behind the last rally and wait for another official, with before and after."""
    found = []
    for one in older.waiting(court, me.filled):
        before, after = one.preview.before, one.preview.after
        target = getattr(one.fact, "target", b"")
        place = court.chain.index_of(target)
        line = "" if place is None else text_of(court.chain.line(place).fact)
        breaks = f" {len(one.preview.findings)} later line(s) no longer fit." if one.preview.findings else ""
        vote = older.said(court, one)
        found.append(
            ProposalView(
                id=one.id.hex(),
                kind="older",
                title=f"{text_of(one.fact)}: {line}",
                detail=f"{word(one.request.post)}: {getattr(one.fact, 'reason', '')}.{breaks}",
                asks=one.asks,
                before=score_text(before.score),
                after=score_text(after.score),
                next_server=f"{after.serving} {after.server or ''}".strip() if after.serving else "",
                mine=me.post == one.asks,
                said="" if vote is None else "agree" if vote.agree else "no",
            )
        )
    return tuple(found)


def _past(court: Court, me: Me, moment: Moment) -> tuple[NoticeView, ...]:
    """What is over, the newest first, for the supervisor; set and match points are none of the site's."""
    if me.post != Post.SITE:
        return ()
    views = [
        (notice.raised.stamp, notice_view(notice, me.post, moment, {}, me.in_play, decided(court, notice)))
        for notice in court.crew.notices.values()
        if notice.raised is not None
    ]
    over = [(stamp, view) for stamp, view in views if view is not None and has_ended(view) and not view.quiet]
    over.sort(key=lambda one: -one[0])
    return tuple(view for _, view in over[:PAST_NOTICES])


def _proposals(court: Court, me: Me) -> tuple[ProposalView, ...]:
    found = []
    for notice, options in owed.suggested(court, me):
        likeliest = options[0]
        a, b = likeliest.option.score
        found.append(
            ProposalView(
                id=likeliest.id.hex(),
                kind=notice.raised.kind if notice.raised is not None else "",
                title=likeliest.title,
                detail=likeliest.option.sentence,
                asks=likeliest.asks,
                before=f"{court.match.score[0]}:{court.match.score[1]}",
                after=f"{a}:{b}",
                next_server=f"{likeliest.option.serving} {likeliest.option.server or ''}".strip(),
                explanations=tuple(
                    Explanation(
                        text=one.option.sentence,
                        against="",
                        score=f"{one.option.score[0]}:{one.option.score[1]}",
                        server=f"{one.option.serving} {one.option.server or ''}".strip(),
                        chosen=one is likeliest,
                        proposal=one.id.hex(),
                    )
                    for one in sorted(options, key=lambda one: not one.option.explanation)
                ),
                mine=me.post == likeliest.asks,
                said=_said(court, likeliest),
            )
        )
    return tuple(found)


def _said(court: Court, suggested: Suggested) -> str:
    """What the post that decides has said to a suggested decision."""
    vote = court.crew.consents.get(suggested.id, {}).get(suggested.asks)
    return "" if vote is None else "agree" if vote.agree else "no"


def _suggestion(court: Court, me: Me) -> ProposalView | None:
    """Set point or match point, offered to R2 until somebody raises it."""
    kind, who, subject = current(court.match)
    if not kind or me.post != Post.R2 or me.in_play:
        return None
    if any(n.raised is not None and n.raised.subject == subject for n in court.crew.notices.values()):
        return None
    team = who if len(who) == 1 else ""
    title = f"{kind.replace('_', ' ').capitalize()}{' ' + team if team else ', both teams'}"
    a, b = court.match.score
    return ProposalView(
        id=subject, kind=kind, title=title, detail=f"{a}:{b}", asks=Post.R2, after=f"{a}:{b}", mine=True
    )


def _sheets(match: Match) -> tuple[SheetView, ...]:
    found = []
    for team in Team:
        court = match.court(team)
        numbers = court.line_up or (None,) * 6
        squad = match.squad(team)
        found.append(
            SheetView(
                team=str(team),
                state="accepted" if court.line_up else "missing",
                numbers=tuple(numbers),
                liberos=tuple(map(str, squad.liberos)),
                captain=court.captain or squad.captain,
                signed=bool(court.line_up),
                libero_boxes=_libero_boxes(match, team),
            )
        )
    return tuple(found)


def _libero_boxes(match: Match, team: Team) -> int:
    """How many boxes for liberos the sheet of the coming set has."""
    rules = match.profile.libero
    on_sheet = rules.named_on == "line_up_sheet" and not match.squad(team).libero_named
    return rules.most if on_sheet else 0


def _refusal(refusal: tuple[float, Refused] | None) -> RefusalView | None:
    if refusal is None:
        return None
    at, refused = refusal
    return RefusalView(refused.ruling.sentence, refused.ruling.reference, at)


def _waiting(court: Court, me: Me) -> int:
    others = {one.request.id for one in older.waiting(court, me.filled)}  # these wait for an official
    return sum(
        1
        for id_, request in court.crew.requests.items()
        if request.post == me.post and id_ not in court.written and id_ not in others and not request.refusals
    )


def _result(match: Match) -> str:
    if not match.finished:
        return ""
    a, b = match.sets_won
    sets = " ".join(f"{done.score[0]}:{done.score[1]}" for done in match.sets)
    winner = f"Team {match.winner} wins " if match.winner is not None else ""
    return f"{winner}{a}:{b} ({sets})"


def crew_links(states: dict[str, tuple[bool, float]], me: str) -> tuple[PostLink, ...]:
    """The posts of the rail. `states`: by post, whether linked and for how many seconds nothing was heard."""
    found = []
    for post in (*CREW, Post.SITE):
        if post == me:
            continue
        if post not in states:
            if post in (Post.ASSISTANT, Post.SITE):
                continue
            found.append(PostLink(post, word(post), "unfilled"))
            continue
        linked, silent = states[post]
        state = "linked" if linked and silent < 5 else "late" if silent < 10 else "lost"
        found.append(PostLink(post, word(post), state, silent))
    return tuple(found)
