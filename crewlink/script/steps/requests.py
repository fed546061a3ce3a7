"""Steps that a team asks for: time-outs, substitutions, libero replacements."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta

from crewlink.match import commands
from crewlink.match.teams import Role, Team
from crewlink.match.terms import LiberoOutCause, Moment, SubstitutionKind
from crewlink.script.step import Number, PlayerPair, Step

Pairs = Annotated[tuple[PlayerPair, ...], Meta(min_length=1)]


class TimeOut(Step, frozen=True, kw_only=True, tag="time_out"):
    """A team asks for a time-out. `cost_time`: it was whistled by mistake, or really held up the game."""

    team: Team
    asked_by: Role = Role.COACH
    when: Moment = Moment.DEAD_BALL
    cost_time: bool = False

    def command(self) -> commands.Command:
        """The request as a command."""
        return commands.TimeOut(self.team, by=self.asked_by, moment=self.when, cost_time=self.cost_time)


class TechnicalTimeOut(Step, frozen=True, kw_only=True, tag="technical_time_out"):
    """The technical time-out that is due."""

    def command(self) -> commands.Command:
        """The time-out as a command."""
        return commands.TechnicalTimeOut()


class EndTimeOut(Step, frozen=True, kw_only=True, tag="end_time_out"):
    """The time-out is over."""

    def command(self) -> commands.Command:
        """Its end as a command."""
        return commands.EndTimeOut()


class Substitution(Step, frozen=True, kw_only=True, tag="substitution"):
    """A substitution request of one or more pairs, carried out if the rules allow it.

    `same_request`: it goes on with the request just made. `ready`: the substitutes are ready to play.
    `cost_time`: it was whistled by mistake, or really held up the game.
    """

    team: Team
    pairs: Pairs
    kind: SubstitutionKind = SubstitutionKind.REGULAR
    same_request: bool = False
    ready: bool = True
    when: Moment = Moment.DEAD_BALL
    cost_time: bool = False

    def command(self) -> commands.Command:
        """The request as a command."""
        return commands.Substitute(
            team=self.team,
            pairs=tuple(commands.Pair(pair.comes_in, pair.goes_out) for pair in self.pairs),
            kind=self.kind,
            same_request=self.same_request,
            ready=self.ready,
            moment=self.when,
            cost_time=self.cost_time,
        )


class Libero(Step, frozen=True, kw_only=True, tag="libero", rename={"comes_in": "in", "goes_out": "out"}):
    """A libero replacement: `in` comes on for `out`; one of them is a libero, or both."""

    team: Team
    comes_in: Number
    goes_out: Number
    when: Moment = Moment.DEAD_BALL

    def command(self) -> commands.Command:
        """The replacement as a command."""
        return commands.LiberoSwap(self.team, self.comes_in, self.goes_out, self.when)


class LiberoOut(Step, frozen=True, kw_only=True, tag="libero_unable"):
    """A libero can play no longer."""

    team: Team
    player: Number
    cause: LiberoOutCause = LiberoOutCause.INJURY

    def command(self) -> commands.Command:
        """The loss as a command."""
        return commands.LiberoOut(self.team, self.player, self.cause)


class NameLibero(Step, frozen=True, kw_only=True, tag="name_libero"):
    """Name a new libero, or one at the line-up check. `enters`: goes straight on court for the old one."""

    team: Team
    player: Number
    enters: bool = False

    def command(self) -> commands.Command:
        """The naming as a command."""
        return commands.NameLibero(self.team, self.player, self.enters)


RequestStep = TimeOut | TechnicalTimeOut | EndTimeOut | Substitution | Libero | LiberoOut | NameLibero
