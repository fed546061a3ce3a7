"""Remarks on the score sheet."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine
from crewlink.match.commands import Remark
from crewlink.match.facts import Remarked
from crewlink.match.ruling import Decision
from crewlink.match.state import Match, Note


def decide(match: Match, command: Remark) -> Decision:
    """A remark can always be written."""
    fact = Remarked(command.kind, command.team, command.number, command.text)
    return fine(match, "remark", "Remark written.", fact)


def evolve(match: Match, fact: Remarked) -> Match:
    """Keep the remark."""
    note = Note(match.line, fact.kind, fact.team, fact.number, fact.text)
    return structs.replace(match, notes=(*match.notes, note))
