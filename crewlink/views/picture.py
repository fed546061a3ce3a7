"""The whole picture of a court for one post: joins teams, history, notices, links and clocks into a
Snapshot.
"""

from __future__ import annotations

from msgspec.structs import replace

from crewlink import owed
from crewlink.acts import Me
from crewlink.charter import Names
from crewlink.court import Court
from crewlink.crew.life import Moment
from crewlink.crew.posts import CREW, Post, word
from crewlink.crew.proposals import Suggested
from crewlink.drafts import Refused
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
from crewlink.views.clocks import clock_view, courts_changed
from crewlink.views.exchanges import exchanges
from crewlink.views.history import history, undo_text
from crewlink.views.notices import has_ended, notice_view, stack_order, still_shown
from crewlink.views.ready import ready_view
from crewlink.views.teams import next_points, team_view

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
    writer: tuple[str, bool],
    shown_at: dict[bytes, float],
    ended_at: dict[bytes, float],
    refusal: tuple[float, Refused] | None,
    wall_ms: int,
) -> Snapshot:
    """The court as `me` sees it at `moment`; `writer` is the post that holds the pen and whether it is
    reached.
    """
    match = court.match
    phase, phase_word = _phase(match, me.in_play)
    proposals = _proposals(court, me)
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
        writes=word(writer[0]) if writer[0] else "",
        writer_reached=writer[1],
        i_write=me.writes,
        history=history(court, local_ms, HISTORY_LINES),
        undo=undo_text(court),
        notices=_notices(court, me, moment, shown_at, ended_at),
        past=_past(court, me, moment),
        proposals=proposals,
        suggestion=_suggestion(court, me),
        ready=ready_view(court, me, moment),
        clock=clock_view(court, moment),
        sheets=_sheets(match),
        refusal=_refusal(refusal),
        findings=tuple(finding.sentence for finding in match.findings),
        waiting_requests=_waiting(court, me),
        courts_changed=courts_changed(court, moment),
        courts_due=change_due(match),
        toss_due=match.toss_due and not match.finished,
        result=_result(match),
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
    court: Court, me: Me, moment: Moment, shown_at: dict[bytes, float], ended_at: dict[bytes, float]
) -> tuple[NoticeView, ...]:
    views = []
    for id_, notice in court.crew.notices.items():
        raised = notice.raised
        if raised is None or (me.post not in (*raised.asks, raised.post) and me.post != Post.SITE):
            continue
        view = notice_view(notice, me.post, moment, shown_at, me.in_play)
        if view is not None and still_shown(view, moment.now - ended_at.get(id_, moment.now)):
            views.append(view)
    return tuple(sorted(views, key=stack_order))


def _past(court: Court, me: Me, moment: Moment) -> tuple[NoticeView, ...]:
    """What is over, newest first, for the supervisor; set and match points are none of the site's."""
    if me.post != Post.SITE:
        return ()
    views = [notice_view(notice, me.post, moment, {}, me.in_play) for notice in court.crew.notices.values()]
    over = [view for view in views if view is not None and has_ended(view) and not view.quiet]
    return tuple(sorted(over, key=lambda view: view.age)[:PAST_NOTICES])


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
    return sum(
        1
        for id_, request in court.crew.requests.items()
        if request.post == me.post and id_ not in court.written and not request.refusals
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
