"""The primitives under entries, pairing and datagrams, as they are called there, against published vectors.

Sources: RFC 8032 (Ed25519, January 2017), 7.1 and 5.1.7; FIPS 180-4 (Secure Hash Standard, August 2015) and
NIST's example values for SHA-256; RFC 4231 (HMAC-SHA-256, December 2005), 4.3; RFC 5869 (HKDF, May 2010),
A.1; RFC 8439 (ChaCha20-Poly1305, June 2018), 2.8.2. Values are from memory of these texts.
"""

from __future__ import annotations

import hashlib
import hmac
from dataclasses import replace

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from protocol import entry
from protocol.entry import TAG, BadSignature, Kind, read, verify
from protocol.identity import device_id

ED25519 = (
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        ("e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155"
         "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"),
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        ("92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
         "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"),
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        ("6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac"
         "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a"),
    ),
)
"""RFC 8032, 7.1: secret key, public key, message, signature of TEST 1, 2 and 3."""

ORDER = 2**252 + 27742317777372353535851937790883648493
"""RFC 8032, 5.1: L, the order of the base point."""

SHA_256 = (
    (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
    (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (
        b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    (b"a" * 1_000_000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
)
"""FIPS 180-4, 6.2 (the function); messages and digests: NIST's example values for SHA-256."""


@pytest.mark.parametrize(("secret", "public", "message", "signature"), ED25519)
def test_ed25519(secret: str, public: str, message: str, signature: str) -> None:
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert key.public_key().public_bytes_raw().hex() == public
    assert key.sign(bytes.fromhex(message)).hex() == signature
    entry._key(bytes.fromhex(public)).verify(bytes.fromhex(signature), bytes.fromhex(message))


@pytest.mark.parametrize(("message", "digest"), SHA_256, ids=lambda value: str(value)[:12])
def test_sha_256(message: bytes, digest: str) -> None:
    assert hashlib.sha256(message).hexdigest() == digest
    assert device_id(message).hex() == digest, "a device id is the plain hash of its key"


class FirstKey:
    """The secret key of TEST 1."""

    secret = bytes.fromhex(ED25519[0][0])
    public = bytes.fromhex(ED25519[0][1])

    def sign(self, data: bytes) -> bytes:
        return Ed25519PrivateKey.from_private_bytes(self.secret).sign(data)


def note() -> entry.Entry:
    zeros = bytes(32)
    made = entry.write(
        FirstKey(),
        log=zeros,
        seq=0,
        prev=zeros,
        anchor=zeros,
        time=0,
        stamp=0,
        kind=Kind.FREE,
        payload=("note", {}),
    )
    return read(made.body, made.signature)


def test_an_entry_is_hashed_and_signed_by_these() -> None:
    """Id and signature made by hand out of the primitives above are those of the entry."""
    made = note()
    assert made.id == hashlib.sha256(TAG + made.body).digest()
    assert made.signature == FirstKey().sign(TAG + hashlib.sha256(made.body).digest())
    verify(made, FirstKey.public)


def test_a_signature_has_one_form() -> None:
    """RFC 8032, 5.1.7: S at or above the order of the group is refused, or everybody could make a second
    signature out of a first one."""
    made = note()
    half, scalar = made.signature[:32], int.from_bytes(made.signature[32:], "little")
    for other in (scalar + ORDER, scalar ^ 1, ORDER, 2**256 - 1):
        with pytest.raises(BadSignature):
            verify(replace(made, signature=half + other.to_bytes(32, "little")), FirstKey.public)


@pytest.mark.parametrize("public", [bytes(31), bytes(33), b"", b"\xff" * 32, ED25519[1][1].encode()[:32]])
def test_what_is_no_key_or_another_one_verifies_nothing(public: bytes) -> None:
    with pytest.raises(BadSignature):
        verify(note(), public)


def test_hmac_sha_256() -> None:
    """RFC 4231, 4.3: the proofs of a pairing are made so."""
    made = hmac.digest(b"Jefe", b"what do ya want for nothing?", "sha256")
    assert made.hex() == "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"


def test_hkdf_sha_256() -> None:
    """RFC 5869, A.1: keys of a pairing and of datagrams are derived so."""
    made = HKDF(SHA256(), 42, bytes(range(13)), bytes(range(0xF0, 0xFA))).derive(b"\x0b" * 22)
    assert made.hex() == (
        "3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865"
    )


def test_chacha20_poly1305() -> None:
    """RFC 8439, 2.8.2: datagrams are sealed so."""
    text = (
        b"Ladies and Gentlemen of the class of '99: If I could offer you "
        b"only one tip for the future, sunscreen would be it."
    )
    nonce = bytes.fromhex("070000004041424344454647")
    front = bytes.fromhex("50515253c0c1c2c3c4c5c6c7")
    sealed = ChaCha20Poly1305(bytes(range(0x80, 0xA0))).encrypt(nonce, text, front)
    assert sealed[:16].hex() == "d31a8d34648e60db7b86afbc53ef7ec2"
    assert sealed[-18:-16].hex() == "6116"
    assert sealed[-16:].hex() == "1ae10b594f09e26a7e902ecbd0600691"
