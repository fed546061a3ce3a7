"""Steps that put something right: wrong server or player, wrong information, crossing out, R1's decisions.

The questions (wrong server, wrong player, unlisted player, wrong information) are answered by a proposal; the
step "agree" takes one of its options.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from crewlink.match import commands
from crewlink.match.teams import Score, Six, Team
from crewlink.match.terms import Cause
from crewlink.script.expectations import LETTERS
from crewlink.script.step import Name, Number, Step

Ago = Annotated[int, Meta(ge=0)] | Literal["unknown"]


def _rallies(ago: Ago) -> int | None:
    return None if ago == "unknown" else ago


class WrongServer(Step, frozen=True, kw_only=True, tag="wrong_server"):
    """`player` of `team` served and should not have.

    `rallies_ago`: how many finished rallies ago that began (0: at this very service), or "unknown".
    `at_hit`: play was stopped at a service hit that no rally was written for (default: `rallies_ago` is 0).
    """

    team: Team
    player: Number
    rallies_ago: Ago = 0
    at_hit: bool | None = None

    def command(self) -> commands.Command:
        """The report as a command."""
        at_hit = self.rallies_ago == 0 if self.at_hit is None else self.at_hit
        return commands.WrongServer(self.team, self.player, _rallies(self.rallies_ago), at_hit)


class WrongPlayer(Step, frozen=True, kw_only=True, tag="wrong_player"):
    """`player` is on court for `team` and should not be; `belongs` is the one who should.

    `cause`: "line_up", "illegal_substitution" or "illegal_libero". The rest: see "wrong_server".
    """

    team: Team
    player: Number
    belongs: Number
    cause: Cause = Cause.LINE_UP
    rallies_ago: Ago = 0
    at_hit: bool | None = None

    def command(self) -> commands.Command:
        """The report as a command."""
        at_hit = self.rallies_ago == 0 if self.at_hit is None else self.at_hit
        rallies = _rallies(self.rallies_ago)
        return commands.WrongPlayer(self.team, self.player, self.belongs, self.cause, rallies, at_hit)


class CameOn(Struct, frozen=True, forbid_unknown_fields=True):
    """An unlisted player came on in `set` when the score stood at `score` (A, B)."""

    set: Annotated[int, Meta(ge=1)]
    score: Score


class UnlistedPlayer(Step, frozen=True, kw_only=True, tag="unlisted_player"):
    """`player` on court is not on the team list; `replacement` takes the place.

    `played`: in which sets the player was on court, and from which score on.
    """

    team: Team
    player: Number
    replacement: Number
    played: tuple[CameOn, ...]

    def command(self) -> commands.Command:
        """The report as a command."""
        played = tuple(commands.PlayedIn(one.set, one.score) for one in self.played)
        return commands.UnlistedPlayer(self.team, self.player, self.replacement, played)


class WrongInformation(Step, frozen=True, kw_only=True, tag="wrong_information"):
    """The scorer told `team` the wrong server, `rallies_ago` finished rallies ago."""

    team: Team
    rallies_ago: Annotated[int, Meta(ge=0)]

    def command(self) -> commands.Command:
        """The report as a command."""
        return commands.WrongInformation(self.team, self.rallies_ago)


class Orders(Struct, frozen=True, forbid_unknown_fields=True, rename=LETTERS):
    """Positions 1 to 6 of both teams."""

    a: Six
    b: Six


class Adjust(Step, frozen=True, kw_only=True, tag="adjust"):
    """R1 sets score, service or positions by decision; what is left out stays."""

    reason: str
    score: Score | None = None
    serves: Team | None = None
    positions: Orders | None = None

    def command(self) -> commands.Command:
        """The decision as a command."""
        orders = None if self.positions is None else (self.positions.a, self.positions.b)
        return commands.Adjust(self.reason, self.score, self.serves, orders)


class Agree(Step, frozen=True, kw_only=True, tag="agree"):
    """Take an option of a proposal. `to`: name of the step that was answered by it (left out: the latest).

    `option`: its code (left out: the suggested one).
    """

    to: Name | None = None
    option: str = ""
    reason: str = ""


class Overrule(Step, frozen=True, kw_only=True, tag="overrule"):
    """R1 lets stand what was refused. `of`: name of the refused step (left out: the latest)."""

    reason: str
    of: Name | None = None


class Undo(Step, frozen=True, kw_only=True, tag="undo"):
    """Cross out the last line that counts."""

    reason: str = ""

    def command(self) -> commands.Command:
        """The undo as a command."""
        return commands.Undo(self.reason)


class Strike(Step, frozen=True, kw_only=True, tag="strike"):
    """Cross out the line that the step named `line` wrote."""

    line: Name
    reason: str


class ChangePoint(Step, frozen=True, kw_only=True, tag="change_point"):
    """The point that the step named `line` wrote went to `team` instead."""

    line: Name
    team: Team
    reason: str


CorrectionStep = (
    WrongServer
    | WrongPlayer
    | UnlistedPlayer
    | WrongInformation
    | Adjust
    | Agree
    | Overrule
    | Undo
    | Strike
    | ChangePoint
)
