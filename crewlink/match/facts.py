"""What a match record holds: one tagged frozen struct a kind, each carrying what was decided when it was
written.

`score` in a fact is the score after it, in the order A, B. `evolve` trusts what was decided (who, where,
which count) and keeps counting by itself, so that a strike of an earlier fact moves the later scores.
`set_number`: the set it was written in (0: not said); in another set it does not fit. On the wire a fact
is `[name, {fields}]`.
"""

from __future__ import annotations

from typing import Any

import msgspec
from msgspec import Struct

from crewlink.match.teams import Person, Score, Six, Team, TeamSheet
from crewlink.match.terms import (
    Card,
    Cause,
    DelayCause,
    DelayStep,
    LiberoOutCause,
    RallyFault,
    RemarkKind,
    ReplayCause,
    RequestKind,
    Scope,
    StopCause,
    SubstitutionKind,
)

WireValue = None | bool | int | float | str | bytes | list["WireValue"] | dict[str, "WireValue"]
Wire = tuple[str, dict[str, Any]]
LiberoBox = int | str | None
"""A libero box of a line-up sheet: a number, "X" (crossed: no libero), or None (left blank)."""


class TeamListed(Struct, frozen=True, omit_defaults=True, tag="team_listed"):
    """The team list of one team, entered or corrected."""

    team: Team
    sheet: TeamSheet


class TossMade(Struct, frozen=True, omit_defaults=True, tag="toss_made"):
    """Result of the toss: who serves first, which team is on the table's left."""

    first_server: Team
    left: Team
    set_number: int = 1


class LineUpGiven(Struct, frozen=True, omit_defaults=True, tag="line_up_given"):
    """An accepted line-up sheet: numbers by court position 1 to 6, liberos of the set, captain, signed."""

    team: Team
    positions: Six
    liberos: tuple[int, ...] = ()
    captain: int | None = None
    signed: bool = True
    set_number: int = 1


class SetBegun(Struct, frozen=True, omit_defaults=True, tag="set_begun"):
    """Positions checked by both, the set begins. Penalties given before it were applied: `score` shows it."""

    set_number: int
    score: Score


class RallyWon(Struct, frozen=True, omit_defaults=True, tag="rally_won"):
    """A rally ended with a point: who served (`serving`, `server`), the call (`fault`, `number`) if any."""

    team: Team
    serving: Team
    server: int | None
    score: Score
    fault: RallyFault | None = None
    number: int | None = None
    set_number: int = 0


class Replayed(Struct, frozen=True, omit_defaults=True, tag="replayed"):
    """A rally is played again: no point, no completed rally."""

    cause: ReplayCause = ReplayCause.OTHER


class TimeOutTaken(Struct, frozen=True, omit_defaults=True, tag="time_out_taken"):
    """A time-out of a team: which one of the set, at what score."""

    team: Team
    count: int
    score: Score
    set_number: int = 0


class TechnicalTimeOutTaken(Struct, frozen=True, omit_defaults=True, tag="technical_time_out_taken"):
    """A technical time-out at the leading team's mark (8, 16)."""

    at: int
    score: Score
    set_number: int = 0


class TimeOutEnded(Struct, frozen=True, omit_defaults=True, tag="time_out_ended"):
    """The time-out is over; the teams come back."""


class Exchange(Struct, frozen=True, omit_defaults=True):
    """One pair of a substitution: its court position 1 to 6 at that moment, the count after it."""

    goes_out: int
    comes_in: int
    position: int
    count: int
    kind: SubstitutionKind = SubstitutionKind.REGULAR


class Substituted(Struct, frozen=True, omit_defaults=True, tag="substituted"):
    """One request of a team, carried out pair by pair."""

    team: Team
    pairs: tuple[Exchange, ...]
    score: Score
    set_number: int = 0


