"""The rules engine: what may be done (`decide`), what a fact makes of a match (`evolve`)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec import structs

from crewlink.match.commands import MatchCommand
from crewlink.match.facts import Fact
from crewlink.match.ruling import Decision, Ruling, Severity
from crewlink.match.state import Match, found

Decide = Callable[[Match, Any], Decision]
Evolve = Callable[[Match, Any], Match]

DECIDE: dict[type, Decide] = {}
EVOLVE: dict[type, Evolve] = {}


def decide(match: Match, command: MatchCommand) -> Decision:
    """Answer a command: facts to write if the rules allow it, a ruling, and perhaps a proposal. Never raises."""
    topic = DECIDE.get(type(command))
    if topic is None:
        return Decision((), Ruling("not_known", Severity.REFUSE, "This program does not know that act."))
    return topic(match, command)


def evolve(match: Match, fact: Fact) -> Match:
    """Fold one fact into the match. Total: what does not fit becomes a finding in the state. Never raises."""
    topic = EVOLVE.get(type(fact))
    if topic is None:
        after = found(match, "not_known", "A line of a newer version that this one cannot read.")
    else:
        after = topic(match, fact)
    return structs.replace(after, line=match.line + 1)
