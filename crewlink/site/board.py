"""All courts of a hall on one board, made out of the snapshots that a site post has of each. Pure.

A tile keeps its place by its court's number, whatever happens. What is not closed stands in one list, NOW
first, then by age; what all have answered and nobody has closed yet stands after it. A court that cannot be
heard keeps its last figures and says as of when; that is no notice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from crewlink.crew.kinds import all_kinds
from crewlink.crew.posts import Post
from crewlink.snapshot import (
    BoardSnapshot,
    CourtSight,
    CourtTile,
    Health,
    NoticeView,
    OpenNotice,
    PlannedMatch,
    PostLink,
    Snapshot,
    TeamView,
)

UNLINKED_S = 10.0
"""Silent for so long, a court's figures are shown as old."""
FLOOD = 10
FLOOD_S = 600.0
"""More than ten notices in ten minutes are a flood (ANSI/ISA-18.2, alarm floods)."""
_LEVELS = {"now": 0, "soon": 1, "note": 2}
_ANSWERED = ("answered", "relayed")
_BRIEF = {"check_sheet": "Check sheet", "set_aside": "Not counted", "stop_play": "Stop: on court"}
"""Titles that are too long for a tile, by kind."""


def silence(links: Iterable[PostLink]) -> float:
    """Seconds since anything was heard of a court, by its links as the site has them; 0 with nobody to
    hear.
    """
    crew = [link for link in links if link.post != Post.SITE and link.state not in ("here", "unfilled")]
    return min((0.0 if link.state == "linked" else link.silent for link in crew), default=0.0)


def board(
    hall: str,
    sights: Sequence[CourtSight],
    now: float,
    wall: int,
    plan: Sequence[PlannedMatch] = (),
    forecast: str = "",
) -> BoardSnapshot:
    """The board at `now` (monotonic seconds, of the sights too) and `wall` (ms)."""
    given = sorted(sights, key=lambda sight: sight.court)
    ordered = tuple(_now(sight, now) for sight in given)
    waiting = {sight.court for sight in ordered if sight.snapshot.phase in ("before", "line_ups", "check")}
    return BoardSnapshot(
        taken=now,
        wall=wall,
        hall=hall,
        tiles=tuple(tile(sight, wall, _due(sight, plan)) for sight in ordered),
        notices=open_notices(ordered),
        next=tuple(sorted(plan, key=lambda match: (match.due, match.court))),
        late=sum(1 for match in plan if match.due < wall and match.court in waiting),
        health=_health(
            ordered, floods=tuple(one.court for one in given if _flooded(one.snapshot)), forecast=forecast
        ),
        sights=ordered,
    )


def _now(sight: CourtSight, now: float) -> CourtSight:
    """The sight with ages, clock and silence as they are at `now`; its snapshot may be some time old.

    Set and match points are none of the supervisor's; in a flood of notices the NOTEs are folded away.
    """
    snapshot, later = sight.snapshot, max(0.0, now - sight.snapshot.taken)
    flooded = _flooded(snapshot)
    clock = snapshot.clock
    aged = replace(
        snapshot,
        taken=max(now, snapshot.taken),
        phase_age=snapshot.phase_age + later,
        notices=tuple(replace(one, age=one.age + later) for one in snapshot.notices if _shown(one, flooded)),
        past=tuple(replace(one, age=one.age + later) for one in snapshot.past),
        links=tuple(replace(link, silent=link.silent + later) for link in snapshot.links),
        clock=None if clock is None else replace(clock, left=clock.left - later),
        ready=replace(snapshot.ready, seconds=snapshot.ready.seconds + later),
        courts_changed=None if snapshot.courts_changed is None else snapshot.courts_changed + later,
    )
    return replace(sight, snapshot=aged, silent=sight.silent + later)


def _shown(notice: NoticeView, flooded: bool) -> bool:
    return not notice.quiet and not (flooded and notice.level == "note")


