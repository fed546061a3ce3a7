"""What the program owes the crew by itself: each debt is a few drafts, a moment, and a key that makes it
once.

The writer decides requests, writes what an official agreed to, and closes what is dealt with. Notices that
the program makes and the steps of the ladder are due at every station: the writer takes them at once, the
others a second or more later by rank, if they have not seen them; copies are one.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from crewlink import older, signing
from crewlink.acting import Aside, Me, notice_id
from crewlink.clocks import recorded_lines
from crewlink.court import Court, Line
from crewlink.crew.announced import announcements
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import Notice
from crewlink.crew.posts import CREW, Post, acting_for, rank
from crewlink.crew.proposals import SUGGESTING, Suggested, suggestions
from crewlink.crew.reduction import Request
from crewlink.drafts import Draft, free, lock, record
from crewlink.lateness import late
from crewlink.match import commands, facts
from crewlink.match.commands import BeginSet, UnknownCommand
from crewlink.match.history import decide
from crewlink.positions import mismatch

MOVED_ON = 3
"""A request whose anchor lies more than this many lines back is refused: the match has moved on."""
ANCHOR_WAIT_S = 5.0
RANK_DELAY_S = 1.0
FLOW_WORDS = "The match has moved on. Ask again."


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
        yield from _again(court, me)
        yield from _locked(court, me)
        yield from _clocks_told(court, moment)
    if me.post in CREW:
        yield from _announced(court, me, moment)
        yield from _late(court, me, moment)
        yield from _aside(court, me, moment)
        yield from _steps(me, moment)


def suggested(court: Court, me: Me) -> Iterator[tuple[Notice, tuple[Suggested, ...]]]:
    """Every open notice with the decisions it leads to."""
    here = court.here
    for id_ in me.live:
        notice = court.crew.notices[id_]
        raised = notice.raised
        if raised is None or raised.kind not in SUGGESTING or id_ in court.written:
            continue
        place = court.place(raised.anchor)
        if place is None or place.set_number != here.set_number:
            continue
        found = suggestions(court.chain, notice, me.states[id_], here.rallies - place.rallies)
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
    reaching_back = {one.request.id: one for one in older.waiting(court, me.filled)}
    for request in court.unwritten():
        id_ = request.id
        if request.command is None or not epochs.isdisjoint(request.refusals):
            continue
        if id_ in reaching_back:
            yield from _older(court, me, reaching_back[id_])
            continue
        place = court.chain.index_of(request.anchor)
        if place is None and request.anchor != court.opening:
            at = moment.local(request.time, request.device) + ANCHOR_WAIT_S
            yield Debt(("moved", id_), (_refusal(me, id_, "moved_on", FLOW_WORDS),), at)
            continue
        behind = len(court.lines) - 1 - (place if place is not None else -1)
        if behind > MOVED_ON:
            yield Debt(("moved", id_), (_refusal(me, id_, "moved_on", FLOW_WORDS),))
            continue
        yield Debt(("asked", id_, court.lines[-1].id if court.lines else b""), _decide(court, me, request))


def _older(court: Court, me: Me, change: older.Older) -> Iterator[Debt]:
    """A change that reaches behind the last rally: written on another official's yes, refused on a no."""
    vote = older.said(court, change)
    if vote is None:
        return
    drafts = (record(change.fact, change.request.id),)
    if not vote.agree:
        drafts = (_refusal(me, change.request.id, "not_agreed", "The other official does not agree."),)
    yield Debt(("older", change.request.id, vote.agree), drafts)


def _decide(court: Court, me: Me, request: Request) -> tuple[Draft, ...]:
    assert request.command is not None
    try:
        command = commands.from_wire(request.command)
    except (UnknownCommand, ValueError, TypeError):
        return (
            _refusal(me, request.id, "not_known", "This device does not know that act. Update crewlink."),
        )
    decision = decide(court.chain, command)
    if isinstance(command, BeginSet) and (fault := mismatch(court)) is not None:
        return (_refusal(me, request.id, "positions_differ", fault),)
    alone = not older.official_for(request.post, me.filled)
    if isinstance(command, commands.Undo) and not alone and older.reaches_back(court, command):
        return (_refusal(me, request.id, "moved_on", FLOW_WORDS),)
    if not decision.facts:
        ruling = decision.ruling
        return (_refusal(me, request.id, ruling.code, ruling.sentence, ruling.reference),)
    return tuple(record(fact, request.id) for fact in decision.facts)


def _refusal(me: Me, request: bytes, code: str, sentence: str, reference: str = "") -> Draft:
    ruling = {"code": code, "sentence": sentence, "reference": reference}
    return free("refusal", request=request, ruling=ruling, epoch=me.epoch)


def _dealt_with(court: Court, me: Me) -> Iterator[Debt]:
    """Notices whose decision stands in the record are closed by the writer."""
    for id_ in sorted(court.crew.notices.keys() & court.written.keys()):
        notice = court.crew.notices[id_]
        raised = notice.raised
        if raised is None or notice.end is not None:
            continue
        if all_kinds()[raised.kind].ends == "closed":
            yield Debt(("dealt", id_), (free("close", notice=id_, reason="decided"),))


