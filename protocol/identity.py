"""Who a station is: its two keys, its certificate and the id that follows from them.

Knows how keys are made, bound to each other, kept on disk and checked. Knows nothing of sockets, rosters
or matches.

- The Ed25519 key signs log entries. The device id is the SHA-256 of its public half.
- The P-256 key carries TLS. Its self-signed certificate names the device id and has key identifiers (without
  them OpenSSL confuses certificates of one subject), and it is valid from 2000 to 9999: trust never depends
  on a clock.
- The binding ties both: each key signs the hash of the other.
"""

from __future__ import annotations

import datetime
import getpass
import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import msgspec
from cryptography import x509
from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.x509.oid import NameOID

from protocol.small_file import read_small

RandomBytes = Callable[[int], bytes]

FILE_NAME = "identity.json"
FILE_FORMAT = "crewlink identity 1"
SIGNATURE_SIZE = 64

_BIND_SIGN_KEY = b"crewlink binding 1 sign key\0"
_BIND_TLS_KEY = b"crewlink binding 1 tls key\0"
_P256_ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551
_NOT_BEFORE = datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC)
_NOT_AFTER = datetime.datetime(9999, 12, 31, 23, 59, 59, tzinfo=datetime.UTC)
_SIGNING_ONLY = x509.KeyUsage(True, False, False, False, False, False, False, False, False)


class IdentityError(Exception):
    """The identity of this station cannot be read or written. Carries the path and what to do."""

    def __init__(self, path: Path, problem: str, advice: str) -> None:
        super().__init__(f"{path}: {problem} {advice}")
        self.path = path
        self.problem = problem
        self.advice = advice


@dataclass(frozen=True, slots=True)
class Identity:
    """One station's keys. Equal when the public parts are equal; the secret keys never show in a repr."""

    device: bytes
    public_key: bytes
    tls_cert: bytes
    binding: bytes
    sign_key: Ed25519PrivateKey = field(repr=False, compare=False)
    tls_key: ec.EllipticCurvePrivateKey = field(repr=False, compare=False)

    def sign(self, data: bytes) -> bytes:
        """Ed25519 signature (64 bytes) over exactly these bytes; the caller adds its domain tag."""
        return self.sign_key.sign(data)

    @classmethod
    def create(cls, random_bytes: RandomBytes) -> Identity:
        """New keys from a source of random bytes; the same bytes give the same identity."""
        sign_key = Ed25519PrivateKey.from_private_bytes(random_bytes(32))
        scalar = int.from_bytes(random_bytes(48), "big") % (_P256_ORDER - 1) + 1
        tls_key = ec.derive_private_key(scalar, ec.SECP256R1())
        public_key = sign_key.public_key().public_bytes_raw()
        device = device_id(public_key)
        tls_cert = _certificate(device, tls_key, int.from_bytes(random_bytes(16), "big") >> 1 | 1)
        return cls(device, public_key, tls_cert, _bind(sign_key, tls_key, tls_cert), sign_key, tls_key)

    def save(self, folder: Path) -> Path:
        """Write the identity into the folder (made if missing), readable by this user only; returns the file.

        Errors: IdentityError when an identity is there already, or the folder cannot be written.
        """
        path = folder / FILE_NAME
        if path.exists():
            raise IdentityError(path, "There is an identity here already.", "Choose another folder.")
        stored = _Stored(
            format=FILE_FORMAT,
            sign_key=self.sign_key.private_bytes_raw().hex(),
            tls_key=tls_key_der(self.tls_key).hex(),
            tls_cert=self.tls_cert.hex(),
            binding=self.binding.hex(),
        )
        try:
            folder.mkdir(parents=True, exist_ok=True)
            _write_private(path, json.dumps(msgspec.to_builtins(stored), indent=1).encode())
        except (OSError, subprocess.CalledProcessError) as error:
            problem = f"Cannot be written ({error})."
            raise IdentityError(path, problem, "Check the folder and the disk.") from error
        return path

    @classmethod
    def load(cls, folder: Path) -> Identity:
        """Read the identity of a folder and check every part of it.

        Errors: IdentityError when it is missing, unreadable, damaged or made by another version.
        """
        path = folder / FILE_NAME
        try:
            raw = read_small(path)
        except FileNotFoundError as error:
            raise IdentityError(path, "No identity here.", "Create one first.") from error
        except OSError as error:
            problem = f"Cannot be read ({error.strerror})."
            raise IdentityError(path, problem, "Check who owns the file.") from error
        return _decode(raw, path)


class _Stored(msgspec.Struct, frozen=True):
    format: str
    sign_key: str
    tls_key: str
    tls_cert: str
    binding: str


