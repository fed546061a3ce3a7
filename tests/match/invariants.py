"""What must hold of a match after any command, whatever was pressed before it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import msgspec

from crewlink.match.commands import MatchCommand
from crewlink.match.facts import (
    Corrected,
    DeclaredIncomplete,
    Defaulted,
    Fact,
    LatePoint,
    LiberoReplaced,
    Overruled,
    SetRestarted,
)
from crewlink.match.rotation import FRONT, position_of, regulars, rotate
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING, set_winner
from crewlink.match.standing import owed
from crewlink.match.state import Match
from crewlink.match.teams import Team

BYTES_AT_FIRST = 12_000
BYTES_A_COMMAND = 700
"""Bounds of an encoded state: what the set-up takes, and what one more command may add."""
SETS_SCORE = (Corrected, DeclaredIncomplete, Defaulted, LatePoint, Overruled, SetRestarted)
"""Facts that may lower a score, end a set or change an order by decision and not by play."""


class Step(NamedTuple):
    """One command of a sequence: what was asked, what was written, the match before and after.

    `number`: how many commands came before. `ruled`: R1 or a correction has set something in this set.
    """

    command: MatchCommand
    decision: Decision
    fact: Fact
    before: Match
    after: Match
    number: int
    ruled: bool


def answered(decision: Decision) -> str | None:
    """Every answer has a sentence; only what is fine has facts to write."""
    if not decision.ruling.sentence or not decision.ruling.code:
        return "a ruling without a sentence or a code"
    if decision.facts and not decision.ruling.fine:
        return "facts to write though it is not fine"
    return None


def places(step: Step) -> str | None:
    """Six different numbers a team; the server stands in position 1."""
    for team in Team:
        order = step.after.court(team).order
        if order and len(set(order)) != 6:
            return f"{team} stands {order}"
    serving = step.after.serving
    if serving is not None and step.after.court(serving).order:
        if step.after.server != step.after.court(serving).order[0]:
            return "the server does not stand in position 1"
    return None


def due_order(step: Step) -> str | None:
    """Positions are the six of the sheet, turned, with the substitutions of the set made in it."""
    if step.ruled:
        return None
    for team in Team:
        court = step.after.court(team)
        sheet = list(court.line_up)
        for swap in court.swaps:
            if sheet[swap.slot] != swap.goes_out:
                return f"{team}: {swap.goes_out} was not in place {swap.slot}"
            sheet[swap.slot] = swap.comes_in
        if regulars(court) != rotate(tuple(sheet), court.turns):
            return f"{team}: {court.order} does not follow from the sheet"
    return None


def score(step: Step) -> str | None:
    """A score never falls but by a correction, and one command gives one point at most."""
    if isinstance(step.fact, SETS_SCORE):
        return None
    old, new = step.before, step.after
    if len(new.sets) > len(old.sets):
        last = new.sets[-1]
        won = set_winner(new.format, last.number, last.score)
        return None if won is last.winner else f"set closed at {last.score}"
    if new.set_number != old.set_number or (new.phase is not old.phase and old.phase not in PLAYING):
        return None  # penalties that waited come with the begin of a set
    a, b = new.score[0] - old.score[0], new.score[1] - old.score[1]
    if min(a, b) < 0 or a + b > 1:
        return f"{old.score} became {new.score}"
    return None if a + b == new.completed - old.completed else "a point without a completed rally"


def counts(step: Step) -> str | None:
    """No more time-outs and substitutions than allowed, unless R1 let one stand."""
    if step.ruled:
        return None
    rules = step.after.profile
    for team in Team:
        court = step.after.court(team)
        if court.time_outs > rules.time_outs.per_set:
            return f"{team} has {court.time_outs} time-outs"
        if court.substitutions > rules.substitutions.per_set:
            return f"{team} has {court.substitutions} substitutions"
    return None


def libero_in_front(step: Step) -> str | None:
    """A libero in the front row, or one who may not serve, is always owed away before the next service."""
    if step.after.phase not in PLAYING:
        return None
    told = {one.team for one in owed(step.after) if one.code in ("libero", "must_leave")}
    for team in Team:
        court = step.after.court(team)
        if court.libero is None:
            continue
        place = position_of(court, court.libero)
        serves = place == 0 and step.after.serving is team and not step.after.profile.libero.may_serve
        if (place in FRONT or serves) and team not in told:
            return f"{team}: libero {court.libero} in place {place} and nobody says so"
    return None


def libero_comes_in(step: Step) -> str | None:
    """No libero is let into the front row, nor to serve where the book forbids it."""
    fact = step.fact
    if not isinstance(fact, LiberoReplaced) or fact.stands_for is None:
        return None
    if fact.position - 1 in FRONT:
        return f"libero {fact.comes_in} was let into position {fact.position}"
    serves = fact.position == 1 and step.before.serving is fact.team
    if serves and not step.before.profile.libero.may_serve:
        return f"libero {fact.comes_in} was let in to serve"
    return None


def no_finding(step: Step) -> str | None:
    """What is allowed fits: it leaves no finding, unless R1 let it stand."""
    if step.ruled or len(step.after.findings) == len(step.before.findings):
        return None
    return step.after.findings[-1].sentence


def bounded(step: Step) -> str | None:
    """The state grows by a few hundred bytes a command at most; the closed set holds no other."""
    closed = step.after.closed
    if closed is not None and closed.closed is not None:
        return "a closed set within a closed set"
    if step.number % 8:
        return None  # encoding is the slow part: looked at now and then
    size = len(msgspec.msgpack.encode(step.after))
    most = BYTES_AT_FIRST + BYTES_A_COMMAND * (step.number + 1)
    return None if size <= most else f"{size} bytes after {step.number} commands"


INVARIANTS: tuple[Callable[[Step], str | None], ...] = (
    places,
    due_order,
    score,
    counts,
    libero_in_front,
    libero_comes_in,
    no_finding,
    bounded,
)


def broken(step: Step) -> str | None:
    """The first invariant that the step breaks, in one line, or None."""
    for invariant in INVARIANTS:
        problem = invariant(step)
        if problem is not None:
            return f"{invariant.__name__}: {problem}"
    return None
