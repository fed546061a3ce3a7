"""Steps before a set: team lists, toss, line-up sheets, the start of the set, the captain on court."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from crewlink.match import commands
from crewlink.match.teams import Role, Team, TeamSheet
from crewlink.script.step import Number, Step

Box = Number | Annotated[str, Meta(pattern="^X$")] | None


class TeamList(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """A team list: invented name, numbers (liberos included), captain, liberos, others by role."""

    name: str
    players: tuple[Number, ...]
    liberos: tuple[Number, ...] = ()
    captain: Number | None = None
    staff: tuple[Role, ...] = (Role.COACH,)

    def sheet(self) -> TeamSheet:
        """The list as the match keeps it."""
        return TeamSheet(self.name, self.players, self.captain, self.liberos, self.staff)


class ListTeam(Step, frozen=True, kw_only=True, tag="team_list"):
    """Enter or correct a team list."""

    team: Team
    list: TeamList

    def command(self) -> commands.Command:
        """The list as a command."""
        return commands.ListTeam(self.team, self.list.sheet())


class Toss(Step, frozen=True, kw_only=True, tag="toss"):
    """Enter the toss: which team serves first, which is on the table's left."""

    serves_first: Team
    left: Team

    def command(self) -> commands.Command:
        """The toss as a command."""
        return commands.Toss(self.serves_first, self.left)


class LineUp(Step, frozen=True, kw_only=True, tag="line_up"):
    """Hand in a line-up sheet. `positions`: boxes I to VI, null for an empty one.

    `liberos`: the libero boxes, each a number, "X" (crossed: no libero) or null (left blank). `warm_up_left`:
    seconds on the warm-up clock, where the profile allows free changes for a while.
    """

    team: Team
    positions: tuple[Number | None, Number | None, Number | None, Number | None, Number | None, Number | None]
    liberos: tuple[Box, ...] = ("X", "X")
    captain: Number | None = None
    signed: bool = True
    warm_up_left: int | None = None

    def command(self) -> commands.Command:
        """The sheet as a command."""
        return commands.LineUp(
            self.team, self.positions, self.liberos, self.captain, self.signed, self.warm_up_left
        )


class BeginSet(Step, frozen=True, kw_only=True, tag="begin_set"):
    """Both teams stand as on their sheets: the set begins."""

    def command(self) -> commands.Command:
        """The start of the set as a command."""
        return commands.BeginSet()


class NameCaptain(Step, frozen=True, kw_only=True, tag="captain"):
    """Name the captain on court."""

    team: Team
    player: Number

    def command(self) -> commands.Command:
        """The captain as a command."""
        return commands.NameCaptain(self.team, self.player)


BeforeStep = ListTeam | Toss | LineUp | BeginSet | NameCaptain
