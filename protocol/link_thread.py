"""The link in a thread of its own, so that a window and the network never wait for each other.

Knows threads and the one event loop. Knows nothing of windows or of what entries mean: it carries calls in
and changes out. The thread that owns the window calls `start`, `submit` and `stop`; `on_change` is called
on the link's thread and must only hand over.
"""

from __future__ import annotations

import asyncio
import gc
import sys
import threading
from collections.abc import Awaitable, Callable
from concurrent.futures import Future, wait
from typing import Generic, Protocol, TypeVar

from protocol.driving import Event
from protocol.node_state import NodeState

MERGE_SECONDS = 0.05
START_SECONDS = 60.0
STOP_SECONDS = 8.0
SWITCH_SECONDS = 0.0005
"""So long a busy thread may keep the interpreter from the others; with Python's own 5 ms an entry that has to
go from thread to thread beside a busy window takes up to 100 ms.
"""

T = TypeVar("T")


class LinkThreadError(Exception):
    """The link cannot be used: not started, stopped, or stuck. Carries the reason in words."""


class Works(Protocol):
    """What runs in the thread: `protocol.node.Node`."""

    async def start(self) -> None: ...
    async def close(self) -> None: ...
    def touch(self) -> None: ...
    def state(self) -> NodeState: ...


N = TypeVar("N", bound=Works)


class Changes:
    """Merges changes: the first goes out at once, those that follow within a moment go together."""

    def __init__(self, hand_over: Callable[[tuple[Event, ...]], None]) -> None:
        self._hand_over = hand_over
        self._events: list[Event] = []
        self._waiting = False
        self._resting = False

    def add(self, events: tuple[Event, ...]) -> None:
        """Called on the loop, as a node's `on_change`."""
        self._events += events
        self._waiting = True
        if not self._resting:
            self._give()

    def _give(self) -> None:
        if not self._waiting:
            self._resting = False
            return
        events, self._events, self._waiting = tuple(self._events), [], False
        self._resting = True
        asyncio.get_running_loop().call_later(MERGE_SECONDS, self._give)
        self._hand_over(events)


class LinkThread(Generic[N]):
    """A node on a loop in its own thread.

    `build` makes the node on that loop, given what to use as its `on_change`. `on_change` gets merged
    changes.
    """

    def __init__(
        self,
        build: Callable[[Callable[[tuple[Event, ...]], None]], Awaitable[N]],
        on_change: Callable[[tuple[Event, ...]], None],
    ) -> None:
        self._build = build
        self._changes = Changes(on_change)
        self._ready: Future[None] = Future()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._stop: asyncio.Event | None = None
        self._node: N | None = None
        self._outcome: BaseException | None = None
        self._thread = threading.Thread(target=self._run, name="crewlink link", daemon=True)

    def start(self) -> None:
        """Begin; returns when the node listens. Errors: LinkThreadError, and what making it raised."""
        sys.setswitchinterval(SWITCH_SECONDS)
        self._thread.start()
        wait((self._ready,), START_SECONDS)
        if not self._ready.done():
            raise LinkThreadError("The link does not start; end the program.")
        self._ready.result()

    def submit(self, work: Callable[[N], T]) -> Future[T]:
        """Run `work(node)` on the link's thread, from any thread; the future brings its result or error.

        Errors: LinkThreadError when the link is not running.
        """
        outcome: Future[T] = Future()
        loop, node = self._loop, self._node
        if loop is None or node is None:
            raise LinkThreadError("The link is not running.")
        try:
            loop.call_soon_threadsafe(self._do, node, work, outcome)
        except RuntimeError as error:
            raise LinkThreadError("The link has stopped.") from error
        return outcome

    def state(self) -> Future[NodeState]:
        """What the node shows of itself, once the loop gets to it."""
        return self.submit(lambda node: node.state())

    def stop(self) -> None:
        """End the link: what was written is saved, others are told. Errors: StoreError, LinkThreadError."""
        loop, stop = self._loop, self._stop
        if loop is not None and stop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(stop.set)
        self._thread.join(STOP_SECONDS)
        if self._thread.is_alive():
            raise LinkThreadError("The link does not stop; end the program.")
        if self._outcome is not None:
            raise self._outcome

    def _run(self) -> None:
        try:
            asyncio.run(self._work())
        except BaseException as error:
            if self._ready.done():
                self._outcome = error
            else:
                self._ready.set_exception(error)

    async def _work(self) -> None:
        self._loop, self._stop = asyncio.get_running_loop(), asyncio.Event()
        node = await self._build(self._changes.add)
        try:
            await node.start()
            gc.freeze()  # what was loaded stays: to search it for garbage would stop everything for 0.1 s
            self._node = node
            self._ready.set_result(None)
            await self._stop.wait()
        finally:
            self._node = None
            gc.unfreeze()  # this match may go when the next one begins
            await node.close()

    def _do(self, node: N, work: Callable[[N], T], outcome: Future[T]) -> None:
        if not outcome.set_running_or_notify_cancel():
            return
        try:
            if self._node is None:
                raise LinkThreadError("The link has stopped.")
            result = work(node)
        except Exception as error:
            outcome.set_exception(error)
        else:
            outcome.set_result(result)
        node.touch()
