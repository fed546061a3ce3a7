"""A played step in the words of officials: what happened, ruling, rule, score, server, who does what."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from crewlink.crew.life import State
from crewlink.crew.posts import word
from crewlink.match.ruling import Option, Proposal, Ruling, Severity
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.script.player import Played
from crewlink.script.seen import DONE, Answer, Seen, SeenNotice
from crewlink.script.step import Step
from crewlink.script.steps.conduct import ImproperRequest
from crewlink.script.steps.requests import Libero, Substitution, TimeOut

TEAM_REQUESTS = (TimeOut, Substitution, Libero, ImproperRequest)
"""Steps in which a team asks for something; other steps are entered by the crew itself."""
ENVELOPE = ("do", "by", "name", "note", "pause", "expect")
STANDS = {
    Severity.FINE: "in order",
    Severity.FAULT: "a fault",
    Severity.REFUSE: "not allowed",
    Severity.IMPROPER: "improper request",
    Severity.DELAY: "delay",
}
PHASES = {
    Phase.BEFORE_MATCH: "before the toss",
    Phase.LINE_UPS_DUE: "line-up sheets are due",
    Phase.BETWEEN_SETS: "between the sets",
}


def explained(played: Played) -> Iterator[str]:
    """The lines about one step."""
    step, now = played.step, played.now
    yield f"{played.number:>3}  {word(step.by)}: {described(step)}"
    if step.note:
        yield f"       ({step.note})"
    answer = played.answers[-1] if played.answers else Answer()
    if answer.ruling is not None and answer.ruling.code != DONE:
        yield from _ruling(answer.ruling)
    if answer.skipped:
        yield "     crew: passed over here, this needs linked stations"
    if answer.proposal is not None:
        yield from _proposal(answer.proposal)
    yield f"     stands: {standing(now)}"
    if now.ready == "held":
        yield f"     service: held. {now.held_by}{f' ({now.reason})' if now.reason else ''}"
    for who, what in duties(step, answer, now):
        yield f"     {who}: {what}"
    for notice in now.notices or ():
        yield f"     notice: {_notice(notice)}"


def described(step: Step) -> str:
    """A step in one line: what is done, and to whom."""
    plain = msgspec.to_builtins(step)
    parts = [str(plain["do"]).replace("_", " ")]
    team = plain.pop("team", None)
    if team is not None:
        parts.append(f"team {team}")
    comes_in, goes_out = plain.pop("in", None), plain.pop("out", None)
    if comes_in is not None:
        parts.append(f"{comes_in} in for {goes_out}")
    parts += [f"{pair['in']} in for {pair['out']}" for pair in plain.pop("pairs", ())]
    parts += [_part(key, value) for key, value in plain.items() if key not in ENVELOPE]
    return ", ".join(parts)


def _part(key: str, value: object) -> str:
    name = key.replace("_", " ")
    return name if value is True else f"{name} {_value(value)}"


def _value(value: object) -> str:
    """A value of a step in one line: six numbers as 4-9-7-12-2-15, anything else as it is written."""
    if isinstance(value, list | tuple) and all(isinstance(one, int) for one in value):
        return "-".join(str(one) for one in value)
    if isinstance(value, list | tuple):
        return " and ".join(_value(one) for one in value)
    if isinstance(value, dict):
        return " ".join(_part(key, inner) for key, inner in value.items())
    return "none" if value is None else str(value).replace("_", " ")


def _ruling(ruling: Ruling) -> Iterator[str]:
    rule = f" Rule {ruling.reference}." if ruling.reference else ""
    yield f"     ruling: {ruling.sentence}{rule} [{ruling.code}, {STANDS[ruling.severity]}]"
    for defect in ruling.defects:
        yield f"       box {defect.box}: {defect.sentence}"


def _proposal(proposal: Proposal) -> Iterator[str]:
    yield "     R1 decides:"
    for option in proposal.options:
        mark = ">" if option.code == proposal.suggested else " "
        yield f"      {mark} {option.code}: {option.sentence} {_leads_to(option)}"


def _leads_to(option: Option) -> str:
    rule = f"; rule {option.reference}" if option.reference else ""
    return f"({option.score[0]}:{option.score[1]}, {option.serving} serves with {option.server}{rule})"


def _notice(notice: SeenNotice) -> str:
    about = f" {notice.team or ''}{' ' + str(notice.number) if notice.number is not None else ''}".rstrip()
    silent = [word(post) for post in notice.asked if post not in notice.answered]
    waits = f", waits for {', '.join(silent)}" if silent else ""
    answered = f", got by {', '.join(map(word, notice.answered))}" if notice.answered else ""
    said = f" ({notice.detail})" if notice.detail else about
    by = f" by {word(notice.raised_by)}" if notice.raised_by else ""
    return f"{notice.kind.replace('_', ' ')}{said}{by}: {notice.state}{answered}{waits}"


def standing(now: Seen) -> str:
    """Where the match stands: score, server, positions; or what comes next."""
    sets = f"set {now.set}, sets {now.sets[0]}:{now.sets[1]}"
    if now.phase is Phase.FINISHED:
        won = f"match won by {now.winner}" if now.winner else "match over"
        return f"{won}, sets {now.sets[0]}:{now.sets[1]} ({', '.join(f'{a}:{b}' for a, b in now.set_scores)})"
    score = f"A {now.score[0]} : B {now.score[1]}, {sets}"
    if now.server is None:
        return f"{score}, {PHASES.get(now.phase, now.phase.value)}"
    server = f"{now.serves} serves with {_worn(now, now.serves, now.server)}"
    return f"{score}; {server}; A {order(now, Team.A)}, B {order(now, Team.B)}"


def order(now: Seen, team: Team) -> str:
    """Who stands in positions 1 to 6, a libero marked with L."""
    return "-".join(_worn(now, team, number) for number in now.positions.of(team)) or "no line-up yet"


def _worn(now: Seen, team: Team | None, number: int) -> str:
    return f"L{number}" if team is not None and number == now.on_as_libero.of(team) else str(number)


def duties(step: Step, answer: Answer, now: Seen) -> Iterator[tuple[str, str]]:
    """Who must do what before play goes on, after `step`."""
    ruling = answer.ruling
    if answer.proposal is not None and not answer.facts:
        yield "R1", "decide, by a tap or a sign to the table"
    elif ruling is not None and ruling.severity is not Severity.FINE and not answer.facts:
        waved_off = isinstance(step, TEAM_REQUESTS)
        yield (
            ("R2", "wave it off; nothing is written") if waved_off else (word(step.by), "nothing is written")
        )
    for notice in now.notices or ():
        if notice.kind == "hold_service" and notice.state in (State.OPEN, State.ANSWERED):
            holds = word(notice.raised_by)
            yield "R1", f"no whistle for the service while {holds} holds it; {holds} or R1 releases it"
    for owed in now.owed:
        if owed.code == "courts":
            yield "R1", "change of courts before the next service; the score stays"
            yield "R2", "check both positions after the change"
        else:
            yield (
                ("Assistant and R2" if owed.code == "libero" else "R2"),
                f"before the service: {owed.sentence}",
            )
    yield from _phase_duties(now)
    if now.technical_time_out_due is not None:
        yield "Table", "technical time-out now"
    if any(notice.kind in ("set_point", "match_point") for notice in now.notices or ()):
        return
    if now.match_point:
        yield "R2", f"show match point for {' and '.join(now.match_point)}"
    elif now.set_point:
        yield "R2", f"show set point for {' and '.join(now.set_point)}"


def _phase_duties(now: Seen) -> Iterator[tuple[str, str]]:
    if now.toss_due and now.phase is not Phase.FINISHED:
        yield "R1", "toss with both captains"
    for team in now.line_ups_due:
        yield "R2", f"collect the line-up of team {team}"
    match now.phase:
        case Phase.CHECK:
            yield "R2", "check both positions against the line-up sheets, then the set begins"
        case Phase.TIME_OUT:
            yield "R2", "time the time-out, show R1 the counts of both teams"
        case Phase.STOPPED:
            yield "R1", "play is stopped; no service until it is resumed"
        case Phase.FINISHED:
            signers = ", ".join(signer.replace("_", " ") for signer in now.profile.sign_off.order)
            yield "Table", f"complete the result; signatures in this order: {signers}"
