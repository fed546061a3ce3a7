"""Steps about conduct and delay: cards, misconduct to be judged, delays, improper requests, remarks."""

from __future__ import annotations

from crewlink.match import commands
from crewlink.match.teams import Role, Team
from crewlink.match.terms import Card, Conduct, DelayCause, RemarkKind, RequestKind
from crewlink.script.step import Number, Step, person


class _WithPerson(Step, frozen=True, kw_only=True):
    """A step about one member of a team: `player` by number, or `member` by role; one of the two."""

    team: Team
    player: Number | None = None
    member: Role | None = None

    def __post_init__(self) -> None:
        if (self.player is None) == (self.member is None):
            raise ValueError("give either `player` (a number) or `member` (a role), not both")


class ShowCard(_WithPerson, frozen=True, kw_only=True, tag="card"):
    """R1 shows a card to `player` (a number) or `member` (a role such as "coach")."""

    card: Card

    def command(self) -> commands.Command:
        """The sanction as a command."""
        return commands.Sanction(self.team, person(self.player, self.member), self.card)


class Misconduct(_WithPerson, frozen=True, kw_only=True, tag="misconduct"):
    """A misconduct of `player` or `member`, to be judged by the scale: answered by a proposal."""

    conduct: Conduct

    def command(self) -> commands.Command:
        """The question as a command."""
        return commands.Misconduct(self.team, person(self.player, self.member), self.conduct)


class Delay(Step, frozen=True, kw_only=True, tag="delay"):
    """A team holds up the game: warning or penalty by the ladder."""

    team: Team
    cause: DelayCause = DelayCause.OTHER

    def command(self) -> commands.Command:
        """The delay as a command."""
        return commands.Delay(self.team, self.cause)


class ImproperRequest(Step, frozen=True, kw_only=True, tag="improper_request"):
    """A request that was waved off. `cost_time`: it really held up the game."""

    team: Team
    about: RequestKind = RequestKind.OTHER
    cost_time: bool = False

    def command(self) -> commands.Command:
        """The improper request as a command."""
        return commands.ImproperRequest(self.team, self.about, self.cost_time)


class Remark(Step, frozen=True, kw_only=True, tag="remark"):
    """A line under "remarks" on the score sheet; its words are not part of a script."""

    about: RemarkKind = RemarkKind.OTHER
    team: Team | None = None
    player: Number | None = None

    def command(self) -> commands.Command:
        """The remark as a command."""
        return commands.Remark(self.about, self.team, self.player)


ConductStep = ShowCard | Misconduct | Delay | ImproperRequest | Remark
