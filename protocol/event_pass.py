"""The event pass: what a site gives to courts, as a square or a file, so that they let it in and call it.

Knows its contents, its text form and how it is checked. A pass names the site's keys and where it takes
calls, holds a secret that proves who was given it, is signed by the site and ends at a time. Whoever has it
can put a court on the site's board, and nothing more.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Final, TypeAlias

import msgspec
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from protocol.address import Address, AddressError
from protocol.identity import SIGNATURE_SIZE, Identity, binding_holds, device_id
from protocol.pairing import printable
from protocol.pairing_wire import Admission, Binding, Cert, Key
from protocol.roster import Member

PREFIX: Final = "CREWPASS1"
LONGEST_TEXT: Final = 4096
MOST_ADDRESSES: Final = 4
SECRET_SIZE: Final = 16
LONGEST_EVENT: Final = 64
SITE_POST: Final = "site"
VERSION: Final = 1

_SIGNED: Final = b"crewlink event pass 1\0"
_PROOF: Final = b"crewlink event pass 1 proof\0"


_Place: TypeAlias = Annotated[str, msgspec.Meta(max_length=64)]


class PassError(Exception):
    """A pass that cannot be used; says why and what to do."""


class _Body(msgspec.Struct, frozen=True, array_like=True, forbid_unknown_fields=True):
    sign_key: Key
    tls_cert: Cert
    binding: Binding
    secret: Annotated[bytes, msgspec.Meta(min_length=SECRET_SIZE, max_length=SECRET_SIZE)]
    event: Annotated[str, msgspec.Meta(min_length=1, max_length=LONGEST_EVENT)]
    expires: Annotated[int, msgspec.Meta(ge=0, lt=2**40)]
    addresses: Annotated[list[_Place], msgspec.Meta(min_length=1, max_length=MOST_ADDRESSES)]


@dataclass(frozen=True, slots=True)
class EventPass:
    """A pass. `expires`: seconds since 1970. `site`: the keys to admit. `text`: all of it, signed."""

    site: Member
    addresses: tuple[Address, ...]
    event: str
    expires: int
    secret: bytes
    text: str

    @classmethod
    def create(
        cls,
        identity: Identity,
        addresses: tuple[Address, ...],
        event: str,
        expires: int,
        random_bytes: Callable[[int], bytes],
    ) -> EventPass:
        """A new pass of this site, signed. Errors: PassError when the event has no usable name."""
        name = printable(" ".join(event.split()))
        if not 0 < len(name) <= LONGEST_EVENT:
            raise PassError(f"An event's name has 1 to {LONGEST_EVENT} letters.")
        body = msgspec.msgpack.encode(
            _Body(
                identity.public_key,
                identity.tls_cert,
                identity.binding,
                random_bytes(SECRET_SIZE),
                name,
                expires,
                [str(address) for address in addresses[:MOST_ADDRESSES]],
            )
        )
        return cls.parse(_text(body + identity.sign(_SIGNED + hashlib.sha256(body).digest())))

    @classmethod
    def parse(cls, text: str) -> EventPass:
        """Read and check the text of a pass. Whether it is still good is `ends`. Errors: PassError."""
        packed = _unpack(text)
        body, signature = packed[:-SIGNATURE_SIZE], packed[-SIGNATURE_SIZE:]
        damaged = PassError("The pass is damaged. Scan it or copy it again.")
        try:
            shape = msgspec.msgpack.decode(body, type=_Body)
            addresses = tuple(Address.parse(one) for one in shape.addresses)
        except (msgspec.MsgspecError, AddressError, ValueError, RecursionError) as error:
            raise damaged from error
        try:
            key = Ed25519PublicKey.from_public_bytes(shape.sign_key)
            key.verify(signature, _SIGNED + hashlib.sha256(body).digest())
        except (InvalidSignature, ValueError) as error:
            raise PassError("Someone has changed this pass. Ask the supervisor for a new one.") from error
        if not binding_holds(shape.sign_key, shape.tls_cert, shape.binding) or not shape.event.isprintable():
            raise damaged
        device = device_id(shape.sign_key)
        site = Member(device, shape.sign_key, shape.tls_cert, shape.binding, SITE_POST)
        return cls(site, addresses, shape.event, shape.expires, shape.secret, _text(packed))

    def check(self, now: float, event: str) -> None:
        """Whether a court of this event may use it now (seconds since 1970). A court without an event may.

        Errors: PassError.
        """
        if now >= self.expires:
            raise PassError("The pass is too old. Ask the supervisor for a new one.")
        if event.strip() and _plain(event) != _plain(self.event):
            raise PassError(f"This pass is for “{self.event}”; this court plays for “{event.strip()}”.")

    def proof(self, admission: Admission) -> bytes:
        """Proves to the site that the pass was given to whoever sends this admission."""
        return proof_of(self.secret, self.site.tls_cert, admission)


def proof_of(secret: bytes, tls_cert: bytes, admission: Admission) -> bytes:
    """HMAC-SHA-256 of a pass's secret over the site's certificate and the admission."""
    told = hashlib.sha256(tls_cert).digest() + hashlib.sha256(msgspec.msgpack.encode(admission)).digest()
    return hmac.digest(secret, _PROOF + told, "sha256")


def _text(packed: bytes) -> str:
    return f"{PREFIX}:{base64.b32encode(packed).decode().rstrip('=')}"


def _unpack(text: str) -> bytes:
    """The bytes in a pasted text; blanks and line ends in it do not matter."""
    if len(text) > 2 * LONGEST_TEXT:
        raise PassError("This is no event pass: it is too long.")
    plain = "".join(text.split())
    prefix, _, packed = plain.partition(":")
    if prefix != PREFIX:
        newer = prefix.startswith("CREWPASS") and prefix[8:].isdigit()
        later = "A later version of crewlink made this pass. Update crewlink."
        raise PassError(later if newer else "This is no event pass.")
    try:
        found = base64.b32decode(packed + "=" * (-len(packed) % 8))
    except (binascii.Error, ValueError) as error:
        raise PassError("The pass is damaged. Scan it or copy it again.") from error
    if len(found) <= SIGNATURE_SIZE or len(plain) > LONGEST_TEXT:
        raise PassError("The pass is damaged. Scan it or copy it again.")
    return found


def _plain(event: str) -> str:
    return " ".join(event.casefold().split())
