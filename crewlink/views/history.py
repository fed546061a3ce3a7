"""The match history: one plain line for each fact of the record, newest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from crewlink.court import Court, Line
from crewlink.match import facts as f
from crewlink.match.chain import Line as ChainLine
from crewlink.match.facts import Fact
from crewlink.match.history import undo_target
from crewlink.match.teams import Score
from crewlink.snapshot import HistoryLine


def history(court: Court, local_ms: Callable[[int, bytes], int], most: int) -> tuple[HistoryLine, ...]:
    """The newest `most` lines, newest first. `local_ms(time, device)` puts a time on this station's clock."""
    return tuple(
        _line(court.chain.line(place), court.lines[place], local_ms)
        for place in range(len(court.lines) - 1, max(-1, len(court.lines) - 1 - most), -1)
    )


def _line(line: ChainLine, told: Line, local_ms: Callable[[int, bytes], int]) -> HistoryLine:
    return HistoryLine(
        entry=line.entry_id.hex(),
        time=local_ms(told.time, told.device),
        score=score_text(line.match.score),
        text=text_of(line.fact),
        detail=_served(line.fact),
        lane=_lane(line.fact),
        struck=line.struck,
    )


def _served(fact: Fact) -> str:
    if isinstance(fact, f.RallyWon) and fact.server is not None:
        return f"{fact.serving} {fact.server} served"
    return ""


def _lane(fact: Fact) -> str:
    if isinstance(fact, f.RallyWon):
        return str(fact.team)
    if isinstance(fact, (f.Sanctioned, f.Delayed)) and _gives_point(fact):
        return str(fact.team.other)
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
