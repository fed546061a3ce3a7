"""A protest at the moment: play stands still until it is decided; upheld, the match goes back to a line."""

from __future__ import annotations

from msgspec import structs

from crewlink.match.answer import fine, not_in_set, refuse
from crewlink.match.commands import DecideProtest, Protest
from crewlink.match.facts import ProtestDecided, Protested
from crewlink.match.ruling import Decision
from crewlink.match.scoring import PLAYING
from crewlink.match.state import Match, Note, StandStill, found
from crewlink.match.terms import Phase, RemarkKind, StopCause


def decide(match: Match, command: Protest) -> Decision:
    """One protest at a time, while a set is played."""
    closed = not_in_set(match)
    if closed is not None:
        return closed
    if match.protest is not None:
        return refuse(match, "protest_open", "A protest is already open.")
    return fine(match, "protest", f"Protest of team {command.team}: nobody serves.", Protested(command.team))


def decide_outcome(match: Match, command: DecideProtest) -> Decision:
    """Close the open protest; upheld, say after which line the match goes on."""
    if match.protest is None:
        return refuse(match, "no_protest", "No protest is open.")
    if command.upheld and command.back_to is None:
        return refuse(match, "no_moment", "Say from which moment the match goes on.")
    fact = ProtestDecided(command.upheld, command.back_to if command.upheld else None)
    sentence = (
        "Protest upheld: back to that moment." if command.upheld else "Protest not upheld: play goes on."
    )
    return fine(match, "protest_decided", sentence, fact)


def evolve(match: Match, fact: Protested) -> Match:
    """Play stands still."""
    if match.phase not in PLAYING:
        return found(match, "protest_outside_set", f"A protest of {fact.team} while no set was played.")
    still = StandStill(StopCause.PROTEST, fact.team)
    note = Note(match.line, RemarkKind.PROTEST, fact.team)
    return structs.replace(
        match, phase=Phase.STOPPED, standstill=still, protest=fact.team, notes=(*match.notes, note)
    )


def evolve_outcome(match: Match, fact: ProtestDecided) -> Match:
    """Play goes on; what an upheld protest takes back is the chain's work."""
    phase = Phase.PLAY if match.phase is Phase.STOPPED else match.phase
    note = Note(match.line, RemarkKind.PROTEST)
    return structs.replace(match, phase=phase, standstill=None, protest=None, notes=(*match.notes, note))
