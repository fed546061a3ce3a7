"""Who writes, what this post can do about it, the devices of the court, catching up: as screens show them.

Reads the link; the words are here, the seconds run on at the face.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from crewlink import owed
from crewlink.acting import Aside
from crewlink.court import Court, Line
from crewlink.crew.life import Moment
from crewlink.crew.permissions import may
from crewlink.crew.posts import CREW, Post, rank, word
from crewlink.crew_view import CatchUp, DeviceView, Do, Offer, RecordView, WriterView
from crewlink.link_reading import Peers, author_of
from crewlink.match import facts
from crewlink.match.chain import Chain
from crewlink.pen_acts import LATE_S, asked_in_vain, may_ask
from crewlink.views.history import score_text
from protocol import acts
from protocol.entry import Entry
from protocol.peer import Peer

LOST_S = 10.0
CATCH_UP_LEAST = 50
"""Fewer entries to come than this are here before anybody could read of it."""


def writer_view(
    peer: Peer, peers: Peers, post: str, moment: Moment, records: tuple[RecordView, ...] = ()
) -> WriterView:
    """Who writes, and what `post` can do about it at this station. `records`: those that went apart."""
    standing = peer.standing()
    author = author_of(peer, standing.holder_log)
    device = peer.journal.device_of(standing.holder_log) if standing.holder_log is not None else None
    gone = device is not None and peer.member(device) is None
    silent = _silent(peers, device, peer, moment.now)
    here = peer.may_write()
    opening = peer.journal.get(standing.epoch)
    asking = peer.asking()
    held = "" if author is None or gone else author.post
    member = None if device is None else peer.member(device)
    if member is not None:
        held = member.post  # its job now, whatever it was when it began to write
    return WriterView(
        post=held,
        word=word(held) if held else "",
        here=here,
        since=None if opening is None else _since(opening, peer, moment),
        reached=here or (not gone and silent < LATE_S),
        silent=0.0 if here else silent,
        gone=gone,
        alone=opening is not None and opening.fields.get("how") == acts.FORCED,
        agreed=0 if asking is None else asking.votes,
        needed=0 if asking is None else asking.needed,
        voters=0 if asking is None else asking.voters,
        offers=tuple(_offers(peer, peers, post, moment.now, late=gone or silent >= LATE_S, records=records)),
        records=records,
    )


def _since(opening: Entry, peer: Peer, moment: Moment) -> float:
    device = peer.journal.device_of(opening.log) or b""
    return max(0.0, moment.now - moment.local(opening.time, device))


def _silent(peers: Peers, device: bytes | None, peer: Peer, now: float) -> float:
    """Seconds without a sign of life of a device, over others too."""
    if device is None or device == peer.device:
        return 0.0
    state = peers.get(device)
    return now if state is None or state.silence is None else state.silence


def _offers(
    peer: Peer, peers: Peers, post: str, now: float, *, late: bool, records: Iterable[RecordView]
) -> Iterator[Offer]:
    """What this post can do about who writes, the likeliest first."""
    standing = peer.standing()
    if standing.sealed or standing.holder_log is None:
        return
    if peer.may_write():
        yield from _hand_on(peer, peers, post)
    elif may(post, "take_writing"):
        yield from _take_over(peer, now, late=late)
    if may(post, "choose_record"):
        for one in records:
            if not one.counts:
                warning = "Then the other one does not count."
                yield Offer(Do.CHOOSE, "Go on with this one", to=one.head, warning=warning)


def _hand_on(peer: Peer, peers: Peers, post: str) -> Iterator[Offer]:
    heard = {member.post for device, member in peer.roster.members.items() if _is_heard(peers, device)}
    for other in map(str, (Post.SCORER, Post.ASSISTANT, Post.R2, Post.R1)):
        if other in heard and other != post:
            yield Offer(Do.HAND, f"Let {_named(other)} write", to=other)


def _named(post: str) -> str:
    """A post inside a sentence: "the table", "R2"."""
    return f"the {word(post).lower()}" if post in (Post.SCORER, Post.ASSISTANT) else word(post)


def _is_heard(peers: Peers, device: bytes) -> bool:
    state = peers.get(device)
    return state is not None and not state.suspect


def _take_over(peer: Peer, now: float, *, late: bool) -> Iterator[Offer]:
    alone = Offer(
        Do.ALONE,
        "Write without the others",
        warning="If somebody else writes too, only one of the two will count.",
    )
    if peer.asking() is not None:
        yield Offer(Do.STOP, "Stop asking")
        if asked_in_vain(peer, now):
            yield alone
    elif late and peer.holder_silent(now):
        yield Offer(Do.TAKE, "Write here") if may_ask(peer, now) else alone


def device_views(peer: Peer, peers: Peers, post: str, moment: Moment) -> tuple[DeviceView, ...]:
    """Every device of this court, in the crew's order, and what `post` can do with it."""
    writer = peer.journal.device_of(holder) if (holder := peer.standing().holder_log) is not None else None
    found, doubled = [], peer.journal.doubled()
    for device, member in peer.roster.members.items():
        silent = _silent(peers, device, peer, moment.now)
        state = "linked" if silent < LATE_S else "late" if silent < LOST_S else "lost"
        found.append(
            DeviceView(
                device=device.hex(),
                post=member.post,
                word=f"{word(member.post)}, copied" if device in doubled else word(member.post),
                state="here" if device == peer.device else state,
                silent=silent,
                writes=device == writer,
                copied=device in doubled,
                offers=tuple(_with_device(peer, device, member.post, post, state)),
            )
        )
    return tuple(sorted(found, key=lambda one: (rank(one.post), one.device)))


