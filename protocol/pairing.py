"""How a new device gets into a crew: both ends prove the same short secret, bound to both certificates.

Knows the exchange, its limits and what it proves; sans-IO, times and randomness are handed in. Sockets are in
protocol.pairing_shell, the secret's forms in protocol.pairing_code.

The joiner calls the host over TLS 1.3 and remembers the certificate it was shown. Then:

1. joiner -> host  Ask: its certificate, sign key, binding, nonce, SPAKE2 element A
2. host -> joiner  Reply: its sign key, binding, nonce, SPAKE2 element B
3. joiner -> host  Confirm: HMAC(K, "J" + transcript), and the name of the device sealed by it
4. host -> joiner  Welcome: HMAC(K, "H" + transcript)
5. host -> joiner  Admission, after a person has looked at the name and said yes

SPAKE2 runs over the secret with the joiner's credentials as one identity and the hash of the host's
certificate as the other: the host puts in its own, the joiner what it was shown. Someone in the middle
shows another one, so the keys differ even when the right code was typed. K comes from HKDF over the SPAKE2
key and the transcript, in which every part has its length before it. The joiner confirms first, so a wrong
guess is counted by the host before anything is told.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from spake2 import SPAKE2_A, SPAKE2_B, SPAKEError
from spake2.ed25519_basic import NotOnCurve

from protocol.identity import Identity, binding_holds, device_id
from protocol.pairing_wire import Ask, Confirm, Reply, Welcome

VERSION = 1
CODE_SECONDS = 120.0
MOST_WRONG = 3
ATTEMPT_SECONDS = 10.0
NONCE_SIZE = 32
ELEMENT_SIZE = 33
LONGEST_NAME = 40

_HOST_CERT = b"crewlink pair 1 host certificate"
_JOINER = b"crewlink pair 1 joiner"
_TRANSCRIPT = b"crewlink pair 1 transcript"
_KEY = b"crewlink-pair-1"

RandomBytes = Callable[[int], bytes]
Keys: TypeAlias = tuple[bytes, bytes, bytes]
"""Sign key, certificate and binding of a device."""


class Refusal(StrEnum):
    """Why a pairing does not go on."""

    WRONG_CODE = "wrong code"
    EXPIRED = "expired"
    USED = "used"
    TOO_MANY = "too many"
    BUSY = "busy"
    DECLINED = "declined"
    NEWER = "newer"
    BAD_CREDENTIALS = "bad credentials"
    NOT_THE_HOST = "not the host"
    UNKNOWN_PASS = "pass unknown"  # noqa: S105  # a reason
    OLD_PASS = "pass old"  # noqa: S105
    FULL = "full"

    def sentence(self) -> str:
        """What to tell the person at the new device."""
        return _SENTENCES[self]


_SENTENCES = {
    Refusal.WRONG_CODE: "The code is not the one on the other screen. Type it again.",
    Refusal.EXPIRED: "The code is too old. Ask for a new one.",
    Refusal.USED: "The code was used already. Ask for a new one.",
    Refusal.TOO_MANY: "Someone has guessed wrongly too often. Ask for a new code.",
    Refusal.BUSY: "Another device is joining just now. Try again.",
    Refusal.DECLINED: "The other device said no.",
    Refusal.NEWER: "The two devices have different versions of crewlink. Update the older one.",
    Refusal.BAD_CREDENTIALS: "The other device sent keys that do not fit together.",
    Refusal.UNKNOWN_PASS: "The supervisor does not know this pass. Ask for a new one.",
    Refusal.OLD_PASS: "The pass is too old. Ask the supervisor for a new one.",
    Refusal.FULL: "The supervisor's board has no room for one more court.",
    Refusal.NOT_THE_HOST: "Someone else answered in place of the other device. Do not go on here.",
}


class PairingRefused(Exception):
    """The pairing has ended. Carries the reason."""

    def __init__(self, reason: Refusal) -> None:
        super().__init__(reason.sentence())
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Candidate:
    """A device that proved the code: what a member needs, and the name it gives itself."""

    device: bytes
    sign_key: bytes
    tls_cert: bytes
    binding: bytes
    name: str


class PairingWindow:
    """The host's side of one code: its life, its wrong guesses, one attempt at a time.

    A device whose call broke off may come again: it takes the place of its own attempt, and once it has
    proved the code it may prove it again, to get its answer. Every proof is checked and counted.
    """

    def __init__(self, identity: Identity, secret: bytes, now: float, random_bytes: RandomBytes) -> None:
        self._identity = identity
        self._secret = secret
        self._random = random_bytes
        self._ends = now + CODE_SECONDS
        self._wrong = 0
        self._proved: Keys | None = None
        self._running: HostAttempt | None = None

    @property
    def wrong(self) -> int:
        """Wrong guesses so far; a screen says that someone is guessing."""
        return self._wrong

    def closed(self, now: float) -> Refusal | None:
        """Why the code is good no more; None while it is."""
        return Refusal.USED if self._proved is not None else self._over(now)

    def _closed_to(self, keys: Keys, now: float) -> Refusal | None:
        """The same for a device: the one that has proved the code has not used it up for itself."""
        return self._over(now) if self._proved == keys else self.closed(now)

    def _over(self, now: float) -> Refusal | None:
        if self._wrong >= MOST_WRONG:
            return Refusal.TOO_MANY
        return Refusal.EXPIRED if now >= self._ends else None

    def begin(self, ask: Ask, now: float) -> tuple[HostAttempt, Reply]:
        """Take up one attempt. Errors: PairingRefused."""
        keys = _keys_of(ask)
        if (reason := self._closed_to(keys, now)) is not None:
            raise PairingRefused(reason)
        if self._running is not None and now < self._running.ends and self._running.keys != keys:
            raise PairingRefused(Refusal.BUSY)
        if ask.version != VERSION:
            raise PairingRefused(Refusal.NEWER)
        if not binding_holds(ask.sign_key, ask.tls_cert, ask.binding):
            raise PairingRefused(Refusal.BAD_CREDENTIALS)
        attempt = HostAttempt(self, ask, now + ATTEMPT_SECONDS)
        reply = attempt.reply(self._identity, self._secret, self._random)
        self._running = attempt
        return attempt, reply

    def over(self, attempt: HostAttempt) -> None:
        """An attempt has ended, however."""
        if self._running is attempt:
            self._running = None

    def judge(self, attempt: HostAttempt, right: bool, now: float) -> None:
        """Count a confirmation; the first right one uses the code up. Errors: PairingRefused."""
        if self._running is not attempt:
            raise PairingRefused(Refusal.BUSY)
        if (reason := self._closed_to(attempt.keys, now)) is not None:
            raise PairingRefused(reason)
        if not right:
            self._wrong += 1
            raise PairingRefused(Refusal.TOO_MANY if self._wrong >= MOST_WRONG else Refusal.WRONG_CODE)
        self._proved = attempt.keys


class HostAttempt:
    """One device's try, at the host."""

    def __init__(self, window: PairingWindow, ask: Ask, ends: float) -> None:
        self.ends = ends
        self.keys = _keys_of(ask)
        self._window = window
        self._ask = ask
        self._key = b""
        self._transcript = b""

    def reply(self, identity: Identity, secret: bytes, random_bytes: RandomBytes) -> Reply:
        """Run our half of SPAKE2. Errors: PairingRefused."""
        ask = self._ask
        half = SPAKE2_B(secret, _joiner_hash(ask), _cert_hash(identity.tls_cert), entropy_f=random_bytes)
        element = half.start()
        shared = _finish(half, ask.element)
        reply = Reply(
            sign_key=identity.public_key,
            binding=identity.binding,
            nonce=random_bytes(NONCE_SIZE),
            element=element,
        )
        self._transcript = _transcript(ask, reply, identity.tls_cert)
        self._key = _key(shared, self._transcript)
        return reply

    def confirm(self, confirm: Confirm, now: float) -> tuple[Welcome, Candidate]:
        """Check the joiner's proof. Errors: PairingRefused, which counts a wrong one."""
        proof = _proof(self._key, b"J", self._transcript, confirm.name.encode())
        self._window.judge(self, hmac.compare_digest(proof, confirm.proof), now)
        ask = self._ask
        name = printable(confirm.name)[:LONGEST_NAME]
        candidate = Candidate(device_id(ask.sign_key), ask.sign_key, ask.tls_cert, ask.binding, name)
        return Welcome(_proof(self._key, b"H", self._transcript, b"")), candidate


