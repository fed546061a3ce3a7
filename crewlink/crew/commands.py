"""What a post can ask of its own station about people: notices, answers, holds, consents; who writes, which
device has which job.

Acts on the match itself are in `crewlink.match.commands`. Those of `CrewCommand` become free entries of the
post that did it, so they need no pen; the fold ignores what the post may not do and shows it. Those of
`PenCommand` go to the link itself (`crewlink.pen_acts`).
"""

from __future__ import annotations

from msgspec import Struct

from crewlink.match.commands import MatchCommand

TEXT_MOST = 140
"""Letters of a free text; it travels beside the entry, to the posts that may read it, and can be erased."""


class Raise(Struct, frozen=True, omit_defaults=True, tag="raise"):
    """Raise a notice of `kind` (see notices.toml).

    `team`, `number` and `person` say what it is about; `detail` is a choice of the kind ("coach",
    "spectator", "floor wet"); `joins` names a similar open notice on purpose; `on_behalf` the post whose
    sign was seen, when the table enters it for someone else; `to` whom a message or a call for help
    goes to; `level` how urgent the supervisor sends it; `text` a few free words, not for benches.
    """

    kind: str
    team: str = ""
    number: int | None = None
    detail: str = ""
    joins: str = ""
    on_behalf: str = ""
    to: tuple[str, ...] = ()
    level: str = ""
    text: str = ""


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
    on_behalf: str = ""


class WithdrawNotice(Struct, frozen=True, omit_defaults=True, tag="withdraw"):
    """Take a notice back, by its raiser or R1, with a reason."""

    notice: str
    reason: str
    on_behalf: str = ""


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


class HoldNotice(Struct, frozen=True, omit_defaults=True, tag="hold_notice"):
    """Not now: a notice that this post must answer comes back at the next dead ball; all see it."""

    notice: str


class SettleNotice(Struct, frozen=True, omit_defaults=True, tag="settle"):
    """What R1 decided about a notice is written, and ends it: a card for conduct, a replay for a ball on
    court. `on_behalf` names R1 when the sign was seen.
    """

    notice: str
    command: MatchCommand
    on_behalf: str = ""


class EnterAgain(Struct, frozen=True, omit_defaults=True, tag="enter_again"):
    """Write the entries that a notice says are not counted once more, those that are missing."""

    notice: str


class TickDuty(Struct, frozen=True, omit_defaults=True, tag="tick"):
    """A duty is done (duties.toml), or `fault` says what is wrong. `on_behalf`: whose duty, entered here."""

    duty: str
    team: str = ""
    fault: str = ""
    on_behalf: str = ""


class Sign(Struct, frozen=True, omit_defaults=True, tag="sign"):
    """Sign the finished record: the signature whose turn it is, or that of `signer` ("captain_a", "R2"; names
    of the profile). A post enters its own, a captain's or coach's mark, or a sign that it saw.
    """

    signer: str = ""


class NextMatch(Struct, frozen=True, omit_defaults=True, tag="next_match"):
    """Go on with the next match on this court with the same devices; `a`, `b`: what the teams are called."""

    a: str = ""
    b: str = ""


class ExpectPost(Struct, frozen=True, omit_defaults=True, tag="expect_post"):
    """`post` is still at work elsewhere (`where`: "court 3"): late, but known; empty: no longer."""

    post: str
    where: str


class RunClock(Struct, frozen=True, omit_defaults=True, tag="run_clock"):
    """Start, hold, let run on or end a clock that people start ("warm_up"). `do`: "start", "hold", "run",
    "end"; `seconds` its length.
    """

    kind: str
    do: str = "start"
    seconds: int = 0


class EraseWords(Struct, frozen=True, omit_defaults=True, tag="erase_words"):
    """Erase the free words of a notice on every device, for good; the notice itself stays."""

    notice: str


class EraseNames(Struct, frozen=True, omit_defaults=True, tag="erase_names"):
    """Erase the names of teams, court and event on every device, for good; the match must be over."""


class TakeWriting(Struct, frozen=True, omit_defaults=True, tag="take_writing"):
    """Write here: the one who writes is silent, so the others are asked to agree."""


class StopAsking(Struct, frozen=True, omit_defaults=True, tag="stop_asking"):
    """No longer ask the others to let this device write."""


class WriteAlone(Struct, frozen=True, omit_defaults=True, tag="write_alone"):
    """Write here without the others, because too few of them can be heard. They are told when they are."""


class HandWriting(Struct, frozen=True, omit_defaults=True, tag="hand_writing"):
    """The one who writes lets another post write."""

    post: str


class ChooseRecord(Struct, frozen=True, omit_defaults=True, tag="choose_record"):
    """Of records that went apart, go on with the one that ends with the entry `head` (hex). `post`: who
    writes it on; empty: the one who writes now.
    """

    head: str
    post: str = ""


class TakeOut(Struct, frozen=True, omit_defaults=True, tag="take_out"):
    """A device (id in hex) is lost or has left: it belongs to this court no longer."""

    device: str


class GiveJob(Struct, frozen=True, omit_defaults=True, tag="give_job"):
    """A device (id in hex) gets another job. A device that has that job now gets the first one's."""

    device: str
    post: str


PenCommand = TakeWriting | StopAsking | WriteAlone | HandWriting | ChooseRecord | TakeOut | GiveJob

CrewCommand = (
    Raise
    | Shown
    | AnswerNotice
    | CloseNotice
    | WithdrawNotice
    | HoldNotice
    | SettleNotice
    | EnterAgain
    | Hold
    | Release
    | Ready
    | Consent
    | TickDuty
    | Sign
    | NextMatch
    | ExpectPost
    | RunClock
    | EraseWords
    | EraseNames
)
