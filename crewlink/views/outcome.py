"""What became of a notice: the line of the record that holds the decision, else the words of its end."""

from __future__ import annotations

from msgspec import Struct

from crewlink.court import Court
from crewlink.crew.notice import EndKind, Notice
from crewlink.views.history import text_of


class Decided(Struct, frozen=True):
    """What was decided about a notice: in words, and the entry (hex) of the record that holds it."""

    words: str = ""
    line: str = ""


NOT_DECIDED = Decided()


def decided(court: Court, notice: Notice) -> Decided:
    """What was decided about a notice, NOT_DECIDED while nothing was."""
    line = court.settling(notice.id)
    place = None if line is None else court.chain.index_of(line)
    if line is not None and place is not None:
        return Decided(text_of(court.chain.line(place).fact), line.hex())
    end = notice.end
    return Decided(end.reason) if end is not None and end.rank == EndKind.CLOSED else NOT_DECIDED
