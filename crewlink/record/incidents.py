"""The incidents of a match: conduct reports, injuries and calls for help, each with its answers and its end.

Pure. For R1, R2 and the supervisor alone; the table keeps none. Nothing is credited to a post that did not
act there: a sign that another entered is told as such.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from crewlink.charter import Names, shown_names
from crewlink.court import Court
from crewlink.crew import life
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import EndKind, Mark, Notice, Raised
from crewlink.crew.posts import TABLE, word
from crewlink.match.teams import Team
from crewlink.views.outcome import decided

MAY_READ = ("R1", "R2", "site")
"""Posts that may take the list out."""

_STATES = {
    State.OPEN: "open",
    State.ANSWERED: "answered, not closed",
    State.CLOSED: "closed",
    State.WITHDRAWN: "taken back",
    State.LAPSED: "over, not answered",
}


class IncidentAnswer(Struct, frozen=True):
    """What became of an incident at one post.

    `how`: "answered", "by sign", "not answered", "no device"; `entered_by` who entered a sign; `seconds` from
    raised to answered, None where nobody did.
    """

    post: str
    how: str
    seconds: float | None = None
    entered_by: str = ""


class Incident(Struct, frozen=True):
    """One incident in words. `at`: when it was raised, ms on this device's clock; `score` of A, then of B."""

    id: str
    kind: str
    title: str
    about: str
    at: int
    set_number: int
    score: tuple[int, int]
    raised_by: str
    state: str
    team: str = ""
    team_name: str = ""
    number: int | None = None
    entered_by: str = ""
    outcome: str = ""
    ended_by: str = ""
    end_entered_by: str = ""
    answers: tuple[IncidentAnswer, ...] = ()
    text: str = ""


class MatchIncidents(Struct, frozen=True):
    """The incidents of one match, oldest first, with what a reader must know of it."""

    court: str
    event: str
    teams: tuple[str, str]
    responsible: str = ""
    retention_days: int = 0
    ended_at: int = 0
    incidents: tuple[Incident, ...] = ()


def may_read(post: str) -> bool:
    """Whether a post may take the incidents out of its station."""
    return post in MAY_READ


def incidents(
    court: Court, moment: Moment, wall_ms: int, names: Names, texts: Mapping[bytes, str] = {}
) -> MatchIncidents:
    """The incidents of a court, as this station knows them. `wall_ms`: its clock at `moment`; `texts`: free
    words that are still here, by entry.
    """
    names = shown_names(names, court.charter.settings)

    def clock(time: int, device: bytes) -> int:
        return wall_ms - round((moment.now - moment.local(time, device)) * 1000)

    kept = [
        (notice.raised, notice)
        for notice in court.crew.notices.values()
        if notice.raised is not None and all_kinds()[notice.raised.kind].incident and not notice.raised.joins
    ]
    kept.sort(key=lambda one: one[0])
    last = court.lines[-1] if court.lines else None
    settings = court.charter.settings
    return MatchIncidents(
        court=names.court,
        event=names.event,
        teams=(names.a.name, names.b.name),
        responsible=names.responsible,
        retention_days=settings.retention_days,
        ended_at=wall_ms if last is None else clock(last.time, last.device),
        incidents=tuple(
            _incident(court, moment, clock(raised.time, raised.device), names, texts, notice)
            for raised, notice in kept
        ),
    )


def _incident(
    court: Court, moment: Moment, at: int, names: Names, texts: Mapping[bytes, str], notice: Notice
) -> Incident:
    raised = notice.raised
    assert raised is not None
    set_number, score = _where(court, raised.anchor)
    end = notice.end
    return Incident(
        id=notice.id.hex(),
        kind=raised.kind,
        title=all_kinds()[raised.kind].title,
        about=raised.detail,
        at=at,
        set_number=set_number,
        score=score,
        raised_by=word(raised.on_behalf or raised.post),
        entered_by=word(raised.post) if raised.on_behalf not in ("", raised.post) else "",
        state=_STATES[life.state(notice, moment)],
        team=raised.team,
        team_name=_team_name(names, raised.team),
        number=None if raised.number < 0 else raised.number,
        outcome=_outcome(court, notice),
        ended_by="" if end is None else word(end.post),
        end_entered_by=word(end.by) if end is not None and end.by != end.post else "",
        answers=_answers(notice, raised, moment),
        text=texts.get(raised.entry, ""),
    )


def _outcome(court: Court, notice: Notice) -> str:
    """What was decided; for one that was taken back, why."""
    end = notice.end
    if end is not None and end.rank == EndKind.WITHDRAWN:
        return end.reason
    return decided(court, notice).words


def _where(court: Court, anchor: bytes) -> tuple[int, tuple[int, int]]:
    """Set and score at an entry of the record; those of the start for an entry that does not count."""
    index = court.chain.index_of(anchor)
    match = court.chain.start_match if index is None else court.chain.line(index).match
    a, b = match.score
    return match.set_number, (a, b)


def _team_name(names: Names, letter: str) -> str:
    if letter not in (Team.A, Team.B):
        return ""
    return names.a.name if letter == Team.A else names.b.name


def _answers(notice: Notice, raised: Raised, moment: Moment) -> tuple[IncidentAnswer, ...]:
    at = moment.local(raised.time, raised.device)

    def seconds(mark: Mark) -> float:
        return max(0.0, moment.local(mark.time, mark.device) - at)

    def one(post: str) -> IncidentAnswer:
        if post in notice.answers:
            return IncidentAnswer(word(post), "answered", seconds(notice.answers[post]))
        if post in notice.relayed:
            mark = notice.relayed[post]
            return IncidentAnswer(word(post), "by sign", seconds(mark), word(mark.by))
        if post in notice.raisers or any(joined.post == post for joined in notice.joined):
            return IncidentAnswer(word(post), "raised it too")
        return IncidentAnswer(word(post), "no device" if post in raised.left_out else "not answered")

    posts = dict.fromkeys((*notice.asks, *raised.left_out, *notice.answers, *notice.relayed))
    return tuple(one(post) for post in posts)


def refusal(post: str) -> str:
    """Why a post gets no incident list; "" where it does."""
    if may_read(post):
        return ""
    who = "The table keeps" if post in TABLE else "This device keeps"
    return f"{who} no reports. Ask R1, R2 or the supervisor."