def _with_device(peer: Peer, device: bytes, held: str, post: str, state: str) -> Iterator[Offer]:
    hexed, mine = device.hex(), device == peer.device
    if peer.may_write() and not mine and state == "linked" and held in map(str, CREW):
        yield Offer(Do.HAND, f"Let {_named(held)} write", to=held, device=hexed)
    if may(post, "take_out") and not mine:
        yield Offer(
            Do.TAKE_OUT,
            "Lost: take it out",
            device=hexed,
            warning="It gets nothing more and can't come back by itself.",
        )
    if may(post, "give_job") and held in map(str, CREW):
        filled = {member.post for member in peer.roster.members.values()}
        for job in map(str, CREW):
            if job != held:
                swap = f", swap with {_named(job)}" if job in filled else ""
                yield Offer(Do.JOB, f"Make it {word(job)}{swap}", to=job, device=hexed)


def record_views(court: Court, aside: Iterable[Aside], moment: Moment) -> tuple[RecordView, ...]:
    """The records that went apart, the one that counts first; none while it lacks nothing of the others."""
    apart = [one for one in aside if owed.missing_lines(court, one)]
    if not apart:
        return ()
    since = min(one.fork for one in apart)
    counted = _record(court.chain, court.lines[since:], moment)
    return (
        replace(counted, counts=True),
        *(_record(_branch(court, one), one.lines, moment) for one in apart),
    )


def _branch(court: Court, aside: Aside) -> Chain:
    chain = court.chain.prefix(aside.fork)
    for line in aside.lines:
        chain = chain.extend(line.id, facts.from_wire(line.fact))
    return chain


def _record(chain: Chain, lines: Sequence[Line], moment: Moment) -> RecordView:
    """One record, and its lines since it went apart from the others."""
    if not lines:
        return RecordView("", chain.match.set_number, score_text(chain.match.score), 0)
    last = lines[-1]
    return RecordView(
        head=last.id.hex(),
        set_number=chain.match.set_number,
        score=score_text(chain.match.score),
        entries=len(lines),
        ago=max(0.0, moment.now - moment.local(last.time, last.device)),
        by=word(last.post),
    )


def catch_up(peer: Peer, here: bool) -> CatchUp | None:
    """How far this device has caught up, while that matters: the match is not here, or much is to come."""
    progress = peer.progress()
    if progress.to_come < CATCH_UP_LEAST and (here or not progress.to_come):
        return None
    return CatchUp(progress.had, progress.total)