def _turn(me: Me) -> float:
    """How long this station lets others go first: not at all if it writes, else by its rank."""
    return 0.0 if me.writes else RANK_DELAY_S * (1 + rank(me.post))


def _announced(court: Court, me: Me, moment: Moment) -> Iterator[Debt]:
    """Counts that R2 passes on: raised once, by whoever notices first."""
    official = acting_for(Post.R2, me.filled)
    if not official:
        return
    for told in announcements(court.chain):
        id_ = notice_id("count_near_limit", told.subject)
        if id_ not in court.crew.notices:
            about: dict[str, object] = {"asks": [official], "team": told.team, "detail": told.detail}
            draft = _raised(id_, "count_near_limit", told.subject, about)
            yield Debt(("announced", id_), (draft,), moment.dead_since + _turn(me))


def _raised(id_: bytes, kind: str, subject: str, about: dict[str, object]) -> Draft:
    return free("raise", id=id_, kind=kind, subject=subject, **about)


def _late(court: Court, me: Me, moment: Moment) -> Iterator[Debt]:
    """What is late is reported once, as soon as it is due."""
    for one in late(court, me.filled, moment):
        id_ = notice_id("late", one.subject)
        if id_ in court.crew.notices:
            continue
        asks = list(dict.fromkeys(who for post in one.asks if (who := acting_for(post, me.filled))))
        left_out = [post for post in one.asks if post not in me.filled]
        about: dict[str, object] = {
            "asks": asks,
            "left_out": left_out,
            "detail": one.detail,
            "team": one.team,
        }
        yield Debt(("late", id_), (_raised(id_, "late", one.subject, about),), one.at + _turn(me))


def _aside(court: Court, me: Me, moment: Moment) -> Iterator[Debt]:
    """A branch of the record that lost is asked about once, by its last entry."""
    for branch in me.aside:
        id_ = notice_id("set_aside", branch.head.hex())
        missing = missing_lines(court, branch)
        if id_ in court.crew.notices or not missing:
            continue
        asks = [post for post in map(str, (Post.SCORER, Post.R2, Post.R1)) if post in me.filled]
        detail = f"{len(missing)} line{'s' if len(missing) > 1 else ''} written without the others"
        about: dict[str, object] = {"asks": asks, "detail": detail, "entries": [one.id for one in missing]}
        yield Debt(
            ("aside", id_),
            (_raised(id_, "set_aside", branch.head.hex(), about),),
            moment.dead_since + _turn(me),
        )


def missing_lines(court: Court, branch: Aside) -> tuple[Line, ...]:
    """The lines of a lost branch that the record has not got: not entered again, not written there, too."""
    have = [line.fact for line in court.lines[branch.fork :]]
    found = []
    for line in branch.lines:
        if line.id in court.written or (line.because is not None and line.because in court.written):
            continue
        if line.fact in have:
            have.remove(line.fact)
            continue
        found.append(line)
    return tuple(found)


def _again(court: Court, me: Me) -> Iterator[Debt]:
    """Entries that somebody wants written once more are written, and the notice about them is closed."""
    for id_, post in sorted(court.crew.again.items()):
        notice = court.crew.notices.get(id_)
        raised = None if notice is None else notice.raised
        if raised is None or me.states.get(id_) not in (State.OPEN, State.ANSWERED):
            continue
        branch = next((one for one in me.aside if one.head.hex() == raised.subject), None)
        if branch is None:
            continue
        drafts = [record(facts.from_wire(line.fact), line.id) for line in missing_lines(court, branch)]
        yield Debt(("again", id_), (*drafts, free("close", notice=id_, reason=f"entered again for {post}")))


def _locked(court: Court, me: Me) -> Iterator[Debt]:
    """A record that everybody has signed is locked by the one who writes; anew under another epoch."""
    signed = signing.to_lock(court, me)
    if signed is not None:
        yield Debt(("lock", signed, me.epoch), (lock(signed),))


def _clocks_told(court: Court, moment: Moment) -> Iterator[Debt]:
    """The writer says how long a clock that another device started had run, for those who never heard it."""
    for line in recorded_lines(court):
        told = any(act.do == "ran" and act.line == line.id for act in court.crew.clocks)
        if line.device == moment.device or told or not moment.knows(line.device):
            continue
        ran = max(0.0, moment.now - moment.local(line.time, line.device))
        yield Debt(("clock", line.id), (free("clock", do="ran", line=line.id, ms=round(ran * 1000)),))


def _steps(me: Me, moment: Moment) -> Iterator[Debt]:
    """The steps that are due, and the one that comes next."""
    turn = _turn(me)
    for at, id_, step in me.steps:
        yield Debt(("step", id_, step), (free("step", notice=id_, step=step),), at + turn)
        if at + turn > moment.now:
            return