class LiberoReplaced(Struct, frozen=True, omit_defaults=True, tag="libero_replaced"):
    """A libero replacement. `stands_for`: whom the libero on court then stands for (None: no libero on
    court).

    `to_serve`: the libero came to position 1 to serve, the one slot of the set (profiles that allow it).
    `late`: made after the service whistle, let pass the first time.
    """

    team: Team
    comes_in: int
    goes_out: int
    position: int
    score: Score
    stands_for: int | None = None
    to_serve: bool = False
    late: bool = False
    set_number: int = 0


class LiberoUnable(Struct, frozen=True, omit_defaults=True, tag="libero_unable"):
    """A libero can play no longer."""

    team: Team
    number: int
    cause: LiberoOutCause = LiberoOutCause.INJURY


class LiberoNamed(Struct, frozen=True, omit_defaults=True, tag="libero_named"):
    """A new libero named in the match (re-designation), or one named late at the line-up check.

    `enters_for`: the libero on court whose place the new one takes at once.
    """

    team: Team
    number: int
    replaces: int | None = None
    enters_for: int | None = None


class ImproperRequested(Struct, frozen=True, omit_defaults=True, tag="improper_requested"):
    """An improper request, recorded, nothing else."""

    team: Team
    about: RequestKind = RequestKind.OTHER


class Delayed(Struct, frozen=True, omit_defaults=True, tag="delayed"):
    """A delay sanction: warning, or penalty (a point and the service; before a set it waits for it)."""

    team: Team
    step: DelayStep
    score: Score
    cause: DelayCause = DelayCause.OTHER
    set_number: int = 0


class Sanctioned(Struct, frozen=True, omit_defaults=True, tag="sanctioned"):
    """A misconduct sanction. `point`: it gives the opponent a point and the service."""

    team: Team
    person: Person
    card: Card
    score: Score
    point: bool = False
    set_number: int = 0


class CourtsChanged(Struct, frozen=True, omit_defaults=True, tag="courts_changed"):
    """The teams changed courts in the set; `left` is now on the table's left."""

    left: Team
    score: Score
    set_number: int = 0


class SetScore(Struct, frozen=True, omit_defaults=True):
    """A finished set: its number and result; `winner` None only where a format allows it."""

    number: int
    score: Score
    winner: Team | None


class Corrected(Struct, frozen=True, omit_defaults=True, tag="corrected"):
    """A decided correction of score, service and order, complete: nothing is computed again when it is read.

    `cancelled`: points taken away (A, B). `orders`: positions 1 to 6 afterwards. `turns`: how many places
    each team has rotated in the set. `sets`: finished sets scored anew (an unlisted player).
    `rallies`: how many of the set's last rallies it touches. `line_ups`: the sheets, if typed wrongly.
    `before`: the score it was decided at; None: it holds whatever the score was.
    `reopens`: it corrects the set just closed, which goes on unless it is won again.
    `completed`: it stands for a completed rally. `strikes_pair`: (out, in) of a substitution it strikes out.
    """

    cause: Cause
    option: str
    score: Score
    serving: Team
    orders: tuple[Six, Six]
    turns: tuple[int, int]
    before: Score | None = None
    team: Team | None = None
    number: int | None = None
    cancelled: Score = (0, 0)
    rallies: int | None = None
    completed: bool = True
    strikes_pair: tuple[int, int] | None = None
    line_ups: tuple[Six, Six] | None = None
    sets: tuple[SetScore, ...] = ()
    reopens: bool = False
    reason: str = ""
    set_number: int = 0


class Stopped(Struct, frozen=True, omit_defaults=True, tag="stopped"):
    """Play stands still. `in_rally`: the rally was cut off and will be played again."""

    cause: StopCause
    team: Team | None = None
    number: int | None = None
    in_rally: bool = False


class Resumed(Struct, frozen=True, omit_defaults=True, tag="resumed"):
    """Play goes on after a stop."""


class SetRestarted(Struct, frozen=True, omit_defaults=True, tag="set_restarted"):
    """The set is played again from its start; its points are void, earlier sets and sanctions stay."""

    set_number: int


class RecoveryGiven(Struct, frozen=True, omit_defaults=True, tag="recovery_given"):
    """Recovery time for a hurt player: once a player and match."""

    team: Team
    number: int


