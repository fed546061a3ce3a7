"""The record of a match as a chain of lines: folded as it grows, folded anew from the line that a
correction names.

A strike or an amendment is a line of its own; it changes what an earlier line counts for, never the line
itself.
"""

from __future__ import annotations

from msgspec import Struct, structs

from crewlink.match import engine
from crewlink.match.correction import Standing, corrected, is_correction
from crewlink.match.facts import Fact
from crewlink.match.setup import MatchSetup
from crewlink.match.state import Finding, Match


class Line(Struct, frozen=True, gc=False):
    """One line of the record: its entry id and fact, what counts for it now, and the match after it.

    `counts`: the facts folded for it: itself, none if struck or a correction, others if amended.
    `by`: entry id of the correction that struck or amended it.
    """

    entry_id: bytes
    fact: Fact
    counts: tuple[Fact, ...]
    match: Match
    by: bytes | None = None

    @property
    def struck(self) -> bool:
        """True if the line is crossed out."""
        return self.by is not None and not self.counts

    @property
    def amended(self) -> bool:
        """True if other facts count in its place."""
        return self.by is not None and bool(self.counts)


class _Pages:
    """Lines and places by entry id, shared by all chains that grew from one another at the end."""

    __slots__ = ("lines", "places")

    def __init__(self, lines: list[Line]) -> None:
        self.lines = lines
        self.places: dict[bytes, int] = {}
        for place, line in enumerate(lines):
            self.places.setdefault(line.entry_id, place)


class Chain:
    """A record that never changes: `extend` gives a new one; only the newest end adds to the shared pages."""

    __slots__ = ("_length", "_pages", "start_match")

    def __init__(self, start_match: Match, pages: _Pages, length: int) -> None:
        self.start_match = start_match
        self._pages = pages
        self._length = length

    @classmethod
    def start(cls, setup: MatchSetup) -> Chain:
        """The empty record of a match.

        Errors: `SetupError`, `ProfileError`, `FormatError`.
        """
        return cls(engine.begin(setup), _Pages([]), 0)

    @classmethod
    def fold(cls, setup: MatchSetup, entries: tuple[tuple[bytes, Fact], ...]) -> Chain:
        """A whole record at once: the same as extending line by line."""
        start = engine.begin(setup)
        return _refolded(start, [Line(entry_id, fact, (fact,), start) for entry_id, fact in entries], 0)

    def __len__(self) -> int:
        return self._length

    @property
    def match(self) -> Match:
        """The match after the last line."""
        return self._pages.lines[self._length - 1].match if self._length else self.start_match

    @property
    def lines(self) -> tuple[Line, ...]:
        """All lines, oldest first."""
        return tuple(self._pages.lines[: self._length])

    def line(self, place: int) -> Line:
        """The line at `place`, from 0."""
        if not 0 <= place < self._length:
            raise IndexError(place)
        return self._pages.lines[place]

    def index_of(self, entry_id: bytes) -> int | None:
        """The place of an entry in this record, or None."""
        place = self._pages.places.get(entry_id)
        return place if place is not None and place < self._length else None

    def prefix(self, length: int) -> Chain:
        """The first `length` lines of this record, as they count in it now."""
        return Chain(self.start_match, self._pages, min(length, self._length))

    def before(self, place: int) -> Match:
        """The match before the line at `place`."""
        return self._pages.lines[place - 1].match if place else self.start_match

    def extend(self, entry_id: bytes, fact: Fact) -> Chain:
        """The record with one line more; a correction folds anew from the line it names. Never raises."""
        if is_correction(fact):
            return self._corrected(entry_id, fact)
        line = Line(entry_id, fact, (fact,), engine.evolve(self.match, fact))
        return self._with_line(line)

    def _with_line(self, line: Line) -> Chain:
        pages = self._pages
        if (
            len(pages.lines) != self._length
        ):  # this chain was extended before: the new end needs pages of its own
            pages = _Pages(pages.lines[: self._length])
        pages.places.setdefault(line.entry_id, self._length)
        pages.lines.append(line)
        return Chain(self.start_match, pages, self._length + 1)

    def _corrected(self, entry_id: bytes, fact: Fact) -> Chain:
        line = Line(entry_id, fact, (), self.match)
        return _refolded(self.start_match, [*self._pages.lines[: self._length], line], self._length)

    def finding_entries(self) -> tuple[tuple[bytes, Finding], ...]:
        """Each finding of the match with the entry it names."""
        lines = self._pages.lines
        return tuple((lines[f.line].entry_id, f) for f in self.match.findings)


def _refolded(start: Match, lines: list[Line], first: int) -> Chain:
    """Work out what each line counts for, fold from the first that changed, at the latest from `first`."""
    pages = _Pages(lines)
    standing = corrected([(line.entry_id, line.fact) for line in lines], pages.places)
    for place, line in enumerate(lines[:first]):
        now = standing.get(place) or Standing((line.fact,))
        if now.by != line.by or now.counts != line.counts:
            first = place
            break
    match = lines[first - 1].match if first else start
    for place in range(first, len(lines)):
        old = lines[place]
        now = standing.get(place) or Standing((old.fact,))
        match = _folded(match, now)
        lines[place] = Line(old.entry_id, old.fact, now.counts, match, now.by)
    return Chain(start, pages, len(lines))


def _folded(match: Match, line: Standing) -> Match:
    """Fold what a line counts for; it takes one place whatever that is."""
    if len(line.counts) == 1 and line.problem is None:
        return engine.evolve(match, line.counts[0])
    after = match
    for fact in line.counts:
        after = structs.replace(engine.evolve(after, fact), line=match.line)
    if line.problem is not None:
        after = structs.replace(
            after, findings=(*after.findings, Finding(match.line, "correction", line.problem))
        )
    return structs.replace(after, line=match.line + 1)