class JoinAttempt:
    """One try, at the new device. `host_cert`: the certificate (DER) that the host has shown over TLS."""

    def __init__(
        self, identity: Identity, secret: bytes, host_cert: bytes, random_bytes: RandomBytes
    ) -> None:
        self._host_cert = host_cert
        self._key = b""
        self._transcript = b""
        self._nonce = random_bytes(NONCE_SIZE)
        draft = self._asking(identity, b"")
        half = SPAKE2_A(secret, _joiner_hash(draft), _cert_hash(host_cert), entropy_f=random_bytes)
        self._half = half
        self.ask = self._asking(identity, half.start())

    def _asking(self, identity: Identity, element: bytes) -> Ask:
        return Ask(
            version=VERSION,
            tls_cert=identity.tls_cert,
            sign_key=identity.public_key,
            binding=identity.binding,
            nonce=self._nonce,
            element=element,
        )

    def confirm(self, reply: Reply, name: str) -> Confirm:
        """Prove the secret, with the name of this device. Errors: PairingRefused."""
        if not binding_holds(reply.sign_key, self._host_cert, reply.binding):
            raise PairingRefused(Refusal.BAD_CREDENTIALS)
        shared = _finish(self._half, reply.element)
        self._transcript = _transcript(self.ask, reply, self._host_cert)
        self._key = _key(shared, self._transcript)
        return Confirm(_proof(self._key, b"J", self._transcript, name.encode()), name)

    def check(self, welcome: Welcome) -> None:
        """Check the host's proof; from now on this link is the host's. Errors: PairingRefused."""
        if not hmac.compare_digest(_proof(self._key, b"H", self._transcript, b""), welcome.proof):
            raise PairingRefused(Refusal.NOT_THE_HOST)


