"""The end of a match: what the audit finds, who signs in which order, and when the record can be locked.

The order is the profile's. A signature counts for the record it was given under: after a correction everybody
signs again. When all have signed and the last line is safe on enough devices, the one who writes locks it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from msgspec import Struct

from crewlink import older
from crewlink.acting import Me, no
from crewlink.court import Court
from crewlink.crew import commands as say
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import State
from crewlink.crew.permissions import RELAYS, may
from crewlink.crew.posts import Post, word
from crewlink.crew.signed import POST_OF, SIGN_OFF, SIGNED, Signed, signer_word
from crewlink.drafts import Accepted, Outcome, Refused, free
from crewlink.match.chain import Chain
from crewlink.record.audit import AuditFinding, audit
from crewlink.rules.profile import Signer

AUDIT = "audit"
"""The duty: what the program finds is looked at."""
LOCKED = "This match is finished and locked."
_LIVE = (State.OPEN, State.ANSWERED)
_AFTER = (
    say.Raise, say.Shown, say.AnswerNotice, say.CloseNotice, say.WithdrawNotice, say.HoldNotice,
    say.TickDuty, say.EraseWords, say.EraseNames, say.NextMatch,
)  # fmt: skip
"""What people may still say when the record is locked: they are in the hall yet."""


class Place(Struct, frozen=True):
    """One signature of the order. `signed`: the one that counts now; `before`: one given before a change of
    the record, which counts no more. `left_out`: nobody of this crew could give it.
    """

    signer: Signer
    signed: Signed | None = None
    before: Signed | None = None
    left_out: bool = False

    @property
    def open(self) -> bool:
        """Still to come."""
        return self.signed is None and not self.left_out


@lru_cache(maxsize=4)
def findings(chain: Chain) -> tuple[AuditFinding, ...]:
    """What the audit of a record finds; the same record is gone through once."""
    return audit(chain)


def places(court: Court, filled: Iterable[str]) -> tuple[Place, ...]:
    """The signatures of this match in the profile's order; R1's is always one of them."""
    order = court.match.profile.sign_off.order
    here, head = set(filled), head_of(court)
    found = []
    for signer in (*order, *(() if Signer.R1 in order else (Signer.R1,))):
        given = [one for one in court.crew.signed if one.signer == signer]
        now = [one for one in given if one.anchor == head]
        post = POST_OF.get(signer)
        left_out = post is not None and post is not Post.R1 and post not in here and not now
        before = given[-1] if given and not now else None
        found.append(Place(signer, _best(now), before, left_out))
    return tuple(found)


def _best(given: list[Signed]) -> Signed | None:
    """Of several signatures of one signer his own counts before one entered for him; then the first."""
    return min(given, key=lambda one: (one.by != POST_OF.get(Signer(one.signer), one.by), one), default=None)


def head_of(court: Court) -> bytes:
    """The last line of the record, which a signature is given under."""
    return court.lines[-1].id if court.lines else court.opening


def next_place(court: Court, filled: Iterable[str]) -> Place | None:
    """Whose turn it is to sign."""
    return next((place for place in places(court, filled) if place.open), None)


def obstacle(court: Court, me: Me) -> str:
    """Why nobody can sign yet, in one sentence; "" when it can be signed."""
    if me.sealed:
        return LOCKED
    if not court.match.finished:
        return "The match is not over."
    for id_, notice in sorted(court.crew.notices.items()):
        raised = notice.raised
        if raised is None or me.states.get(id_) not in _LIVE or raised.joins:
            continue
        if raised.urgency == "now" or raised.kind == "set_aside":
            return f"First deal with this: {all_kinds()[raised.kind].title}."
    if next(older.waiting(court, me.filled), None) is not None:
        return "A change of an old line still waits for another official."
    if findings(court.chain) and not audited(court):
        return "First look at what the check of the score sheet found, and tick it."
    return ""


def audited(court: Court) -> bool:
    """Whether somebody has looked at the findings of the record as it is now."""
    ticks = (tick for tick in court.crew.ticks if tick.duty == AUDIT and not tick.fault)
    return any(tick.anchor == head_of(court) for tick in ticks)


def may_sign(post: str, signer: Signer) -> bool:
    """Whether a post can enter that signature: its own, a mark made at its device, or a sign it saw."""
    own = POST_OF.get(signer)
    if own is None or own == post:
        return may(post, SIGN_OFF if signer is Signer.R1 else SIGNED)
    return post in RELAYS and may(post, SIGN_OFF if signer is Signer.R1 else SIGNED)


def sign(court: Court, me: Me, command: say.Sign) -> Outcome:
    """What becomes of a signature: the one named, or the one whose turn it is."""
    why = obstacle(court, me)
    if why:
        return no("finished_locked" if me.sealed else "not_to_sign_yet", why)
    turn = next_place(court, me.filled)
    if turn is None:
        return no("all_signed", "Everybody has signed. It is locked as soon as it is safe on enough devices.")
    if command.signer and command.signer not in set(Signer):
        return no("no_such_signer", f"Nobody signs as {command.signer}.")
    if command.signer and command.signer != turn.signer:
        return _not_their_turn(court, me, Signer(command.signer), turn)
    if not may_sign(me.post, turn.signer):
        return no("not_your_job", f"{signer_word(turn.signer)} signs now, not {word(me.post)}.")
    own = POST_OF.get(turn.signer)
    relayed = {"on_behalf": str(own)} if own is not None and own != me.post else {}
    if turn.signer is Signer.R1:
        number = 1 + max((one.number for one in court.crew.signed), default=0)
        return Accepted((free(SIGN_OFF, number=number, **relayed),))
    return Accepted((free(SIGNED, signer=str(turn.signer), **relayed),))


def _not_their_turn(court: Court, me: Me, signer: Signer, turn: Place) -> Refused:
    found = next((one for one in places(court, me.filled) if one.signer is signer), None)
    if found is None or found.left_out:
        return no("no_such_signer", f"{signer_word(signer)} does not sign in this match.")
    if found.signed is not None:
        return no("signed_already", f"{signer_word(signer)} has signed.")
    return no("not_their_turn", f"{signer_word(turn.signer)} signs first.")


def to_lock(court: Court, me: Me) -> bytes | None:
    """R1's signature under a record that all have signed and that is safe: the writer locks it now."""
    if me.sealed or not me.stands or not court.match.finished or me.head != head_of(court):
        return None
    order = places(court, me.filled)
    if any(place.open for place in order):
        return None
    return next((p.signed.entry for p in order if p.signer is Signer.R1 and p.signed is not None), None)


def locked(command: object) -> Refused | None:
    """The refusal of what can't be done any more once the record is locked; None for what still can."""
    return None if isinstance(command, _AFTER) else no("finished_locked", LOCKED)
