"""The courier on a network: one UDP socket, one timer that runs only while something is open.

Knows sockets and the event loop. Where UDP can't be had nothing is sent, and the links do all the work. A
device is looked for at the address of its link, at the port that it named there; where a datagram came
from says nothing.
"""

from __future__ import annotations

import asyncio
import contextlib
import socket
from collections.abc import Callable
from typing import TypeAlias, cast

from protocol.courier import Arrival, Cast, Courier
from protocol.courier_seal import MAX_DATAGRAM

SocketName: TypeAlias = tuple[str, int] | tuple[str, int, int, int]
"""Where a socket's other end is: host and port, and flow and scope for IPv6."""


def name_at(name: SocketName, port: int, *, dual: bool) -> SocketName:
    """The same host at another port, as a socket for both families (`dual`) or for IPv4 wants it."""
    if len(name) == 4:
        return (name[0], port, name[2], name[3])
    return (f"::ffff:{name[0]}", port, 0, 0) if dual else (name[0], port)


class CourierShell(asyncio.DatagramProtocol):
    """Drives a courier.

    `place`: where the other end of a device's last link is. `carried`: takes entries that came, and flushes.
    `reached`: told whose datagram has come.
    """

    def __init__(
        self,
        place: Callable[[bytes], SocketName | None],
        carried: Callable[[Arrival], None],
        reached: Callable[[bytes], None],
        clock: Callable[[], float],
    ) -> None:
        self._place = place
        self._carried = carried
        self._reached = reached
        self._clock = clock
        self._courier: Courier | None = None
        self._transport: asyncio.DatagramTransport | None = None
        self._dual = socket.has_dualstack_ipv6()
        self._timer: asyncio.TimerHandle | None = None
        self._rings = 0.0  # when the timer does
        self._full = False

    async def open(self, port: int) -> int:
        """Take datagrams at this port, or at any if it is taken; returns the port, 0 where there is none."""
        for wanted in dict.fromkeys((port, 0)):
            with contextlib.suppress(OSError):
                ear = _ear(wanted, dual=self._dual)
                await asyncio.get_running_loop().create_datagram_endpoint(lambda: self, sock=ear)
                return int(ear.getsockname()[1])
        return 0

    def use(self, courier: Courier) -> None:
        self._courier = courier

    def close(self) -> None:
        self._courier = None
        self._set_timer(None)
        if self._transport is not None:
            self._transport.close()

    def forget_keys(self) -> None:
        """The device slept: nothing of before counts."""
        if self._courier is not None:
            self._courier.forget_all()
            self.flush()

    def flush(self) -> None:
        """Send what the courier wants sent, and wait for when it is due again."""
        if self._courier is None:
            return
        now = self._clock()
        for out in self._courier.drain(now):
            self._send(out)
        self._set_timer(self._courier.due(now))

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        self._transport = cast("asyncio.DatagramTransport", transport)

    def pause_writing(self) -> None:
        """The system takes no more for now: what is sent meanwhile is lost, as on any bad way."""
        self._full = True

    def resume_writing(self) -> None:
        self._full = False

    def datagram_received(self, data: bytes, _where: object) -> None:
        if self._courier is None or len(data) > MAX_DATAGRAM:
            return
        before = self._courier.opened
        arrival = self._courier.receive(data, self._clock())
        if self._courier.opened != before:
            self._reached(self._courier.latest)
        if arrival is not None:
            self._carried(arrival)
        else:
            self.flush()

    def error_received(self, _error: Exception) -> None:
        """Nobody listens there, or there is no way: what matters comes over the links."""

    def _send(self, out: Cast) -> None:
        name = self._place(out.device)
        if name is None or self._transport is None or self._transport.is_closing():
            return
        if not self._full:
            self._transport.sendto(out.datagram, name_at(name, out.port, dual=self._dual))

    def _set_timer(self, due: float | None) -> None:
        """Flush when due; a timer that rings before that stays, as making another costs more."""
        if self._timer is not None:
            if due is not None and self._rings <= due:
                return
            self._timer.cancel()
            self._timer = None
        if due is not None:
            self._rings = due
            delay = max(0.0, due - self._clock())
            self._timer = asyncio.get_running_loop().call_later(delay, self._tick)

    def _tick(self) -> None:
        self._timer = None
        self.flush()


def _ear(port: int, *, dual: bool) -> socket.socket:
    """A UDP socket on all interfaces."""
    ear = socket.socket(socket.AF_INET6 if dual else socket.AF_INET, socket.SOCK_DGRAM)
    try:
        ear.setblocking(False)
        if dual:
            ear.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        ear.bind(("::" if dual else "", port))
    except OSError:
        ear.close()
        raise
    return ear