def _keys_of(ask: Ask) -> Keys:
    return ask.sign_key, ask.tls_cert, ask.binding


def printable(text: str) -> str:
    """What another device calls itself, without what no screen can show."""
    return "".join(sign for sign in text if sign.isprintable())


def _finish(half: SPAKE2_A | SPAKE2_B, element: bytes) -> bytes:
    if len(element) != ELEMENT_SIZE:
        raise PairingRefused(Refusal.BAD_CREDENTIALS)
    try:
        shared = half.finish(element)
    except (SPAKEError, NotOnCurve, ValueError) as error:
        raise PairingRefused(Refusal.BAD_CREDENTIALS) from error
    assert isinstance(shared, bytes)
    return shared


def _hashed(domain: bytes, *parts: bytes) -> bytes:
    """SHA-256 over parts that each have their length before them."""
    digest = hashlib.sha256()
    for part in (domain, *parts):
        digest.update(len(part).to_bytes(4, "big") + part)
    return digest.digest()


def _cert_hash(cert: bytes) -> bytes:
    return _hashed(_HOST_CERT, cert)


def _joiner_hash(ask: Ask) -> bytes:
    return _hashed(_JOINER, ask.tls_cert, ask.sign_key, ask.nonce)


def _transcript(ask: Ask, reply: Reply, host_cert: bytes) -> bytes:
    return _hashed(
        _TRANSCRIPT,
        ask.version.to_bytes(4, "big"),
        host_cert,
        ask.tls_cert,
        ask.sign_key,
        ask.binding,
        ask.nonce,
        ask.element,
        reply.sign_key,
        reply.binding,
        reply.nonce,
        reply.element,
    )


def _key(shared: bytes, transcript: bytes) -> bytes:
    return HKDF(hashes.SHA256(), 32, salt=transcript, info=_KEY).derive(shared)


def _proof(key: bytes, side: bytes, transcript: bytes, name: bytes) -> bytes:
    return hmac.digest(key, _hashed(side, transcript, name), "sha256")
