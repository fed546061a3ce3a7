"""What a script may expect after a step, and how it differs from what is seen.

Whatever is left out of an expectation is not compared. The types here are the documented format; `seen`
gathers the values they are compared with.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from crewlink.crew.life import State
from crewlink.crew.posts import Post
from crewlink.match.ruling import Severity
from crewlink.match.teams import Role, Score, Team
from crewlink.match.terms import Card, Phase, RemarkKind, StopCause
from crewlink.rules.profile import Signer

Number = Annotated[int, Meta(ge=1, le=99)]
Worn = (
    Number | Annotated[str, Meta(pattern=r"^L[0-9]{1,2}$", description="L20: number 20, on court as libero")]
)
SixWorn = tuple[Worn, Worn, Worn, Worn, Worn, Worn]
Count = Annotated[int, Meta(ge=0)]
LETTERS = {"a": "A", "b": "B"}
ReadyState = Literal["none", "held", "clear"]
DutyState = Literal["open", "done", "late", "not_needed", "wrong"]
RuleValue = bool | int | str | list[int | str] | None


class _Plain(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Strict and keyed by name."""


class ExpectCard(_Plain, frozen=True, kw_only=True):
    """A card in the record: whose (`player` or `member`) and which."""

    card: Card
    player: Number | None = None
    member: Role | None = None


class ExpectPair(_Plain, frozen=True, kw_only=True, rename={"comes_in": "in", "goes_out": "out"}):
    """A substitution of this set in the record: who came `in` for whom."""

    comes_in: Number
    goes_out: Number


