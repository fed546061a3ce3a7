"""What a post may do now and what becomes of it: accepted, asked of the one who writes, or refused.

`act(court, me, command)` is pure. Acts on people (`crewlink.crew.commands`) are free entries of the post that
does them; acts on the match are written by the post that holds the pen and asked for by all others. A change
that reaches behind the last rally is always asked for: another official agrees to it (`crewlink.older`).
"""

from __future__ import annotations

from crewlink import erasing, next_match, notice_acts, older, signing
from crewlink.acting import Me, no
from crewlink.clocks import STARTED_BY_POSTS, WARN_S
from crewlink.court import Court
from crewlink.crew import commands as say
from crewlink.crew.permissions import may
from crewlink.crew.posts import word
from crewlink.crew.signed import SIGNED
from crewlink.drafts import Accepted, Outcome, Refused, Requested, free, record
from crewlink.match import commands
from crewlink.match.commands import BeginSet, Command
from crewlink.match.history import decide
from crewlink.notice_acts import relay
from crewlink.positions import mismatch

AnyCommand = Command | say.CrewCommand | say.PenCommand
Spoken = Command | say.CrewCommand


def act(court: Court, me: Me, command: Spoken) -> Outcome:
    """What becomes of a command at this station now."""
    if me.sealed and (refused := signing.locked(command)) is not None:
        return refused
    if isinstance(command, say.CrewCommand):
        return _speak(court, me, command)
    command = older.named(court, command)
    wire = commands.to_wire(command)
    if not me.writes and not may(me.post, wire[0]):
        return no("not_your_job", f"{word(me.post)} does not ask for this; R1, R2 and the table do.")
    decision = decide(court.chain, command)
    if not decision.facts:
        return Refused(decision.ruling)
    if isinstance(command, BeginSet) and (fault := mismatch(court)) is not None:
        return no("positions_differ", fault)
    needs_other = older.reaches_back(court, command) and older.official_for(me.post, me.filled)
    if not me.writes or needs_other:
        return Requested((free("request", command=list(wire)),))
    return Accepted(tuple(record(fact) for fact in decision.facts), decision.ruling)


def _speak(court: Court, me: Me, command: say.CrewCommand) -> Outcome:
    match command:
        case say.Raise():
            return notice_acts.raise_notice(court, me, command)
        case say.Hold(reason):
            return notice_acts.raise_notice(court, me, say.Raise("hold_service", detail=reason))
        case say.Release(post):
            return notice_acts.release(court, me, post or me.post)
        case say.Shown(notice):
            return notice_acts.shown(court, me, notice)
        case say.AnswerNotice(notice, behalf):
            return notice_acts.answer(court, me, notice, behalf)
        case say.HoldNotice(notice):
            return notice_acts.wait(court, me, notice)
        case say.CloseNotice():
            return notice_acts.close(court, me, command)
        case say.SettleNotice():
            return notice_acts.settle(court, me, command)
        case say.WithdrawNotice():
            return notice_acts.withdraw(court, me, command)
        case say.EnterAgain(notice):
            return notice_acts.again(court, me, notice)
        case say.EraseWords() | say.EraseNames():
            return erasing.erase(court, me, command)
        case _:
            return _plain(court, me, command)


def _plain(
    court: Court,
    me: Me,
    command: say.Ready
    | say.Sign
    | say.NextMatch
    | say.Consent
    | say.TickDuty
    | say.ExpectPost
    | say.RunClock,
) -> Outcome:
    match command:
        case say.Ready():
            return _free(me, "ready", {})
        case say.Sign():
            return signing.sign(court, me, command)
        case say.NextMatch():
            return next_match.open_next(court, me, command)
        case say.Consent():
            return _consent(me, command)
        case say.TickDuty():
            return _tick(me, command)
        case say.ExpectPost(post, where):
            return _free(me, "expected", {"post": post, "where": where})
        case say.RunClock():
            return _clock(me, command)


def _free(me: Me, name: str, fields: dict[str, object]) -> Outcome:
    if not may(me.post, name):
        return no("not_your_job", f"{word(me.post)} watches; the crew of the court does this.")
    return Accepted((free(name, **fields),))


def _consent(me: Me, command: say.Consent) -> Outcome:
    relayed = relay(me, command.on_behalf)
    if relayed is None:
        return no("not_your_job", "Only R2 and the table enter a decision given by sign.")
    return _free(
        me, "consent", {"proposal": bytes.fromhex(command.proposal), "agree": command.agree, **relayed}
    )


def _tick(me: Me, command: say.TickDuty) -> Outcome:
    relayed = relay(me, command.on_behalf)
    if relayed is None:
        return no("not_your_job", "Only R2 and the table tick off for another.")
    if command.duty == SIGNED:
        return no("sign_it", "This one is done by signing.")
    given = {"team": command.team, "fault": command.fault}
    return _free(me, "tick", {"duty": command.duty, **{k: v for k, v in given.items() if v}, **relayed})


def _clock(me: Me, command: say.RunClock) -> Outcome:
    """Start a clock that people start, or hold and let run on any clock."""
    known = command.do in ("start", "end") and command.kind in STARTED_BY_POSTS
    if not known and not (command.do in ("hold", "run") and command.kind in WARN_S):
        return no("not_this_clock", "The record starts and ends that clock. Hold it, or let it run on.")
    return _free(me, "clock", {"kind": command.kind, "do": command.do, "ms": 1000 * max(0, command.seconds)})
