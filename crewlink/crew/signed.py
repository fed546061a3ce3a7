"""Signatures under a record: what an entry says about who signed, and which post answers for whom.

A captain or coach signs with a mark at a device of the court and is kept as entered there; R1, R2 and the
scorer sign at their own devices, or by a sign that another post enters. R1's is the act by which the link
locks the record, so it bears a number that grows with every one he gives.
"""

from __future__ import annotations

from msgspec import Struct

from crewlink.crew.notice import Act
from crewlink.crew.posts import Post, word
from crewlink.rules.profile import Signer

SIGNED, SIGN_OFF = "signed", "sign_off"
"""Acts: a signature; R1's, as the link knows it."""
POST_OF = {Signer.R1: Post.R1, Signer.R2: Post.R2, Signer.SCORER: Post.SCORER}
"""The signers that are posts of the crew; the others sign with a mark at a device of the court."""
_WORDS = {
    Signer.CAPTAIN_A: "Captain A",
    Signer.CAPTAIN_B: "Captain B",
    Signer.COACH_A: "Coach A",
    Signer.COACH_B: "Coach B",
}


class Signed(Struct, frozen=True, order=True):
    """A signature under the record as it stood at `anchor`: whose, at which post it was entered, by whose
    device, when (that device's own clock, ms; `stamp` for order). `number`: of R1's, else 0.
    """

    stamp: int
    entry: bytes
    signer: str
    by: str
    anchor: bytes
    device: bytes
    time: int
    number: int = 0


def signer_word(signer: Signer) -> str:
    """The word that screens use for a signer."""
    post = POST_OF.get(signer)
    return word(post) if post is not None else _WORDS[signer]


def signed_from(act: Act) -> Signed | None:
    """A signature out of its act; None where it names nobody who signs."""
    signer = Signer.R1 if act.name == SIGN_OFF else act.text("signer")
    if signer not in set(Signer) or (signer == Signer.R1) != (act.name == SIGN_OFF):
        return None
    number = act.number("number") or 0
    return Signed(act.stamp, act.id, str(signer), act.post, act.anchor, act.device, act.time, number)
