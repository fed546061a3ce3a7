"""Connections on a network that loses packets: tries side by side, each begun anew, until one gets through.

Knows TCP sockets and when to try again. Knows nothing of what is said over them. A system by itself repeats a
lost first packet only after a second, and gives up a neighbour when three questions for it were lost. Where a
first packet had to wait for that, it takes the wait for the length of the way, and waits as long for every
lost packet: at 30 % loss a handshake and an exchange then took 1 to 5 s, else 0.05 s.
"""

from __future__ import annotations

import asyncio
import socket
import struct
import sys
from collections.abc import AsyncIterator, Iterable, Sequence
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from functools import partial
from itertools import cycle
from typing import TypeAlias

from protocol.address import Address
from protocol.link import tune

CONNECT_SECONDS = 2.0
TRIES = (0.0, 0.1, 0.3, 0.75)
"""When the tries of one call begin, in seconds."""
TRY_SECONDS = 2.0
AGAIN_SECONDS = 0.25
"""From a try that came to nothing to the next one in its place."""

SLOW_SECONDS = 0.2
"""A connection that took longer than any way inside a hall has waited for something."""
FRESH_TRIES = 4
FRESH_SECONDS = 0.15

_AT_ONCE = struct.pack("HH" if sys.platform == "win32" else "ii", 1, 0)

Way: TypeAlias = tuple[socket.AddressFamily, tuple[str | int | bytes, ...]]
"""An address as a socket takes it."""

Made: TypeAlias = tuple[Address, socket.socket | OSError | UnicodeError]
"""What became of a call to an address; the socket belongs to who takes it."""


async def connect(address: Address, seconds: float = CONNECT_SECONDS) -> socket.socket:
    """A tuned connection, within so many seconds. Errors: OSError, UnicodeError.

    The first try that is answered, even by a no (ConnectionRefusedError), is the answer. One that finds no
    way is begun again: it may only have lost its packets. One that had to wait gives way to a fresh one, now
    that the way is known. TimeoutError: none got through; socket.gaierror: no such name.
    """
    tries: list[asyncio.Task[_Timed]] = []
    made: socket.socket | None = None
    try:
        async with asyncio.timeout(seconds):
            ways = await _ways(address)
            for pause, way in zip(TRIES, cycle(ways), strict=False):
                tries.append(asyncio.create_task(_persist(way, pause)))
            ended, _ = await asyncio.wait(tries, return_when=asyncio.FIRST_COMPLETED)
        first = min((each.result() for each in ended), key=lambda each: each.seconds)
        if first.seconds < SLOW_SECONDS:
            made = first.connection
        else:
            _end(tries, first.connection)
            made = await _fresher(first)
        return made
    finally:
        _end(tries, made)


@asynccontextmanager
async def reaching(
    addresses: Sequence[Address], seconds: float = CONNECT_SECONDS
) -> AsyncIterator[asyncio.Queue[Made]]:
    """Connect to all addresses at once, as `connect`: while entered, one answer for each, as they come."""
    made: asyncio.Queue[Made] = asyncio.Queue()

    async def attempt(address: Address) -> None:
        try:
            made.put_nowait((address, await connect(address, seconds)))
        except (OSError, UnicodeError) as error:
            made.put_nowait((address, error))

    attempts = [asyncio.create_task(attempt(address)) for address in addresses]
    try:
        yield made
    finally:
        for task in attempts:
            task.cancel()
        await asyncio.gather(*attempts, return_exceptions=True)
        while not made.empty():
            _, spare = made.get_nowait()
            if isinstance(spare, socket.socket):
                _drop(spare)


@dataclass(frozen=True, slots=True)
class _Timed:
    """A connection, the way it was made, and how long that took."""

    connection: socket.socket
    way: Way
    seconds: float


def _end(tries: Iterable[asyncio.Task[_Timed]], made: socket.socket | None) -> None:
    """End all tries but what was made. Without a wait: who is cancelled in one would leave that open."""
    for each in tries:
        each.add_done_callback(partial(_spare, made))
        each.cancel()


def _spare(made: socket.socket | None, ended: asyncio.Task[_Timed]) -> None:
    """Close what a try of a call has made for nothing."""
    if not ended.cancelled() and ended.exception() is None and ended.result().connection is not made:
        _drop(ended.result().connection)


def _drop(connection: socket.socket) -> None:
    """Close a connection over which nothing was said: by a reset, so the system learns nothing from it."""
    with suppress(OSError):
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _AT_ONCE)
    connection.close()


async def _fresher(first: _Timed) -> socket.socket:
    """Another connection the same way, if one comes about at once; else the first."""
    tries = [asyncio.create_task(_timed(first.way)) for _ in range(FRESH_TRIES)]
    made: socket.socket | None = None
    try:
        ended, _ = await asyncio.wait(tries, timeout=FRESH_SECONDS, return_when=asyncio.FIRST_COMPLETED)
        made = next((each.result().connection for each in ended if each.exception() is None), None)
        return made or first.connection
    finally:
        _end(tries, made)


async def _ways(address: Address) -> list[Way]:
    """What the system makes of a host and a port: one way, or several for a name."""
    loop = asyncio.get_running_loop()
    found = await loop.getaddrinfo(address.host, address.port, type=socket.SOCK_STREAM)
    return [(family, name) for family, _, _, _, name in found]


async def _persist(way: Way, pause: float) -> _Timed:
    """One try after the other until something answers."""
    while True:
        await asyncio.sleep(pause)
        try:
            async with asyncio.timeout(TRY_SECONDS):
                return await _timed(way)
        except ConnectionRefusedError:
            raise
        except OSError:
            pause = AGAIN_SECONDS


async def _timed(way: Way) -> _Timed:
    loop = asyncio.get_running_loop()
    begun = loop.time()
    connection = await _try(way)
    return _Timed(connection, way, loop.time() - begun)


async def _try(way: Way) -> socket.socket:
    family, name = way
    connection = socket.socket(family, socket.SOCK_STREAM)
    try:
        connection.setblocking(False)
        tune(connection)
        await asyncio.get_running_loop().sock_connect(connection, name)
    except BaseException:
        connection.close()
        raise
    return connection
