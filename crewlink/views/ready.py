"""The ready chain: who still holds the service after an interruption, or that nothing does.

Which posts are waited for stands in `crew/ready.toml`. A hold by a person comes first, then what the match
itself owes, then who has not written, tracked or checked. Ready given early is kept; what was given before
the present interruption never counts.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from crewlink import older
from crewlink.acting import Me
from crewlink.court import Court
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import Raised
from crewlink.crew.posts import TABLE, Post, word
from crewlink.crew.ready import Pause, pause_of
from crewlink.match.standing import owed
from crewlink.match.terms import Phase
from crewlink.positions import checked_since, fault_since, mismatch
from crewlink.snapshot import ReadyStop, ReadyView
from crewlink.views.history import text_of

LIBERO = "libero"
UNCHECKED = "positions not checked yet"


class Interruption(Struct, frozen=True):
    """The pause since the last completed rally: what made it, with the entry and the place of each line.

    `unwritten`: something that a post asked for is neither written nor refused yet.
    """

    pauses: tuple[tuple[Pause, bytes, int], ...]
    unwritten: bool = False

    @property
    def stops(self) -> tuple[str, ...]:
        """Whom it waits for, in the order of the chain."""
        wanted = {stop for pause, _, _ in self.pauses for stop in pause.stops}
        wanted |= {"table"} if self.unwritten else set()
        return tuple(stop for stop in ("table", LIBERO, "R2") if stop in wanted)

    def since(self, stop: str) -> int:
        """The first place in the record at which ready of `stop` counts for this interruption."""
        return max(
            (place for pause, _, place in self.pauses if pause.anew and stop in pause.stops), default=-1
        )


class _Held(Struct, frozen=True):
    """Why the service is held: one sentence, the reason, since when (seconds, this clock), by a person?"""

    sentence: str
    reason: str
    since: float
    person: bool = False


def ready_view(court: Court, me: Me, moment: Moment) -> ReadyView:
    """The chain for this moment: "none" in an ordinary rally, "held" with who and why, or "clear"."""
    if not court.match.in_set:
        return _before_set(court, me)
    pause = interruption(court)
    open_holds = sorted(_holds(court, me))
    if not pause.stops and not open_holds and not owed(court.match):
        return ReadyView()
    held = next(_reasons(court, me, moment, pause, open_holds), None)
    holding = {raised.post for raised in open_holds}
    stops = tuple(_stops(court, me, pause, holding))
    if held is None:
        return ReadyView(state="clear", sentence="Clear", reason="Nothing holds the service", stops=stops)
    seconds = max(0.0, moment.now - held.since)
    return ReadyView("held", held.sentence, held.reason, seconds, stops, held.person)


def _before_set(court: Court, me: Me) -> ReadyView:
    """Before the first service only a position that does not fit holds anything."""
    fault = mismatch(court) if court.match.phase is Phase.CHECK else None
    if fault is None:
        return ReadyView()
    return ReadyView(state="held", sentence="Positions differ", reason=fault)


def interruption(court: Court) -> Interruption:
    """What has been written since the last completed rally that somebody must be ready for."""
    found: list[tuple[Pause, bytes, int]] = []
    here = court.here
    for place in range(len(court.lines) - 1, -1, -1):
        line, before = court.chain.line(place), court.chain.before(place)
        if line.match.set_number != here.set_number or line.match.completed != here.rallies:
            break
        name = court.lines[place].fact[0]
        if name in pause_of() and not line.struck:
            found.append((pause_of()[name], line.entry_id, place))
        if before.completed != line.match.completed or before.set_number != line.match.set_number:
            break
    return Interruption(tuple(reversed(found)), _unwritten(court))


def _holds(court: Court, me: Me) -> Iterator[Raised]:
    """What people hold the service with: a hold, a stop, an injury, a wrong server that is not settled."""
    for id_, notice in court.crew.notices.items():
        raised = notice.raised
        if raised is not None and all_kinds()[raised.kind].stops and not raised.joins:
            if me.states.get(id_) in (State.OPEN, State.ANSWERED):
                yield raised


def _reasons(
    court: Court, me: Me, moment: Moment, pause: Interruption, holds: list[Raised]
) -> Iterator[_Held]:
    """Everything that holds the service now, first what is told first."""
    for raised in holds:
        kind = all_kinds()[raised.kind]
        reason = kind.title if kind.neutral else raised.detail or kind.title
        since = moment.local(raised.time, raised.device)
        yield _Held(f"{word(raised.on_behalf or raised.post)} holds the service", reason, since, person=True)
    if court.match.phase == Phase.TIME_OUT:
        yield _Held("Time-out", "The clock runs", moment.dead_since)
    for one in owed(court.match):
        yield _Held("Not yet", one.sentence, moment.dead_since)
    for post in me.unheard:
        yield _Held(f"{word(post)} cannot be heard", "Look across before you whistle", moment.dead_since)
    checks = _positions(pause)
    if checks is not None and (fault := fault_since(court, (Post.R2, *TABLE), checks)) is not None:
        yield _Held("Positions differ", fault, moment.dead_since)
    for stop in pause.stops:
        if stop in _asked(court, me, pause) and not _done(court, me, pause, stop):
            yield _Held(_sentence(me, pause, stop), _reason(court, pause, stop), moment.dead_since)


def _sentence(me: Me, pause: Interruption, stop: str) -> str:
    """Who is not ready; on R2's own device what R2 has to do."""
    if stop == "R2" and me.post == Post.R2:
        return "You: check the positions" if _positions(pause) is not None else "You: tap when ready"
    return f"{_word(stop)} is not ready yet"


