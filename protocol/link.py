"""One connection to another station: bytes into frames and frames into bytes, within limits.

Knows back-pressure and the options of a socket. Knows nothing of what a frame says.

What arrives is handed on in slices of a few milliseconds so that one busy link never stalls the others;
meanwhile the socket is not read.
"""

from __future__ import annotations

import asyncio
import contextlib
import select
import socket
import sys
from asyncio.trsock import TransportSocket
from collections import deque
from collections.abc import Callable, Iterable
from typing import Protocol

from protocol.courier_shell import SocketName
from protocol.tls import shown_certificate
from protocol.wire import Deframer, FrameTooLong, with_length

MOST_UNSENT = 4 << 20
SLICE_SECONDS = 0.005

# Linux numbers that Python does not name: how long TCP waits before it sends again, and before it confirms.
_TCP_THIN_LINEAR_TIMEOUTS = 16
_TCP_RTO_MAX_MS = 44
_TCP_RTO_MIN_US = 45
_TCP_DELACK_MAX_US = 46


class LinkOwner(Protocol):
    """Who is told what a link does."""

    def link_made(self, link: Link) -> None:
        """The handshake is done; `link.certificate` is proved."""

    def link_frame(self, link: Link, frame: bytes) -> None:
        """One whole frame, without its length."""

    def link_read(self, link: Link) -> None:
        """All frames that were read have been handed on, or as many as may be at once."""

    def link_lost(self, link: Link) -> None:
        """The connection is gone; nothing more comes."""


class Link(asyncio.Protocol):
    """One encrypted connection. `dialled`: this station made the call. `host`: the other end's address.

    `name`: where the socket's other end is. `number` and `device` belong to the owner. `last_heard` is in the
    seconds of the clock.
    """

    def __init__(self, owner: LinkOwner, host: str, *, dialled: bool, clock: Callable[[], float]) -> None:
        self.host = host
        self.dialled = dialled
        self.name: SocketName | None = None
        self.certificate: bytes | None = None
        self.number = 0
        self.device = b""
        self.frames_heard = 0
        self.last_heard = clock()
        self.gone = asyncio.Event()
        self._owner = owner
        self._clock = clock
        self._transport: asyncio.Transport | None = None
        self._socket: TransportSocket | None = None
        self._deframer = Deframer()
        self._frames: deque[bytes] = deque()
        self._busy = False
        self._closing = False

    @property
    def is_closing(self) -> bool:
        return self._closing

    @property
    def has_unread(self) -> bool:
        """Whether bytes have come that were not read yet."""
        socket_ = self._socket
        if socket_ is None or self._closing or socket_.fileno() < 0:
            return False
        with contextlib.suppress(OSError, ValueError):
            return bool(select.select((socket_,), (), (), 0)[0])
        return False

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        self._transport = transport
        self.name = transport.get_extra_info("peername")
        self._socket = transport.get_extra_info("socket")
        self.certificate = shown_certificate(transport)
        self._owner.link_made(self)

    def data_received(self, data: bytes) -> None:
        self.last_heard = self._clock()
        try:
            self._frames += self._deframer.feed(data)
        except FrameTooLong:
            self.abort()
            return
        if not self._busy:
            self._work()

    def eof_received(self) -> bool:
        return False

    def connection_lost(self, _error: Exception | None) -> None:
        self._closing = True
        self._frames.clear()
        self.gone.set()
        self._owner.link_lost(self)

    def send(self, frames: Iterable[bytes]) -> None:
        """Write frames. A link that does not drain is given up: its station asks again for what it missed."""
        if self._transport is None or self._closing:
            return
        self._transport.write(b"".join(map(with_length, frames)))
        if self._transport.get_write_buffer_size() > MOST_UNSENT:
            self.abort()

    def close(self) -> None:
        """End the connection politely: what was written still goes out."""
        if not self._closing and self._transport is not None:
            self._transport.close()
        self._closing = True

    def abort(self) -> None:
        """End the connection at once."""
        if self._transport is not None:
            self._transport.abort()
        self._closing = True

    def _work(self) -> None:
        """Hand on frames for one slice of time; the rest after the loop has seen to everyone else."""
        before, end = self.frames_heard, self._clock() + SLICE_SECONDS
        while self._frames and not self._closing:
            self.frames_heard += 1
            self._owner.link_frame(self, self._frames.popleft())
            if self._clock() >= end and self._frames:
                self._read(False)
                self._busy = True
                asyncio.get_running_loop().call_soon(self._work)
                break
        else:
            if self._busy:
                self._busy = False
                self._read(True)
        if self.frames_heard != before:
            self._owner.link_read(self)

    def _read(self, wanted: bool) -> None:
        transport = self._transport
        if transport is None or transport.is_closing() or transport.is_reading() == wanted:
            return
        if wanted:
            transport.resume_reading()
        else:
            transport.pause_reading()


def tune(connection: socket.socket) -> None:
    """Options for a small crew on a lossy network; each only where the system has it."""
    options = [(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1), (socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)]
    if sys.platform == "linux":
        options += [
            (socket.IPPROTO_TCP, socket.TCP_KEEPIDLE, 10),
            (socket.IPPROTO_TCP, socket.TCP_KEEPINTVL, 3),
            (socket.IPPROTO_TCP, socket.TCP_KEEPCNT, 3),
            (socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, 5000),
            (socket.IPPROTO_TCP, _TCP_THIN_LINEAR_TIMEOUTS, 1),
            (socket.IPPROTO_TCP, _TCP_RTO_MAX_MS, 1000),
            (socket.IPPROTO_TCP, _TCP_RTO_MIN_US, 20_000),
            (socket.IPPROTO_TCP, _TCP_DELACK_MAX_US, 12_000),
        ]
    for level, option, value in options:
        with contextlib.suppress(OSError):
            connection.setsockopt(level, option, value)
