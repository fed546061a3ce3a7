"""What the program owes the crew by itself: each debt is a few drafts, a moment, and a key that makes it
once.

The writer decides requests, writes what R1 agreed to, and closes what is dealt with. Steps of the ladder
of an
unanswered notice are due at every station: the writer takes them at once, the others a second later by rank,
if they have not seen them; copies are one step.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from crewlink.acts import Me, notice_id
from crewlink.court import Court
from crewlink.crew import life
from crewlink.crew.announced import announcements
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import Notice
from crewlink.crew.posts import CREW, Post, rank
from crewlink.crew.proposals import Suggested, suggestions
from crewlink.crew.reduction import Request
from crewlink.drafts import Draft, free, record
from crewlink.match import commands
from crewlink.match.commands import UnknownCommand
from crewlink.match.history import decide

MOVED_ON = 3
"""A request whose anchor lies more than this many lines back is refused: the match has moved on."""
ANCHOR_WAIT_S = 5.0
RANK_DELAY_S = 1.0


class Debt(Struct, frozen=True):
    """Drafts to author at `at` (seconds, this clock); `key` names what they settle."""

    key: tuple[object, ...]
    drafts: tuple[Draft, ...]
    at: float = 0.0


def debts(court: Court, me: Me, moment: Moment, epochs: frozenset[bytes]) -> Iterator[Debt]:
    """What is owed now or soon, most important first."""
    if me.writes:
        yield from _agreed(court, me)
        yield from _asked(court, me, moment, epochs)
        yield from _dealt_with(court, me)
    yield from _announced(court, me, moment)
    yield from _steps(court, me, moment)


def suggested(court: Court, me: Me) -> Iterator[tuple[Notice, tuple[Suggested, ...]]]:
    """Every open notice with the decisions it leads to."""
    for id_, notice in sorted(court.crew.notices.items()):
        raised = notice.raised
        if raised is None or id_ in court.written:
            continue
        place = court.place(raised.anchor)
        if place is None or place.set_number != court.here.set_number:
            continue
        found = suggestions(
            court.chain, notice, me.states.get(id_, State.OPEN), court.here.rallies - place.rallies
        )
        if found:
            yield notice, found


def _agreed(court: Court, me: Me) -> Iterator[Debt]:
    for notice, found in suggested(court, me):
        for one in found:
            vote = court.crew.consents.get(one.id, {}).get(one.asks)
            if vote is None or not vote.agree:
                continue
            decision = decide(court.chain, one.choose)
            if decision.facts:
                drafts = tuple(record(fact, notice.id) for fact in decision.facts)
                yield Debt(("agreed", one.id), drafts)
                return


def _asked(court: Court, me: Me, moment: Moment, epochs: frozenset[bytes]) -> Iterator[Debt]:
    for id_, request in sorted(court.crew.requests.items()):
        if request.command is None or id_ in court.written or epochs & set(request.refusals):
            continue
        place = court.chain.index_of(request.anchor)
        if place is None and request.anchor != court.opening:
            at = moment.local(request.time, request.device) + ANCHOR_WAIT_S
            yield Debt(
                ("moved", id_), (_refusal(me, id_, "moved_on", "The match has moved on. Ask again."),), at
            )
            continue
        behind = len(court.lines) - 1 - (place if place is not None else -1)
        if behind > MOVED_ON:
            yield Debt(("moved", id_), (_refusal(me, id_, "moved_on", "The match has moved on. Ask again."),))
            continue
        yield Debt(("asked", id_, court.lines[-1].id if court.lines else b""), _decide(court, me, request))


def _decide(court: Court, me: Me, request: Request) -> tuple[Draft, ...]:
    assert request.command is not None
    try:
        command = commands.from_wire(request.command)
    except (UnknownCommand, ValueError, TypeError):
        return (
            _refusal(me, request.id, "not_known", "This device does not know that act. Update crewlink."),
        )
    decision = decide(court.chain, command)
    if not decision.facts:
        ruling = decision.ruling
        return (_refusal(me, request.id, ruling.code, ruling.sentence, ruling.reference),)
    return tuple(record(fact, request.id) for fact in decision.facts)


def _refusal(me: Me, request: bytes, code: str, sentence: str, reference: str = "") -> Draft:
    ruling = {"code": code, "sentence": sentence, "reference": reference}
    return free("refusal", request=request, ruling=ruling, epoch=me.epoch)


def _dealt_with(court: Court, me: Me) -> Iterator[Debt]:
    """Notices whose decision stands in the record are closed by the writer."""
    for id_, notice in sorted(court.crew.notices.items()):
        raised = notice.raised
        if raised is None or id_ not in court.written or notice.end is not None:
            continue
        if all_kinds()[raised.kind].ends == "closed":
            yield Debt(("dealt", id_), (free("close", notice=id_, reason="decided"),))


def _announced(court: Court, me: Me, moment: Moment) -> Iterator[Debt]:
    """Counts that R2 passes on: raised once, by whoever notices first."""
    if me.post not in CREW or Post.R2 not in me.filled:
        return
    wait = 0.0 if me.writes else RANK_DELAY_S * (1 + rank(me.post))
    for told in announcements(court.chain):
        id_ = notice_id("count_near_limit", told.subject)
        if id_ in court.crew.notices:
            continue
        draft = free(
            "raise",
            id=id_,
            kind="count_near_limit",
            asks=[str(Post.R2)],
            subject=told.subject,
            team=told.team,
            detail=told.detail,
        )
        yield Debt(("announced", id_), (draft,), moment.dead_since + wait)


def _steps(court: Court, me: Me, moment: Moment) -> Iterator[Debt]:
    if me.post not in CREW:
        return
    wait = 0.0 if me.writes else RANK_DELAY_S * (1 + rank(me.post))
    for id_, notice in sorted(court.crew.notices.items()):
        for step in life.steps_due(notice, moment):
            raised = notice.raised
            assert raised is not None
            after = dict(life.STEPS[all_kinds()[raised.kind].level])[step]
            at = life.started(notice, moment) + after + wait
            yield Debt(("step", id_, step), (free("step", notice=id_, step=step),), at)