class DeclaredIncomplete(Struct, frozen=True, omit_defaults=True, tag="declared_incomplete"):
    """A team cannot go on with six: it loses the set or the match, keeps what it has."""

    team: Team
    scope: Scope
    score: Score
    set_number: int = 0


class Defaulted(Struct, frozen=True, omit_defaults=True, tag="defaulted"):
    """A team refuses to play or does not appear: set or match lost to nil."""

    team: Team
    scope: Scope


class LatePoint(Struct, frozen=True, omit_defaults=True, tag="late_point"):
    """A point for each minute a team is late, where the event says so."""

    team: Team
    score: Score


class Protested(Struct, frozen=True, omit_defaults=True, tag="protested"):
    """A protest at the moment: the facts up to here are frozen until it is decided."""

    team: Team


class ProtestDecided(Struct, frozen=True, omit_defaults=True, tag="protest_decided"):
    """The protest is decided. Upheld, the match goes back to `after`, the line it stood at."""

    upheld: bool
    after: bytes | None = None


class CaptainNamed(Struct, frozen=True, omit_defaults=True, tag="captain_named"):
    """Who is captain on court now."""

    team: Team
    number: int


class Remarked(Struct, frozen=True, omit_defaults=True, tag="remarked"):
    """A remark on the score sheet; its words travel beside the record, `text` is their salted hash."""

    kind: RemarkKind = RemarkKind.OTHER
    team: Team | None = None
    number: int | None = None
    text: bytes | None = None


class UnknownFact(Struct, frozen=True, tag="unknown"):
    """A fact of a newer version: kept as it came, counted as a finding."""

    name: str
    fields: dict[str, Any]


class Overruled(Struct, frozen=True, omit_defaults=True, tag="overruled"):
    """R1 let stand what was refused: the code of the refusal, the reason, the facts that follow."""

    code: str
    reason: str
    facts: tuple[SimpleFact, ...]


class Struck(Struct, frozen=True, omit_defaults=True, tag="struck"):
    """An earlier line is crossed out. `target`: the entry id of that line."""

    target: bytes
    reason: str = ""


class Amended(Struct, frozen=True, omit_defaults=True, tag="amended"):
    """An earlier line is replaced by `facts`. `target`: the entry id of that line."""

    target: bytes
    facts: tuple[SimpleFact, ...]
    reason: str = ""


SimpleFact = (
    TeamListed
    | TossMade
    | LineUpGiven
    | SetBegun
    | RallyWon
    | Replayed
    | TimeOutTaken
    | TechnicalTimeOutTaken
    | TimeOutEnded
    | Substituted
    | LiberoReplaced
    | LiberoUnable
    | LiberoNamed
    | ImproperRequested
    | Delayed
    | Sanctioned
    | CourtsChanged
    | Corrected
    | Stopped
    | Resumed
    | SetRestarted
    | RecoveryGiven
    | DeclaredIncomplete
    | Defaulted
    | LatePoint
    | Protested
    | ProtestDecided
    | CaptainNamed
    | Remarked
)
Fact = SimpleFact | Overruled | Struck | Amended | UnknownFact


def to_wire(fact: Fact) -> Wire:
    """`[name, {fields}]` of plain values (bytes stay bytes)."""
    if isinstance(fact, UnknownFact):
        return fact.name, dict(fact.fields)
    fields = msgspec.to_builtins(fact, builtin_types=(bytes,))
    return fields.pop("type"), fields


def from_wire(wire: tuple[str, dict[str, Any]] | list[Any]) -> Fact:
    """Read `[name, {fields}]`. What this version does not know or cannot read becomes an `UnknownFact`."""
    name, fields = wire
    try:
        known: Fact = msgspec.convert({**fields, "type": name}, _KNOWN, builtin_types=(bytes,))
    except msgspec.ValidationError:
        return UnknownFact(str(name), dict(fields))
    return known


_KNOWN: Any = SimpleFact | Overruled | Struck | Amended