def tile(sight: CourtSight, wall: int, due: int = 0) -> CourtTile:
    """One court's tile at `wall` (ms); `due` as in CourtTile."""
    snapshot = sight.snapshot
    linked = sight.silent < UNLINKED_S
    first = next((one for one in _open(sight) if one.notice.level != "note"), None)
    notice = first.notice if first is not None else None
    to_come = first.pending if first is not None else ""
    return CourtTile(
        court=sight.court,
        a=_figure(snapshot, snapshot.a),
        b=_figure(snapshot, snapshot.b),
        phase=_phase(snapshot),
        state=brief(notice) if notice is not None else _state(snapshot),
        set_number=snapshot.set_number,
        linked=linked,
        as_of=wall if linked else wall - round(sight.silent * 1000),
        level=notice.level if notice is not None and not to_come else "",
        notice=notice,
        clock=snapshot.clock if notice is None else None,
        scored=snapshot.phase != "before",
        due=due,
        pending=to_come,
    )


def _due(sight: CourtSight, plan: Sequence[PlannedMatch]) -> int:
    """When the match of a court that has not begun is planned, 0 if it has or is not in the plan."""
    if sight.snapshot.phase != "before":
        return 0
    return min((match.due for match in plan if match.court == sight.court), default=0)


def brief(notice: NoticeView) -> str:
    """The title of a notice in a narrow place, at most 16 letters."""
    return _BRIEF.get(notice.kind, notice.title)


def open_notices(sights: Iterable[CourtSight]) -> tuple[OpenNotice, ...]:
    """What is not closed on all courts: NOW first, in a level the oldest first, answered ones last."""
    found = [one for sight in sights for one in _open(sight)]
    return tuple(sorted(found, key=lambda one: (*_urgency(one), one.court, one.notice.id)))


def _open(sight: CourtSight) -> list[OpenNotice]:
    """A court's notices that are not closed, most urgent first."""
    live = [one for one in sight.snapshot.notices if one.state in ("open", "answered")]
    return sorted((_counted(sight.court, one) for one in live), key=_urgency)


def _urgency(one: OpenNotice) -> tuple[bool, int, float]:
    return one.pending != "", _LEVELS.get(one.notice.level, len(_LEVELS)), -one.notice.age


def pending(notice: NoticeView) -> str:
    """What is still to come about a notice that all have answered: "R1 decides"; "" while it is open."""
    if notice.state != "answered":
        return ""
    kind = all_kinds().get(notice.kind)
    decides = notice.kind == "wrong_server" or (
        kind is not None and kind.ends == "outcome" and not kind.phone
    )
    return "R1 decides" if decides else "not done yet"


def _counted(court: int, notice: NoticeView) -> OpenNotice:
    asked = [row for row in notice.receipts if row.state not in ("raised", "unfilled")]
    answered = sum(1 for row in asked if row.state in _ANSWERED)
    return OpenNotice(court, notice, answered, len(asked), pending(notice))


def _figure(snapshot: Snapshot, team: TeamView) -> TeamView:
    """The team with the figure of its tile: points; between sets those of the last set; at the end, sets."""
    if snapshot.phase in ("finished", "sealed"):
        return replace(team, points=team.sets)
    if snapshot.phase == "between_sets" and team.set_points:
        return replace(team, points=team.set_points[-1])
    return team


def _phase(snapshot: Snapshot) -> str:
    if snapshot.phase in ("finished", "sealed"):
        return "End"
    played = snapshot.set_number - 1 if snapshot.phase == "between_sets" else snapshot.set_number
    return "" if snapshot.phase == "before" else f"Set {max(played, 1)}"


def _state(snapshot: Snapshot) -> str:
    """One or two words on what goes on; a clock that runs is shown beside them."""
    if snapshot.phase == "before":
        crew = [link for link in snapshot.links if link.post != Post.SITE]
        here = sum(1 for link in crew if link.state == "linked")
        return f"Crew here, {here} of {len(crew)}" if crew else snapshot.phase_word or "No crew yet"
    if snapshot.phase == "sealed":
        return "Locked"
    if snapshot.clock is not None:
        return snapshot.clock.title.replace("Technical time-out", "Time-out")
    return snapshot.phase_word


def _health(sights: Sequence[CourtSight], floods: tuple[int, ...], forecast: str) -> Health:
    links = [
        (sight.silent < UNLINKED_S, link)
        for sight in sights
        for link in sight.snapshot.links
        if link.post != Post.SITE and link.state != "unfilled"
    ]
    return Health(
        linked=sum(1 for heard, link in links if heard and link.state == "linked"),
        devices=len(links),
        floods=floods,
        forecast=forecast,
    )


def _flooded(snapshot: Snapshot) -> bool:
    return sum(1 for one in (*snapshot.notices, *snapshot.past) if one.age < FLOOD_S) > FLOOD
