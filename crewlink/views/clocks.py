"""The clocks that run now, and how long ago the teams changed courts, as faces show them."""

from __future__ import annotations

from crewlink.clocks import Running, running
from crewlink.court import Court, Line
from crewlink.crew.life import Moment
from crewlink.snapshot import ClockView

_MAIN = ("time_out", "recovery", "between_sets", "warm_up", "forfeit", "service", "line_up")


def clock_views(court: Court, moment: Moment) -> tuple[ClockView, ...]:
    """All clocks that run, the one that is shown alone first."""
    found = sorted(running(court, moment), key=lambda one: _MAIN.index(one.kind))
    return tuple(_view(one, moment) for one in found)


def _view(one: Running, moment: Moment) -> ClockView:
    left = one.left(moment.now)
    return ClockView(one.kind, one.title, left, one.total, one.team, one.signal(moment.now), one.held)


def courts_changed(court: Court, moment: Moment) -> float | None:
    """Seconds since the teams changed courts, if that is the newest line; else None."""
    if not court.lines or court.lines[-1].fact[0] != "courts_changed":
        return None
    return _since(court.lines[-1], moment)


def _since(line: Line, moment: Moment) -> float:
    return max(0.0, moment.now - moment.local(line.time, line.device))
