"""One fingerprint of a frozen state, the same on every station whose state is equal."""

from __future__ import annotations

import hashlib

import msgspec


def canonical(value: object) -> bytes:
    """The value as bytes that depend on nothing but the value: maps sorted, keys as text (RFC 8259 JSON)."""
    plain = msgspec.to_builtins(value, str_keys=True)
    return msgspec.json.encode(plain, order="deterministic")


def digest(*values: object) -> str:
    """SHA-256 over the canonical bytes of `values`, in hex."""
    return hashlib.sha256(b"\0".join(map(canonical, values))).hexdigest()
