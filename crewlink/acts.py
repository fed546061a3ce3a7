"""What a post may do now and what becomes of it: accepted, asked of the one who writes, or refused.

`act(court, me, command)` is pure. Acts on people (`crewlink.crew.commands`) are free entries of the post that
does them; acts on the match are written by the post that holds the pen and asked for by all others.
"""

from __future__ import annotations

import hashlib

from msgspec import Struct

from crewlink.court import Court
from crewlink.crew import commands as say
from crewlink.crew.kinds import all_kinds, asked
from crewlink.crew.life import State
from crewlink.crew.notice import Notice
from crewlink.crew.permissions import ACTS, RELAYS
from crewlink.crew.posts import CREW, Post, word
from crewlink.drafts import Accepted, Draft, Outcome, Refused, Requested, free, record
from crewlink.match import commands
from crewlink.match.commands import Command
from crewlink.match.history import decide
from crewlink.match.ruling import Ruling, Severity
from crewlink.spell import current


class Me(Struct, frozen=True):
    """The station that acts: its post, whether it writes, who else is there, and how the court stands for
    it.
    """

    post: str
    writes: bool
    head: bytes
    filled: tuple[str, ...]
    in_play: bool = False
    states: dict[bytes, State] = {}
    epoch: bytes = b""


AnyCommand = Command | say.CrewCommand


def act(court: Court, me: Me, command: AnyCommand) -> Outcome:
    """What becomes of a command at this station now."""
    if isinstance(command, say.CrewCommand):
        return _speak(court, me, command)
    if me.post not in ACTS["request"]:
        return _no("not_your_job", f"{word(me.post)} watches; the crew of the court writes the match.")
    decision = decide(court.chain, command)
    if not decision.facts:
        return Refused(decision.ruling)
    if not me.writes:
        return Requested((free("request", command=list(commands.to_wire(command))),))
    return Accepted(tuple(record(fact) for fact in decision.facts), decision.ruling)


def _no(code: str, sentence: str) -> Refused:
    return Refused(Ruling(code, Severity.REFUSE, sentence))


def _speak(court: Court, me: Me, command: say.CrewCommand) -> Outcome:
    match command:
        case say.Raise():
            return _raise(court, me, command)
        case say.Hold(reason):
            return _raise(court, me, say.Raise("hold_service", detail=reason))
        case say.Release(post):
            return _release(court, me, post or me.post)
        case say.Shown(notice):
            return _about(court, me, notice, free("shown", notice=bytes.fromhex(notice)))
        case say.AnswerNotice(notice, behalf):
            return _answer(court, me, notice, behalf)
        case say.CloseNotice(notice, outcome):
            return _close(court, me, notice, outcome)
        case say.WithdrawNotice(notice, reason):
            return _withdraw(court, me, notice, reason)
        case say.Ready():
            return (
                Accepted((free("ready"),))
                if me.post in ACTS["ready"]
                else _no("not_your_job", "Not your job.")
            )
        case say.Consent():
            return _consent(me, command)


def _raise(court: Court, me: Me, command: say.Raise) -> Outcome:
    kind = all_kinds().get(command.kind)
    if kind is None:
        return _no("unknown_notice", f"There is no notice called {command.kind}.")
    if not kind.may_raise(me.post):
        return _no("not_your_job", f"{word(me.post)} does not raise this one.")
    crew = tuple(post for post in CREW if post in me.filled)
    asks = asked(kind, me.filled, me.post, command.detail if "addressee" in kind.asks else "")
    subject = _subject(court, command)
    if kind.ends == "lapses" and not subject:
        return _no("not_true_now", "No team is at that point now.")
    fields: dict[str, object] = {
        "kind": command.kind,
        "asks": list(asks),
        "left_out": [post for post in CREW if post not in crew],
        "in_play": me.in_play,
    }
    if subject:
        fields |= {"subject": subject, "id": notice_id(command.kind, subject)}
    fields |= {
        key: value
        for key, value in (
            ("team", command.team),
            ("number", command.number),
            ("due", _due(court, command)),
            ("detail", command.detail),
            ("joins", bytes.fromhex(command.joins)),
            ("on_behalf", command.on_behalf),
        )
        if value not in ("", None, b"")
    }
    return Accepted((Draft("free", "raise", fields),))


