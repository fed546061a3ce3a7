"""A port that takes callers for one exchange each, none left when it is shut; and the call to it.

Knows TLS streams and how a talk ends. What is said in it belongs to pairing, invitations and event passes.
"""

from __future__ import annotations

import asyncio
import contextlib
import socket
import ssl
from collections import Counter
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass

import msgspec

from protocol.address import Address
from protocol.connecting import AGAIN_SECONDS, reaching
from protocol.link import tune
from protocol.pairing import PairingRefused
from protocol.pairing_talk import send
from protocol.pairing_wire import Refused
from protocol.ports import HANDSHAKE_SECONDS, listen

REACH_SECONDS = 8.0
"""Patience with an address that was typed: it may be wrong."""
HEARD_SECONDS = 15.0
"""And with a device that is heard on this network, so is there."""
BUFFER = 64 * 1024

MOST_PER_HOST = 4
"""Calls from one address at the same time."""

Talk = Callable[[asyncio.StreamReader, asyncio.StreamWriter], Awaitable[None]]
"""One exchange. PairingRefused in it goes to the caller; who is gone or talks nonsense is let go."""


class Door:
    """`callers` at a time, some of them from one address (more are turned away), `longest` bytes a frame."""

    def __init__(self, talk: Talk, *, callers: int, longest: int) -> None:
        self._talk = talk
        self._callers = callers
        self._longest = longest
        self._server: asyncio.Server | None = None
        self._talks: dict[asyncio.StreamWriter, asyncio.Event] = {}
        self._by_host: Counter[str] = Counter()

    async def open(self, port: int, context: ssl.SSLContext) -> int:
        """Open a port (0: any free one); gives its number. Errors: PortError."""
        ear = listen(port)
        tune(ear)  # what is accepted inherits it
        self._server = await asyncio.start_server(
            self._answer,
            sock=ear,
            ssl=context,
            ssl_handshake_timeout=HANDSHAKE_SECONDS,
            limit=self._longest,
        )
        return int(ear.getsockname()[1])

    async def close(self) -> None:
        """Take no more callers, end the talks that are going on."""
        if self._server is not None:
            self._server.close()
        talks = list(self._talks.items())
        for writer, _ in talks:
            writer.transport.abort()
        for _, ended in talks:
            await ended.wait()

    async def _answer(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        ended = self._talks[writer] = asyncio.Event()
        host = str(writer.get_extra_info("peername", ("",))[0])
        self._by_host[host] += 1
        try:
            if len(self._talks) <= self._callers and self._by_host[host] <= MOST_PER_HOST:
                await self._talk(reader, writer)
        except PairingRefused as refused:
            with contextlib.suppress(OSError):
                await send(writer, Refused(refused.reason.value))
        except (OSError, EOFError, msgspec.MsgspecError):
            pass  # gone, too slow or talking nonsense
        finally:
            del self._talks[writer]
            self._by_host -= Counter([host])
            writer.close()
            ended.set()


@dataclass(frozen=True, slots=True)
class Answered:
    """A door that was opened, and where."""

    reader: asyncio.StreamReader
    writer: asyncio.StreamWriter
    address: Address


async def knock(
    addresses: Sequence[Address],
    context: ssl.SSLContext,
    buffer: int = BUFFER,
    *,
    seconds: float = REACH_SECONDS,
) -> Answered:
    """Call a door at all addresses where it may be, until one of them opens or none can.

    `buffer`: bytes that may wait to be read. Errors: TimeoutError (no way to it in so many seconds),
    ConnectionRefusedError (nobody listens), other OSError (someone else does), UnicodeError (no such name).
    """
    async with asyncio.timeout(seconds):
        while True:
            try:
                return await _knock(addresses, context, buffer, seconds)
            except (ConnectionRefusedError, ConnectionResetError, ssl.SSLError, socket.gaierror):
                raise
            except OSError:  # broken off on the way, or too slow
                await asyncio.sleep(AGAIN_SECONDS)


async def _knock(
    addresses: Sequence[Address], context: ssl.SSLContext, buffer: int, seconds: float
) -> Answered:
    """At all of them at once; handshakes follow one by one, so nobody is called twice by one device."""
    trouble: OSError | UnicodeError = ConnectionRefusedError("no address")
    async with reaching(addresses, seconds) as made:
        for _ in addresses:
            address, connection = await made.get()
            if not isinstance(connection, socket.socket):
                trouble = connection
                continue
            try:
                streams = await asyncio.open_connection(
                    sock=connection,
                    ssl=context,
                    server_hostname="",
                    ssl_handshake_timeout=HANDSHAKE_SECONDS,
                    limit=buffer,
                )
                return Answered(*streams, address)
            except OSError as error:
                trouble = error
    raise trouble
