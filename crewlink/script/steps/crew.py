"""Steps of the crew among themselves: notices, answers, holds, ready. Played where there is a crew."""

from __future__ import annotations

from crewlink.crew.posts import Post
from crewlink.match.teams import Team
from crewlink.script.step import Name, Number, Step


class RaiseNotice(Step, frozen=True, kw_only=True, tag="raise"):
    """Raise a notice of a kind (see the table of kinds). `for_post`: whose sign was seen, if another's.

    `detail`: a choice of the kind, such as "coach" or "floor wet". `joins`: name of the step that raised the
    similar notice which this one joins.
    """

    kind: str
    team: Team | None = None
    player: Number | None = None
    detail: str = ""
    joins: Name | None = None
    for_post: Post | None = None


class Answer(Step, frozen=True, kw_only=True, tag="answer"):
    """Answer a notice. `notice`: name of the step that raised it, or its kind."""

    notice: str
    for_post: Post | None = None


class Close(Step, frozen=True, kw_only=True, tag="close"):
    """A notice is dealt with; `outcome` in a few plain words."""

    notice: str
    outcome: str = ""


class Withdraw(Step, frozen=True, kw_only=True, tag="withdraw"):
    """Take a notice back."""

    notice: str
    reason: str


class Hold(Step, frozen=True, kw_only=True, tag="hold"):
    """Hold the service."""

    reason: str


class Release(Step, frozen=True, kw_only=True, tag="release"):
    """Let go of this post's hold, or (R1) of the hold of `post`."""

    post: Post | None = None


class Ready(Step, frozen=True, kw_only=True, tag="ready"):
    """This post is ready in the present interruption."""


class Consent(Step, frozen=True, kw_only=True, tag="consent"):
    """Say yes or no to a proposal as an official. `to`: name of the step it answered (left out: the latest).

    `for_post`: who gave it by sign.
    """

    to: Name | None = None
    agree: bool = True
    for_post: Post | None = None


class Check(Step, frozen=True, kw_only=True, tag="check"):
    """Do nothing; only look, from the post `by`, whether `expect` holds."""


CrewStep = RaiseNotice | Answer | Close | Withdraw | Hold | Release | Ready | Consent | Check
