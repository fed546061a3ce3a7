"""Steps of the crew among themselves: notices, answers, holds, ready. Played where there is a crew."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta

from crewlink.crew.kinds import Level
from crewlink.crew.posts import Post
from crewlink.match.commands import MatchCommand, Replay, Sanction
from crewlink.match.teams import Role, Team
from crewlink.match.terms import Card, ReplayCause
from crewlink.script.step import Name, Number, Step, person


class RaiseNotice(Step, frozen=True, kw_only=True, tag="raise"):
    """Raise a notice of a kind (see the table of kinds). `for_post`: whose sign was seen, if another's.

    `detail`: a choice of the kind, such as "coach" or "floor wet". `joins`: name of the step that raised the
    similar notice which this one joins. `addressees`: posts that a message or a call for help goes to.
    `level`: how urgent the supervisor sends it.
    """

    kind: str
    team: Team | None = None
    player: Number | None = None
    detail: str = ""
    joins: Name | None = None
    for_post: Post | None = None
    addressees: tuple[Post, ...] = ()
    level: Level | None = None


class Answer(Step, frozen=True, kw_only=True, tag="answer"):
    """Answer a notice. `notice`: name of the step that raised it, or its kind."""

    notice: str
    for_post: Post | None = None


class Close(Step, frozen=True, kw_only=True, tag="close"):
    """A notice is dealt with; `outcome` in a few plain words."""

    notice: str
    outcome: str = ""
    for_post: Post | None = None


class Settle(Step, frozen=True, kw_only=True, tag="settle"):
    """R1's decision about a notice is written and ends it: a `card` of `team`, or a `replay` of the rally.

    `player` or `member`: who gets the card. `for_post`: R1, when the sign is entered by another.
    """

    notice: str
    card: Card | None = None
    team: Team | None = None
    player: Number | None = None
    member: Role | None = None
    replay: ReplayCause | None = None
    for_post: Post | None = None

    def __post_init__(self) -> None:
        if (self.card is None) == (self.replay is None):
            raise ValueError("`settle` writes a `card` or a `replay`")
        if self.card is not None and self.team is None:
            raise ValueError("a `card` needs its `team`")

    def decision(self) -> MatchCommand:
        """What is written."""
        if self.replay is not None:
            return Replay(self.replay)
        assert self.card is not None and self.team is not None
        return Sanction(self.team, person(self.player, self.member), self.card)


class NotNow(Step, frozen=True, kw_only=True, tag="not_now"):
    """A notice that this post must answer comes back at the next dead ball."""

    notice: str


class EnterAgain(Step, frozen=True, kw_only=True, tag="enter_again"):
    """Entries that do not count, named by their notice, are written once more."""

    notice: str = "set_aside"


class Withdraw(Step, frozen=True, kw_only=True, tag="withdraw"):
    """Take a notice back."""

    notice: str
    reason: str
    for_post: Post | None = None


class Hold(Step, frozen=True, kw_only=True, tag="hold"):
    """Hold the service."""

    reason: str


class Release(Step, frozen=True, kw_only=True, tag="release"):
    """Let go of this post's hold, or (R1) of the hold of `post`."""

    post: Post | None = None


class Ready(Step, frozen=True, kw_only=True, tag="ready"):
    """This post is ready in the present interruption."""


class Tick(Step, frozen=True, kw_only=True, tag="tick"):
    """A duty is done (see the list of duties), for a `team` where it is one of each.

    `fault`: what is wrong, where it is not as it should be.
    """

    duty: str
    team: Team | None = None
    fault: str = ""
    for_post: Post | None = None


class ExpectPost(Step, frozen=True, kw_only=True, tag="expect_post"):
    """`post` is still at work elsewhere: `where` ("court 3"), empty when it is not any more."""

    post: Post
    where: str = ""


class RunClock(Step, frozen=True, kw_only=True, tag="run_clock"):
    """Start (with `seconds`), hold, let run on or end a clock: `warm_up`, `service`, or one of the record."""

    clock: str
    act: Literal["start", "hold", "run", "end"] = "start"
    seconds: Annotated[int, Meta(ge=0)] = 0


class Consent(Step, frozen=True, kw_only=True, tag="consent"):
    """Say yes or no to a proposal as an official. `to`: name of the step it answered (left out: the latest).

    `for_post`: who gave it by sign.
    """

    to: Name | None = None
    agree: bool = True
    for_post: Post | None = None


class Check(Step, frozen=True, kw_only=True, tag="check"):
    """Do nothing; only look, from the post `by`, whether `expect` holds."""


CrewStep = (
    RaiseNotice
    | Answer
    | Close
    | Settle
    | NotNow
    | EnterAgain
    | Withdraw
    | Hold
    | Release
    | Ready
    | Tick
    | ExpectPost
    | RunClock
    | Consent
    | Check
)
