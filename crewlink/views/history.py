"""The match history: one plain line for each fact of the record, newest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from crewlink.court import Court, Line
from crewlink.match import facts as f
from crewlink.match.chain import Chain
from crewlink.match.facts import Fact
from crewlink.match.history import undo_target
from crewlink.match.teams import Score, Team
from crewlink.snapshot import HistoryLine


def history(court: Court, local_ms: Callable[[int, bytes], int], most: int) -> tuple[HistoryLine, ...]:
    """The newest `most` lines, newest first. `local_ms(time, device)` puts a time on this station's clock."""
    newest = len(court.lines) - 1
    shown = range(newest, max(-1, newest - most), -1)
    gone = _taken_away(court.chain, shown)
    return tuple(_line(court.chain, place, court.lines[place], local_ms, place in gone) for place in shown)


def _line(
    chain: Chain, place: int, told: Line, local_ms: Callable[[int, bytes], int], gone: bool
) -> HistoryLine:
    line, before = chain.line(place), chain.before(place)
    text, score = text_of(line.fact), line.match.score
    if line.struck and isinstance(line.fact, f.RallyWon):  # the score it was written with
        a, b = before.score
        score = (a + 1, b) if line.fact.team is Team.A else (a, b + 1)
    done = line.match.sets[-1] if len(line.match.sets) > len(before.sets) else None
    if done is not None:
        score = done.score
        ended = f"Set {done.number}{f' to {done.winner}' if done.winner else ''}, {score_text(score)}"
        text = ended if _plain_point(line.fact) else f"{ended}. {text}"
    return HistoryLine(
        entry=line.entry_id.hex(),
        time=local_ms(told.time, told.device),
        score=score_text(score),
        text=text,
        detail="point taken away" if gone else _served(line.fact),
        lane=_lane(line.fact, before.score, score),
        struck=line.struck,
    )


def _plain_point(fact: Fact) -> bool:
    return isinstance(fact, f.RallyWon) and fact.fault is None


def _taken_away(chain: Chain, shown: range) -> set[int]:
    """Places of the rallies whose point a later correction took away."""
    gone = set[int]()
    for place in reversed(shown):
        for fact in chain.line(place).counts:
            if isinstance(fact, f.Corrected) and any(fact.cancelled):
                gone |= _taken_by(chain, place, fact, gone)
    return gone


def _taken_by(chain: Chain, place: int, fact: f.Corrected, gone: set[int]) -> set[int]:
    left, rallies, found = list(fact.cancelled), fact.rallies or 0, set[int]()
    for back in range(place - 1, -1, -1):
        lines = chain.line(back).match.rallies
        if back in gone or len(lines) <= len(chain.before(back).rallies):
            continue
        if not rallies or not any(left):
            break
        rallies -= 1
        if left[lines[-1].winner.place]:
            left[lines[-1].winner.place] -= 1
            found.add(back)
    return found


def _served(fact: Fact) -> str:
    if isinstance(fact, f.RallyWon) and fact.server is not None:
        return f"{fact.serving} {fact.server} served"
    return ""


def _lane(fact: Fact, before: Score, after: Score) -> str:
    """The team that has won a point by it."""
    if isinstance(fact, f.RallyWon):
        return str(fact.team)
    if isinstance(fact, (f.Sanctioned, f.Delayed)) and _gives_point(fact):
        return str(fact.team.other)
    if isinstance(fact, f.Corrected):
        return next((str(team) for team in Team if after[team.place] > before[team.place]), "")
    return ""


def _gives_point(fact: f.Sanctioned | f.Delayed) -> bool:
    return fact.point if isinstance(fact, f.Sanctioned) else fact.step == "penalty"


def text_of(fact: Fact) -> str:
    """One line of plain words for a fact."""
    teller = _TELL.get(type(fact))
    return teller(fact) if teller is not None else "A line that this version cannot read"


