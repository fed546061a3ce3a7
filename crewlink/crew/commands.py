"""What a post can ask of its own station about people: notices, answers, holds, consents.

Acts on the match itself are in `crewlink.match.commands`. Every one here becomes a free entry of the
post that did it, so it needs no pen; the fold ignores what the post may not do and shows it.
"""

from __future__ import annotations

from msgspec import Struct


class Raise(Struct, frozen=True, omit_defaults=True, tag="raise"):
    """Raise a notice of `kind` (see notices.toml).

    `team`, `number` and `person` say what it is about; `detail` is a choice of the kind ("coach",
    "spectator", "floor wet"); `joins` names a similar open notice on purpose; `on_behalf` the post whose
    sign was seen, when the table enters it for someone else.
    """

    kind: str
    team: str = ""
    number: int | None = None
    detail: str = ""
    joins: str = ""
    on_behalf: str = ""


class Shown(Struct, frozen=True, omit_defaults=True, tag="shown"):
    """The plate of `notice` was on an awake face for 400 ms."""

    notice: str


class AnswerNotice(Struct, frozen=True, omit_defaults=True, tag="answer"):
    """Got it. `on_behalf` names the post whose sign was seen (relayed), else this station's own."""

    notice: str
    on_behalf: str = ""


class CloseNotice(Struct, frozen=True, omit_defaults=True, tag="close"):
    """It is dealt with; `outcome` in a few plain words."""

    notice: str
    outcome: str = ""


class WithdrawNotice(Struct, frozen=True, omit_defaults=True, tag="withdraw"):
    """Take a notice back, by its raiser or R1, with a reason."""

    notice: str
    reason: str


class Hold(Struct, frozen=True, omit_defaults=True, tag="hold"):
    """Hold the service, with a reason that every face shows."""

    reason: str


class Release(Struct, frozen=True, omit_defaults=True, tag="release"):
    """Let go of this post's own hold; R1 may release any post's (`post`)."""

    post: str = ""


class Ready(Struct, frozen=True, omit_defaults=True, tag="ready"):
    """This post is ready in the present interruption."""


class Consent(Struct, frozen=True, omit_defaults=True, tag="consent"):
    """Agree (or not) to a proposal. `on_behalf` names who gave it by sign."""

    proposal: str
    agree: bool
    on_behalf: str = ""


CrewCommand = Raise | Shown | AnswerNotice | CloseNotice | WithdrawNotice | Hold | Release | Ready | Consent
