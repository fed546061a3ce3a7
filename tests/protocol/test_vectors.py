"""The bytes that protocol/README.md shows are the bytes that are made and read."""

from __future__ import annotations

import hashlib
import hmac
import re
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

import protocol
from protocol import acts, wire
from protocol.courier_seal import Seals
from protocol.courier_words import Carry, Held, Receipt, decode, encode
from protocol.entry import NONE, header_bytes, log_id, private_text, read, verify, write
from protocol.journal import Journal, Place


def vectors() -> dict[str, bytes]:
    text = (Path(protocol.__file__).parent / "README.md").read_text(encoding="utf-8")
    block = re.search(r"```vectors\n(.*?)```", text, re.DOTALL)
    assert block is not None
    found = re.findall(r"^(\w+)\n((?: {4}[0-9a-f]+\n)+)", block.group(1), re.MULTILINE)
    return {name: bytes.fromhex("".join(lines.split())) for name, lines in found}


V = vectors()
AA, BB, ONE, TWO = b"\xaa" * 32, b"\xbb" * 32, b"\x01" * 32, b"\x02" * 32


class Signer:
    def sign(self, data: bytes) -> bytes:
        return Ed25519PrivateKey.from_private_bytes(V["key"]).sign(data)


def header() -> tuple[str, dict[str | bytes, object]]:
    return acts.LOG, {
        "match": bytes(range(16)),
        "key": V["public"],
        "run": bytes(range(16, 32)),
        "admission": None,
        "closes": {},
    }


def test_all_vectors_are_there() -> None:
    assert len(V) == 20


def test_keys_and_log_id() -> None:
    public = Ed25519PrivateKey.from_private_bytes(V["key"]).public_key().public_bytes_raw()
    assert public == V["public"] and hashlib.sha256(public).digest() == V["device"]
    assert header_bytes(header()) == V["header"]  # type: ignore[arg-type]
    assert log_id(V["header"]) == V["log"]


def test_entries_are_written_as_shown() -> None:
    first = write(
        Signer(),
        log=V["log"],
        seq=0,
        prev=NONE,
        anchor=NONE,
        time=1_700_000_000_000,
        stamp=1_700_000_000_000 << 16,
        kind="roster",
        payload=header(),  # type: ignore[arg-type]
    )
    digest, private = private_text("Blocked shot.", bytes(range(16)))
    note = ("note", {"text": {"hash": digest, "readers": ["R1"]}})
    second = write(
        Signer(),
        log=V["log"],
        seq=1,
        prev=V["id_0"],
        anchor=NONE,
        time=1_700_000_000_123,
        stamp=(1_700_000_000_123 << 16) + 1,
        kind="free",
        payload=note,  # type: ignore[arg-type]
    )
    assert (digest, private) == (V["text_hash"], V["private"])
    assert (first.body, first.id, first.signature) == (V["body_0"], V["id_0"], V["signature_0"])
    assert (second.body, second.id, second.signature) == (V["body_1"], V["id_1"], V["signature_1"])


def test_entries_are_read_as_shown() -> None:
    journal = Journal(bytes(range(16)), V["device"])
    for number in (0, 1):
        entry = read(V[f"body_{number}"], V[f"signature_{number}"])
        verify(entry, V["public"])
        assert journal.add(entry) is Place.NEXT
        assert entry.id == V[f"id_{number}"]


def test_frames_are_as_shown() -> None:
    ping = wire.Ping(7, [wire.Beat(b"\x01" * 32, 2, 30)])
    want = wire.Want(b"\x02" * 32, 3, 9)
    keys = wire.Keys(40000, AA, V["receipt"][1:9], True)
    for name, message in (("ping", ping), ("want", want), ("keys", keys)):
        assert wire.encode(message) == V[name] and wire.decode(V[name]) == message


def test_datagram_keys_are_as_shown() -> None:
    """By HKDF of RFC 5869, written out."""
    extracted = hmac.digest(b"crewlink courier 1\0", AA + BB, "sha256")
    first = hmac.digest(extracted, ONE + TWO + b"\x01", "sha256")
    second = hmac.digest(extracted, first + ONE + TWO + b"\x02", "sha256")
    assert (first, second[:8]) == (V["courier_key"], V["courier_id"])


def test_datagrams_are_sealed_and_opened_as_shown() -> None:
    one, two = (
        Seals(own, lambda size, share=share: share, lambda _: 0.0) for own, share in ((ONE, AA), (TWO, BB))
    )
    for at, other in ((one, TWO), (two, ONE)):
        at.begin(other)
    for _ in range(2):
        for at, device, said in ((two, ONE, one.shared(TWO)), (one, TWO, two.shared(ONE))):
            assert said is not None
            at.hear(device, said)
    carry = Carry(V["signature_1"], V["body_1"])
    receipt = Receipt(1, Held(V["log"][:8], 2, 0))
    assert one.seal(TWO, encode(carry)) == (1, V["carry"])
    assert [two.seal(ONE, encode(receipt)) for _ in range(7)][-1] == (7, V["receipt"])
    for at, name, words in ((two, "carry", carry), (one, "receipt", receipt)):
        opened = at.open(V[name], 0.0)
        assert opened is not None and decode(opened.words) == words