def device_id(public_key: bytes) -> bytes:
    """Device id (32 bytes) of an Ed25519 public key (32 bytes)."""
    return hashlib.sha256(public_key).digest()


def certificate_device(tls_cert: bytes) -> bytes | None:
    """The device id that a certificate (DER) names; None when it names none. Proves nothing by itself."""
    try:
        names = x509.load_der_x509_certificate(tls_cert).subject.get_attributes_for_oid(NameOID.COMMON_NAME)
        return bytes.fromhex(str(names[0].value)) if len(names) == 1 else None
    except (ValueError, TypeError, UnsupportedAlgorithm):
        return None


def tls_key_der(key: ec.EllipticCurvePrivateKey) -> bytes:
    """The TLS key as unencrypted PKCS #8 DER."""
    return key.private_bytes(
        serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def binding_holds(public_key: bytes, tls_cert: bytes, binding: bytes) -> bool:
    """Whether this sign key, certificate (DER) and binding belong together.

    True only if the certificate is self-signed P-256, names the device id of the sign key, and each key has
    signed the hash of the other. Any malformed input is False, never an exception.
    """
    try:
        cert = x509.load_der_x509_certificate(tls_cert)
        tls_public = cert.public_key()
        if not isinstance(tls_public, ec.EllipticCurvePublicKey) or tls_public.curve.name != "secp256r1":
            return False
        if cert.subject != _name(device_id(public_key)):
            return False
        cert.verify_directly_issued_by(cert)
        by_sign_key, by_tls_key = binding[:SIGNATURE_SIZE], binding[SIGNATURE_SIZE:]
        Ed25519PublicKey.from_public_bytes(public_key).verify(by_sign_key, _BIND_SIGN_KEY + _hash(tls_cert))
        tls_public.verify(by_tls_key, _BIND_TLS_KEY + _hash(public_key), ec.ECDSA(hashes.SHA256()))
    except (ValueError, TypeError, InvalidSignature, UnsupportedAlgorithm, x509.InvalidVersion):
        return False
    return True


def _bind(sign_key: Ed25519PrivateKey, tls_key: ec.EllipticCurvePrivateKey, tls_cert: bytes) -> bytes:
    public_key = sign_key.public_key().public_bytes_raw()
    by_tls_key = tls_key.sign(
        _BIND_TLS_KEY + _hash(public_key), ec.ECDSA(hashes.SHA256(), deterministic_signing=True)
    )
    return sign_key.sign(_BIND_SIGN_KEY + _hash(tls_cert)) + by_tls_key


def _certificate(device: bytes, key: ec.EllipticCurvePrivateKey, serial: int) -> bytes:
    public = key.public_key()
    builder = (
        x509.CertificateBuilder(_name(device), _name(device), public, serial, _NOT_BEFORE, _NOT_AFTER)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_SIGNING_ONLY, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(public), critical=False)
    )
    cert = builder.sign(key, hashes.SHA256(), ecdsa_deterministic=True)
    return cert.public_bytes(serialization.Encoding.DER)


def _name(device: bytes) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, device.hex())])


def _hash(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def _decode(raw: bytes, path: Path) -> Identity:
    advice = "Move it away and admit this device again, or restore a copy of it."
    damaged = IdentityError(path, "The identity file is damaged.", advice)
    try:
        stored = msgspec.json.decode(raw, type=_Stored)
        if stored.format != FILE_FORMAT:
            problem = "The identity file was made by another version of crewlink."
            raise IdentityError(path, problem, "Update crewlink on this device.")
        sign_key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(stored.sign_key))
        tls_key = serialization.load_der_private_key(bytes.fromhex(stored.tls_key), password=None)
        tls_cert, binding = bytes.fromhex(stored.tls_cert), bytes.fromhex(stored.binding)
    except (ValueError, TypeError, RecursionError, UnsupportedAlgorithm) as error:
        raise damaged from error
    public_key = sign_key.public_key().public_bytes_raw()
    if not isinstance(tls_key, ec.EllipticCurvePrivateKey):
        raise damaged
    if not binding_holds(public_key, tls_cert, binding):
        raise damaged
    if x509.load_der_x509_certificate(tls_cert).public_key() != tls_key.public_key():
        raise damaged
    return Identity(device_id(public_key), public_key, tls_cert, binding, sign_key, tls_key)


def _write_private(path: Path, content: bytes) -> None:
    """Whole file or none, for this user only, on the disk before it has its name."""
    partial = path.with_suffix(".part")
    partial.unlink(missing_ok=True)
    handle = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    if sys.platform == "win32":
        grant = f"{getpass.getuser()}:F"
        subprocess.run(["icacls", str(partial), "/inheritance:r", "/grant:r", grant], check=True)
    partial.replace(path)
