"""The clocks of a match, each one deadline in court time: the same on all stations, whatever their own
clocks show.

A clock of the record (time-out, between sets, recovery) starts at the time of the line that starts it, read
on the clock of the device that wrote it; the others (warm-up, service) by an act of a post. Either can be
held and let run on. A station that takes over the writing says how long such a clock had run, for those who
never heard the device that started it. Seconds are those of the station's own monotonic clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from crewlink.court import Court, Line
from crewlink.crew.life import Moment
from crewlink.crew.reduction import ClockAct
from crewlink.match.interval import line_ups_due
from crewlink.match.terms import Phase
from crewlink.rules.profile import Profile

SET_ENDS = frozenset({"rally_won", "sanctioned", "delayed", "corrected", "declared_incomplete", "defaulted"})
WARN_S = {
    "time_out": 5.0,
    "between_sets": 30.0,
    "warm_up": 120.0,
    "recovery": 30.0,
    "line_up": 30.0,
    "service": 3.0,
    "forfeit": 60.0,
}
"""So long before its end a clock warns. Between sets and warm-up: when missing line-ups are told (digest of
the line-up deadlines); the others are common practice."""
KEPT_S = 600.0
"""So long after its end a clock is still there, at nought, unless what it is about is over before."""
STARTED_BY_POSTS = ("warm_up", "service")
STAGE_S, MINUTE_S = 600.0, 60.0


class Running(Struct, frozen=True):
    """A clock: when it ends (seconds, this clock), its length, whether it is held (then `left` stands still).

    `since`: the record line that started it, b"" for one that a post started.
    """

    kind: str
    title: str
    ends: float
    total: float
    team: str = ""
    held: bool = False
    since: bytes = b""

    def left(self, now: float) -> float:
        """Seconds left, below 0 when it is over."""
        return self.ends - now

    def signal(self, now: float) -> str:
        """ "" while it runs, "warning" shortly before its end, "end" from then on."""
        left = self.left(now)
        if self.held:
            return ""
        return "end" if left <= 0 else "warning" if left <= WARN_S[self.kind] else ""


class _Start(Struct, frozen=True):
    kind: str
    title: str
    total: float
    team: str
    line: Line


def running(court: Court, moment: Moment) -> tuple[Running, ...]:
    """All clocks that run now, the most important first."""
    found = [*_recorded(court, moment), *_by_posts(court, moment)]
    found += [*_line_ups(court, moment, found), *_forfeit(court, moment)]
    return tuple(one for one in found if one.left(moment.now) > -KEPT_S)


def _recorded(court: Court, moment: Moment) -> Iterator[Running]:
    for start in _starts(court):
        at = _started(court, start.line, moment)
        if at is not None:
            yield _running(court, moment, start.kind, start.title, at, start.total, start.team, start.line.id)


def recorded_lines(court: Court) -> tuple[Line, ...]:
    """The record lines whose clocks may run now."""
    return tuple(start.line for start in _starts(court))


def _starts(court: Court) -> Iterator[_Start]:
    match = court.match
    rules = match.profile
    if match.phase is Phase.TIME_OUT:
        line = newest(court, ("time_out_taken", "technical_time_out_taken"))
        if line is not None:
            team = str(line.fact[1].get("team", ""))
            total = rules.time_outs.seconds if team else rules.time_outs.technical_seconds
            yield _Start(
                "time_out", f"Time-out {team}" if team else "Technical time-out", float(total), team, line
            )
    if match.standstill is not None and match.standstill.recovery:
        line = newest(court, ("recovery_given",))
        if line is not None:
            team = str(line.fact[1].get("team", ""))
            yield _Start("recovery", f"Recovery {team}", float(rules.times.recovery), team, line)
    if match.set_number > 1 and match.phase in (Phase.BETWEEN_SETS, Phase.LINE_UPS_DUE, Phase.CHECK):
        line = newest(court, SET_ENDS)
        if line is not None:
            yield _Start("between_sets", "Between sets", float(rules.times.interval), "", line)


def _by_posts(court: Court, moment: Moment) -> Iterator[Running]:
    lengths = {
        "warm_up": float(court.charter.settings.warm_up),
        "service": float(court.match.profile.times.service),
    }
    titles = {"warm_up": "Warm-up", "service": "Service"}
    for kind in STARTED_BY_POSTS:
        acts = [act for act in court.crew.clocks if act.kind == kind and moment.knows(act.device)]
        begun = next((act for act in reversed(acts) if act.do == "start"), None)
        if begun is None or any(act.do == "end" and act > begun for act in acts):
            continue
        if kind == "warm_up" and (court.match.in_set or court.match.set_number > 1):
            continue
        total = begun.ms / 1000 or lengths[kind]
        at = moment.local(begun.time, begun.device)
        yield _running(court, moment, kind, titles[kind], at, total, "", b"")


def _running(
    court: Court, moment: Moment, kind: str, title: str, at: float, total: float, team: str, since: bytes
) -> Running:
    stood, held = _stood(court.crew.clocks, kind, at, moment)
    return Running(kind, title, at + total + stood, total, team, held, since)


def _stood(clocks: Iterable[ClockAct], kind: str, at: float, moment: Moment) -> tuple[float, bool]:
    """For how long a clock that started `at` has stood still, and whether it stands now."""
    events = [
        (moment.local(act.time, act.device), act.do == "hold")
        for act in clocks  # in the order of their stamps
        if act.kind == kind and act.do in ("hold", "run") and moment.knows(act.device)
    ]
    stood, held_at = 0.0, None
    for when, holds in events:
        if when < at:
            continue
        if holds and held_at is None:
            held_at = when
        elif not holds and held_at is not None:
            stood, held_at = stood + max(0.0, when - held_at), None
    return (stood, False) if held_at is None else (stood + max(0.0, moment.now - held_at), True)


def _started(court: Court, line: Line, moment: Moment) -> float | None:
    """When the clock of a line started, or None while no clock is known that says so."""
    if moment.knows(line.device):
        return moment.local(line.time, line.device)
    said = [a for a in court.crew.clocks if a.do == "ran" and a.line == line.id and moment.knows(a.device)]
    return moment.local(said[0].time, said[0].device) - said[0].ms / 1000 if said else None


def _line_ups(court: Court, moment: Moment, clocks: Iterable[Running]) -> Iterator[Running]:
    """Until when the line-ups that are missing are due: some time before warm-up or interval end."""
    late = line_ups_due(court.match)
    if not late or court.match.in_set:
        return
    for one in clocks:
        if one.kind not in ("warm_up", "between_sets"):
            continue
        before = line_up_lead(court.match.profile, one.kind)
        who = str(late[0]) if len(late) == 1 else ""
        title = f"Line-up {who} due" if who else "Line-ups due"
        yield Running("line_up", title, one.ends - before, one.total - before, who, one.held, one.since)


def line_up_lead(profile: Profile, kind: str) -> float:
    """Seconds before the end of the warm-up or the time between sets at which line-ups are due."""
    rules = profile.line_up
    due = rules.deadline_first_set if kind == "warm_up" else rules.deadline_later_sets
    return float(due or 0)


def _forfeit(court: Court, moment: Moment) -> Iterator[Running]:
    """When the next thing is lost by a team that has not come, where the event counts that."""
    match, starts = court.match, court.charter.settings.starts
    if not starts or match.phase is not Phase.BEFORE_MATCH or match.set_number > 1:
        return
    late = match.profile.match.late
    at, step = moment.planned(starts), {"in_stages": STAGE_S, "points_by_minute": MINUTE_S}.get(late)
    if step is None or moment.now < at:
        return
    gone = int((moment.now - at) // step) if late == "points_by_minute" else 0
    yield Running(
        "forfeit",
        "Next point lost" if late == "points_by_minute" else "Set 2 lost",
        at + (gone + 1) * step,
        step,
    )


def newest(court: Court, names: Iterable[str]) -> Line | None:
    """The newest line that holds one of these facts and still counts."""
    wanted = frozenset(names)
    for place in range(len(court.lines) - 1, -1, -1):
        if court.lines[place].fact[0] in wanted and not court.chain.line(place).struck:
            return court.lines[place]
    return None
