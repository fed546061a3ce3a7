"""What a match is between two facts: frozen, shallow, with the plain readings that every topic needs."""

from __future__ import annotations

import hashlib
from typing import Any

import msgspec
from msgspec import Struct, structs

from crewlink.match.facts import SetScore
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Person, Score, Team, TeamSheet
from crewlink.match.terms import Card, Phase, RemarkKind, StopCause, SubstitutionKind
from crewlink.rules.format import Format
from crewlink.rules.profile import Profile

Order = tuple[int, ...]
"""Six numbers by court position 1 to 6, or empty before a line-up."""


class CardShown(Struct, frozen=True, gc=False):
    """A card in the record: who, which, in which set, at what score."""

    person: Person
    card: Card
    set_number: int
    score: Score


class Swap(Struct, frozen=True, gc=False):
    """A substitution carried out in this set. `slot`: place on the line-up sheet, 0 to 5."""

    slot: int
    goes_out: int
    comes_in: int
    kind: SubstitutionKind
    score: Score


class Squad(Struct, frozen=True, gc=False):
    """One team through the match: list, liberos, cards and counts that do not start anew with a set.

    `liberos`: who may act as libero now. `libero_named`: a re-designation has happened. `pending`: penalties
    that wait for the next set. `out`: players out for the match.
    """

    sheet: TeamSheet
    liberos: tuple[int, ...] = ()
    liberos_out: tuple[int, ...] = ()
    libero_named: bool = False
    captain: int | None = None
    sets_won: int = 0
    improper: int = 0
    delays: int = 0
    late_exchanges: int = 0
    warned: bool = False
    cards: tuple[CardShown, ...] = ()
    pending: int = 0
    out: tuple[int, ...] = ()
    recovered: tuple[int, ...] = ()


class OnCourt(Struct, frozen=True, gc=False):
    """One team in the current set.

    `line_up`: the sheet by position 1 to 6. `order`: who stands in position 1 to 6 now, a libero included.
    `turns`: places rotated so far. `moved_at`: completed rallies when the last libero replacement was made
    (-1: none). `libero_slot`: place on the sheet in whose turn the libero serves. `must_leave`: players on
    court who may not stay. `barred`: players out for the rest of this set. `played`: known to have played,
    place unknown. `captain`: as marked on the sheet; `acting`: named while that one is off court.
    """

    points: int = 0
    line_up: Order = ()
    order: Order = ()
    turns: int = 0
    time_outs: int = 0
    substitutions: int = 0
    swaps: tuple[Swap, ...] = ()
    libero: int | None = None
    stands_for: int | None = None
    moved_at: int = -1
    libero_slot: int | None = None
    must_leave: tuple[int, ...] = ()
    barred: tuple[int, ...] = ()
    played: tuple[int, ...] = ()
    captain: int | None = None
    acting: int | None = None


class RallyLine(Struct, frozen=True, gc=False):
    """A completed rally of the set: who served, who won the point, score after. `played`: no penalty."""

    serving: Team
    server: int | None
    winner: Team
    score: Score
    played: bool = True


class Interruption(Struct, frozen=True, gc=False):
    """The pause since the last completed rally, and what was asked for in it.

    `asked`: teams that made a substitution request. `blocked`: teams that may ask for nothing more.
    `timed_out`: time-outs taken. `replay`: a rally was cut off and will be played again.
    """

    asked: tuple[Team, ...] = ()
    blocked: tuple[Team, ...] = ()
    timed_out: tuple[Team, ...] = ()
    replay: bool = False


class StandStill(Struct, frozen=True, gc=False):
    """Why play stands still. `recovery`: recovery time runs for the hurt player."""

    cause: StopCause
    team: Team | None = None
    number: int | None = None
    recovery: bool = False


class Note(Struct, frozen=True, gc=False):
    """A remark. `line`: place of its fact in the record."""

    line: int
    kind: RemarkKind
    team: Team | None = None
    number: int | None = None
    text: bytes | None = None


