"""What becomes of an act on a notice: raise, answer, hold, close, settle, withdraw, release, enter again."""

from __future__ import annotations

from crewlink.acting import Me, no, notice_id
from crewlink.court import Court
from crewlink.crew import commands as say
from crewlink.crew.kinds import LEVELS, Kind, all_kinds, asked
from crewlink.crew.life import State
from crewlink.crew.notice import Notice, Raised
from crewlink.crew.permissions import RELAYS, may
from crewlink.crew.posts import CREW, TABLE, Post, word
from crewlink.drafts import Accepted, Draft, Outcome, Requested, free, record
from crewlink.match import commands
from crewlink.match.history import decide
from crewlink.match.state import listed
from crewlink.match.teams import Team
from crewlink.spell import current

OPEN = (State.OPEN, State.ANSWERED)
WRONG_SERVER = "wrong_server"
"""Tells the number that really serves, on a list or not."""
HEAD_INJURY = "head"
"""A suspected head injury is closed by the event's medical post alone."""
ENTER_AGAIN = "enter again"
"""What to do with entries that are not counted, besides leaving them out; an outcome in notices.toml."""


def relay(me: Me, behalf: str) -> dict[str, object] | None:
    """The field that names whose sign was seen, if another's; None where this post may not enter one."""
    if not behalf or behalf == me.post:
        return {}
    return {"on_behalf": behalf} if me.post in RELAYS else None


def raise_notice(court: Court, me: Me, command: say.Raise) -> Outcome:
    """Raise a notice, or join a similar open one on purpose."""
    kind = all_kinds().get(command.kind)
    if kind is None:
        return no("unknown_notice", f"There is no notice called {command.kind}.")
    relayed = relay(me, command.on_behalf)
    if relayed is None:
        return no("not_your_job", "Only R2 and the table enter what another post signalled.")
    if not kind.may_raise(command.on_behalf or me.post):
        return no("not_your_job", f"{word(me.post)} does not raise this one.")
    if kind.as_sent and command.level and command.level not in LEVELS:
        return no("no_such_level", "A message is now, soon or note.")
    if len(command.text) > say.TEXT_MOST:
        return no("text_too_long", f"At most {say.TEXT_MOST} letters. Numbers and posts say most.")
    if command.kind != WRONG_SERVER and not _listed(court, command):
        sentence = f"{command.number} is not on the list of team {command.team}: another number, or none."
        return no("not_on_list", sentence)
    if command.joins and not _similar(court, me, command):
        return no("nothing_to_join", "There is no open notice like this one to join.")
    subject = _subject(court, command)
    if kind.ends == "lapses" and not subject:
        return no("not_true_now", f"No {kind.title.lower()} now.")
    behind, site = (me.post, command.on_behalf), _for_site(court, kind, command)
    whom = asked(kind, me.filled, behind, _addressees(command), site)
    if not whom.asks and (kind.ends == "answered" or "addressee" in kind.asks):
        return no("nobody_there", "Nobody who could answer is linked. Go and tell them.")
    fields = {
        "kind": command.kind,
        "asks": list(whom.asks),
        "left_out": list(whom.left_out),
        "in_play": me.in_play,
        **relayed,
        **_about(court, kind, command),
    }
    if subject:
        fields |= {"subject": subject, "id": notice_id(command.kind, subject)}
    return Accepted((Draft("free", "raise", fields, command.text, _readers(kind) if command.text else ()),))


def _listed(court: Court, command: say.Raise) -> bool:
    """False if the notice is about a number that is not on the list of its team."""
    if command.number is None or command.team not in ("A", "B"):
        return True
    return listed(court.match.squad(Team(command.team)), command.number)


def _about(court: Court, kind: Kind, command: say.Raise) -> dict[str, object]:
    """What a notice is about: the fields that say something."""
    head = command.kind == "medical" and command.detail == HEAD_INJURY
    fields = {
        "team": command.team,
        "number": command.number,
        "due": _due(court, command),
        "detail": command.detail,
        "joins": bytes.fromhex(command.joins),
        "level": command.level if kind.as_sent else "",
        "closed_by": court.charter.settings.medical_post if head else "",
    }
    return {key: value for key, value in fields.items() if value not in ("", None, b"")}


def _readers(kind: Kind) -> tuple[str, ...]:
    """Posts that may read the free text: never a bench, so not the table where its plate is neutral."""
    return tuple(str(post) for post in Post if not (kind.neutral and post in TABLE))


def _addressees(command: say.Raise) -> tuple[str, ...]:
    return command.to or ((command.detail,) if command.detail in map(str, Post) else ())


def _for_site(court: Court, kind: Kind, command: say.Raise) -> bool:
    """Whether it goes to the supervisor too: a serious one, or the second one about that team."""
    if command.detail in kind.serious:
        return True
    return kind.again_to_site and any(
        raised.kind == command.kind and raised.team == command.team for raised in _raised(court)
    )


def _raised(court: Court) -> list[Raised]:
    return [notice.raised for notice in court.crew.notices.values() if notice.raised is not None]


def _similar(court: Court, me: Me, command: say.Raise) -> bool:
    """Whether the notice to join is open and of the same kind."""
    found = notice_of(court, command.joins)
    if found is None or found.raised is None or found.raised.joins:
        return False
    return found.raised.kind == command.kind and me.states.get(found.id) in OPEN


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


