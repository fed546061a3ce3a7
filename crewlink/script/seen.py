"""What can be seen of a match: the plain values that expectations are compared with.

One reading of the match for every stage, so that a script means the same over the engine and over stations.
"""

from __future__ import annotations

from typing import Generic, TypeVar

from msgspec import Struct, structs

from crewlink.crew.life import State
from crewlink.crew.posts import Post, word
from crewlink.match.courts import change_due
from crewlink.match.facts import Fact
from crewlink.match.interval import line_ups_due
from crewlink.match.libero import due
from crewlink.match.rotation import next_server
from crewlink.match.ruling import Proposal, Ruling
from crewlink.match.scoring import match_points, set_points
from crewlink.match.standing import Owed, bench, owed, side
from crewlink.match.state import CardShown, Finding, Match, Swap, active_liberos
from crewlink.match.teams import Score, Team
from crewlink.match.terms import Phase, RemarkKind, StopCause
from crewlink.match.timeout import technical_due
from crewlink.rules.profile import Profile
from crewlink.snapshot import NoticeView, SignView, Snapshot

T = TypeVar("T")
DONE = "done"
"""Code of the answer to an act of the crew: the rules have nothing to say to it."""


class Both(Struct, Generic[T], frozen=True):
    """A value of each team."""

    a: T
    b: T

    def of(self, team: Team) -> T:
        """The value of one team."""
        return self.a if team is Team.A else self.b


class SeenNotice(Struct, frozen=True):
    """A notice as one post sees it."""

    id: str
    kind: str
    state: State
    team: str = ""
    number: int | None = None
    asked: tuple[Post, ...] = ()
    answered: tuple[Post, ...] = ()
    by_sign: tuple[Post, ...] = ()
    count: int = 1
    told: str = ""
    detail: str = ""
    raised_by: str = ""
    held: bool = False


class Seen(Struct, frozen=True):
    """A match at one moment. Names are those of `Expect`. `notices` None: there is no crew on this stage.

    `duties`: those of the post that looks, the worst state of each code. `crew`: posts that a device has;
    `writes`: the one that writes; `audit`, `signed`, `signs_next`, `locked`: of a match that is over.
    """

    profile: Profile
    phase: Phase
    set: int
    deciding: bool
    score: Score
    sets: Score
    set_scores: tuple[Score, ...]
    winner: Team | None
    set_point: tuple[Team, ...]
    match_point: tuple[Team, ...]
    serves: Team | None
    server: int | None
    next_server: Both[int | None]
    positions: Both[tuple[int, ...]]
    left: Team | None
    courts_changed: bool
    change_courts_due: bool
    technical_time_out_due: int | None
    toss_due: bool
    line_ups_due: tuple[Team, ...]
    owed: tuple[Owed, ...]
    stopped_for: StopCause | None
    protest: Team | None
    time_outs: Both[int]
    substitutions: Both[int]
    swaps: Both[tuple[Swap, ...]]
    bench: Both[tuple[int, ...]]
    liberos: Both[tuple[int, ...]]
    on_as_libero: Both[int | None]
    libero_for: Both[int | None]
    libero_serves_in: Both[int | None]
    comes_back: Both[int | None]
    must_leave: Both[tuple[int, ...]]
    out_for_match: Both[tuple[int, ...]]
    out_for_set: Both[tuple[int, ...]]
    captain: Both[int | None]
    recovered: Both[tuple[int, ...]]
    improper: Both[int]
    delays: Both[int]
    cards: Both[tuple[CardShown, ...]]
    waiting_penalties: Both[int]
    remarks: tuple[RemarkKind, ...]
    findings: tuple[Finding, ...]
    notices: tuple[SeenNotice, ...] | None = None
    ready: str = "none"
    held_by: str = ""
    reason: str = ""
    clocks: tuple[str, ...] = ()
    duties: dict[str, str] = {}
    crew: tuple[Post, ...] = ()
    writes: Post | None = None
    audit: tuple[str, ...] = ()
    signed: tuple[str, ...] = ()
    signs_next: str | None = None
    locked: bool = False


class Answer(Struct, frozen=True):
    """What a stage answers to an act.

    `ruling` None: the act is none of the match's. `lines`: entry ids written by it. `facts`: what they hold.
    `proposal_id`: name of the proposal among stations. `notice`: id of a notice it raised. `skipped`: this
    stage has no crew, the act was passed over. `overlaps`: players who stand wrongly, if that was asked.
    """

    ruling: Ruling | None = None
    proposal: Proposal | None = None
    lines: tuple[bytes, ...] = ()
    facts: tuple[Fact, ...] = ()
    proposal_id: str = ""
    notice: str = ""
    skipped: bool = False
    overlaps: tuple[tuple[int, int], ...] | None = None


