"""What a station wants to say next, before the link signs it: drafts of entries, and the answers to
commands.
"""

from __future__ import annotations

from msgspec import Struct

from crewlink.match import facts
from crewlink.match.facts import Fact
from crewlink.match.ruling import Ruling


class Draft(Struct, frozen=True):
    """An entry to be: its kind on the wire ("record", "free", or "roster" to lock the record), act and
    fields; `text` travels beside it.
    """

    kind: str
    act: str
    fields: dict[str, object]
    text: str = ""
    readers: tuple[str, ...] = ()


class Accepted(Struct, frozen=True, tag="accepted"):
    """Done here: these drafts become entries at once."""

    drafts: tuple[Draft, ...] = ()
    ruling: Ruling | None = None


class Requested(Struct, frozen=True, tag="requested"):
    """Asked of the one who writes."""

    drafts: tuple[Draft, ...] = ()


class Refused(Struct, frozen=True, tag="refused"):
    """Not done: the rules, or this post's permissions, say no."""

    ruling: Ruling


class Failed(Struct, frozen=True, tag="failed"):
    """Not done for a reason outside the rules (no match yet, disk full); one sentence says what to do."""

    sentence: str


Outcome = Accepted | Requested | Refused | Failed


def record(fact: Fact, because: bytes | None = None) -> Draft:
    """A draft that writes a fact into the record; `because` names the request or notice behind it."""
    return Draft("record", "write", {"fact": list(facts.to_wire(fact)), "because": because})


def lock(sign_off: bytes) -> Draft:
    """A draft that ends the record as R1 signed it."""
    return Draft("roster", "seal", {"sign_off": sign_off})


def free(act: str, **fields: object) -> Draft:
    """A draft of a free entry."""
    return Draft("free", act, fields)
