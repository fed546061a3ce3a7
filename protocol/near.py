"""Devices that are near and free: a known device that waits to be invited, a site that takes courts.

Knows announcing and looking for them by multicast DNS. Names follow from keys, so only who knows a device
can tell who it is; nothing else is said, and whoever answers must still prove the key.
"""

from __future__ import annotations

import asyncio
import contextlib
import hashlib
import socket
from collections.abc import Callable
from types import TracebackType
from typing import Self

from zeroconf import Error as ZeroconfError
from zeroconf import InterfaceChoice, IPVersion, ServiceStateChange, Zeroconf
from zeroconf.asyncio import AsyncServiceBrowser, AsyncServiceInfo, AsyncZeroconf

from protocol import interfaces
from protocol.address import Address
from protocol.beacon import said, usable

NEAR_SERVICE = "_crewlink-near._tcp.local."
MOST_NEAR = 128
RESOLVE_MILLISECONDS = 3000
GOODBYE_SECONDS = 1.5
_NAME = b"crewlink near 1\0"

_TROUBLES = (OSError, RuntimeError, ZeroconfError)


def near_name(device: bytes) -> str:
    """What a device is called while it is near: 16 hex digits."""
    return hashlib.sha256(_NAME + device).hexdigest()[:16]


class NearSign:
    """Announces this device at a port while it is entered. Without a network it does nothing."""

    def __init__(self, device: bytes, port: int) -> None:
        self._name, self._port = near_name(device), port
        self._zeroconf: AsyncZeroconf | None = None
        self._info: AsyncServiceInfo | None = None

    async def __aenter__(self) -> Self:
        with contextlib.suppress(*_TROUBLES):
            self._zeroconf = _zeroconf()
            self._info = AsyncServiceInfo(
                NEAR_SERVICE,
                f"{self._name}.{NEAR_SERVICE}",
                server=f"{self._name}.local.",
                port=self._port,
                addresses=[socket.inet_aton(each) for each in interfaces.addresses(interfaces.snapshot())],
                properties={"v": "1"},
            )
            made = self._zeroconf
            await (await made.async_register_service(self._info, cooperating_responders=True))
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._zeroconf is None:
            return
        try:
            with contextlib.suppress(TimeoutError, *_TROUBLES):
                async with asyncio.timeout(GOODBYE_SECONDS):
                    if self._info is not None:
                        await (await self._zeroconf.async_unregister_service(self._info))
        finally:  # cancelled or not
            await self._zeroconf.async_close()


class NearSearch:
    """Looks for devices while it is entered; `changed` gets all that are near, by name (`near_name`)."""

    def __init__(self, changed: Callable[[dict[str, tuple[Address, ...]]], None]) -> None:
        self._changed = changed
        self._near: dict[str, tuple[Address, ...]] = {}
        self._zeroconf: AsyncZeroconf | None = None
        self._browser: AsyncServiceBrowser | None = None
        self._resolving: set[asyncio.Task[None]] = set()

    async def __aenter__(self) -> Self:
        with contextlib.suppress(*_TROUBLES):
            self._zeroconf = _zeroconf()
            self._browser = AsyncServiceBrowser(self._zeroconf.zeroconf, NEAR_SERVICE, handlers=[self._heard])
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for task in self._resolving:
            task.cancel()
        if self._browser is not None:
            await self._browser.async_cancel()
        if self._zeroconf is not None:
            await self._zeroconf.async_close()

    def _heard(self, zeroconf: Zeroconf, name: str, state_change: ServiceStateChange, **_: str) -> None:
        label = name.partition(".")[0]
        if len(label) != 16 or not set(label) <= set("0123456789abcdef"):
            return
        if state_change is ServiceStateChange.Removed:
            if self._near.pop(label, None) is not None:
                self._changed(dict(self._near))
        elif len(self._resolving) + len(self._near) < MOST_NEAR:
            task = asyncio.get_running_loop().create_task(self._resolve(zeroconf, name, label))
            self._resolving.add(task)
            task.add_done_callback(self._resolving.discard)

    async def _resolve(self, zeroconf: Zeroconf, name: str, label: str) -> None:
        info = AsyncServiceInfo(NEAR_SERVICE, name)
        known = info.load_from_cache(zeroconf)
        if not known and not await info.async_request(zeroconf, RESOLVE_MILLISECONDS):
            return
        addresses = usable(info.parsed_addresses(IPVersion.V4Only), info.port)
        if said(info.properties).get(b"v") == b"1" and addresses:
            self._near[label] = addresses
            self._changed(dict(self._near))


async def find_near(device: bytes) -> tuple[Address, ...]:
    """Where a device is near now; nothing if it does not say so."""
    try:
        made = _zeroconf()
    except _TROUBLES:
        return ()
    try:
        info = AsyncServiceInfo(NEAR_SERVICE, f"{near_name(device)}.{NEAR_SERVICE}")
        if not await info.async_request(made.zeroconf, RESOLVE_MILLISECONDS):
            return ()
        return usable(info.parsed_addresses(IPVersion.V4Only), info.port)
    finally:
        await made.async_close()


def _zeroconf() -> AsyncZeroconf:
    return AsyncZeroconf(interfaces=InterfaceChoice.All, ip_version=IPVersion.V4Only)
