"""What to compare with: plain TCP, one connection a pair, signed messages that are verified and answered.

`python -m tests.network.bare FOLDER`. As the system comes: no TLS, no disk, no court, no repair.
"""

from __future__ import annotations

import asyncio
import sys
import time
from collections import defaultdict
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from protocol.identity import Identity
from protocol.roster import Invitation
from tests.network.orders import obey, paced

NUMBER, SIGNATURE = 8, 64
PADDING = b"x" * 200
"""With number, answering station and signature as long as a notice of the product."""


class Bare:
    """Sends, verifies, answers. A message: number, whose answer (0xff: none), padding, signature."""

    def __init__(self, folder: Path) -> None:
        self._identity = Identity.load(folder)
        invitation = Invitation.load(folder / "invitation.json")
        self._keys = [Ed25519PublicKey.from_public_bytes(member.sign_key) for member in invitation.members]
        devices = [member.device for member in invitation.members]
        self._own = devices.index(self._identity.device)
        self._writers: list[asyncio.StreamWriter] = []
        self._tasks: set[asyncio.Task[None]] = set()
        self._answers: dict[int, set[int]] = defaultdict(set)
        self._raised: dict[int, int] = {}
        self._posted: dict[int, int] = {}
        self._answered: dict[int, int] = {}

    async def listen(self) -> Any:
        server = await asyncio.start_server(self._serve, "0.0.0.0", 0)
        return server.sockets[0].getsockname()[1]

    async def call(self, places: list[list[Any]]) -> Any:
        for host, port in places:
            reader, writer = await asyncio.open_connection(host, port)
            self._writers.append(writer)
            task = asyncio.create_task(self._serve(reader, writer))
            self._tasks.add(task)

    async def call_all(self, count: int, spacing: float, offset: float) -> Any:
        already = len(self._raised)
        await paced(count, spacing, offset, lambda number: self._throw(already + number))

    def _throw(self, number: int) -> None:
        self._raised[number] = time.monotonic_ns()
        message = self._signed(number, 0xFF)
        for writer in self._writers:
            writer.write(message)

    async def times(self) -> Any:
        return {"raised": self._raised, "posted": self._posted, "answered": self._answered}

    async def owing(self) -> Any:
        return len(self._raised) - len(self._answered)

    def _signed(self, number: int, answering: int) -> bytes:
        body = number.to_bytes(NUMBER, "big") + bytes([answering]) + PADDING
        return body + self._identity.sign(body)

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        size = NUMBER + 1 + len(PADDING) + SIGNATURE
        try:
            while True:
                message = await reader.readexactly(size)
                self._heard(message, writer, time.monotonic_ns())
        except (asyncio.IncompleteReadError, OSError, asyncio.CancelledError):
            return

    def _heard(self, message: bytes, writer: asyncio.StreamWriter, now: int) -> None:
        number, answering = int.from_bytes(message[:NUMBER], "big"), message[NUMBER]
        author = 0 if answering == 0xFF else answering
        self._keys[author].verify(message[-SIGNATURE:], message[:-SIGNATURE])
        if answering == 0xFF:
            self._posted[number] = time.monotonic_ns()
            writer.write(self._signed(number, self._own))
            return
        answers = self._answers[number]
        answers.add(answering)
        if len(answers) == len(self._writers):
            self._answered[number] = time.monotonic_ns()


async def main() -> None:
    bare = Bare(Path(sys.argv[1]))
    words = ("listen", "call", "call_all", "times", "owing")
    await obey({word: getattr(bare, word) for word in words})


if __name__ == "__main__":
    asyncio.run(main())