def _due(court: Court, command: say.Raise) -> int | None:
    """Who was due to serve, for a wrong-server notice about that team."""
    match = court.match
    if command.kind not in ("wrong_server", "check_server") or match.serving is None:
        return None
    if match.serving == command.team:
        return match.server
    last = match.rallies[-1] if match.rallies else None
    return last.server if last is not None and last.serving == command.team else None


def _subject(court: Court, command: say.Raise) -> str:
    """The computed subject of a notice that several may raise at once, or ""."""
    kind, _, subject = current(court.match)
    return subject if kind == command.kind else ""


def notice_id(kind: str, subject: str, step: str = "") -> bytes:
    """The id of a notice that any station may raise: the same wherever it is raised first."""
    text = f"{kind}\0{subject}\0{step}"
    return hashlib.sha256(b"crewlink notice 1\0" + text.encode()).digest()


def _notice(court: Court, notice: str) -> Notice | None:
    try:
        return court.crew.notices.get(bytes.fromhex(notice))
    except ValueError:
        return None


def _about(court: Court, me: Me, notice: str, draft: Draft) -> Outcome:
    if _notice(court, notice) is None:
        return _no("no_such_notice", "That notice is not here.")
    return Accepted((draft,))


def _answer(court: Court, me: Me, notice: str, behalf: str) -> Outcome:
    if behalf and behalf != me.post and me.post not in RELAYS:
        return _no("not_your_job", "Only R2 and the table enter an answer given by sign.")
    draft = free("answer", notice=bytes.fromhex(notice))
    if behalf and behalf != me.post:
        draft = free("answer", notice=bytes.fromhex(notice), on_behalf=behalf)
    return _about(court, me, notice, draft)


def _close(court: Court, me: Me, notice: str, outcome: str) -> Outcome:
    found = _notice(court, notice)
    if found is None or found.raised is None:
        return _no("no_such_notice", "That notice is not here.")
    ends = all_kinds()[found.raised.kind].ends
    if ends == "outcome" and me.post != Post.R1:
        return _no("not_your_job", "R1 says how this one ends.")
    return Accepted((free("close", notice=found.id, reason=outcome),))


def _withdraw(court: Court, me: Me, notice: str, reason: str) -> Outcome:
    found = _notice(court, notice)
    if found is None or found.raised is None:
        return _no("no_such_notice", "That notice is not here.")
    if me.post not in (found.raised.post, Post.R1):
        return _no("not_your_job", f"Only {word(found.raised.post)} or R1 takes it back.")
    if not reason.strip():
        return _no("reason_missing", "Say why it is taken back.")
    return Accepted((free("withdraw", notice=found.id, reason=reason),))


def _release(court: Court, me: Me, post: str) -> Outcome:
    if post != me.post and me.post != Post.R1:
        return _no("not_your_job", f"Only {word(post)} or R1 lets go of that hold.")
    held = [
        notice.id
        for notice in court.crew.notices.values()
        if notice.raised is not None
        and notice.raised.kind in ("hold_service", "stop_play")
        and notice.raised.post == post
        and me.states.get(notice.id) in (State.OPEN, State.ANSWERED)
    ]
    if not held:
        return _no("nothing_held", f"{word(post)} does not hold the service.")
    return Accepted(tuple(free("close", notice=id_, reason="released") for id_ in sorted(held)))


def _consent(me: Me, command: say.Consent) -> Outcome:
    fields: dict[str, object] = {"proposal": bytes.fromhex(command.proposal), "agree": command.agree}
    if command.on_behalf and command.on_behalf != me.post:
        if me.post not in RELAYS:
            return _no("not_your_job", "Only R2 and the table enter a decision given by sign.")
        fields["on_behalf"] = command.on_behalf
    return Accepted((Draft("free", "consent", fields),))
