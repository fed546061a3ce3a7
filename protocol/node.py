"""One station on the network: drives a sans-IO peer with real sockets, a real disk and a real clock.

Knows the order of work and what waits for the disk; who is linked is its switchboard's business. Knows
nothing of what entries mean. All of it runs on one event loop; the store answers from its own thread.

Order of work: whatever happens (a frame, a timer, an answer of the store, an act of this station), the peer
is told at once. When a link has handed on all that it read and no other has more, or at the end of the loop
turn, its outputs are taken, step by step: rows go to the store as one commit, frames to the links, events to
`on_change`. Where the store has saved rows at once, the frames that waited for it go out before anything else
is done.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import time
from collections import defaultdict
from collections.abc import Callable, Iterable
from functools import partial

from protocol.address import Address
from protocol.courier import Arrival
from protocol.courier_seal import RandomBytes
from protocol.courier_shell import CourierShell
from protocol.driving import Driven, Event, Finder
from protocol.entry import Entry, Kind, Payload
from protocol.identity import Identity
from protocol.node_state import NodeState
from protocol.output import Arrived, Commit, Drop, DropReason, Forked, Output, Send
from protocol.sleep_watch import watch_for_sleep
from protocol.store import Store
from protocol.store_error import StoreError
from protocol.switchboard import Known, Switchboard

FAREWELL_SECONDS = 3.0
MOMENT_SECONDS = 0.001
"""No longer does one link wait for what another has to tell."""


def wall_milliseconds() -> int:
    """This device's wall clock, milliseconds since 1970."""
    return time.time_ns() // 1_000_000


