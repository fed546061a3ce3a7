"""The least program that gives the same promises as the link: what the product is measured against.

An entry is signed, stored with a synced commit, then sent; whoever gets it verifies it, stores it with a
synced commit, and only then shows it and answers. An answer is an entry like any other: signed, stored and
sent to everybody, verified and stored there. Mutual TLS 1.3 with pinned certificates between all. No chains,
no repair, no receipts, no rights: one loop, one table.
"""

from __future__ import annotations

import asyncio
import json
import sqlite3
import ssl
import time
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from protocol.identity import Identity
from protocol.roster import Invitation
from protocol.tls import Contexts

WORDS = "x" * 100
_NO_HASH = "0" * 64


class Minimal:
    """A station of the least program; attributes as in `tests.bench.link_stations.Bench`."""

    def __init__(self, folder: Path) -> None:
        self.raised: dict[str, int] = {}
        self.posted: dict[str, int] = {}
        self.answers: dict[str, list[int]] = {}
        self.answering = False
        self._identity = Identity.load(folder)
        self._invitation = Invitation.load(folder / "invitation.json")
        self._keys = [Ed25519PublicKey.from_public_bytes(m.sign_key) for m in self._invitation.members]
        self._own = [m.device for m in self._invitation.members].index(self._identity.device)
        self._file = sqlite3.connect(folder / "minimal.sqlite", isolation_level=None)
        self._file.execute("PRAGMA journal_mode = WAL")
        self._file.execute("PRAGMA synchronous = FULL")
        self._file.execute("CREATE TABLE entry (place INTEGER PRIMARY KEY, author, body, signature)")
        self._writers: list[asyncio.StreamWriter] = []
        self._reading: list[asyncio.Task[None]] = []
        self._linked = asyncio.Event()

    async def start(self, ports: list[int]) -> int:
        contexts = Contexts.build(self._identity, [m.tls_cert for m in self._invitation.members])
        server = await asyncio.start_server(self._serve, "127.0.0.1", 0, ssl=contexts.accept)
        for port in ports:
            await self._dial(port, contexts.dial)
        return int(server.sockets[0].getsockname()[1])

    async def ready(self, others: int) -> None:
        while len(self._writers) < others:
            self._linked.clear()
            await self._linked.wait()

    def throw(self, number: int) -> None:
        start = time.monotonic_ns()
        key = f"{self._own} {number}"
        self._write({"raise": key, "words": WORDS, "log": _NO_HASH, "prev": _NO_HASH})
        self.raised[key] = start

    async def close(self) -> None:
        for writer in self._writers:
            writer.transport.abort()

    async def _dial(self, port: int, context: ssl.SSLContext) -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", port, ssl=context, server_hostname="")
        self._reading.append(asyncio.create_task(self._serve(reader, writer)))

    def _write(self, fields: dict[str, str]) -> None:
        body = json.dumps(fields).encode()
        signature = self._identity.sign(body)
        self._save(self._own, body, signature)
        self._post(fields)
        frame = len(body).to_bytes(4, "big") + bytes([self._own]) + signature + body
        for writer in self._writers:
            writer.write(frame)

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self._writers.append(writer)
        self._linked.set()
        try:
            while True:
                size = int.from_bytes(await reader.readexactly(4), "big")
                rest = await reader.readexactly(1 + 64 + size)
                author, signature, body = rest[0], rest[1:65], rest[65:]
                self._keys[author].verify(signature, body)
                self._save(author, body, signature)
                fields = json.loads(body)
                self._post(fields)
                if self.answering and "raise" in fields:
                    answer = {"answer": fields["raise"], "log": _NO_HASH, "prev": _NO_HASH}
                    self._write(answer)
        except (asyncio.IncompleteReadError, ConnectionError, asyncio.CancelledError):
            return

    def _post(self, fields: dict[str, str]) -> None:
        now = time.monotonic_ns()
        if "raise" in fields:
            self.posted[fields["raise"]] = now
        else:
            self.answers.setdefault(fields["answer"], []).append(now)

    def _save(self, author: int, body: bytes, signature: bytes) -> None:
        self._file.execute("BEGIN IMMEDIATE")
        self._file.execute(
            "INSERT INTO entry (author, body, signature) VALUES (?, ?, ?)", (author, body, signature)
        )
        self._file.execute("COMMIT")
