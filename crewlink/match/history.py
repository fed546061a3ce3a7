"""What a person may do with the record so far: undo, strike, amend, each with a look at the result."""

from __future__ import annotations

from msgspec import Struct, structs

from crewlink.match import engine
from crewlink.match.answer import fine, refuse
from crewlink.match.chain import Chain, Line
from crewlink.match.commands import Amend, Change, Command, DecideProtest, Insert, MatchCommand, Strike, Undo
from crewlink.match.facts import Amended, Fact, Overruled, Struck, UnknownFact
from crewlink.match.ruling import Decision
from crewlink.match.state import Finding, Match

PREVIEW_ID = b"\x00" * 32
NOT_SIMPLE = (Overruled, Struck, Amended, UnknownFact)


class Preview(Struct, frozen=True):
    """A change of the record before it is made: the match before and after, and what would no longer fit.

    `findings`: the new ones only, each with the entry id of the line it is about.
    """

    before: Match
    after: Match
    findings: tuple[tuple[bytes, Finding], ...]


def decide(chain: Chain, command: Command) -> Decision:
    """Answer any command; undo, strike and amend are read against the lines. Never raises."""
    if isinstance(command, Undo):
        last = undo_target(chain)
        if last is None:
            return refuse(chain.match, "nothing_to_undo", "Nothing to undo.")
        return _correct(chain, Struck(last.entry_id, command.reason))
    if isinstance(command, Strike):
        return _correct(chain, Struck(command.target, command.reason))
    if isinstance(command, Amend):
        return _correct(chain, Amended(command.target, command.facts, command.reason))
    if isinstance(command, Change):
        return _change(chain, command.target, command.instead, command.reason, keep=False)
    if isinstance(command, Insert):
        return _change(chain, command.before, command.missing, command.reason, keep=True)
    if isinstance(command, DecideProtest) and command.back_to is not None:
        if chain.index_of(command.back_to) is None:
            return refuse(chain.match, "no_such_line", "That line is not in the record.")
    return engine.decide(chain.match, command)


def undo_target(chain: Chain) -> Line | None:
    """The line that an undo would cross out: the last act that stands.

    A strike or change of an older line is such an act. One undo after the other goes further back.
    """
    for place in range(len(chain) - 1, -1, -1):
        line = chain.line(place)
        if line.counts or (line.by is None and _reaches_back(chain, place)):
            return line
    return None


def _reaches_back(chain: Chain, place: int) -> bool:
    """True for a change of a line, and for a strike of a line that others follow: no plain undo."""
    fact = chain.line(place).fact
    if not isinstance(fact, Struck | Amended):
        return False
    target = chain.index_of(fact.target)
    if target is None or target >= place:
        return False
    if isinstance(fact, Amended):
        return True
    return any(chain.line(between).counts for between in range(target + 1, place))


def is_older_than_last_rally(chain: Chain, entry_id: bytes) -> bool:
    """True if a completed rally was written after the line: then another official must agree to change it.

    One that is crossed out counts, too: else one undo after the other would walk back through a set alone.
    """
    place = chain.index_of(entry_id)
    if place is None:
        return False
    if chain.match.completed > chain.line(place).match.completed:
        return True
    return any(_was_rally(chain, later) for later in range(place + 1, len(chain)))


def _was_rally(chain: Chain, place: int) -> bool:
    """True for a line that is crossed out and would complete a rally if it stood."""
    line, before = chain.line(place), chain.before(place)
    return line.struck and engine.evolve(before, line.fact).completed > before.completed


def preview(chain: Chain, fact: Fact) -> Preview:
    """What the record would be with this fact more."""
    known = {(f.line, f.code) for f in chain.match.findings}
    after = chain.extend(PREVIEW_ID, fact)
    new = tuple((i, f) for i, f in after.finding_entries() if (f.line, f.code) not in known)
    return Preview(chain.match, after.match, new)


def _change(chain: Chain, target: bytes, command: MatchCommand, reason: str, keep: bool) -> Decision:
    """Decide a command where the line stands; `keep`: the line itself counts after it."""
    place = chain.index_of(target)
    if place is None:
        return refuse(chain.match, "no_such_line", "That line is not in the record.")
    decision = engine.decide(chain.before(place), command)
    if not decision.facts:
        return structs.replace(decision, proposal=None, otherwise=())
    kept = chain.line(place).counts if keep else ()
    facts = tuple(f for f in (*decision.facts, *kept) if not isinstance(f, NOT_SIMPLE))
    return _correct(chain, Amended(target, facts, reason))


def _correct(chain: Chain, fact: Struck | Amended) -> Decision:
    match = chain.match
    place = chain.index_of(fact.target)
    if place is None:
        return refuse(match, "no_such_line", "That line is not in the record.")
    line = chain.line(place)
    if isinstance(fact, Struck) and line.struck:
        return refuse(match, "already_struck", "That line is already crossed out.")
    if isinstance(fact, Amended) and isinstance(line.fact, Struck | Amended):
        return refuse(match, "not_amendable", "A correction can be crossed out, not changed.")
    seen = preview(chain, fact)
    sentence = "Crossed out." if isinstance(fact, Struck) else "Changed."
    if seen.findings:
        sentence += f" {len(seen.findings)} later line(s) no longer fit: look at them."
    return Decision((fact,), fine(match, "corrected_line", sentence).ruling)
