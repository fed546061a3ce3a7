"""One match on one court: the fold of record and free entries. Pure: no link, no clock, no Qt.

`Court.fold(charter, opening, lines, acts)` is the definition. `follow` and `hear` get to the same court step
by step: `follow` takes the counted chain as it now is (a longer one is one `evolve` a line, another branch
refolds), `hear` reduces one more free entry. Equal sets of entries give equal courts, whatever came first.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct, structs

from crewlink.charter import Charter
from crewlink.crew.life import Place
from crewlink.crew.notice import Act
from crewlink.crew.reduction import Crew, Request, reduce
from crewlink.digest import digest
from crewlink.match import facts
from crewlink.match.chain import Chain
from crewlink.match.facts import Wire
from crewlink.match.state import Match


class Line(Struct, frozen=True):
    """A counted record entry: its id, the fact as written, what it names as its cause, whose device under
    which post, and when (that device's own clock, ms)."""

    id: bytes
    fact: Wire
    because: bytes | None = None
    device: bytes = b""
    time: int = 0
    post: str = ""


class Court(Struct, frozen=True):
    """A match as everybody in its crew sees it.

    `written` maps a cause (request, notice, proposal) to the first line that names it, `twice` holds lines
    that name a cause again.
    """

    charter: Charter
    opening: bytes
    chain: Chain
    crew: Crew = Crew()
    lines: tuple[Line, ...] = ()
    written: dict[bytes, bytes] = {}
    twice: tuple[bytes, ...] = ()

    @classmethod
    def start(cls, charter: Charter, opening: bytes) -> Court:
        """The court before the first line; `opening` is the id of the entry that opened the match."""
        return cls(charter, opening, Chain.start(charter.setup))

    @classmethod
    def fold(cls, charter: Charter, opening: bytes, lines: Iterable[Line], acts: Iterable[Act]) -> Court:
        """The court of a chain of record lines and a set of free acts (any order)."""
        court = cls.start(charter, opening)
        for line in lines:
            court = court.write(line)
        for act in acts:
            court = court.hear(act)
        return court

    @property
    def match(self) -> Match:
        """The match after the last line."""
        return self.chain.match

    def write(self, line: Line) -> Court:
        """The court with one more line at the head of the record."""
        chain = self.chain.extend(line.id, facts.from_wire(line.fact))
        written, twice = self.written, self.twice
        if line.because is not None:
            if line.because in written:
                twice = (*twice, line.id)
            else:
                written = {**written, line.because: line.id}
        return structs.replace(
            self,
            chain=chain,
            lines=(*self.lines, line),
            written=written,
            twice=twice,
        )

    def follow(self, lines: Sequence[Line]) -> Court:
        """The court whose record is `lines`: written on where it is longer, folded again where it differs."""
        have = len(self.lines)
        if len(lines) >= have and (not have or lines[have - 1].id == self.lines[-1].id):
            court = self
            for line in lines[have:]:
                court = court.write(line)
            return court
        return structs.replace(Court.fold(self.charter, self.opening, lines, ()), crew=self.crew)

    def hear(self, act: Act) -> Court:
        """The court with one more free act."""
        return structs.replace(self, crew=reduce(self.crew, act))

    def place(self, anchor: bytes) -> Place | None:
        """Where the record stood at an entry: the start for the opening, None for one that is not counted."""
        if anchor == self.opening:
            return _place(self.chain.start_match)
        index = self.chain.index_of(anchor)
        return None if index is None else _place(self.chain.line(index).match)

    def settling(self, notice: bytes) -> bytes | None:
        """The line that holds the decision about a notice, or None: it names the notice, or its request.

        A line that was crossed out decides nothing any more.
        """
        causes = (notice, *self.crew.causes.get(notice, ()))
        found = (self.written[cause] for cause in causes if cause in self.written)
        return next((line for line in found if self._counts(line)), None)

    def _counts(self, line: bytes) -> bool:
        place = self.chain.index_of(line)
        return place is not None and not self.chain.line(place).struck

    def unwritten(self) -> list[Request]:
        """What was asked for and no line answers to, in the order in which it was asked."""
        requests = [one for id_, one in self.crew.requests.items() if id_ not in self.written]
        return sorted(requests, key=lambda one: (one.stamp, one.id))

    def entered_by(self, line: Line) -> str:
        """The post that entered a line: who asked for it, else who wrote it."""
        request = None if line.because is None else self.crew.requests.get(line.because)
        return request.post if request is not None and request.post else line.post

    def wrote(self, anchor: bytes, names: tuple[str, ...]) -> bool:
        """Whether one of these facts was written after the entry `anchor` and still counts."""
        after = -1 if anchor == self.opening else self.chain.index_of(anchor)
        if after is None:
            return False
        return any(
            self.lines[place].fact[0] in names and not self.chain.line(place).struck
            for place in range(after + 1, len(self.lines))
        )

    def rally_end(self, anchor: bytes) -> Line | None:
        """The line that ended the rally, or the dead ball, in which `anchor` was the newest entry."""
        place = self.place(anchor)
        index = -1 if anchor == self.opening else self.chain.index_of(anchor)
        if place is None or index is None:
            return None
        for later in range(index + 1, len(self.lines)):
            if _place(self.chain.line(later).match) > place:
                return self.lines[later]
        return None

    @property
    def here(self) -> Place:
        """Where the record stands now."""
        return _place(self.match)

    def digest(self) -> str:
        """A fingerprint: equal on every station that has folded the same entries."""
        return digest(self.match, self.crew, self.lines, self.twice)


def _place(match: Match) -> Place:
    return Place(match.set_number, match.completed)