def _reason(court: Court, pause: Interruption, stop: str) -> str:
    """What happened, in the words of the newest line that made the pause; or what is still to do."""
    if stop == "table" or not pause.pauses or (stop == "R2" and _positions(pause) is not None):
        return _missing(court, pause, stop)
    index = court.chain.index_of(pause.pauses[-1][1])
    return _missing(court, pause, stop) if index is None else text_of(court.chain.line(index).fact)


def _asked(court: Court, me: Me, pause: Interruption) -> tuple[str, ...]:
    """The stops of this chain that somebody in this crew can make."""
    filled = {
        "table": any(post in me.filled for post in TABLE),
        LIBERO: Post.ASSISTANT in me.filled and bool(court.match.a.liberos or court.match.b.liberos),
        "R2": Post.R2 in me.filled,
    }
    return tuple(stop for stop in pause.stops if filled[stop])


def _stops(court: Court, me: Me, pause: Interruption, holding: set[str]) -> Iterator[ReadyStop]:
    posts = {"table": TABLE, LIBERO: (Post.ASSISTANT,), "R2": (Post.R2,)}
    asked = _asked(court, me, pause) or tuple(s for s in ("table", "R2") if set(posts[s]) & set(me.filled))
    for stop in asked:
        done = _done(court, me, pause, stop)
        state = "holds" if holding & set(posts[stop]) else "done" if done else "waiting"
        detail = "holds" if state == "holds" else _told(stop) if done else _missing(court, pause, stop)
        yield ReadyStop(_word(stop), state, detail)
    if Post.R1 in me.filled:
        told = (
            "holds" if Post.R1 in holding else "done" if Post.R1 in _given(court, pause, "R2") else "waiting"
        )
        yield ReadyStop(word(Post.R1), told)


def _word(stop: str) -> str:
    return {"table": word(Post.SCORER), LIBERO: word(Post.ASSISTANT), "R2": word(Post.R2)}[stop]


def _told(stop: str) -> str:
    return {"table": "written", LIBERO: "tracked", "R2": "ready"}[stop]


def _missing(court: Court, pause: Interruption, stop: str) -> str:
    """What a stop still has to do, in a word or two."""
    if stop == "table":
        return "still writing" if pause.unwritten or not _table_to_check(court, pause) else UNCHECKED
    if stop == LIBERO:
        return "not tracked yet"
    return UNCHECKED if _positions(pause) is not None else "not yet"


def _positions(pause: Interruption) -> bytes | None:
    """The newest line after which the positions are checked anew, or None."""
    return next((entry for kind, entry, _ in reversed(pause.pauses) if kind.positions), None)


def _done(court: Court, me: Me, pause: Interruption, stop: str) -> bool:
    given = _given(court, pause, stop)
    if stop == "table":
        paper = court.charter.settings.paper and not given & set(TABLE)
        return not paper and not pause.unwritten and not _table_to_check(court, pause)
    if stop == LIBERO:
        return Post.ASSISTANT in given or _tracked(court, pause)
    begun = _positions(pause)
    ticked = begun is not None and (
        checked_since(court, Post.R2, begun) or _checked_before(court, Post.R2, begun)
    )
    return Post.R2 in given or ticked


def _table_to_check(court: Court, pause: Interruption) -> bool:
    """Whether the table must still check the positions: after a change of courts, by a tick or by ready.

    Whoever begins a set has checked them by that.
    """
    line = _positions(pause)
    place = None if line is None else court.chain.index_of(line)
    if line is None or place is None or court.lines[place].fact[0] != "courts_changed":
        return False
    ready = _given(court, pause, "table") & set(TABLE)
    return not ready and not any(checked_since(court, post, line) for post in TABLE)


def _checked_before(court: Court, post: str, begun: bytes) -> bool:
    """Whether `post` ticked the positions of this set before it began, after the line-ups were in."""
    place = court.chain.index_of(begun)
    if place is None or court.lines[place].fact[0] != "set_begun":
        return False
    sheets = [i for i in range(place) if court.lines[i].fact[0] == "line_up_given"]
    return bool(sheets) and checked_since(court, post, court.chain.line(sheets[-1]).entry_id)


def _unwritten(court: Court) -> bool:
    """Whether something that a post asked for is neither written nor refused; not what an official must
    agree to first, which nobody waits for.
    """
    return any(
        request.command is not None and id_ not in court.written and not request.refusals
        for id_, request in court.crew.requests.items()
        if court.place(request.anchor) == court.here and not older.asks_back(court, request)
    )


def _tracked(court: Court, pause: Interruption) -> bool:
    """Whether the assistant entered a libero replacement in this interruption."""
    first = min((place for _, _, place in pause.pauses), default=len(court.lines))
    entered = court.lines[first:]
    return any(
        line.fact[0] == "libero_replaced" and court.entered_by(line) == Post.ASSISTANT for line in entered
    )


def _given(court: Court, pause: Interruption, stop: str) -> set[str]:
    """Posts whose ready belongs to the present interruption: given since the last completed rally, and not
    before something that asks for it anew.
    """
    found, since = set(), pause.since(stop)
    for mark in court.crew.ready:
        place, index = court.place(mark.anchor), court.chain.index_of(mark.anchor)
        if place == court.here and (-1 if index is None else index) >= since:
            found.add(mark.post)
    return found
