"""From one match to the next on the same court: the devices stay, the crew changes, nobody pairs anew.

Who opens it says so in a free entry of the match that is over, and opens the next one; every device of the
roster that has heard it goes on there with the job it has, under the same keys. The next match is named by
that entry alone, so nothing else has to be agreed. Rules, format and event settings stay; teams are new.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

import msgspec
from msgspec import Struct, structs

from crewlink.acting import Me, no
from crewlink.charter import Charter, Names, TeamNames
from crewlink.court import Court
from crewlink.crew import commands as say
from crewlink.crew.permissions import may
from crewlink.crew.posts import Post, word
from crewlink.crew.reduction import NextAct
from crewlink.drafts import Accepted, Draft, Outcome
from crewlink.match.setup import MatchSetup
from protocol.peer import Peer
from protocol.roster import Invitation

NEXT = "next"
PATIENCE_S = 3.0
"""So long a device waits for those that it is linked with to hear of the next match, before it goes on."""
SHORT, LONG = 9, 16


class Handover(Struct, frozen=True):
    """What a device goes on with: the next match's invitation, its job; the opener's charter and names."""

    invitation: Invitation
    post: str
    charter: Charter | None = None
    names: Names | None = None


def open_next(court: Court, me: Me, command: say.NextMatch) -> Outcome:
    """What becomes of the wish to go on with the next match."""
    if not may(me.post, NEXT):
        return no("not_your_job", f"{word(me.post)} does not open the next match; R1, R2 and the table do.")
    if not court.match.finished:
        return no("not_over", "The match is not over.")
    if not me.sealed and not court.charter.settings.paper:
        return no("sign_first", "Sign first. To leave it unsigned, open a new court instead.")
    if court.crew.next:
        return no("next_is_open", f"{word(court.crew.next[0].post)} has opened the next match.")
    given = (command.a.strip(), command.b.strip())
    if any(len(name) > LONG for name in given):
        return no("text_too_long", f"A team's name has at most {LONG} letters.")
    text = msgspec.json.encode(given).decode() if any(given) else ""
    return Accepted((Draft("free", NEXT, {}, text, tuple(map(str, Post)) if text else ()),))


def match_id(entry: bytes) -> bytes:
    """The id of the match that an entry opens, 16 bytes."""
    return hashlib.sha256(b"crewlink next match 1\0" + entry).digest()[:16]


def charter_after(charter: Charter) -> Charter:
    """The next match by the same rules, format and settings; its teams are not known yet."""
    old = charter.setup
    setup = MatchSetup(profile=old.profile, overrides=old.overrides, format=old.format)
    return Charter(setup, structs.replace(charter.settings, starts=0))


def names_after(names: Names, text: str) -> Names:
    """The same court and event with the teams of `text`, or with letters alone."""
    try:
        a, b = msgspec.json.decode(text, type=tuple[str, str]) if text else ("", "")
    except msgspec.DecodeError:
        a, b = "", ""
    plain = Names()
    return structs.replace(names, a=_named(a) if a else plain.a, b=_named(b) if b else plain.b)


def _named(name: str) -> TeamNames:
    return TeamNames(name, next((w for w in reversed(name.split()) if len(w) <= SHORT), name[:SHORT]))


def handover(
    peer: Peer, court: Court, names: Names, texts: Mapping[bytes, str], waited: float
) -> Handover | None:
    """What this device goes on with, None while there is no next match, or others have still to hear of it.

    `waited`: for how many seconds it has been known here.
    """
    told = next(iter(court.crew.next), None)
    member = peer.roster.members.get(peer.device)
    if told is None or member is None:
        return None
    if not peer.standing().sealed and not court.charter.settings.paper:
        return None
    linked = {device for device, state in peer.peers().items() if state.linked}
    if not linked <= peer.held_by(told.entry) and waited < PATIENCE_S:
        return None
    return _handed(peer, court, names, texts.get(told.entry, ""), told)


def _handed(peer: Peer, court: Court, names: Names, text: str, told: NextAct) -> Handover:
    members = peer.roster.members
    invitation = Invitation(match_id(told.entry), told.device, tuple(members.values()))
    post = members[peer.device].post
    if told.device != peer.device:
        return Handover(invitation, post)
    return Handover(invitation, post, charter_after(court.charter), names_after(names, text))
