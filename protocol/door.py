"""A port that takes callers for one exchange each, none left when it is shut; and the call to it.

Knows TLS streams and how a talk ends. What is said in it belongs to pairing, invitations and event passes.
"""

from __future__ import annotations

import asyncio
import contextlib
import ssl
from collections.abc import Awaitable, Callable

import msgspec

from protocol.address import Address
from protocol.link import tune
from protocol.pairing import PairingRefused
from protocol.pairing_talk import send
from protocol.pairing_wire import Refused
from protocol.ports import HANDSHAKE_SECONDS, connect, listen

REACH_SECONDS = 5.0
BUFFER = 64 * 1024

Talk = Callable[[asyncio.StreamReader, asyncio.StreamWriter], Awaitable[None]]
"""One exchange. PairingRefused in it goes to the caller; who is gone or talks nonsense is let go."""


class Door:
    """`callers` at a time (more are turned away), `longest` bytes a frame."""

    def __init__(self, talk: Talk, *, callers: int, longest: int) -> None:
        self._talk = talk
        self._callers = callers
        self._longest = longest
        self._server: asyncio.Server | None = None
        self._talks: dict[asyncio.StreamWriter, asyncio.Event] = {}

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
        try:
            if len(self._talks) <= self._callers:
                await self._talk(reader, writer)
        except PairingRefused as refused:
            with contextlib.suppress(OSError):
                await send(writer, Refused(refused.reason.value))
        except (OSError, EOFError, msgspec.MsgspecError):
            pass  # gone, too slow or talking nonsense
        finally:
            del self._talks[writer]
            writer.close()
            ended.set()


async def knock(
    address: Address, context: ssl.SSLContext, buffer: int = BUFFER
) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
    """Call a door. `buffer`: bytes that may wait to be read. Errors: OSError, UnicodeError (no such name)."""
    connection = await connect(address, REACH_SECONDS)
    return await asyncio.open_connection(
        sock=connection,
        ssl=context,
        server_hostname="",
        ssl_handshake_timeout=HANDSHAKE_SECONDS,
        limit=buffer,
    )