class Finding(Struct, frozen=True, gc=False):
    """Something that does not fit: `line` is the place of its fact in the record."""

    line: int
    code: str
    sentence: str


NO_REQUESTS = Interruption()


class Match(Struct, frozen=True, gc=False):
    """A match between two facts. `line`: how many facts were folded, and so the place of the next one.

    `closed`: the match at the last point of the set before, until the next set begins: a fault in that set
    may still come to light.
    """

    setup: MatchSetup
    profile: Profile
    format: Format
    a: Squad
    b: Squad
    court_a: OnCourt = OnCourt()
    court_b: OnCourt = OnCourt()
    phase: Phase = Phase.BEFORE_MATCH
    set_number: int = 1
    serving: Team | None = None
    first_server: Team | None = None
    left: Team | None = None
    toss_due: bool = True
    start_score: Score = (0, 0)
    rallies: tuple[RallyLine, ...] = ()
    completed: int = 0
    interruption: Interruption = NO_REQUESTS
    courts_changed: bool = False
    technical: int = 0
    standstill: StandStill | None = None
    protest: Team | None = None
    sets: tuple[SetScore, ...] = ()
    winner: Team | None = None
    overruled: int = 0
    line: int = 0
    notes: tuple[Note, ...] = ()
    findings: tuple[Finding, ...] = ()
    closed: Match | None = None

    def squad(self, team: Team) -> Squad:
        """The team through the match."""
        return self.a if team is Team.A else self.b

    def court(self, team: Team) -> OnCourt:
        """The team in the current set."""
        return self.court_a if team is Team.A else self.court_b

    @property
    def score(self) -> Score:
        """Points of A and B in the current set."""
        return self.court_a.points, self.court_b.points

    @property
    def sets_won(self) -> Score:
        """Sets won by A and B."""
        return self.a.sets_won, self.b.sets_won

    @property
    def in_set(self) -> bool:
        """True from the first service of a set to its last point."""
        return self.phase in (Phase.PLAY, Phase.TIME_OUT, Phase.STOPPED) and bool(self.court_a.order)

    @property
    def server(self) -> int | None:
        """Number of the player due to serve, None before line-ups."""
        if self.serving is None or not self.court(self.serving).order:
            return None
        return self.court(self.serving).order[0]

    @property
    def finished(self) -> bool:
        """True once the match is decided."""
        return self.phase is Phase.FINISHED


def active_liberos(squad: Squad, court: OnCourt) -> tuple[int, ...]:
    """Liberos who may play now."""
    gone = (*squad.out, *squad.liberos_out, *court.barred)
    return tuple(n for n in squad.liberos if n not in gone)


def listed(squad: Squad, number: int) -> bool:
    """False if a team list was given and the number is not on it."""
    return not squad.sheet.players or number in squad.sheet.players or number in squad.liberos


def with_squad(match: Match, team: Team, **changes: Any) -> Match:
    """Change fields of a team's `Squad`."""
    if team is Team.A:
        return structs.replace(match, a=structs.replace(match.a, **changes))
    return structs.replace(match, b=structs.replace(match.b, **changes))


def with_court(match: Match, team: Team, **changes: Any) -> Match:
    """Change fields of a team's `OnCourt`."""
    if team is Team.A:
        return structs.replace(match, court_a=structs.replace(match.court_a, **changes))
    return structs.replace(match, court_b=structs.replace(match.court_b, **changes))


def found(match: Match, code: str, sentence: str) -> Match:
    """Note that the fact being folded does not fit."""
    finding = Finding(match.line, code, sentence)
    return structs.replace(match, findings=(*match.findings, finding))


def digest(match: Match) -> bytes:
    """SHA-256 over the whole state: equal digests mean equal states, byte for byte."""
    return hashlib.sha256(_ENCODER.encode(match)).digest()


_ENCODER = msgspec.msgpack.Encoder(order="deterministic")
