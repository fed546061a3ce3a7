"""One station on the network: drives a sans-IO peer with real sockets, a real disk and a real clock.

Knows who is linked and what waits for the disk. Knows nothing of what entries mean. All of it runs on one
event loop; the store answers from its own thread.

Order of work: whatever happens (a frame, a timer, an answer of the store, an act of this station), the peer
is told at once. At the end of the loop turn its outputs are taken: rows go to the store as one commit, frames
to the links, events to `on_change`.
"""

from __future__ import annotations

import asyncio
import contextlib
import time
from collections import defaultdict
from collections.abc import Callable, Iterable
from functools import partial

from protocol.address import Address
from protocol.dialer import Dialer
from protocol.driving import Driven, Event, Finder
from protocol.entry import Entry, Kind, Payload
from protocol.identity import Identity, certificate_device
from protocol.link import Link
from protocol.link_table import LinkTable
from protocol.node_state import Contact, Finding, NodeState
from protocol.output import Arrived, Commit, Drop, Forked, Send
from protocol.peer import PeerState
from protocol.ports import Acceptor, listen
from protocol.sleep_watch import watch_for_sleep
from protocol.store import Store
from protocol.store_error import StoreError
from protocol.tls import Contexts

FAREWELL_SECONDS = 3.0


def wall_milliseconds() -> int:
    """This device's wall clock, milliseconds since 1970."""
    return time.time_ns() // 1_000_000


