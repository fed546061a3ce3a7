"""What two devices say to each other while one lets the other in: typed messages with strict sizes.

Knows shapes and limits. A frame is its length (4 bytes, big end first) and a msgpack map.
"""

from __future__ import annotations

from typing import Annotated, Final, TypeAlias

import msgspec

LONGEST_FRAME: Final = 16 * 1024
LONGEST_ADMISSION: Final = 256 * 1024

Key: TypeAlias = Annotated[bytes, msgspec.Meta(min_length=32, max_length=32)]
Cert: TypeAlias = Annotated[bytes, msgspec.Meta(min_length=1, max_length=2048)]
Binding: TypeAlias = Annotated[bytes, msgspec.Meta(min_length=65, max_length=160)]
Element: TypeAlias = Annotated[bytes, msgspec.Meta(max_length=64)]


class Ask(msgspec.Struct, frozen=True, tag="ask"):
    """The joiner's credentials and its half of SPAKE2."""

    version: int
    tls_cert: Cert
    sign_key: Key
    binding: Binding
    nonce: Key
    element: Element


class Reply(msgspec.Struct, frozen=True, tag="reply"):
    """The host's credentials and its half of SPAKE2; its certificate was shown by TLS."""

    sign_key: Key
    binding: Binding
    nonce: Key
    element: Element


class Confirm(msgspec.Struct, frozen=True, tag="confirm"):
    """The joiner's proof of the secret, over the name of the device too."""

    proof: Key
    name: Annotated[str, msgspec.Meta(max_length=200)]


class Welcome(msgspec.Struct, frozen=True, tag="welcome"):
    """The host's proof of the secret. A person at the host is now asked."""

    proof: Key


class MemberShape(msgspec.Struct, frozen=True):
    """One member, as in an invitation."""

    device: Key
    sign_key: Key
    tls_cert: Cert
    binding: Binding
    post: Annotated[str, msgspec.Meta(max_length=64)]


class Admission(msgspec.Struct, frozen=True, tag="admission"):
    """The person said yes: the match, who may open it, all members (the new one too), the host's port."""

    match: Annotated[bytes, msgspec.Meta(min_length=16, max_length=16)]
    opener: Key
    members: Annotated[list[MemberShape], msgspec.Meta(min_length=1, max_length=64)]
    port: Annotated[int, msgspec.Meta(ge=1, le=65535)]


class Refused(msgspec.Struct, frozen=True, tag="refused"):
    """The pairing has ended; why."""

    reason: Annotated[str, msgspec.Meta(max_length=32)]


class Look(msgspec.Struct, frozen=True, tag="look"):
    """Who are you? Asked before a code is typed; costs no guess."""

    version: int


class Sign(msgspec.Struct, frozen=True, tag="sign"):
    """What the court of the host is called. Only for people to compare: nothing proves it yet."""

    court: Annotated[str, msgspec.Meta(max_length=64)]


class Invite(msgspec.Struct, frozen=True, tag="invite"):
    """A known device is asked to join a court, for a job. `name`: of the device that asks."""

    version: int
    court: Annotated[str, msgspec.Meta(max_length=64)]
    post: Annotated[str, msgspec.Meta(min_length=1, max_length=32)]
    name: Annotated[str, msgspec.Meta(max_length=200)]


class Consent(msgspec.Struct, frozen=True, tag="consent"):
    """The invited device comes. `name`: what it calls itself."""

    name: Annotated[str, msgspec.Meta(max_length=200)]


class Introduce(msgspec.Struct, frozen=True, tag="introduce"):
    """A court that holds an event pass tells the site of itself. `proof`: of the pass, over the admission."""

    version: int
    proof: Key
    admission: Admission


class Placed(msgspec.Struct, frozen=True, tag="placed"):
    """The site takes part in the match, at this port."""

    port: Annotated[int, msgspec.Meta(ge=1, le=65535)]


Message: TypeAlias = (
    Ask
    | Reply
    | Confirm
    | Welcome
    | Admission
    | Refused
    | Look
    | Sign
    | Invite
    | Consent
    | Introduce
    | Placed
)


def encode(message: Message) -> bytes:
    """The whole frame, with its length."""
    frame = msgspec.msgpack.encode(message)
    return len(frame).to_bytes(4, "big") + frame


_DECODER = msgspec.msgpack.Decoder(Message)


def decode(frame: bytes) -> Message:
    """The message in a frame without its length. Errors: msgspec.MsgspecError."""
    try:
        message: Message = _DECODER.decode(frame)
    except (UnicodeDecodeError, RecursionError) as error:
        raise msgspec.DecodeError(str(error)) from error
    return message