def notice_of(court: Court, notice: str) -> Notice | None:
    """The notice of an id in hex, or None."""
    try:
        return court.crew.notices.get(bytes.fromhex(notice))
    except ValueError:
        return None


def _missing() -> Outcome:
    return no("no_such_notice", "That notice is not here.")


def shown(court: Court, me: Me, notice: str) -> Outcome:
    """The plate was on an awake face."""
    found = notice_of(court, notice)
    return _missing() if found is None else Accepted((free("shown", notice=found.id),))


def answer(court: Court, me: Me, notice: str, behalf: str) -> Outcome:
    """Got it: this post's own answer, or a sign that it saw."""
    found, relayed = notice_of(court, notice), relay(me, behalf)
    if relayed is None:
        return no("not_your_job", "Only R2 and the table enter an answer given by sign.")
    return _missing() if found is None else Accepted((free("answer", notice=found.id, **relayed),))


def wait(court: Court, me: Me, notice: str) -> Outcome:
    """Not now, at the next dead ball: by a post that must answer, for kinds that may wait."""
    found = notice_of(court, notice)
    if found is None or found.raised is None:
        return _missing()
    if not all_kinds()[found.raised.kind].may_wait or found.raised.urgency != "soon":
        return no("may_not_wait", "This one does not wait.")
    if me.post not in found.unanswered:
        return no("not_asked", "This one does not wait for you.")
    return Accepted((free("wait", notice=found.id),))


def close(court: Court, me: Me, command: say.CloseNotice) -> Outcome:
    """It is dealt with."""
    found, relayed = notice_of(court, command.notice), relay(me, command.on_behalf)
    if found is None or found.raised is None:
        return _missing()
    if relayed is None:
        return no("not_your_job", "Only R2 and the table enter what another post said.")
    if all_kinds()[found.raised.kind].ends == "missing" and command.outcome == ENTER_AGAIN:
        return again(court, me, command.notice)
    post = command.on_behalf or me.post
    if found.raised.closed_by and post != found.raised.closed_by:
        who = word(found.raised.closed_by)
        return no("medical_post_only", f"A head injury is closed by the medical post alone ({who}).")
    if not found.raised.closed_by and all_kinds()[found.raised.kind].ends == "outcome" and post != Post.R1:
        return no("not_your_job", "R1 says how this one ends.")
    return Accepted((free("close", notice=found.id, reason=command.outcome, **relayed),))


def settle(court: Court, me: Me, command: say.SettleNotice) -> Outcome:
    """Write what R1 decided; the line names the notice and ends it."""
    found, relayed = notice_of(court, command.notice), relay(me, command.on_behalf)
    if found is None or found.raised is None:
        return _missing()
    if relayed is None or (command.on_behalf or me.post) != Post.R1:
        return no("not_your_job", "R1 decides this, by a tap or by a sign that R2 or the table enters.")
    if found.raised.closed_by:
        return no("medical_post_only", "A head injury is closed by the medical post alone.")
    decision = decide(court.chain, command.command)
    if not decision.facts:
        return no(decision.ruling.code, decision.ruling.sentence)
    wire = list(commands.to_wire(command.command))
    asked_for = free("request", command=wire, cause=found.id, **relayed)
    if relayed or not me.writes:  # the request keeps who entered it
        return Requested((asked_for,))
    return Accepted(tuple(record(fact, found.id) for fact in decision.facts), decision.ruling)


def withdraw(court: Court, me: Me, command: say.WithdrawNotice) -> Outcome:
    """Take a notice back, by its raiser or R1, with a reason."""
    found, relayed = notice_of(court, command.notice), relay(me, command.on_behalf)
    if found is None or found.raised is None:
        return _missing()
    if relayed is None or (command.on_behalf or me.post) not in (*found.raised.behind, Post.R1):
        return no("not_your_job", f"Only {word(found.raised.post)} or R1 takes it back.")
    if not command.reason.strip():
        return no("reason_missing", "Say why it is taken back.")
    return Accepted((free("withdraw", notice=found.id, reason=command.reason, **relayed),))


def release(court: Court, me: Me, post: str) -> Outcome:
    """Let go of a hold: one's own, or by R1 any post's."""
    if post != me.post and me.post != Post.R1:
        return no("not_your_job", f"Only {word(post)} or R1 lets go of that hold.")
    holds = [
        notice.id
        for notice in court.crew.notices.values()
        if notice.raised is not None
        and all_kinds()[notice.raised.kind].ends == "released"
        and notice.raised.post == post
        and me.states.get(notice.id) in OPEN
    ]
    if not holds:
        return no("nothing_held", f"{word(post)} does not hold the service.")
    return Accepted(tuple(free("close", notice=id_, reason="released") for id_ in sorted(holds)))


def again(court: Court, me: Me, notice: str) -> Outcome:
    """Have the entries that are not counted written once more, those that the record has not got."""
    found = notice_of(court, notice)
    if found is None or found.raised is None or found.raised.kind != "set_aside":
        return _missing()
    if me.states.get(found.id) not in OPEN:
        return no("already_over", "That was decided already.")
    if not may(me.post, "again") or me.post not in (*found.asks, *CREW):
        return no("not_your_job", f"{word(me.post)} watches; the crew of the court decides this.")
    return Accepted((free("again", notice=found.id),))
