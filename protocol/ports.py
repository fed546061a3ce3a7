"""The station's ear and its calls: a listening socket, connections that come in, connections that go out.

Knows sockets and handshakes. Asks its owner each time who is welcome; does not read what a link says.
"""

from __future__ import annotations

import asyncio
import contextlib
import errno
import socket
import ssl
from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from protocol.address import Address, plain_host
from protocol.connecting import reaching
from protocol.dialing import CallerGuard
from protocol.link import Link, LinkOwner, tune
from protocol.tls import Contexts

MOST_HANDSHAKES = 16
MOST_PER_HOST = 8
"""Room for all tries of one call, some of them given up without a word that got through."""
HANDSHAKE_SECONDS = 5.0
GOODBYE_SECONDS = 1.0
BACKLOG = 64
FIRST_STEPS = 3


class PortError(Exception):
    """The station cannot listen. Carries the port."""

    def __init__(self, port: int, problem: str, advice: str) -> None:
        super().__init__(f"Port {port}: {problem} {advice}")
        self.port = port
        self.problem = problem
        self.advice = advice


class PortOwner(LinkOwner, Protocol):
    """Who is told of links, and asked for the contexts of the moment."""

    def contexts(self) -> Contexts: ...


def listen(port: int) -> socket.socket:
    """A socket that listens on all interfaces; port 0 lets the system choose. Errors: PortError."""
    dual = socket.has_dualstack_ipv6()
    try:
        ear = socket.create_server(
            ("", port),
            family=socket.AF_INET6 if dual else socket.AF_INET,
            backlog=BACKLOG,
            dualstack_ipv6=dual,
        )
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            raise PortError(
                port, "Another program on this device uses it.", "Choose another, or 0 for any free one."
            ) from error
        if error.errno == errno.EACCES:
            raise PortError(port, "This user may not use it.", "Choose one above 1023, or 0.") from error
        raise PortError(port, f"Cannot listen ({error.strerror}).", "Choose another, or 0.") from error
    ear.setblocking(False)
    return ear


def listen_again(port: int, wish: int) -> socket.socket:
    """As `listen`; where any port will do (0), the wished one if it is free. Errors: PortError."""
    if port == 0 and wish != 0:
        try:
            return listen(wish)
        except PortError:
            pass  # another program has it now
    return listen(port)


async def end_calls(tasks: Collection[asyncio.Task[None]]) -> None:
    """Cancel tasks that may be in a handshake.

    asyncio leaves a socket open when its handshake is cancelled before the first step: let them take it.
    """
    for _ in range(FIRST_STEPS):
        await asyncio.sleep(0)
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
    await asyncio.sleep(0)  # now they are closed


Accepted: TypeAlias = tuple[socket.socket, tuple[str, int]]


async def _accept(ear: socket.socket) -> Accepted:
    return await asyncio.get_running_loop().sock_accept(ear)


class Acceptor:
    """Answers calls, a bounded number of handshakes at a time."""

    def __init__(self, ear: socket.socket, owner: PortOwner, clock: Callable[[], float]) -> None:
        self.guard = CallerGuard()
        self._ear = ear
        self._owner = owner
        self._clock = clock
        self._free = asyncio.Semaphore(MOST_HANDSHAKES)
        self._handshakes: set[asyncio.Task[None]] = set()
        self._by_host: Counter[str] = Counter()

    async def run(self) -> None:
        """Accept until cancelled."""
        loop = asyncio.get_running_loop()
        accepting: asyncio.Task[Accepted] | None = None
        try:
            while True:
                await self._free.acquire()
                accepting = loop.create_task(_accept(self._ear))
                try:
                    connection, name = await asyncio.shield(accepting)
                except OSError:  # a caller that left at once, or no file handles for a moment
                    self._free.release()
                    await asyncio.sleep(0.05)
                    continue
                accepting = None
                task = loop.create_task(self._answer(connection, plain_host(str(name[0]))))
                self._handshakes.add(task)
                task.add_done_callback(self._handshakes.discard)
        finally:
            if accepting is not None:
                await self._hang_up(accepting)
            await end_calls(tuple(self._handshakes))

    async def _hang_up(self, accepting: asyncio.Task[Accepted]) -> None:
        """Accept no more. A call that comes in just now is closed: if its wait were only cancelled, the loop
        could still accept it, for nobody.
        """
        if not accepting.done():
            with contextlib.suppress(NotImplementedError):  # a loop without readers has no such gap
                asyncio.get_running_loop().remove_reader(self._ear)
            await asyncio.sleep(0)  # what was accepted already comes out now
            accepting.cancel()
        (came,) = await asyncio.gather(accepting, return_exceptions=True)
        if isinstance(came, tuple):
            came[0].close()

    async def _answer(self, connection: socket.socket, host: str) -> None:
        self._by_host[host] += 1
        try:
            if self._by_host[host] > MOST_PER_HOST or not self.guard.admits(host, self._clock()):
                connection.close()
                return
            connection.setblocking(False)
            tune(connection)
            link = Link(self._owner, host, dialled=False, clock=self._clock)
            await asyncio.get_running_loop().connect_accepted_socket(
                lambda: link,
                connection,
                ssl=self._owner.contexts().accept,
                ssl_handshake_timeout=HANDSHAKE_SECONDS,
                ssl_shutdown_timeout=GOODBYE_SECONDS,
            )
            self.guard.welcomed(host)
        except (ssl.SSLError, ConnectionAbortedError):  # the latter is asyncio's word for a slow handshake
            self.guard.failed(host, self._clock())
        except OSError:
            pass  # the caller went away
        finally:
            self._free.release()
            self._by_host -= Counter([host])


@dataclass(frozen=True, slots=True)
class Reply:
    """What a call came to: whether anyone answered at all, and the link with the address that gave it."""

    answered: bool
    link: Link | None
    address: Address | None


async def call(owner: PortOwner, addresses: Sequence[Address], clock: Callable[[], float]) -> Reply:
    """Call a station at all its addresses at once; the first that lets us in is it. Never raises OSError.

    Connections are made side by side; handshakes follow one by one in the order in which they came about, so
    the other end never sees two links of one call.
    """
    answered = False
    async with reaching(addresses) as made:
        for _ in addresses:
            address, connection = await made.get()
            if not isinstance(connection, socket.socket):
                continue
            answered = True
            link = await _greet(owner, connection, address, clock)
            if link is not None:
                return Reply(True, link, address)
    return Reply(answered, None, None)


async def _greet(
    owner: PortOwner, connection: socket.socket, address: Address, clock: Callable[[], float]
) -> Link | None:
    link = Link(owner, address.host, dialled=True, clock=clock)
    try:
        await asyncio.get_running_loop().create_connection(
            lambda: link,
            sock=connection,
            ssl=owner.contexts().dial,
            server_hostname="",
            ssl_handshake_timeout=HANDSHAKE_SECONDS,
            ssl_shutdown_timeout=GOODBYE_SECONDS,
        )
    except OSError:
        return None
    return None if link.is_closing else link