class Node:
    """A station at work. Make it inside a running loop, `start`, later `close`; all calls on that loop.

    `random`: numbers in [0, 1) for the pace of dialling. `on_change` gets what arrived since the last call,
    in order; an empty tuple says that only `state()` changed.
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
        clock: Callable[[], float] = time.monotonic,
        wall: Callable[[], int] = wall_milliseconds,
    ) -> None:
        self.port = port
        self._peer = peer
        self._store = store
        self._identity = identity
        self._on_change = on_change
        self._finder = finder
        self._clock = clock
        self._wall = wall
        self._loop = asyncio.get_running_loop()
        self._links = LinkTable(identity.device)
        self._dialer = Dialer(
            self, self._missing, self._doubt, manual=manual, random=random, clock=clock
        )
        self._tasks: list[asyncio.Task[None]] = []
        self._unsaved = 0
        self._all_saved = asyncio.Event()
        self._storage: str | None = None
        self._timer: asyncio.TimerHandle | None = None
        self._turn_due = False
        self._state_news = False
        self._heard = False
        self._receipts: dict[bytes, tuple[bool, int | None]] = {}
        self._closing = False
        self._welcome: dict[bytes, bytes] = {}
        self._contexts: Contexts | None = None

    async def start(self) -> None:
        """Listen, look for others and dial. Errors: PortError."""
        ear = listen(self.port)
        self.port = ear.getsockname()[1]
        self._store.start(partial(self._from_store, self._trouble))
        self._welcome_members()
        work = (
            Acceptor(ear, self, self._clock).run(),
            self._dialer.run(),
            watch_for_sleep(self._clock, self._wall, self._wake),
        )
        self._tasks = [self._loop.create_task(each) for each in work]
        if self._finder is not None:
            await self._finder.start(self.port, self._dialer.announced, self._state_changed)
        self._links_changed()

    async def close(self) -> None:
        """Save, say good-bye and end. Errors: StoreError when something could not be saved."""
        self._closing = True
        if self._finder is not None:
            await self._finder.close()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        if self._tasks:
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(FAREWELL_SECONDS):
                    await self._finish()
        for link in self._links:
            link.abort()
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
            self._loop.call_soon(self._turn)

    def dial(self, address: Address) -> None:
        """Try this typed address from now on."""
        self._dialer.add(address)

    def state(self) -> NodeState:
        """What the node shows of itself now."""
        contacts = tuple(self._contact(state) for _, state in sorted(self._peer.peers().items()))
        finding = Finding.OFF if self._finder is None else self._finder.finding
        return NodeState(self.port, finding, self._storage, contacts)

    # What links and calls ask and tell.

    def contexts(self) -> Contexts:
        if self._contexts is None:
            self._contexts = Contexts.build(self._identity, self._welcome)
        return self._contexts

    def link_made(self, link: Link) -> None:
        device = self._welcome.get(link.certificate or b"")
        if device is None or device == self._identity.device or self._closing:
            link.abort()
            return
        link.device = device
        surplus = self._links.add(link)
        if link in surplus:
            self._links.remove(link)  # the peer never hears of it
        else:
            self._peer.link_up(link.number, device, self._clock(), self._wall())
        for loser in surplus:
            self._drop(loser)
            loser.close()
        self._links_changed()

    def link_frame(self, link: Link, frame: bytes) -> None:
        if self._links.get(link.number) is not link:
            return
        if link.frames_heard == 1:
            self._dialer.settled(link.device)
            self._state_changed()
        self._heard = True
        self._peer.receive(link.number, frame, self._clock(), self._wall())
        self.touch()

    def link_lost(self, link: Link) -> None:
        self._drop(link)

    def _drop(self, link: Link) -> None:
        """Forget a link and tell the peer, unless that happened before."""
        if self._links.remove(link):
            self._peer.link_down(link.number, self._clock())
            self._links_changed()

    # One turn of work.

    def _turn(self) -> None:
        self._turn_due = False
        frames: defaultdict[int, list[bytes]] = defaultdict(list)
        drops: list[int] = []
        events: list[Event] = []
        for output in self._peer.drain():
            if isinstance(output, Send):
                frames[output.link].append(output.frame)
            elif isinstance(output, Commit):
                self._unsaved += 1
                self._store.commit(output.rows, partial(self._from_store, self._saved, output.batch))
            elif isinstance(output, Drop):
                drops.append(output.link)
            else:
                events.append(output)
        self._send(frames, drops)
        if any(_changes_roster(event) for event in events):
            self._welcome_members()
        if self._receipts_changed() or events or self._state_news:
            self._state_news = False
            self._on_change(tuple(events))
        self._set_timer()

    def _receipts_changed(self) -> bool:
        """Whether what was heard in this turn says that another station has saved more."""
        if not self._heard:
            return False
        self._heard = False
        before = self._receipts
        self._receipts = {device: (state.linked, state.lag) for device, state in self._peer.peers().items()}
        return self._receipts != before

    def _send(self, frames: dict[int, list[bytes]], drops: list[int]) -> None:
        for number, batch in frames.items():
            if (link := self._links.get(number)) is not None:
                link.send(batch)
        for number in drops:
            if (link := self._links.get(number)) is not None:
                self._links.remove(link)  # the peer has forgotten it already
                link.close()
                self._links_changed()

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
        """Called on the store's thread."""
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
        self._state_changed()

    async def _finish(self) -> None:
        """What is written here is saved and sent, then the links end politely."""
        self._turn()
        while self._unsaved:
            self._all_saved.clear()
            await self._all_saved.wait()
        links = list(self._links)
        for link in links:
            link.close()
        for link in links:
            await link.gone.wait()

    # Members, links and contacts.

    def _welcome_members(self) -> None:
        """Whoever belongs now may link: contexts are made anew, links of others end."""
        welcome = {cert: device for cert in self._peer.members() if (device := certificate_device(cert))}
        if welcome == self._welcome:
            return
        self._welcome, self._contexts = welcome, None
        for link in self._links:
            if welcome.get(link.certificate or b"") != link.device:
                self._drop(link)
                link.close()
        self._dialer.know(device for device in welcome.values() if device != self._identity.device)

    def _missing(self) -> set[bytes]:
        return set(self._welcome.values()) - self._links.devices() - {self._identity.device}

    def _doubt(self, instance: str) -> None:
        if self._finder is not None:
            self._finder.doubt(instance)
        self._state_changed()

    def _links_changed(self) -> None:
        self._dialer.look()
        if self._finder is not None:
            self._finder.seek(bool(self._missing()))
        self._state_changed()

    def _state_changed(self) -> None:
        self._state_news = True
        self.touch()

    def _contact(self, state: PeerState) -> Contact:
        links = self._links.of(state.device)
        address = links[-1].host if links else self._dialer.address(state.device)
        return Contact(
            state,
            heard=self._dialer.is_heard(state.device),
            answered=self._dialer.answered(state.device),
            linked=bool(links),
            talking=any(link.frames_heard for link in links),
            address=None if address is None else str(address),
        )

    def _wake(self) -> None:
        for link in self._links:
            self._drop(link)
            link.abort()
        self._dialer.hurry()
        if self._finder is not None:
            self._finder.refresh()


def _changes_roster(event: Event) -> bool:
    return isinstance(event, Forked) or (
        isinstance(event, Arrived) and any(entry.kind == Kind.ROSTER for entry in event.entries)
    )
