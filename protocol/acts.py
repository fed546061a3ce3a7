"""The payloads that the link itself understands, as typed structs: acts of roster, pen and record.

Knows shapes only. A payload that does not have its shape is kept and forwarded, and means nothing.
"""

from __future__ import annotations

from typing import Annotated, TypeAlias

import msgspec

Id: TypeAlias = Annotated[bytes, msgspec.Meta(min_length=32, max_length=32)]
Count: TypeAlias = Annotated[int, msgspec.Meta(ge=0, lt=2**31)]
Label: TypeAlias = Annotated[str, msgspec.Meta(min_length=1, max_length=32)]

LOG, OPEN, ADMIT, REVOKE, SEAL = "log", "open", "admit", "revoke", "seal"
GRANT, TAKE, VOTE, CHOOSE = "grant", "take", "vote", "choose"
WRITE = "write"
SIGN_OFF = "sign_off"

FORCED, RESTART, CERTIFIED = "forced", "restart", "certified"


class LogHeader(msgspec.Struct, frozen=True):
    """How a log begins. `closes`: the author's earlier logs with the lengths it holds of them."""

    match: Annotated[bytes, msgspec.Meta(min_length=16, max_length=16)]
    key: Id
    run: Annotated[bytes, msgspec.Meta(min_length=16, max_length=16)]
    admission: Id | None
    closes: Annotated[dict[Id, Count], msgspec.Meta(max_length=256)]


class PostRights(msgspec.Struct, frozen=True, array_like=True):
    """A post and what its holder may do; posts are listed from the highest to the lowest."""

    label: Label
    rights: list[str]


class Open(msgspec.Struct, frozen=True):
    """The match begins; this entry is the root of the record and its first epoch."""

    voters: Annotated[list[Id], msgspec.Meta(min_length=1, max_length=16)]
    charter: dict[str, object]
    fold: Count
    posts: Annotated[list[PostRights], msgspec.Meta(max_length=32)]


class Admit(msgspec.Struct, frozen=True):
    """A device is admitted with a post. `number`: one above the admissions of the device seen before."""

    device: Id
    sign_key: Id
    tls_cert: Annotated[bytes, msgspec.Meta(max_length=4096)]
    binding: Annotated[bytes, msgspec.Meta(max_length=512)]
    post: Label
    number: Count = 1


class Revoke(msgspec.Struct, frozen=True):
    """These admissions of a device end; its logs count up to their cuts, those without one not at all."""

    device: Id
    admissions: Annotated[list[Id], msgspec.Meta(max_length=256)]
    cuts: Annotated[dict[Id, Count], msgspec.Meta(max_length=512)]


class Seal(msgspec.Struct, frozen=True):
    """The record ends at the anchor, as signed off under this number."""

    epoch: Id
    sign_off: Id
    number: Count


class SignOff(msgspec.Struct, frozen=True):
    """A free entry that signs off the head it is anchored at."""

    number: Count


class Grant(msgspec.Struct, frozen=True):
    """The holder of `epoch` gives the pen to a log; the entry's id is the new epoch."""

    epoch: Id
    to: Id


class Take(msgspec.Struct, frozen=True):
    """A station asks for the pen of `epoch`, in a round. `voters`: who is to decide from then on."""

    epoch: Id
    round: Annotated[int, msgspec.Meta(ge=1, lt=2**31)]
    voters: Annotated[list[Id], msgspec.Meta(min_length=1, max_length=16)] | None = None


class Vote(msgspec.Struct, frozen=True):
    """A voter agrees to a take; the anchor says how far its record reaches."""

    take: Id
    epoch: Id
    round: Count


class Opening(msgspec.Struct, frozen=True):
    """An epoch opens for the author's log on the anchor. `how`: forced, restart or certified."""

    epoch: Id
    how: str
    take: Id | None = None
    votes: Annotated[list[Id], msgspec.Meta(max_length=16)] = []


class Choose(msgspec.Struct, frozen=True):
    """An epoch opens on any head, by decision; `number` is one above the highest seen. `to`: who writes."""

    number: Annotated[int, msgspec.Meta(ge=1, lt=2**31)]
    to: Id


class Write(msgspec.Struct, frozen=True):
    """A line of the record. `fact` belongs to the floor above."""

    epoch: Id
    index: Count
    fact: object = None
    because: object = None
