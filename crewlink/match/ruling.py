"""What the rules engine answers: a ruling, and where officials must decide, a proposal with options."""

from enum import StrEnum

from msgspec import Struct

from crewlink.match.facts import Fact
from crewlink.match.teams import Score, Team


class Severity(StrEnum):
    """How a request or act stands under the rules."""

    FINE = "fine"
    REFUSE = "refuse"
    IMPROPER = "improper_request"
    DELAY = "delay"
    FAULT = "fault"


class Defect(Struct, frozen=True):
    """One thing wrong on a line-up sheet, in one sentence.

    `box`: "1" to "6", "libero 1", "libero 2", "captain" or "signature".
    """

    box: str
    code: str
    sentence: str


class Ruling(Struct, frozen=True):
    """The answer to a command: stable code, severity, one plain sentence, the profile's rule reference."""

    code: str
    severity: Severity
    sentence: str
    reference: str = ""
    defects: tuple[Defect, ...] = ()

    @property
    def fine(self) -> bool:
        """True if the command may be written as it is."""
        return self.severity is Severity.FINE


class Option(Struct, frozen=True):
    """One way to settle a question: the facts that would be written, and what they lead to.

    `explanation` marks the table's own errors (no fault of a team); they come first.
    `score`, `set_number`, `serving`, `server`, `orders` (positions 1 to 6 of A and B) are as they stand
    afterwards: the engine works them out.
    """

    code: str
    sentence: str
    facts: tuple[Fact, ...]
    explanation: bool = False
    score: Score = (0, 0)
    set_number: int = 0
    serving: Team | None = None
    server: int | None = None
    orders: tuple[tuple[int, ...], tuple[int, ...]] = ((), ())
    reference: str = ""


class Proposal(Struct, frozen=True):
    """A computed decision that waits for an official. `suggested`: code of the likeliest option."""

    subject: str
    options: tuple[Option, ...]
    suggested: str

    def option(self, code: str) -> Option | None:
        """The option with this code, or None."""
        return next((o for o in self.options if o.code == code), None)


class Decision(Struct, frozen=True):
    """The answer to a command.

    `facts`: what to write now (normally one; empty unless the ruling is fine).
    `proposal`: what an official may choose instead of, or besides, a refusal.
    `otherwise`: what R1's overrule of a refusal would write.
    """

    facts: tuple[Fact, ...]
    ruling: Ruling
    proposal: Proposal | None = None
    otherwise: tuple[Fact, ...] = ()
