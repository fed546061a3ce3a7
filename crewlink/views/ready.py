"""The ready chain: who still holds the service after an interruption, or that nothing does."""

from __future__ import annotations

from crewlink.acts import Me
from crewlink.court import Court
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment, State
from crewlink.crew.notice import Notice
from crewlink.crew.posts import Post, word
from crewlink.match.terms import Phase
from crewlink.snapshot import ReadyStop, ReadyView


def ready_view(court: Court, me: Me, moment: Moment) -> ReadyView:
    """The chain for this moment: "none" in an ordinary rally, "held" with who and why, or "clear"."""
    if not court.match.in_set:
        return ReadyView()
    hold = _hold(court, me)
    interrupted = _interrupted(court)
    if hold is None and not interrupted:
        return ReadyView()
    ready = _ready_posts(court)
    stops = tuple(
        ReadyStop(word(post), _stop(post, ready, hold))
        for post in (Post.SCORER, Post.R2, Post.R1)
        if post in me.filled
    )
    if hold is not None and hold.raised is not None:
        raised = hold.raised
        return ReadyView(
            state="held",
            sentence=f"{word(raised.post)} holds the service",
            reason=raised.detail or all_kinds()[raised.kind].title,
            seconds=max(0.0, moment.now - moment.local(raised.time, raised.device)),
            stops=stops,
        )
    missing = [post for post in (Post.R2,) if post in me.filled and post not in ready]
    if court.match.phase == Phase.TIME_OUT:
        return ReadyView(state="held", sentence="Time-out", reason="The clock runs", stops=stops)
    if missing:
        return ReadyView(
            state="held",
            sentence=f"{word(missing[0])} is not ready yet",
            reason="After the interruption",
            seconds=max(0.0, moment.now - moment.dead_since),
            stops=stops,
        )
    return ReadyView(state="clear", sentence="Clear", reason="Nothing holds the service", stops=stops)


def _hold(court: Court, me: Me) -> Notice | None:
    """The oldest open hold: by a person, by a stop, or by a wrong server that is not settled."""
    kinds = ("hold_service", "stop_play", "medical", "wrong_server")
    found = [
        (notice.raised, notice)
        for id_, notice in court.crew.notices.items()
        if notice.raised is not None
        and notice.raised.kind in kinds
        and me.states.get(id_) in (State.OPEN, State.ANSWERED)
    ]
    return min(found, key=lambda pair: pair[0])[1] if found else None


def _interrupted(court: Court) -> bool:
    """Whether something other than a rally stands at the head of the record since the last rally."""
    return bool(court.lines) and court.lines[-1].fact[0] != "rally_won"


def _ready_posts(court: Court) -> set[str]:
    """Posts whose ready belongs to the present interruption: given since the last completed rally."""
    found = set()
    for mark in court.crew.ready:
        place = court.place(mark.anchor)
        if place is not None and (place.set_number, place.rallies) == (
            court.here.set_number,
            court.here.rallies,
        ):
            found.add(mark.post)
    return found


def _stop(post: str, ready: set[str], hold: Notice | None) -> str:
    if hold is not None and hold.raised is not None and hold.raised.post == post:
        return "holds"
    if post == Post.SCORER:
        return "done"
    return "done" if post in ready else "waiting"
