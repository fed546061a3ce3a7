"""What the number line may look at: the snapshot, the time, and what the rules say to a command."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from crewlink.crew.commands import CrewCommand, PenCommand
from crewlink.match.commands import Command as MatchCommand
from crewlink.match.ruling import Decision
from crewlink.snapshot import NoticeView, ProposalView, SignView, Snapshot, TeamView

OLDER, POSITIONS = "older", "positions"
Command = CrewCommand | PenCommand | MatchCommand


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the rules say to a command that was not sent yet. `defects`: (box, sentence) of a line-up
    sheet.
    """

    fine: bool
    sentence: str
    reference: str = ""
    code: str = ""
    defects: tuple[tuple[str, str], ...] = ()


def verdict_of(decision: Decision) -> Verdict:
    """The engine's answer in the words of the line."""
    ruling = decision.ruling
    defects = tuple((one.box, one.sentence) for one in ruling.defects)
    return Verdict(bool(decision.facts), ruling.sentence, ruling.reference, ruling.code, defects)


Judge = Callable[[MatchCommand], Verdict | None]
"""What the rules say, or None while nobody knows."""


def nobody_knows(command: MatchCommand) -> Verdict | None:
    """A judge that is not there."""
    return None


@dataclass(frozen=True, slots=True)
class World:
    """The moment a key is pressed in. `now` in seconds; `top_since`: since when the top plate is on the
    face.
    """

    snapshot: Snapshot
    now: float
    judge: Judge = nobody_knows
    top_since: float = 0.0

    @property
    def playing(self) -> bool:
        """Points can be written."""
        return self.snapshot.phase in ("dead_ball", "rally") and bool(self.snapshot.next_points)

    @property
    def top(self) -> NoticeView | None:
        """The notice this post must answer first."""
        asked = (one for one in self.snapshot.notices if one.asked and one.state == "open" and not one.held)
        return next(asked, None)

    @property
    def stack(self) -> tuple[NoticeView, ...]:
        """The notices on the face, open ones first, notes last: not those that wait for the dead ball."""
        here = [one for one in self.snapshot.notices if not one.held]
        return tuple(sorted(here, key=lambda one: (one.state != "open", one.level == "note")))

    @property
    def wrong(self) -> NoticeView | None:
        """The wrong-server notice that is not settled."""
        found = (
            one for one in self.stack if one.kind == "wrong_server" and one.state in ("open", "answered")
        )
        return next(found, None)

    @property
    def decision(self) -> ProposalView | None:
        """A suggested decision that must be made before the next point."""
        return next((one for one in self.snapshot.proposals if one.kind != OLDER), None)

    @property
    def older(self) -> ProposalView | None:
        """A change of an old line that waits for another official; the one asked of this post first."""
        waits = [one for one in self.snapshot.proposals if one.kind == OLDER]
        return min(waits, key=lambda one: not one.mine, default=None)

    @property
    def asked_older(self) -> ProposalView | None:
        """A change of an old line that this post must agree to, or not."""
        one = self.older
        return one if one is not None and one.mine and not one.said else None

    @property
    def signature(self) -> SignView | None:
        """The signature whose turn it is, if this post can enter it."""
        return next((one for one in self.snapshot.signing if one.can), None)

    @property
    def found(self) -> str:
        """Who found what to differ on court, before the set begins: "R2, team A: 4 and 3 swapped"; or ""."""
        wrong = (one for one in self.snapshot.duties if one.code == POSITIONS and one.state == "wrong")
        return "; ".join(
            f"{one.word}{f', team {one.team}' if one.team else ''}: {one.fault}" for one in wrong
        )

    def check_by(self, word: str) -> str:
        """How the position check of a post (by its word) stands, "" if it has none to make."""
        checks = (one for one in self.snapshot.duties if one.code == POSITIONS and one.word == word)
        return next((one.state for one in checks), "")

    @property
    def put_off(self) -> NoticeView | None:
        """The first notice that this post may put off to the next dead ball."""
        return next((one for one in self.stack if one.puts_off), None)

    @property
    def to_end(self) -> NoticeView | None:
        """The first notice that is dealt with here, or by R1's sign that is entered here."""
        going_on = (one for one in self.stack if one.state in ("open", "answered"))
        return next((one for one in going_on if one.outcomes), None)

    @property
    def mine(self) -> NoticeView | None:
        """The newest notice that this post raised and may take back."""
        own = [one for one in self.snapshot.notices if one.mine and one.state in ("open", "answered")]
        return min(own, key=lambda one: one.age, default=None)

    @property
    def holding(self) -> NoticeView | None:
        """This post's own hold."""
        found = (one for one in self.snapshot.notices if one.mine and one.kind in ("hold", "hold_service"))
        return next((one for one in found if one.state in ("open", "answered")), None)

    def team(self, letter: str) -> TeamView:
        """A team by its letter."""
        return self.snapshot.a if letter == "A" else self.snapshot.b

    def at_side(self, side: str) -> str:
        """The letter of the team at "left" or "right" of the table."""
        left = self.snapshot.left
        return left if side == "left" else other(left)

    def teams_of(self, number: int) -> tuple[str, ...]:
        """Letters of the teams that have a player of this number."""
        found = (team for team in (self.snapshot.a, self.snapshot.b) if number in known(team))
        return tuple(team.letter for team in found)


def known(team: TeamView) -> frozenset[int]:
    """All numbers of a team that the face has seen."""
    return frozenset(
        (*team.players, *team.bench, *(s.number for s in team.spots), *(one.number for one in team.liberos))
    )


def other(letter: str) -> str:
    """The other team's letter."""
    return "B" if letter == "A" else "A"