class CountByTeam(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """A count of each team; a team left out is not compared."""

    a: Count | UnsetType = UNSET
    b: Count | UnsetType = UNSET


class PlayerByTeam(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """A number of each team, or null for nobody; a team left out is not compared."""

    a: Number | UnsetType | None = UNSET
    b: Number | UnsetType | None = UNSET


class PlayersByTeam(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """Numbers of each team, in any order; a team left out is not compared."""

    a: tuple[Number, ...] | UnsetType = UNSET
    b: tuple[Number, ...] | UnsetType = UNSET


class PositionsByTeam(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """Who stands in positions 1 to 6 of each team, null before a line-up; a team left out is not compared."""

    a: SixWorn | UnsetType | None = UNSET
    b: SixWorn | UnsetType | None = UNSET


class PairsByTeam(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """Substitutions of this set of each team, in their order; a team left out is not compared."""

    a: tuple[ExpectPair, ...] | UnsetType = UNSET
    b: tuple[ExpectPair, ...] | UnsetType = UNSET


class CardsByTeam(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """Cards in the match of each team, in their order; a team left out is not compared."""

    a: tuple[ExpectCard, ...] | UnsetType = UNSET
    b: tuple[ExpectCard, ...] | UnsetType = UNSET


class ExpectOption(_Plain, frozen=True, kw_only=True):
    """What an option of a proposal leads to. `explanation`: the table's own error, no fault of a team."""

    score: Score | UnsetType = UNSET
    serves: Team | UnsetType = UNSET
    server: Number | UnsetType | None = UNSET
    positions: PositionsByTeam | UnsetType = UNSET
    explanation: bool | UnsetType = UNSET


class ExpectProposal(_Plain, frozen=True, kw_only=True):
    """A proposal: its subject, the suggested option, and some or all options by code."""

    subject: str | UnsetType = UNSET
    suggested: str | UnsetType = UNSET
    options: dict[str, ExpectOption] = {}


class ExpectNotice(_Plain, frozen=True, kw_only=True):
    """A notice that must be there. `asked`: posts that must answer; `answered`: posts that did.

    `by_sign`: those of them whose sign another entered. `count`: how many raised it. `told`: what this post
    is told of silence. `held`: it waits for the dead ball.
    """

    kind: str
    state: State | UnsetType = UNSET
    team: Team | UnsetType | None = UNSET
    player: Number | UnsetType | None = UNSET
    asked: tuple[Post, ...] | UnsetType = UNSET
    answered: tuple[Post, ...] | UnsetType = UNSET
    by_sign: tuple[Post, ...] | UnsetType = UNSET
    count: Count | UnsetType = UNSET
    told: str | UnsetType = UNSET
    detail: str | UnsetType = UNSET
    held: bool | UnsetType = UNSET


class Expect(_Plain, frozen=True, kw_only=True):
    """What must be true after a step. Scores and counts are in the order A, B.

    The answer: `allowed` (default true), `severity`, `ruling` (code), `defects` (boxes of a line-up sheet),
    `proposal` (null: none), `overlaps` (pairs of players, after "feet"). The match: all others. `findings`
    (default: no new one) lists the codes of what this step left behind that does not fit. `comes_back`: who
    must come in for the libero before the service. `rules` compares values of the rule profile.
    """

    allowed: bool | UnsetType = UNSET
    severity: Severity | UnsetType = UNSET
    ruling: str | UnsetType = UNSET
    defects: tuple[str, ...] | UnsetType = UNSET
    proposal: ExpectProposal | UnsetType | None = UNSET

    overlaps: tuple[tuple[Number, Number], ...] | UnsetType = UNSET

    phase: Phase | UnsetType = UNSET
    set: int | UnsetType = UNSET
    score: Score | UnsetType = UNSET
    sets: Score | UnsetType = UNSET
    set_scores: tuple[Score, ...] | UnsetType = UNSET
    winner: Team | UnsetType | None = UNSET
    set_point: Team | tuple[Team, ...] | UnsetType | None = UNSET
    match_point: Team | tuple[Team, ...] | UnsetType | None = UNSET

    serves: Team | UnsetType | None = UNSET
    server: Number | UnsetType | None = UNSET
    next_server: PlayerByTeam | UnsetType = UNSET
    positions: PositionsByTeam | UnsetType = UNSET
    left: Team | UnsetType = UNSET
    courts_changed: bool | UnsetType = UNSET
    change_courts_due: bool | UnsetType = UNSET
    technical_time_out_due: int | UnsetType | None = UNSET
    toss_due: bool | UnsetType = UNSET
    line_ups_due: tuple[Team, ...] | UnsetType = UNSET
    owed: tuple[str, ...] | UnsetType = UNSET
    stopped_for: StopCause | UnsetType | None = UNSET
    protest: Team | UnsetType | None = UNSET

    time_outs: CountByTeam | UnsetType = UNSET
    substitutions: CountByTeam | UnsetType = UNSET
    pairs: PairsByTeam | UnsetType = UNSET
    bench: PlayersByTeam | UnsetType = UNSET
    liberos: PlayersByTeam | UnsetType = UNSET
    libero_for: PlayerByTeam | UnsetType = UNSET
    libero_serves_in: PlayerByTeam | UnsetType = UNSET
    comes_back: PlayerByTeam | UnsetType = UNSET
    must_leave: PlayersByTeam | UnsetType = UNSET
    out_for_match: PlayersByTeam | UnsetType = UNSET
    out_for_set: PlayersByTeam | UnsetType = UNSET
    captain: PlayerByTeam | UnsetType = UNSET

    recovered: PlayersByTeam | UnsetType = UNSET
    improper: CountByTeam | UnsetType = UNSET
    delays: CountByTeam | UnsetType = UNSET
    cards: CardsByTeam | UnsetType = UNSET
    waiting_penalties: CountByTeam | UnsetType = UNSET
    remarks: tuple[RemarkKind, ...] | UnsetType = UNSET
    findings: tuple[str, ...] | UnsetType = UNSET
    rules: dict[str, RuleValue] = {}

    notices: tuple[ExpectNotice, ...] | UnsetType = UNSET
    open_notices: tuple[str, ...] | UnsetType = UNSET
    ready: ReadyState | UnsetType = UNSET
    held_by: str | UnsetType = UNSET
    reason: str | UnsetType = UNSET
    clocks: tuple[str, ...] | UnsetType = UNSET
    duties: dict[str, DutyState] | UnsetType = UNSET
    crew: tuple[Post, ...] | UnsetType = UNSET
    writes: Post | UnsetType | None = UNSET
    audit: tuple[str, ...] | UnsetType = UNSET
    signed: tuple[str, ...] | UnsetType = UNSET
    signs_next: Signer | UnsetType | None = UNSET
    locked: bool | UnsetType = UNSET
