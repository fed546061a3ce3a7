"""The duties of the present phase as one post sees them: open, done, late, not needed, wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from crewlink.acting import Me
from crewlink.court import Court
from crewlink.crew.duties import Duty, all_duties
from crewlink.crew.kinds import rule_value
from crewlink.crew.life import Moment
from crewlink.crew.posts import Post, word
from crewlink.crew.reduction import Tick
from crewlink.crew.signed import POST_OF, SIGNED
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.positions import AGAIN, changed_courts, checked_since, ticks_here
from crewlink.signing import AUDIT, findings, places
from crewlink.snapshot import ClockView, DutyView
from crewlink.views.ready import interruption


def duty_phase(court: Court, clocks: Iterable[ClockView]) -> str:
    """The phase of the duties now, "" in ordinary play."""
    match = court.match
    if match.finished:
        return "end"
    if match.in_set:
        return _in_set(court)
    if match.phase is Phase.CHECK:
        return "set_start"
    if match.set_number > 1 or match.phase is Phase.BETWEEN_SETS:
        return "deciding_set" if match.toss_due else "between_sets"
    warming = any(clock.kind == "warm_up" for clock in clocks)
    return "warm_up" if warming or not match.toss_due else "before"


def _in_set(court: Court) -> str:
    pauses = interruption(court).pauses
    made = {court.lines[place].fact[0] for _, _, place in pauses}
    if "courts_changed" in made:
        return "deciding_set"
    if "set_begun" in made and not court.match.rallies:
        return "set_start"
    return "interruption" if pauses else ""


def duties(
    court: Court, me: Me, moment: Moment, clocks: tuple[ClockView, ...]
) -> tuple[str, tuple[DutyView, ...]]:
    """The phase, and its duties: this post's own first, then those of the others."""
    phase = duty_phase(court, clocks)
    found = [
        view
        for code, duty in all_duties().items()
        if duty.phase == phase or (phase == "before" and duty.phase == "toss")
        for view in _views(court, me, moment, clocks, code, duty)
    ]
    return phase, tuple(sorted(found, key=lambda view: not view.mine))


def _views(
    court: Court, me: Me, moment: Moment, clocks: tuple[ClockView, ...], code: str, duty: Duty
) -> Iterator[DutyView]:
    ticks, needed, left = (
        ticks_here(court, code),
        _needed(court, me, duty),
        _left(court, moment, clocks, duty),
    )
    for post in duty.done_by(me.filled):
        for team in map(str, Team) if duty.by_team else ("",):
            tick = _tick(ticks, post, team)
            done = tick is not None and not tick.fault
            if not needed or (code == SIGNED and not _signs(court, me, post)):
                state = "not_needed"
            elif tick is not None and tick.fault:
                state = "wrong"
            elif done or _written(court, duty, team) or _checked(court, me, code, post):
                state = "done"
            else:
                state = "late" if left is not None and left < 0 else "open"
            fault = "" if tick is None else tick.fault
            about = tick.team if tick is not None and tick.fault else team
            yield DutyView(code, duty.text, word(post), state, left, post == me.post, about, fault)


def _tick(ticks: Mapping[tuple[str, str], Tick], post: str, team: str) -> Tick | None:
    """The tick that says how a duty stands; one for both teams may be ticked team by team, a fault first."""
    whole, parts = ticks.get((post, team)), [ticks.get((post, str(one))) for one in Team]
    if team:
        return whole
    return (
        next((part for part in parts if part is not None and part.fault), None)
        or whole
        or (parts[0] if all(part is not None for part in parts) else None)
    )


def _needed(court: Court, me: Me, duty: Duty) -> bool:
    match duty.when:
        case "":
            return True
        case "worn":
            return court.charter.settings.worn
        case "liberos":
            return bool(court.match.a.liberos or court.match.b.liberos)
        case "assistant":
            return Post.ASSISTANT in me.filled
        case place:
            return rule_value(court.match.profile, place)


def _left(court: Court, moment: Moment, clocks: Iterable[ClockView], duty: Duty) -> float | None:
    """Seconds until a duty is due, below 0 when it is late; None where nothing says when."""
    starts = court.charter.settings.starts
    if duty.of == "start":
        return moment.planned(starts) - duty.due - moment.now if starts else None
    clock = next((one for one in clocks if one.kind == duty.of), None)
    return None if clock is None or not duty.of else clock.left - duty.due


def _written(court: Court, duty: Duty, team: str) -> bool:
    """Whether the record itself shows that it is done: in this set, for this team."""
    if not duty.facts:
        return False
    for place in range(len(court.lines) - 1, -1, -1):
        line = court.chain.line(place)
        if line.match.set_number != court.here.set_number:
            return False
        name, fields = court.lines[place].fact
        if name in duty.facts and not line.struck and team in ("", fields.get("team")):
            return True
    return False


def _signs(court: Court, me: Me, post: str) -> bool:
    """Whether a post is one of the signers of this match."""
    return any(POST_OF.get(place.signer) == post for place in places(court, me.filled))


def _checked(court: Court, me: Me, code: str, post: str) -> bool:
    """Whether what a post did shows that a duty is done: it began the set, looked again after the change of
    courts, signed; with nothing found there is nothing to look at.
    """
    if code == SIGNED:
        return any(p.signed is not None and POST_OF.get(p.signer) == post for p in places(court, me.filled))
    if code == AUDIT:
        return not findings(court.chain)
    if code == AGAIN:
        changed = changed_courts(court)
        return changed is not None and checked_since(court, post, changed)
    return code == "positions" and _begun_by(court, post)


def _begun_by(court: Court, post: str) -> bool:
    """Whether `post` itself began this set, which is its check of the positions."""
    for place in range(len(court.lines) - 1, -1, -1):
        if court.lines[place].fact[0] == "set_begun":
            return court.chain.line(place).match.set_number == court.here.set_number and (
                court.entered_by(court.lines[place]) == post
            )
    return False