def _pairs(fact: f.Substituted) -> str:
    swaps = ", ".join(f"{pair.comes_in} in for {pair.goes_out}" for pair in fact.pairs)
    return f"Substitution {fact.team}, {swaps}"


def _libero(fact: f.LiberoReplaced) -> str:
    return f"Libero {fact.team}, {fact.comes_in} in for {fact.goes_out}"


def _rally(fact: f.RallyWon) -> str:
    if fact.fault is None:
        return f"Point {fact.team}"
    who = f" {fact.number}" if fact.number is not None else ""
    return f"Point {fact.team}, {_words(fact.fault)}{who}"


def _card(fact: f.Sanctioned) -> str:
    words = {"warning": "Yellow card", "penalty": "Red card", "expulsion": "Sent off for the set"}
    name = words.get(str(fact.card), "Sent off for the match")
    point = f", point {fact.team.other}" if fact.point else ""
    return f"{name} {fact.team} {fact.person.label}{point}"


def _corrected(fact: f.Corrected) -> str:
    who = f" {fact.team}" if fact.team is not None else ""
    number = f" {fact.number}" if fact.number is not None else ""
    return f"{_words(fact.cause).capitalize()}{who}{number}, now {fact.score[0]}:{fact.score[1]}"


def _words(value: object) -> str:
    return str(value).replace("_", " ")


def _nested(facts: Iterable[Fact]) -> str:
    return "; ".join(text_of(fact) for fact in facts)


_TELL: dict[type, Callable[[Any], str]] = {
    f.TeamListed: lambda x: f"Team list {x.team}",
    f.TossMade: lambda x: f"Toss: {x.first_server} serves first",
    f.LineUpGiven: lambda x: f"Line-up {x.team} " + " ".join(map(str, x.positions)),
    f.SetBegun: lambda x: f"Set {x.set_number} begins",
    f.RallyWon: _rally,
    f.Replayed: lambda x: f"Rally played again ({_words(x.cause)})",
    f.TimeOutTaken: lambda x: f"Time-out {x.team}, number {x.count}",
    f.TechnicalTimeOutTaken: lambda x: f"Technical time-out at {x.at}",
    f.TimeOutEnded: lambda x: "Time-out over",
    f.Substituted: _pairs,
    f.LiberoReplaced: _libero,
    f.LiberoUnable: lambda x: f"Libero {x.team} {x.number} cannot play on",
    f.LiberoNamed: lambda x: f"New libero {x.team} {x.number}",
    f.ImproperRequested: lambda x: f"Improper request {x.team}",
    f.Delayed: lambda x: f"Delay {_words(x.step)} {x.team}",
    f.Sanctioned: _card,
    f.CourtsChanged: lambda x: "Courts changed",
    f.Corrected: _corrected,
    f.Stopped: lambda x: f"Play stopped ({_words(x.cause)})",
    f.Resumed: lambda x: "Play goes on",
    f.RecoveryGiven: lambda x: f"Recovery time {x.team} {x.number}",
    f.DeclaredIncomplete: lambda x: f"Team {x.team} incomplete",
    f.Defaulted: lambda x: f"Team {x.team} in default",
    f.LatePoint: lambda x: f"Late: point against {x.team}",
    f.Protested: lambda x: f"Protest {x.team}",
    f.ProtestDecided: lambda x: "Protest upheld" if x.upheld else "Protest not upheld",
    f.CaptainNamed: lambda x: f"Captain {x.team} {x.number}",
    f.Remarked: lambda x: f"Remark ({_words(x.kind)})",
    f.Overruled: lambda x: f"R1 decides: {_nested(x.facts)}",
    f.Struck: lambda x: "Crossed out",
    f.Amended: lambda x: f"Changed to: {_nested(x.facts)}",
}


def score_text(score: Score) -> str:
    """A score as it is read: A before B."""
    return f"{score[0]}:{score[1]}"


def undo_text(court: Court) -> str:
    """What an undo would cross out, or ""."""
    last = undo_target(court.chain)
    return "" if last is None else text_of(last.fact)
