"""The clock that runs now, and how long ago the teams changed courts: read off the record."""

from __future__ import annotations

from collections.abc import Iterable

from crewlink.court import Court, Line
from crewlink.crew.life import Moment
from crewlink.match.terms import Phase
from crewlink.snapshot import ClockView

_SET_ENDS = frozenset({"rally_won", "sanctioned", "delayed", "corrected", "declared_incomplete", "defaulted"})


def clock_view(court: Court, moment: Moment) -> ClockView | None:
    """The time-out or the time between sets as it runs now; None when no clock runs."""
    match = court.match
    if match.phase is Phase.TIME_OUT:
        rules = match.profile.time_outs
        line = _newest(court, ("time_out_taken", "technical_time_out_taken"))
        if line is None:
            return None
        team = str(line.fact[1].get("team", ""))
        total = float(rules.seconds if team else rules.technical_seconds)
        title = f"Time-out {team}" if team else "Technical time-out"
        return ClockView("time_out", title, total - _since(line, moment), total, team)
    if match.set_number > 1 and match.phase in (Phase.BETWEEN_SETS, Phase.LINE_UPS_DUE, Phase.CHECK):
        line = _newest(court, _SET_ENDS)
        if line is None:
            return None
        total = float(match.profile.times.interval)
        return ClockView("between_sets", "Between sets", total - _since(line, moment), total)
    return None


def courts_changed(court: Court, moment: Moment) -> float | None:
    """Seconds since the teams changed courts, if that is the newest line; else None."""
    if not court.lines or court.lines[-1].fact[0] != "courts_changed":
        return None
    return _since(court.lines[-1], moment)


def _newest(court: Court, names: Iterable[str]) -> Line | None:
    wanted = frozenset(names)
    return next((line for line in reversed(court.lines) if line.fact[0] in wanted), None)


def _since(line: Line, moment: Moment) -> float:
    return max(0.0, moment.now - moment.local(line.time, line.device))
