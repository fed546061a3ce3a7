"""TLS 1.3 between stations: both sides show a certificate, and only the certificates given here are welcome.

Knows contexts and what a handshake proves. The contexts are the coarse gate; who the other end is follows
from the exact certificate (`shown_certificate`), compared with the members as they are at that moment.
"""

from __future__ import annotations

import asyncio
import ssl
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from cryptography.hazmat.primitives import serialization

from protocol.identity import Identity


@dataclass(frozen=True, slots=True)
class Contexts:
    """One for calls that come in, one for calls that go out. Anchors cannot be taken back: build anew."""

    accept: ssl.SSLContext
    dial: ssl.SSLContext

    @classmethod
    def build(cls, identity: Identity, welcome: Iterable[bytes]) -> Contexts:
        """Contexts that show our certificate and accept these (DER) only."""
        anchors = b"".join(welcome)
        accept = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        accept.num_tickets = 0
        dial = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        for context in (accept, dial):
            context.check_hostname = False
            context.verify_mode = ssl.CERT_REQUIRED
            context.minimum_version = ssl.TLSVersion.TLSv1_3
            if anchors:
                context.load_verify_locations(cadata=anchors)
            show_certificate(context, identity)
        return cls(accept, dial)


def show_certificate(context: ssl.SSLContext, identity: Identity) -> None:
    """Let a context show this identity. OpenSSL reads keys from files only, so one exists for a moment."""
    key = identity.tls_key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    ).decode()
    with tempfile.TemporaryDirectory(prefix="crewlink-") as folder:  # made for this user only
        path = Path(folder) / "shown.pem"
        path.write_text(key + ssl.DER_cert_to_PEM_cert(identity.tls_cert))
        context.load_cert_chain(path)


def showing(identity: Identity) -> ssl.SSLContext:
    """A context for a port that shows its certificate and asks for none: TLS 1.3, no tickets."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_3
    context.num_tickets = 0
    show_certificate(context, identity)
    return context


def shown_certificate(transport: asyncio.BaseTransport) -> bytes | None:
    """The certificate (DER) the other end has shown and proved to own; None when there is none."""
    tls = transport.get_extra_info("ssl_object")
    return tls.getpeercert(binary_form=True) if isinstance(tls, ssl.SSLObject) else None
