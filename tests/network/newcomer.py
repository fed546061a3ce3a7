"""A station of the lab that can also show a code or join by one: `python -m tests.network.newcomer`."""

from __future__ import annotations

import asyncio
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from protocol.address import Address
from protocol.identity import Identity
from protocol.pairing import Candidate, PairingRefused
from protocol.pairing_code import Code
from protocol.pairing_shell import PairingFailed, PairingHost, join, look_at
from protocol.pairing_wire import Admission
from tests.network.orders import obey
from tests.network.place import DEVICE
from tests.network.station import Orders, Quick

SYNC_SECONDS = 30.0


class PairingOrders(Orders):
    """What the lab may ask beside the orders of every station."""

    def __init__(self) -> None:
        super().__init__()
        self._host: PairingHost | None = None

    async def show_code(self, post: str) -> Any:
        """Let one device in for a post, its person here saying yes at once: port and secret."""
        station = self._now
        code = Code.create(os.urandom)

        async def approve(candidate: Candidate) -> Admission:
            return station.admit(candidate, post)

        self._host = PairingHost(station.identity, code.secret, approve, random_bytes=os.urandom)
        await self._host.start()
        return [self._host.port, code.secret.decode()]

    async def move(self, host: str) -> Any:
        """Become a device that has just come into this network: under an address of which no system knows
        anything yet, and without knowing anyone.
        """
        for line in (f"addr flush dev {DEVICE}", f"addr add {host}/24 dev {DEVICE}", "neigh flush all"):
            subprocess.run(["ip", *line.split()], check=True, capture_output=True)

    async def look(self, host: str, port: int) -> Any:
        """Ask the court at an address for its name, as set-up does when it is chosen; seconds, or nothing."""
        start = time.monotonic_ns()
        sight = await look_at([Address(host, port)], heard=True)
        return None if sight is None else (time.monotonic_ns() - start) / 1e9

    async def join(self, host: str, port: int, secret: str, folder: str, heard: bool) -> Any:
        """Join from a new device: seconds from the last digit until it is admitted, and until it is in sync
        with the host, both empty when it failed; and what its person is told then.
        """
        identity = Identity.create(os.urandom)
        addresses = [Address(host, port)]
        start = time.monotonic_ns()
        try:
            joined = await join(
                addresses, secret.encode(), identity, "a tablet", random_bytes=os.urandom, heard=heard
            )
        except (PairingFailed, PairingRefused) as error:
            cause = f" ({error.__cause__!r})" if error.__cause__ else ""
            return [None, None, f"{error}{cause}"]
        admitted = time.monotonic_ns()
        identity.save(Path(folder))
        joined.invitation.save(Path(folder) / "invitation.json")
        self._station = Quick(Path(folder), 1)
        await self._station.open([joined.host])
        try:
            async with asyncio.timeout(SYNC_SECONDS):
                await self._station.ready(1)
        except TimeoutError:
            return [(admitted - start) / 1e9, None, "admitted, but not in sync with the host"]
        return [(admitted - start) / 1e9, (time.monotonic_ns() - start) / 1e9, ""]

    async def end(self) -> Any:
        if self._host is not None:
            await self._host.close()
            self._host = None
        if self._station is not None:
            await super().end()


async def main() -> None:
    orders = PairingOrders()
    words = [name for name in dir(orders) if not name.startswith("_")]
    await obey({word: getattr(orders, word) for word in words})


if __name__ == "__main__":
    sys.setswitchinterval(0.0005)
    asyncio.run(main())
