"""How a new device finds the station that shows a code: multicast DNS, while the code is shown.

Knows announcing and looking for hosts. Every host has a short number that its screen shows too, so that in
a hall with many courts a person picks the right one and spends no guess at another. Nothing else is told.
"""

from __future__ import annotations

import asyncio
import contextlib
import socket
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from types import TracebackType
from typing import Self

from zeroconf import InterfaceChoice, IPVersion, ServiceStateChange, Zeroconf
from zeroconf.asyncio import AsyncServiceBrowser, AsyncServiceInfo, AsyncZeroconf

from protocol import interfaces
from protocol.address import Address
from protocol.beacon import said, usable

PAIR_SERVICE = "_crewlink-pair._tcp.local."
MOST_HOSTS = 64
RESOLVE_MILLISECONDS = 3000
GOODBYE_SECONDS = 1.5


class PairingUnfindable(Exception):
    """There is no network to announce on or to look at; addresses and tickets still work."""


@dataclass(frozen=True, slots=True)
class HostSeen:
    """A station that shows a code: its number (two digits, as on its screen) and where it listens."""

    number: str
    addresses: tuple[Address, ...]


class PairingSign:
    """Announces one host while it is entered: `async with PairingSign("47", token, port):`.

    `number`: two digits for people. `token`: 8 random bytes, so that two hosts of one number are told apart.
    Errors on entering: PairingUnfindable.
    """

    def __init__(self, number: str, token: bytes, port: int) -> None:
        name = f"{number}-{token.hex()}"
        self._zeroconf: AsyncZeroconf | None = None
        self._info = AsyncServiceInfo(
            PAIR_SERVICE,
            f"{name}.{PAIR_SERVICE}",
            server=f"{name}.local.",
            port=port,
            addresses=[socket.inet_aton(each) for each in interfaces.addresses(interfaces.snapshot())],
            properties={"v": "1"},
        )

    async def __aenter__(self) -> Self:
        with _network():
            self._zeroconf = _zeroconf()
        await (await self._zeroconf.async_register_service(self._info, cooperating_responders=True))
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        assert self._zeroconf is not None
        try:
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(GOODBYE_SECONDS):
                    await (await self._zeroconf.async_unregister_service(self._info))
        finally:  # cancelled or not
            await self._zeroconf.async_close()


class PairingSearch:
    """Looks for hosts while it is entered; `changed` is called with all that are seen, in a stable order.

    Errors on entering: PairingUnfindable.
    """

    def __init__(self, changed: Callable[[tuple[HostSeen, ...]], None]) -> None:
        self._changed = changed
        self._seen: dict[str, HostSeen] = {}
        self._zeroconf: AsyncZeroconf | None = None
        self._browser: AsyncServiceBrowser | None = None
        self._resolving: set[asyncio.Task[None]] = set()

    async def __aenter__(self) -> Self:
        with _network():
            self._zeroconf = _zeroconf()
        self._browser = AsyncServiceBrowser(self._zeroconf.zeroconf, PAIR_SERVICE, handlers=[self._heard])
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        assert self._zeroconf is not None and self._browser is not None
        for task in self._resolving:
            task.cancel()
        await self._browser.async_cancel()
        await self._zeroconf.async_close()

    def _heard(self, zeroconf: Zeroconf, name: str, state_change: ServiceStateChange, **_: str) -> None:
        number = name.partition("-")[0]
        if not (len(number) == 2 and number.isascii() and number.isdigit()):
            return
        if state_change is ServiceStateChange.Removed:
            if self._seen.pop(name, None) is not None:
                self._tell()
        elif len(self._resolving) + len(self._seen) < MOST_HOSTS:
            task = asyncio.get_running_loop().create_task(self._resolve(zeroconf, name, number))
            self._resolving.add(task)
            task.add_done_callback(self._resolving.discard)

    async def _resolve(self, zeroconf: Zeroconf, name: str, number: str) -> None:
        info = AsyncServiceInfo(PAIR_SERVICE, name)
        known = info.load_from_cache(zeroconf)
        if not known and not await info.async_request(zeroconf, RESOLVE_MILLISECONDS):
            return
        addresses = usable(info.parsed_addresses(IPVersion.V4Only), info.port)
        if said(info.properties).get(b"v") == b"1" and addresses:
            self._seen[name] = HostSeen(number, addresses)
            self._tell()

    def _tell(self) -> None:
        self._changed(tuple(host for _, host in sorted(self._seen.items())))


def _zeroconf() -> AsyncZeroconf:
    return AsyncZeroconf(interfaces=InterfaceChoice.All, ip_version=IPVersion.V4Only)


@contextlib.contextmanager
def _network() -> Iterator[None]:
    try:
        yield
    except (OSError, RuntimeError) as error:
        raise PairingUnfindable("This device has no network. Type the address, or join the Wi-Fi.") from error
