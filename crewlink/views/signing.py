"""The end of a match as one post sees it: what the audit found, who has signed, whose turn it is."""

from __future__ import annotations

from crewlink import signing
from crewlink.acting import Me
from crewlink.court import Court
from crewlink.crew.posts import word
from crewlink.crew.signed import POST_OF, signer_word
from crewlink.signing import Place
from crewlink.snapshot import AuditView, SignView

_SAFE_SOON = "Everybody has signed. It is locked as soon as it is safe on enough devices."


def sign_views(court: Court, me: Me) -> tuple[SignView, ...]:
    """The signatures of a match that is over, in their order; none before."""
    if not court.match.finished:
        return ()
    turn, free = signing.next_place(court, me.filled), not signing.obstacle(court, me)
    return tuple(_view(me, place, turn, free) for place in signing.places(court, me.filled))


def _view(me: Me, place: Place, turn: Place | None, free: bool) -> SignView:
    due = turn is not None and place.signer is turn.signer
    post = POST_OF.get(place.signer)
    by = "" if place.signed is None or post == place.signed.by else word(place.signed.by)
    return SignView(
        signer=str(place.signer),
        word=signer_word(place.signer),
        state=_state(place, due),
        by=by,
        can=due and free and signing.may_sign(me.post, place.signer),
        own=post == me.post,
    )


def _state(place: Place, due: bool) -> str:
    if place.signed is not None:
        return "signed"
    if place.left_out:
        return "left_out"
    return "again" if place.before is not None else "due" if due else "waits"


def sign_wait(court: Court, me: Me) -> str:
    """Why nobody can sign yet; when all have, what the lock waits for; "" else, and before the end."""
    if not court.match.finished:
        return ""
    if signing.next_place(court, me.filled) is None and not me.sealed:
        return _SAFE_SOON
    return signing.obstacle(court, me)


def audit_views(court: Court) -> tuple[AuditView, ...]:
    """What the audit finds in a record that is complete; nothing before the end of the match."""
    if not court.match.finished:
        return ()
    return tuple(
        AuditView(one.code, one.sentence, "" if one.entry is None else one.entry.hex())
        for one in signing.findings(court.chain)
    )