class Node:
    """A station at work. Make it inside a running loop, `start`, later `close`; all calls on that loop.

    `random`: numbers in [0, 1) for the pace of dialling. `on_change` gets what arrived since the last call,
    in order; an empty tuple says that only `state()` changed. `udp`: send small entries by datagram, too.
    `wish`: the port to take where `port` is 0, if it is free. `known`, `keep`: see `Switchboard`.
    """

    def __init__(
        self,
        peer: Driven,
        store: Store,
        identity: Identity,
        *,
        random: Callable[[], float],
        on_change: Callable[[tuple[Event, ...]], None],
        finder: Finder | None = None,
        port: int = 0,
        manual: Iterable[Address] = (),
        wish: int = 0,
        known: Known | None = None,
        keep: Callable[[Known], None] | None = None,
        clock: Callable[[], float] = time.monotonic,
        wall: Callable[[], int] = wall_milliseconds,
        udp: bool = True,
        secret_bytes: RandomBytes = os.urandom,
    ) -> None:
        self.port = port
        self._wish = wish
        self._peer = peer
        self._store = store
        self._on_change = on_change
        self._clock = clock
        self._wall = wall
        self._loop = asyncio.get_running_loop()
        self._board = Switchboard(
            identity, self, finder, manual=manual, random=random, clock=clock, known=known, keep=keep
        )
        self._secret_bytes = secret_bytes
        post = CourierShell(self._board.place, self._carried, self._board.reached, clock)
        self._post = post if udp else None
        self._sleep_watch: asyncio.Task[None] | None = None
        self._unsaved = 0
        self._all_saved = asyncio.Event()
        self._storage: str | None = None
        self._timer: asyncio.TimerHandle | None = None
        self._turn_due = False
        self._state_news = False
        self._receipts = 0
        self._closing = False
        self._parted = False  # a device that was taken out has been told: it may link no more

    async def start(self) -> None:
        """Listen, look for others and dial. Errors: PortError."""
        self._board.welcome(self._peer.members())
        await self._start_post()
        self.port = await self._board.start(self.port, self._wish)
        self._store.start(partial(self._from_store, self._trouble))
        watch = watch_for_sleep(self._clock, self._wall, self._woke)
        self._sleep_watch = self._loop.create_task(watch)
        self.touch()

    async def close(self) -> None:
        """Save, say good-bye and end. Errors: StoreError when something could not be saved."""
        self._closing = True
        await self._board.stop_calls()
        if self._sleep_watch is not None:
            self._sleep_watch.cancel()
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(FAREWELL_SECONDS):
                    await self._finish()
        self._board.abort_links()
        if self._post is not None:
            self._post.close()
        if self._timer is not None:
            self._timer.cancel()
        await asyncio.to_thread(self._store.close)

    async def run(self, stop: asyncio.Event) -> None:
        """Start, work until told to stop, close."""
        await self.start()
        try:
            await stop.wait()
        finally:
            await self.close()

    def author(self, kind: str, payload: Payload, private: bytes | None = None) -> Entry:
        """Write an entry of this station; it is saved once `on_change` shows it. Errors: the peer's."""
        entry = self._peer.author(kind, payload, self._clock(), self._wall(), private)
        self.touch()
        return entry

    def now(self) -> float:
        """The seconds that everything here is told."""
        return self._clock()

    def wall_ms(self) -> int:
        """This station's own wall clock, as everything here is told."""
        return self._wall()

    def touch(self) -> None:
        """Something was done to the peer: take its outputs at the end of this loop turn."""
        if not self._turn_due:
            self._turn_due = True
            self._loop.call_soon(self._due_turn)

    def dial(self, address: Address) -> None:
        """Try this typed address from now on."""
        self._board.add(address)

    def meet(self, device: bytes, address: Address) -> None:
        """This device is known to be there, by a proof of its own."""
        self._board.meet(device, address)

    def state(self) -> NodeState:
        """What the node shows of itself now."""
        peers = sorted(self._peer.peers(self._clock()).items())
        contacts = tuple(self._board.contact(state) for _, state in peers)
        return NodeState(self.port, self._board.finding, self._storage, contacts)

    # What the links tell.

    def link_up(self, link: int, device: bytes) -> None:
        self._peer.link_up(link, device, self._clock(), self._wall())

    def link_down(self, link: int) -> None:
        self._peer.link_down(link, self._clock())

    def frame(self, link: int, frame: bytes) -> None:
        self._peer.receive(link, frame, self._clock(), self._wall())

    def all_heard(self, more: bool) -> None:
        if not more:
            self._turn()
        elif not self._turn_due:  # what comes over two links at a time is saved by one commit
            self._turn_due = True
            self._loop.call_later(MOMENT_SECONDS, self._due_turn)

    def links_changed(self) -> None:
        self._state_news = True
        self.touch()

    # One turn of work.

    def _due_turn(self) -> None:
        if self._turn_due:
            self._turn()

    def _turn(self) -> None:
        self._do_work()
        if self._turn_due:  # `on_change` answered with an entry: that is not left to the next loop turn
            self._do_work()

    def _do_work(self) -> None:
        self._turn_due = False
        events: list[Event] = []
        for outputs in self._peer.steps():
            self._tell(events)  # the station has folded them by now; receipts and the like come later
            events = self._carry_out(outputs) if outputs else []
        self._tell(events)
        receipts = self._peer.receipts
        if receipts != self._receipts or self._state_news:
            self._receipts, self._state_news = receipts, False
            self._on_change(())
        self._set_timer()

    def _tell(self, events: list[Event]) -> None:
        """Let the floors above know, and the links whom to let in from now on."""
        if self._parted or any(_changes_roster(event) for event in events):
            self._parted = False
            self._board.welcome(self._peer.members())
        if events:
            self._on_change(tuple(events))

    def _carry_out(self, outputs: Iterable[Output]) -> list[Event]:
        """Send, drop and save; what is left concerns the floors above."""
        frames: defaultdict[int, list[bytes]] = defaultdict(list)
        commits: list[Commit] = []
        drops: list[int] = []
        events: list[Event] = []
        for output in outputs:
            if isinstance(output, Send):
                frames[output.link].append(output.frame)
            elif isinstance(output, Commit):
                commits.append(output)
            elif isinstance(output, Drop):
                drops.append(output.link)
                self._parted = self._parted or output.reason is DropReason.REVOKED
            else:
                events.append(output)
        for number, batch in frames.items():
            self._board.send(number, batch)
        for number in drops:
            self._board.forget(number)
        if self._post is not None:
            self._post.flush()  # datagrams go behind the frames of the same entries
        for commit in commits:
            self._save(commit)
        return events

    def _save(self, commit: Commit) -> None:
        answer = partial(self._from_store, self._saved, commit.batch)
        if self._store.commit(commit.rows, answer):
            self._peer.committed(commit.batch, self._clock(), self._wall())
        else:
            self._unsaved += 1

    def _set_timer(self) -> None:
        due = self._peer.next_tick()
        if due is None or self._closing:
            return
        delay = max(0.0, due - self._clock())
        if self._timer is not None:
            if self._timer.when() <= self._loop.time() + delay:
                return
            self._timer.cancel()
        self._timer = self._loop.call_later(delay, self._tick)

    def _tick(self) -> None:
        self._timer = None
        self._peer.tick(self._clock(), self._wall())
        self.touch()

    def _from_store(self, function: Callable[..., None], *arguments: object) -> None:
        """Called on the thread that saves, mostly the store's own."""
        with contextlib.suppress(RuntimeError):  # the loop ended before the last answer
            self._loop.call_soon_threadsafe(function, *arguments)

    def _saved(self, batch: int) -> None:
        self._unsaved -= 1
        self._peer.committed(batch, self._clock(), self._wall())
        self._turn()  # at once: others wait for this
        if not self._unsaved:
            self._all_saved.set()

    def _trouble(self, trouble: StoreError | None) -> None:
        self._storage = None if trouble is None else str(trouble)
        self.links_changed()

    # Datagrams beside the links.

    async def _start_post(self) -> None:
        """Where UDP can be had, and the station wants it, small entries go by datagram, too."""
        if self._post is None:
            return
        port = await self._post.open(self.port)
        courier = self._peer.start_courier(port, self._secret_bytes) if port else None
        if courier is None:
            self._post.close()
        else:
            self._post.use(courier)

    def _carried(self, arrival: Arrival) -> None:
        self._peer.carried(arrival, self._clock(), self._wall())
        if self._post is not None:
            self._post.flush()  # the answer tells the way, not the disk: it goes out before the turn
        self._turn()

    def _woke(self) -> None:
        """The device slept: keys and links of before are worth nothing."""
        if self._post is not None:
            self._post.forget_keys()
        self._board.renew()

    async def _finish(self) -> None:
        """What is written here is saved and sent, then the links end politely."""
        self._turn()
        while self._unsaved:
            self._all_saved.clear()
            await self._all_saved.wait()
        await self._board.close_links()


def _changes_roster(event: Event) -> bool:
    return isinstance(event, Forked) or (
        isinstance(event, Arrived) and any(entry.kind == Kind.ROSTER for entry in event.entries)
    )