def seen(match: Match, notices: tuple[SeenNotice, ...] | None = None) -> Seen:
    """Read a match. `notices`: what the crew told each other, where there is one."""
    a, b, court_a, court_b = match.a, match.b, match.court_a, match.court_b
    return Seen(
        profile=match.profile,
        phase=match.phase,
        set=match.set_number,
        deciding=match.format.is_deciding(match.set_number),
        score=match.score,
        sets=match.sets_won,
        set_scores=tuple(done.score for done in match.sets),
        winner=match.winner,
        set_point=set_points(match),
        match_point=match_points(match),
        serves=match.serving,
        server=match.server,
        next_server=Both(next_server(match, Team.A), next_server(match, Team.B)),
        positions=Both(court_a.order, court_b.order),
        left=match.left,
        courts_changed=match.courts_changed,
        change_courts_due=change_due(match),
        technical_time_out_due=technical_due(match),
        toss_due=match.toss_due,
        line_ups_due=line_ups_due(match),
        owed=owed(match),
        stopped_for=None if match.standstill is None else match.standstill.cause,
        protest=match.protest,
        time_outs=Both(court_a.time_outs, court_b.time_outs),
        substitutions=Both(court_a.substitutions, court_b.substitutions),
        swaps=Both(court_a.swaps, court_b.swaps),
        bench=Both(bench(match, Team.A), bench(match, Team.B)),
        liberos=Both(active_liberos(a, court_a), active_liberos(b, court_b)),
        on_as_libero=Both(court_a.libero, court_b.libero),
        libero_for=Both(court_a.stands_for, court_b.stands_for),
        libero_serves_in=Both(_box(court_a.libero_slot), _box(court_b.libero_slot)),
        comes_back=Both(_comes_back(match, Team.A), _comes_back(match, Team.B)),
        must_leave=Both(court_a.must_leave, court_b.must_leave),
        out_for_match=Both((*a.out, *a.liberos_out), (*b.out, *b.liberos_out)),
        out_for_set=Both(court_a.barred, court_b.barred),
        captain=Both(side(match, Team.A).captain, side(match, Team.B).captain),
        recovered=Both(a.recovered, b.recovered),
        improper=Both(a.improper, b.improper),
        delays=Both(a.delays, b.delays),
        cards=Both(a.cards, b.cards),
        waiting_penalties=Both(a.pending, b.pending),
        remarks=tuple(note.kind for note in match.notes),
        findings=match.findings,
        notices=notices,
    )


def _box(slot: int | None) -> int | None:
    return None if slot is None else slot + 1


def _comes_back(match: Match, team: Team) -> int | None:
    owed = due(match, team)
    return None if owed is None else owed.comes_in


def seen_notice(notice: NoticeView) -> SeenNotice:
    """A notice as a face shows it."""
    asked = [receipt for receipt in notice.receipts if receipt.state not in ("raised", "unfilled")]
    answered = [receipt for receipt in asked if receipt.state in ("answered", "relayed")]
    return SeenNotice(
        id=notice.id,
        kind=notice.kind,
        state=State(notice.state),
        team=notice.team,
        number=notice.number,
        asked=tuple(Post(receipt.post) for receipt in asked),
        answered=tuple(Post(receipt.post) for receipt in answered),
        by_sign=tuple(Post(receipt.post) for receipt in answered if receipt.state == "relayed"),
        count=notice.count,
        told=notice.told,
        detail=notice.detail,
        raised_by=notice.raised_by,
        held=notice.held,
    )


_WORST = ("wrong", "late", "open", "done", "not_needed")


def with_crew(match: Seen, snapshot: Snapshot) -> Seen:
    """The same look with what the crew told each other, as one post's face has it."""
    duties: dict[str, str] = {}
    for duty in snapshot.duties:
        if duty.mine:
            duties[duty.code] = min(duty.state, duties.get(duty.code, duty.state), key=_WORST.index)
    return structs.replace(
        match,
        notices=tuple(seen_notice(notice) for notice in snapshot.notices),
        ready=snapshot.ready.state,
        held_by=snapshot.ready.sentence if snapshot.ready.state == "held" else "",
        reason=snapshot.ready.reason if snapshot.ready.state == "held" else "",
        clocks=tuple(clock.kind for clock in snapshot.clocks),
        duties=duties,
        crew=_crew(snapshot),
        writes=Post(snapshot.writing.post) if snapshot.writing.post else None,
        audit=tuple(one.code for one in snapshot.audit),
        signed=tuple(_signature(one) for one in snapshot.signing if one.state == "signed"),
        signs_next=next((one.signer for one in snapshot.signing if one.state in ("due", "again")), None),
        locked=snapshot.phase == "sealed",
    )


def _crew(snapshot: Snapshot) -> tuple[Post, ...]:
    """The posts that a device has."""
    here = {snapshot.post, *(one.post for one in snapshot.links if one.state != "unfilled")}
    return tuple(post for post in Post if post in here)


def _signature(one: SignView) -> str:
    """ "R1", or "R1 by R2" for a sign that another post entered; marks of captains are always entered."""
    posts = {word(post): str(post) for post in Post}
    return f"{one.signer} by {posts[one.by]}" if one.by and one.signer in set(Post) else one.signer
