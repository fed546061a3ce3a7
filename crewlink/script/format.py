"""The match-script format: a script, its runs, where a run starts; and how a script file is read.

The JSON Schema beside this file is made from these types; README.md explains them.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType, field

from crewlink.charter import Settings
from crewlink.crew.posts import Post
from crewlink.match.facts import SetScore
from crewlink.match.setup import CardGiven, MatchSetup, MidMatch, TeamStart, UsedPair
from crewlink.match.teams import Score, Six, Team
from crewlink.match.terms import Card
from crewlink.rules.format import FormatOptions
from crewlink.script.expectations import LETTERS, Count, ExpectCard, RuleValue, SixWorn
from crewlink.script.step import Number, person
from crewlink.script.steps import AnyStep
from crewlink.script.steps.before import TeamList


class _Plain(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Strict and keyed by name."""


class Source(_Plain, frozen=True, kw_only=True):
    """Where the expected result comes from.

    `read`: "seen" (the wording was read), "memory", "practice" (common practice of the trade), "reading" (the
    rule is silent; the reading that the profile fixes).
    """

    title: str
    rule: str = ""
    read: Literal["seen", "memory", "practice", "reading"] = "seen"
    note: str = ""


class Teams(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """Both teams."""

    a: TeamList
    b: TeamList


class StartPair(_Plain, frozen=True, kw_only=True, rename={"comes_in": "in", "goes_out": "out"}):
    """A substitution pair of this set: starter `out`, substitute `in`; `closed`: the starter is back."""

    comes_in: Number
    goes_out: Number
    closed: bool = False


class StartTeam(_Plain, frozen=True, kw_only=True):
    """One team at the moment a run starts.

    `positions`: who stands in 1 to 6 now; a libero is written "L20", and `libero_for` says for whom.
    `line_up`: the sheet of this set, if it matters (left out: as on court). `libero_serves_in`: box of it, 1
    to 6, in whose turn a libero has served. `substitutions`: count so far (left out: from `pairs`).
    `played`: players of the bench known to have been on court, pair unknown. `improper`: improper requests,
    `delays`: delay sanctions (the first is the warning), `cards`: cards, all so far in the match.
    """

    positions: SixWorn
    line_up: Six | None = None
    libero_for: Number | None = None
    libero_serves_in: Annotated[int, Meta(ge=1, le=6)] | None = None
    time_outs: Count = 0
    substitutions: Count | UnsetType = UNSET
    pairs: tuple[StartPair, ...] = ()
    played: tuple[Number, ...] = ()
    improper: Count = 0
    delays: Count = 0
    cards: tuple[ExpectCard, ...] = ()

    def __post_init__(self) -> None:
        worn = [number for number in self.positions if isinstance(number, str)]
        if len(worn) > 1:
            raise ValueError(f"`positions`: only one libero can be on court, not {' and '.join(worn)}")
        if bool(worn) != (self.libero_for is not None):
            raise ValueError('a libero in `positions` ("L20") and `libero_for` go together')

    def start(self) -> TeamStart:
        """The team as the match takes it up."""
        made = sum(2 if pair.closed else 1 for pair in self.pairs)
        libero = next((int(n[1:]) for n in self.positions if isinstance(n, str)), None)
        one, two, three, four, five, six = (int(n[1:]) if isinstance(n, str) else n for n in self.positions)
        return TeamStart(
            positions=(one, two, three, four, five, six),
            line_up=self.line_up,
            libero=None if libero is None or self.libero_for is None else (libero, self.libero_for),
            libero_slot=self.libero_serves_in,
            time_outs=self.time_outs,
            substitutions=made if self.substitutions is UNSET else self.substitutions,
            pairs=tuple(UsedPair(pair.goes_out, pair.comes_in, pair.closed) for pair in self.pairs),
            played=self.played,
            improper=self.improper,
            delays=self.delays,
            warned=any(card.card is Card.WARNING for card in self.cards),
            cards=tuple(CardGiven(person(card.player, card.member), card.card) for card in self.cards),
        )


class Start(_Plain, frozen=True, kw_only=True, rename=LETTERS):
    """Where a run takes the match up: in set `set`, at `score`, `serves` to serve. Left out: before the toss.

    `set_scores`: the finished sets. `first_server`: team that served first in this set. `left`: team on the
    table's left. `courts_changed`: the change of the deciding set is done.
    """

    serves: Team
    a: StartTeam
    b: StartTeam
    set: Annotated[int, Meta(ge=1)] = 1
    score: Score = (0, 0)
    set_scores: tuple[Score, ...] = ()
    first_server: Team | None = None
    left: Team = Team.A
    courts_changed: bool = False

    def start(self) -> MidMatch:
        """The moment as the match takes it up."""
        sets = tuple(
            SetScore(number, score, Team.A if score[0] > score[1] else Team.B)
            for number, score in enumerate(self.set_scores, 1)
        )
        return MidMatch(
            self.serves,
            self.a.start(),
            self.b.start(),
            self.score,
            self.set,
            sets,
            self.left,
            self.first_server,
            self.courts_changed,
        )


class FormatChoice(FormatOptions, frozen=True, forbid_unknown_fields=True):
    """What the organiser sets; what is left out stays as the profile has it."""


class Event(_Plain, frozen=True, kw_only=True):
    """What the event decides. `starts_in`: seconds from the first step to the planned start of the match.

    `worn`: devices on a person are allowed. `paper`: the paper sheet is the official one. `medical_post`:
    who closes a suspected head injury. `warm_up`: its length in seconds. `start_grace`: so long after its
    time a match is late.
    """

    starts_in: Annotated[int, Meta(ge=1)] | None = None
    worn: bool = True
    paper: bool = False
    medical_post: Post = Post.SITE
    warm_up: Annotated[int, Meta(ge=1)] = 600
    start_grace: Count = 120

    def settings(self, now_ms: int) -> Settings:
        """As a match is opened with; `now_ms`: what the wall clocks show at the first step."""
        return Settings(
            worn=self.worn,
            paper=self.paper,
            medical_post=str(self.medical_post),
            warm_up=self.warm_up,
            start_grace=self.start_grace,
            starts=0 if self.starts_in is None else now_ms + 1000 * self.starts_in,
        )


class Run(_Plain, frozen=True, kw_only=True):
    """One way through: rule profiles under which the same steps give the same result.

    `overrides`: single profile values by "section.field". `format`, `start`, `teams`: these
    stand instead of the script's own.
    """

    profiles: Annotated[tuple[Literal["INT", "USJ", "USC", "OLD"], ...], Meta(min_length=1)]
    steps: Annotated[tuple[AnyStep, ...], Meta(min_length=1)]
    name: str = ""
    overrides: dict[str, RuleValue] = {}
    format: FormatChoice | None = None
    start: Start | None = None
    teams: Teams | None = None


class Script(_Plain, frozen=True, kw_only=True):
    """A match script. `posts`: the crew; its first post opens the match and writes the record."""

    script: Literal[1]
    title: str
    teams: Teams
    runs: Annotated[tuple[Run, ...], Meta(min_length=1)]
    about: str = ""
    source: tuple[Source, ...] = ()
    confidence: Literal["high", "medium", "low"] | None = None
    note: str = ""
    format: FormatChoice = FormatChoice()
    start: Start | None = None
    event: Event = Event()
    posts: Annotated[tuple[Post, ...], Meta(min_length=1)] = (
        Post.SCORER,
        Post.R2,
        Post.R1,
        Post.ASSISTANT,
        Post.SITE,
    )
    schema: str = field(name="$schema", default="")

    def setup(self, run: Run, profile: str) -> MatchSetup:
        """What a match of this run is set up with, under one of its profiles."""
        teams, start = run.teams or self.teams, run.start or self.start
        return MatchSetup(
            profile=profile,
            overrides=run.overrides,
            format=run.format or self.format,
            team_a=teams.a.sheet(),
            team_b=teams.b.sheet(),
            start=None if start is None else start.start(),
        )
