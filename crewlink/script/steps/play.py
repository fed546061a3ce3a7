"""Steps of play: rallies, positions, replays, courts, stops, and how a match can end early."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from crewlink.match import commands
from crewlink.match.teams import Team
from crewlink.match.terms import RallyFault, ReplayCause, Scope, StopCause
from crewlink.script.step import Name, Number, Step


class Point(Step, frozen=True, kw_only=True, tag="point"):
    """The rally went to `team`. `fault`, `player`: the call and the player at fault, if it was called."""

    team: Team
    fault: RallyFault | None = None
    player: Number | None = None

    def command(self) -> commands.Command:
        """The point as a command."""
        return commands.Point(self.team, self.fault, self.player)


class Rallies(Step, frozen=True, kw_only=True, tag="rallies"):
    """Several rallies in turn, as the letters of their winners: "AABA". `expect` holds after the last."""

    won_by: Annotated[str, Meta(pattern="^[AB]+$")]


class PositionFault(Step, frozen=True, kw_only=True, tag="position_fault"):
    """`team` stood wrongly at the service hit. `outside`: a player stood outside the own court."""

    team: Team
    outside: bool = False
    player: Number | None = None

    def command(self) -> commands.Command:
        """The fault as a command."""
        return commands.PositionFault(self.team, self.outside, self.player)


class Standing(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Where the feet of `player` touch the floor at the hit, in metres on the own court.

    `near`, `far`: smallest and greatest distance of any part of a foot from the centre line. `left`, `right`:
    the same from the left side line, seen from behind the own end line. Left out: well in the own place.
    """

    player: Number
    near: float | None = None
    far: float | None = None
    left: float | None = None
    right: float | None = None


class Feet(Step, frozen=True, kw_only=True, tag="feet"):
    """Judge how `team` stands at the service hit; nothing is written. `expect.overlaps`: the faulty pairs.

    `standing`: the players who matter; all others stand well in their places.
    """

    team: Team
    standing: tuple[Standing, ...] = ()


class Replay(Step, frozen=True, kw_only=True, tag="replay"):
    """The rally is played again."""

    reason: ReplayCause = ReplayCause.OTHER

    def command(self) -> commands.Command:
        """The replay as a command."""
        return commands.Replay(self.reason)


class ChangeCourts(Step, frozen=True, kw_only=True, tag="change_courts"):
    """The teams change courts in the set."""

    def command(self) -> commands.Command:
        """The change as a command."""
        return commands.ChangeCourts()


class Stop(Step, frozen=True, kw_only=True, tag="stop"):
    """Play stands still. `in_rally`: the rally was cut off and will be played again."""

    cause: StopCause
    team: Team | None = None
    player: Number | None = None
    in_rally: bool = False

    def command(self) -> commands.Command:
        """The stop as a command."""
        return commands.Stop(self.cause, self.team, self.player, self.in_rally)


class Resume(Step, frozen=True, kw_only=True, tag="resume"):
    """Play goes on after a stop."""

    def command(self) -> commands.Command:
        """The end of the stop as a command."""
        return commands.Resume()


class RestartSet(Step, frozen=True, kw_only=True, tag="restart_set"):
    """The set is played again from its start with the same line-ups (a long stop, another court)."""

    def command(self) -> commands.Command:
        """The restart as a command."""
        return commands.RestartSet()


class Recovery(Step, frozen=True, kw_only=True, tag="recovery"):
    """Recovery time for a hurt player."""

    team: Team
    player: Number

    def command(self) -> commands.Command:
        """The recovery time as a command."""
        return commands.GiveRecovery(self.team, self.player)


class Incomplete(Step, frozen=True, kw_only=True, tag="incomplete"):
    """Declare a team incomplete, for the set or the match."""

    team: Team
    scope: Scope = Scope.SET

    def command(self) -> commands.Command:
        """The declaration as a command."""
        return commands.Incomplete(self.team, self.scope)


class Default(Step, frozen=True, kw_only=True, tag="default"):
    """Declare a team in default, for the set or the match: it refuses to play or does not appear."""

    team: Team
    scope: Scope = Scope.MATCH

    def command(self) -> commands.Command:
        """The declaration as a command."""
        return commands.Default(self.team, self.scope)


class LateMinute(Step, frozen=True, kw_only=True, tag="late_minute"):
    """A team is late by one more minute, where the event gives a point for each."""

    team: Team

    def command(self) -> commands.Command:
        """The minute as a command."""
        return commands.LateMinute(self.team)


class Protest(Step, frozen=True, kw_only=True, tag="protest"):
    """A team protests at the moment."""

    team: Team

    def command(self) -> commands.Command:
        """The protest as a command."""
        return commands.Protest(self.team)


class DecideProtest(Step, frozen=True, kw_only=True, tag="decide_protest"):
    """The protest is decided. `back_to`: name of the step whose line is the last that stands, if upheld."""

    upheld: bool
    back_to: Name | None = None


PlayStep = (
    Point
    | Rallies
    | PositionFault
    | Feet
    | Replay
    | ChangeCourts
    | Stop
    | Resume
    | RestartSet
    | Recovery
    | Incomplete
    | Default
    | LateMinute
    | Protest
    | DecideProtest
)
