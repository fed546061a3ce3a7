"""Acts of a person on who writes and on the devices of the court: from a command to calls on the link.

Each comes out as accepted, requested (the others are asked), or refused in a sentence that a young scorer
knows. What counts in the end is decided by the link's fold alone. The voters follow the crew by themselves.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from crewlink.acting import no
from crewlink.crew import commands as say
from crewlink.crew.permissions import may
from crewlink.crew.posts import CREW, Post, word
from crewlink.drafts import Accepted, Outcome, Requested
from crewlink.link_reading import author_of
from protocol.peer import HolderHeard, NoMajority, NoRight, NotAdmitted, Peer, PeerState, WriteError
from protocol.roster import Member

PATIENCE_S = 10.0
"""So long the others are asked before it is offered to write without them."""
LATE_S = 5.0
"""So long a device may be silent before anything about it is offered or told."""


def carry_out(peer: Peer, post: str, command: say.PenCommand, now: float, wall_ms: int) -> Outcome:
    """Do it, or say why not."""
    if not may(post, str(command.__struct_config__.tag)):
        return no("not_your_job", f"{word(post)} does not do this; {_who_may(command)}.")
    try:
        return _do(peer, command, now, wall_ms)
    except WriteError as error:
        return _refused(peer, error)


def _who_may(command: say.PenCommand) -> str:
    if isinstance(command, say.ChooseRecord):
        return "R1 and R2 do"
    return "R1, R2 and the table do" if isinstance(command, say.TakeOut | say.GiveJob) else "the crew does"


def _do(peer: Peer, command: say.PenCommand, now: float, wall_ms: int) -> Outcome:
    match command:
        case say.TakeWriting():
            peer.take_pen(now, wall_ms, crew_voters(peer, now))
            return Requested()
        case say.StopAsking():
            peer.stop_taking()
            return Accepted()
        case say.WriteAlone():
            return _alone(peer, now, wall_ms)
        case say.HandWriting(post):
            return _hand(peer, post, now, wall_ms)
        case say.ChooseRecord():
            return _choose(peer, command, now, wall_ms)
        case say.TakeOut(device):
            return _take_out(peer, device, now, wall_ms)
        case say.GiveJob(device, post):
            return _give_job(peer, device, post, now, wall_ms)


def _refused(peer: Peer, error: WriteError) -> Outcome:
    """Why the link did not do it, in words."""
    match error:
        case HolderHeard():
            writer = author_of(peer, peer.standing().holder_log)
            who = "The one who writes" if writer is None else word(writer.post)
            return no("writer_here", f"{who} writes and can be heard. It can let you write.")
        case NoMajority(reached=reached, needed=needed):
            return no("too_few", f"Only {reached} of the {needed} devices needed can be heard.")
        case NoRight():
            return no("not_your_job", "Your job does not do this.")
        case NotAdmitted():
            return no("not_in", "This device is not in the crew yet. Wait for the link to the table.")
        case _:
            return no("not_now", str(error))


def may_ask(peer: Peer, now: float) -> bool:
    """Whether enough of the others are heard to be asked."""
    return peer.voters_in_reach(now) >= peer.standing().majority


def asked_in_vain(peer: Peer, now: float) -> bool:
    """Whether the others have been asked for long without agreeing."""
    asking = peer.asking()
    return asking is not None and now - asking.began >= PATIENCE_S


def _alone(peer: Peer, now: float, wall_ms: int) -> Outcome:
    if not peer.may_write() and not peer.holder_silent(now):
        raise HolderHeard
    if may_ask(peer, now) and not asked_in_vain(peer, now):
        return no("ask_first", "The others can be heard: ask them first. Write here does that.")
    peer.stop_taking()
    peer.force_pen(now, wall_ms)
    return Accepted()


def _hand(peer: Peer, post: str, now: float, wall_ms: int) -> Outcome:
    if not peer.may_write():
        return no("not_writer", "Another device writes. Only that one can let somebody write.")
    device = heard_at(peer, post, now)
    if device is None:
        return no("out_of_reach", f"{word(post)} can't be heard now.")
    if device == peer.device:
        return no("writes_already", "You write already.")
    peer.grant_pen(device, now, wall_ms)
    return Accepted()


def heard_at(peer: Peer, post: str, now: float) -> bytes | None:
    """A device of the crew that has this job and can be heard, this one too; None if there is none."""
    if post not in map(str, CREW):
        return None
    states = peer.peers(now)
    held = [device for device, member in peer.roster.members.items() if member.post == post]
    here = (device for device in held if device == peer.device or not states[device].suspect)
    return next(here, None)


def _choose(peer: Peer, command: say.ChooseRecord, now: float, wall_ms: int) -> Outcome:
    head = _id(command.head)
    if head is None or head == peer.standing().head:
        return no("counts_already", "That is the one that counts already.")
    device = _who_goes_on(peer, command.post, now)
    if device is None:
        return no("out_of_reach", f"{word(command.post)} can't be heard now.")
    peer.choose(head, device, now, wall_ms)
    return Accepted()


def _who_goes_on(peer: Peer, post: str, now: float) -> bytes | None:
    """Who writes the chosen record on: the post named, else who writes now and is heard, else this device."""
    if post:
        return heard_at(peer, post, now)
    writer = author_of(peer, peer.standing().holder_log)
    heard = None if writer is None else heard_at(peer, writer.post, now)
    return peer.device if heard is None else heard


def _take_out(peer: Peer, hexed: str, now: float, wall_ms: int) -> Outcome:
    device = _id(hexed)
    if device == peer.device:
        return no("own_device", "This is your own device. Let another one of the crew take it out.")
    if device is None or device not in peer.roster.members:
        return no("no_such_device", "That device is not in the crew.")
    peer.revoke(device, now, wall_ms)
    return Accepted()


def _give_job(peer: Peer, hexed: str, post: str, now: float, wall_ms: int) -> Outcome:
    members = peer.roster.members
    member = members.get(_id(hexed) or b"")
    if member is None:
        return no("no_such_device", "That device is not in the crew.")
    if post not in set(map(str, Post)):
        return no("no_such_job", "There is no such job.")
    if member.post == post:
        return no("has_it_already", f"That device is {word(post)} already.")
    if str(Post.SITE) in (post, member.post):
        return no("supervisor", "A supervisor joins with a device of their own.")
    changed = [replace(member, post=post)]
    changed += [replace(one, post=member.post) for one in members.values() if one.post == post]
    for one in sorted(changed, key=lambda one: one.device == peer.device):  # own last: its rights change too
        peer.admit(one, now, wall_ms)
    return Accepted()


def _id(hexed: str) -> bytes | None:
    try:
        return bytes.fromhex(hexed)
    except ValueError:
        return None


def crew_voters(peer: Peer, now: float) -> tuple[bytes, ...]:
    """Devices that decide who writes: those of the crew, highest job first; in a crew of two a supervisor's
    that is linked too, so that two of three can agree when one falls silent.
    """
    order = [str(post) for post in CREW]
    members = peer.roster.members.values()
    crew = [one for one in members if one.post in order]
    found = [one.device for one in sorted(crew, key=lambda one: (order.index(one.post), one.device))]
    if len(found) == 2:
        states = peer.peers(now)
        found += [one.device for one in members if one.post == Post.SITE and _decides(peer, one, states)]
    return tuple(found)


def _decides(peer: Peer, site: Member, states: Mapping[bytes, PeerState]) -> bool:
    """Whether a supervisor's device is linked here, or decides already."""
    state = states.get(site.device)
    return site.device in (*peer.standing().voters, peer.device) or (state is not None and state.linked)


def follow_crew(peer: Peer, now: float, wall_ms: int) -> None:
    """The one who writes lets the devices of the crew as it is now decide who writes, once enough of those
    who decide until now can be heard.
    """
    if peer.standing().sealed or not peer.may_write() or peer.confirming():
        return
    wanted = crew_voters(peer, now)
    if wanted and set(wanted) != set(peer.standing().voters) and may_ask(peer, now):
        peer.name_voters(wanted, now, wall_ms)
