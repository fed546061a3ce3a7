"""What is known before the first fact: profile, format, teams, where a match is taken up in the middle."""

from __future__ import annotations

from msgspec import Struct

from crewlink.match.facts import SetScore
from crewlink.match.teams import Person, Score, Six, Team, TeamSheet
from crewlink.match.terms import Card
from crewlink.rules.format import FormatOptions

OverrideValue = bool | int | str | list[int | str] | None


class UsedPair(Struct, frozen=True, omit_defaults=True):
    """A substitution pair used before the match was taken up. `closed`: the starter is back."""

    starter: int
    substitute: int
    closed: bool = False


class CardGiven(Struct, frozen=True, omit_defaults=True):
    """A card shown before the match was taken up."""

    person: Person
    card: Card


class TeamStart(Struct, frozen=True, omit_defaults=True):
    """One team at the moment a match is taken up.

    `positions`: numbers on court by position 1 to 6, a libero included. `line_up`: the sheet of the set by
    position 1 to 6 (default: as on court, the libero's partner put in). `libero`: (libero, stands for).
    `libero_slot`: position on the sheet in whose turn the libero has served. `substitutions` counts more than
    `pairs` shows where the pairs are not known.
    `out`, `liberos_out`: out for the match. `recovered`: players who had recovery time. `late_exchanges`:
    libero replacements after the service whistle so far.
    """

    positions: Six
    line_up: Six | None = None
    libero: tuple[int, int] | None = None
    libero_slot: int | None = None
    time_outs: int = 0
    substitutions: int = 0
    pairs: tuple[UsedPair, ...] = ()
    played: tuple[int, ...] = ()
    improper: int = 0
    delays: int = 0
    warned: bool = False
    cards: tuple[CardGiven, ...] = ()
    out: tuple[int, ...] = ()
    liberos_out: tuple[int, ...] = ()
    recovered: tuple[int, ...] = ()
    late_exchanges: int = 0


class MidMatch(Struct, frozen=True, omit_defaults=True):
    """Where a match is taken up in the middle: set, earlier sets, score, service, sides, both teams."""

    serving: Team
    a: TeamStart
    b: TeamStart
    score: Score = (0, 0)
    set_number: int = 1
    sets: tuple[SetScore, ...] = ()
    left: Team = Team.A
    first_server: Team | None = None
    courts_changed: bool = False


class MatchSetup(Struct, frozen=True, omit_defaults=True):
    """All that a match is set up with; the same on every station.

    `profile`: name of a shipped profile (INT, USJ, USC, OLD); `profile_text`: a whole profile as TOML, which
    then counts instead. `overrides`: single profile values by "section.field". `format`: what the organiser
    sets.
    """

    profile: str = "INT"
    profile_text: str = ""
    overrides: dict[str, OverrideValue] = {}
    format: FormatOptions = FormatOptions()
    team_a: TeamSheet = TeamSheet(name="A")
    team_b: TeamSheet = TeamSheet(name="B")
    start: MidMatch | None = None

    def sheet(self, team: Team) -> TeamSheet:
        """The team list of `team`."""
        return self.team_a if team is Team.A else self.team_b
