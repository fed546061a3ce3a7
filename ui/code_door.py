"""The door that a code opens: the code for people and the square for a camera, each with its own port, and
the sign by which others find it. Open while the code is on show.
"""

from __future__ import annotations

import asyncio
import contextlib
import secrets
import time
from collections.abc import Callable

from protocol import interfaces
from protocol.address import Address
from protocol.identity import Identity
from protocol.pairing import CODE_SECONDS
from protocol.pairing_beacon import PairingSign, PairingUnfindable
from protocol.pairing_code import Code, Ticket
from protocol.pairing_shell import Approve, PairingHost
from protocol.words import words_of

MOST_ADDRESSES = 3
TOKEN_SIZE = 8
GUESS_SECONDS = 0.2


class CodeDoor:
    """One code on show. `digits`, `number`, `address`, `square`, `ends` are there once it is open."""

    def __init__(
        self,
        identity: Identity,
        approve: Approve,
        court: str = "",
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._clock = clock
        code = Code.create(secrets.token_bytes)
        self.digits = str(code).replace(" ", "")
        self.number = f"{secrets.randbelow(100):02d}"
        self.address = ""
        self.square = ""
        self.trouble = ""
        self.ends = clock() + CODE_SECONDS
        self._ticket_secret = Ticket.create(secrets.token_bytes, ()).secret
        self.words = words_of(identity.tls_cert)
        self._by_code = PairingHost(
            identity, code.secret, approve, random_bytes=secrets.token_bytes, court=court, clock=clock
        )
        self._by_square = PairingHost(
            identity,
            self._ticket_secret,
            approve,
            random_bytes=secrets.token_bytes,
            court=court,
            clock=clock,
        )
        self._sign = contextlib.AsyncExitStack()

    @property
    def wrong(self) -> int:
        """Wrong guesses so far."""
        return self._by_code.window.wrong

    async def open(self) -> None:
        """Open the ports and put the sign out. Errors: PortError."""
        await self._by_code.start()
        await self._by_square.start()
        hosts = interfaces.addresses(interfaces.snapshot())[:MOST_ADDRESSES]
        self.address = str(Address(hosts[0], self._by_code.port)) if hosts else ""
        addresses = tuple(Address(host, self._by_square.port) for host in hosts)
        self.square = str(Ticket(self._ticket_secret, addresses)) if hosts else ""
        try:
            sign = PairingSign(self.number, secrets.token_bytes(TOKEN_SIZE), self._by_code.port)
            await self._sign.enter_async_context(sign)
        except PairingUnfindable:
            self.number = ""

    async def guessed(self, known: int) -> None:
        """Wait until there are other wrong guesses than the known ones."""
        while self.wrong == known:
            await asyncio.sleep(GUESS_SECONDS)

    async def close(self) -> None:
        """Take all away."""
        try:
            await self._sign.aclose()
        finally:
            await self._by_code.close()
            await self._by_square.close()
