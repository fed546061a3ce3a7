"""Pieces for the tests of the link: identities, a stand-in for the peer, and waiting on conditions."""

from __future__ import annotations

import asyncio
import gc
import random
from collections.abc import AsyncIterator, Callable, Coroutine, Iterable, Iterator
from contextlib import asynccontextmanager
from functools import wraps
from pathlib import Path
from typing import Any

from protocol.address import Address
from protocol.driving import Event, Finder
from protocol.entry import Entry, Payload, StoredEntry
from protocol.identity import Identity
from protocol.node import Node, wall_milliseconds
from protocol.output import Commit, Drop, DropReason, Output, Send
from protocol.peer import PeerState
from protocol.store import Store
from protocol.switchboard import Known

MATCH = bytes(range(16))
WAIT = 30.0


def identity(seed: int) -> Identity:
    return Identity.create(random.Random(seed).randbytes)


def in_loop(test: Callable[..., Coroutine[Any, Any, None]]) -> Callable[..., None]:
    """Runs an async test on a loop of its own; what the loop would only have logged fails the test."""

    @wraps(test)
    def run(**arguments: Any) -> None:
        faults: list[dict[str, Any]] = []

        async def work() -> None:
            asyncio.get_running_loop().set_exception_handler(lambda _, fault: faults.append(fault))
            await test(**arguments)
            gc.collect()

        asyncio.run(work())
        assert not faults, faults

    return run


class StandIn:
    """A driven station without meaning: says hello on a link, keeps what it hears, commits what it is told
    to.
    """

    def __init__(self, own: Identity, welcome: Iterable[Identity]) -> None:
        self.own = own
        self.welcome = {each.device: each.tls_cert for each in welcome}
        self.links: dict[int, bytes] = {}
        self.heard: list[tuple[bytes, bytes]] = []
        self.saved: list[int] = []
        self.ups = 0
        self._outputs: list[Output] = []

    def receive(self, link: int, frame: bytes, now: float, wall_ms: int) -> None:
        self.heard.append((self.links[link], frame))

    def link_up(self, link: int, device: bytes, now: float, wall_ms: int) -> None:
        self.ups += 1
        self.links[link] = device
        self._outputs.append(Send(link, b"hello"))

    def link_down(self, link: int, now: float) -> None:
        del self.links[link]

    def tick(self, now: float, wall_ms: int) -> None:
        raise AssertionError("no timer was asked for")

    def next_tick(self) -> float | None:
        return None

    def committed(self, batch: int, now: float, wall_ms: int) -> None:
        self.saved.append(batch)

    def steps(self) -> Iterator[list[Output]]:
        while self._outputs:
            outputs, self._outputs = self._outputs, []
            yield outputs

    @property
    def receipts(self) -> int:
        return 0  # it tells nothing of what others have saved

    def peers(self, now: float | None = None) -> dict[bytes, PeerState]:
        others = (device for device in self.welcome if device != self.own.device)
        linked = set(self.links.values())
        return {
            device: PeerState(
                device=device,
                post="post",
                linked=device in linked,
                last_heard=None,
                suspect=False,
                dead=False,
                offset_ms=None,
                delay_ms=None,
                lag=0,
            )
            for device in others
        }

    def members(self) -> tuple[bytes, ...]:
        return tuple(self.welcome.values())

    def start_courier(self, port: int, random_bytes: Callable[[int], bytes]) -> None:
        return None

    def carried(self, arrival: object, now: float, wall_ms: int) -> None:
        raise AssertionError("the stand-in takes no datagrams")

    def author(
        self, kind: str, payload: Payload, now: float, wall_ms: int, private: bytes | None = None
    ) -> Entry:
        raise AssertionError("the stand-in writes nothing")

    def say(self, *frames: bytes) -> None:
        self._outputs += [Send(link, frame) for link in self.links for frame in frames]

    def save(self, batch: int, rows: tuple[StoredEntry, ...]) -> None:
        self._outputs.append(Commit(batch, rows))

    @property
    def waiting(self) -> int:
        """Outputs that nobody has taken yet."""
        return len(self._outputs)

    def drop(self) -> None:
        self._outputs += [Drop(link, DropReason.SILENT) for link in self.links]
        self.links.clear()


class Watch:
    """Waits on conditions; looked at again at every change, and a few times a second for what tells
    nothing.
    """

    def __init__(self) -> None:
        self._news = asyncio.Event()

    def __call__(self, _events: tuple[Event, ...] = ()) -> None:
        self._news.set()

    async def until(self, condition: Callable[[], bool], what: str) -> None:
        try:
            async with asyncio.timeout(WAIT):
                while not condition():
                    self._news.clear()
                    try:
                        async with asyncio.timeout(0.02):
                            await self._news.wait()
                    except TimeoutError:
                        continue
        except TimeoutError:
            raise AssertionError(f"not within {WAIT} s: {what}") from None


@asynccontextmanager
async def running(
    folder: Path,
    peer: StandIn,
    watch: Watch,
    *,
    manual: Iterable[int] = (),
    finder: Finder | None = None,
    port: int = 0,
    wish: int = 0,
    known: Known | None = None,
    keep: Callable[[Known], None] | None = None,
    wall: Callable[[], int] = wall_milliseconds,
) -> AsyncIterator[Node]:
    """A node over a stand-in, with its own file, closed at the end."""
    store = Store.open(folder / f"{peer.own.device.hex()[:8]}.sqlite", MATCH)
    node = Node(
        peer,
        store,
        peer.own,
        random=random.Random(peer.own.device).random,
        on_change=watch,
        finder=finder,
        port=port,
        wish=wish,
        known=known,
        keep=keep,
        wall=wall,
        manual=[Address("127.0.0.1", each) for each in manual],
    )
    try:
        await node.start()
        yield node
    finally:
        await node.close()


def row(number: int) -> StoredEntry:
    return StoredEntry(number.to_bytes(32, "big"), b"body" * 50, bytes(64), None)


