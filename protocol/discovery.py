"""Finds the crew's other stations by multicast DNS, and lets itself be found.

Knows zeroconf and its traps. Only proposes addresses: who is there is proved by the handshake, whether
someone is still there by the link. A network that is missing, or that lets no announcements through, is a
state to show and never an end: the watch goes on and starts anew when something changes.

- Names follow from keys, so no conflict is possible and probing (which costs a second) is skipped.
- Announced again every few seconds while a known station is missing, for a station that was cut off when
  another registered would otherwise find it minutes later.
- Our own announcement must come back (multicast loops); if it does not twice in a row, all is built anew.
- A killed station stays announced for an hour. Whoever does not answer calls is asked for by name; without an
  answer it counts as gone until it announces itself again.
- zeroconf does not notice an interface that was made anew with its old address: it is led over loopback and
  back.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import socket
import time
from collections.abc import Callable

from zeroconf import (  # type: ignore[attr-defined]  # there, if not in its __all__
    DNSOutgoing,
    DNSQuestion,
    InterfaceChoice,
    IPVersion,
    ServiceStateChange,
    Zeroconf,
    current_time_millis,
)
from zeroconf import Error as ZeroconfError
from zeroconf.asyncio import AsyncServiceBrowser, AsyncServiceInfo, AsyncZeroconf

from protocol import interfaces
from protocol.beacon import SERVICE, Beacon, instance_of, usable
from protocol.driving import Found
from protocol.interfaces import Change, Interface, InterfaceWatch
from protocol.node_state import Finding

WATCH_SECONDS = 2.0
SEEK_SECONDS = 5.0
CALM_SECONDS = 30.0
RESOLVE_MILLISECONDS = 3000
DOUBT_MILLISECONDS = 3000
QUERY, SRV_TYPE, INTERNET = 0x0000, 33, 1  # RFC 1035 and RFC 2782
GOODBYE_SECONDS = 1.5
MOST_RESOLVING = 32
MOST_KNOWN = 256
MISSED_ECHOES = 2
ALONE_SECONDS = 10.0


class Discovery:
    """A `protocol.driving.Finder`: one station's announcing and looking, on the running loop."""

    def __init__(
        self,
        beacon: Beacon,
        *,
        clock: Callable[[], float] = time.monotonic,
        snapshot: Callable[[], frozenset[Interface]] = interfaces.snapshot,
    ) -> None:
        self._beacon = beacon
        self._clock = clock
        self._snapshot = snapshot
        self._finding = Finding.STARTING
        self._port = 0
        self._found: Found = _nobody
        self._changed: Callable[[], None] = _nothing
        self._task: asyncio.Task[None] | None = None
        self._news = asyncio.Event()
        self._seeking = True
        self._renew = False
        self._watch = InterfaceWatch(frozenset())
        self._zeroconf: AsyncZeroconf | None = None
        self._browser: AsyncServiceBrowser | None = None
        self._info: AsyncServiceInfo | None = None
        self._known: set[str] = set()
        self._doubted: dict[str, float] = {}
        self._resolving: dict[str, asyncio.Task[None]] = {}
        self._announced = 0.0
        self._echo_due = False
        self._missed = 0
        self._alone_since: float | None = None

    @property
    def finding(self) -> Finding:
        return self._finding

    def name_of(self, device: bytes) -> str:
        return self._beacon.name_of(device)

    async def start(self, port: int, found: Found, changed: Callable[[], None]) -> None:
        logging.getLogger("zeroconf").addHandler(logging.NullHandler())  # what matters is told by `finding`
        self._port, self._found, self._changed = port, found, changed
        self._task = asyncio.create_task(self._run())

    def seek(self, missing: bool) -> None:
        if missing and not self._seeking:
            self._news.set()
        self._seeking = missing

    def doubt(self, instance: str) -> None:
        if self._zeroconf is not None and instance in self._known and instance not in self._doubted:
            self._doubted[instance] = current_time_millis()
            question = DNSOutgoing(QUERY)
            question.add_question(DNSQuestion(f"{instance}.{SERVICE}", SRV_TYPE, INTERNET))
            self._zeroconf.zeroconf.async_send(question)

    def refresh(self) -> None:
        self._renew = True
        self._news.set()

    async def close(self) -> None:
        if self._task is not None:
            self._task.cancel()
            await asyncio.gather(self._task, return_exceptions=True)
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(GOODBYE_SECONDS):
                await self._end()

    async def _run(self) -> None:
        loop = asyncio.get_running_loop()
        self._watch.settled = await loop.run_in_executor(None, self._snapshot)
        self._news.set()
        while True:
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(WATCH_SECONDS):
                    await self._news.wait()
            self._news.clear()
            change = self._watch.feed(await loop.run_in_executor(None, self._snapshot), self._clock())
            if self._renew:
                change, self._renew = Change.NUMBERS, False
            try:
                await self._step(change, self._watch.settled)
            except (OSError, RuntimeError, ZeroconfError):  # the network went away in the middle of it
                self._missed = MISSED_ECHOES

    async def _step(self, change: Change | None, now: frozenset[Interface]) -> None:
        self._hear_echo()
        self._hear_doubted()
        self._hear_others()
        if self._zeroconf is None or self._missed >= MISSED_ECHOES:
            await self._end()
            await self._begin(now)
        elif change is not None:
            await self._adapt(change, now)
        pause = SEEK_SECONDS if self._seeking else CALM_SECONDS
        if self._clock() - self._announced >= pause or (self._seeking and self._missed):
            self._announce()

    async def _begin(self, now: frozenset[Interface]) -> None:
        """Register and browse. Without any network nothing happens; the next step tries again."""
        try:
            made = AsyncZeroconf(interfaces=InterfaceChoice.All, ip_version=IPVersion.V4Only)
        except (OSError, RuntimeError):
            self._tell(Finding.NO_NETWORK)
            return
        self._zeroconf = made
        self._browser = AsyncServiceBrowser(made.zeroconf, SERVICE, handlers=[self._heard])
        self._info = self._announcement(now)
        self._tell_network(now)
        await (await made.async_register_service(self._info, cooperating_responders=True))
        self._announced, self._echo_due = self._clock(), True

    async def _end(self) -> None:
        """Say good-bye and close."""
        ending, browser, info = self._zeroconf, self._browser, self._info
        self._zeroconf = self._browser = self._info = None
        self._echo_due, self._missed = False, 0
        for task in self._resolving.values():
            task.cancel()
        if browser is not None:
            await browser.async_cancel()
        if ending is not None:
            if info is not None:
                await (await ending.async_unregister_service(info))
            await ending.async_close()

    async def _adapt(self, change: Change, now: frozenset[Interface]) -> None:
        made = self._zeroconf
        assert made is not None
        if change is Change.NUMBERS:
            await made.async_update_interfaces(interfaces=["127.0.0.1"])
        await made.async_update_interfaces(interfaces=InterfaceChoice.All)
        self._info = self._announcement(now)
        await (await made.async_update_service(self._info))
        self._announced, self._echo_due = self._clock(), True
        self._tell_network(now)

    def _announce(self) -> None:
        if self._zeroconf is not None and self._info is not None:
            core = self._zeroconf.zeroconf
            core.async_send(core.generate_service_broadcast(self._info, None))
            self._announced, self._echo_due = self._clock(), True

    def _hear_echo(self) -> None:
        """Whether our last announcement came back to us, which it does wherever multicast works."""
        if not self._echo_due or self._zeroconf is None:
            return
        self._echo_due = False
        age = (self._clock() - self._announced + WATCH_SECONDS) * 1000
        if self._heard_since(self._beacon.instance, current_time_millis() - age):
            self._missed = 0
            if self._finding is Finding.NOT_HEARD:
                self._tell(Finding.WORKING)
        else:
            self._missed += 1
            if self._missed >= MISSED_ECHOES and self._finding is Finding.WORKING:
                self._tell(Finding.NOT_HEARD)

    def _hear_others(self) -> None:
        """Our own announcements come back within this device even where the network stops them, so the sign
        of such a network is that somebody is missing and nobody is heard.
        """
        if self._known or not self._seeking or self._zeroconf is None:
            self._alone_since = None
            if self._finding is Finding.ALONE:
                self._tell(Finding.WORKING)
        elif self._alone_since is None:
            self._alone_since = self._clock()
        elif self._clock() - self._alone_since >= ALONE_SECONDS and self._finding is Finding.WORKING:
            self._tell(Finding.ALONE)

    def _hear_doubted(self) -> None:
        """Who was asked for by name: has it answered? Who was given up: is it back?"""
        for instance, since in list(self._doubted.items()):
            if self._zeroconf is not None and self._heard_since(instance, since):
                del self._doubted[instance]
                if instance not in self._known:
                    self._look_up(self._zeroconf.zeroconf, instance)
            elif current_time_millis() - since > DOUBT_MILLISECONDS:
                self._lost(instance)

    def _heard_since(self, instance: str, milliseconds: float) -> bool:
        assert self._zeroconf is not None
        records = self._zeroconf.zeroconf.cache.async_entries_with_name(f"{instance}.{SERVICE}")
        return any(record.created >= milliseconds for record in records)

    def _announcement(self, now: frozenset[Interface]) -> AsyncServiceInfo:
        return AsyncServiceInfo(
            SERVICE,
            self._beacon.service_name,
            server=self._beacon.server,
            port=self._port,
            addresses=[socket.inet_aton(address) for address in interfaces.addresses(now)],
            properties=self._beacon.properties,
        )

    def _heard(self, zeroconf: Zeroconf, name: str, state_change: ServiceStateChange, **_: str) -> None:
        """Called by the browser, on the loop, with keywords."""
        instance = instance_of(name)
        if instance is None or instance == self._beacon.instance:
            return
        if state_change is ServiceStateChange.Removed:
            self._lost(instance)
        else:
            self._look_up(zeroconf, instance)

    def _look_up(self, zeroconf: Zeroconf, instance: str) -> None:
        if instance not in self._resolving and len(self._resolving) < MOST_RESOLVING:
            task = asyncio.get_running_loop().create_task(self._resolve(zeroconf, instance))
            self._resolving[instance] = task
            task.add_done_callback(lambda _: self._resolving.pop(instance, None))

    async def _resolve(self, zeroconf: Zeroconf, instance: str) -> None:
        info = AsyncServiceInfo(SERVICE, f"{instance}.{SERVICE}")
        known = info.load_from_cache(zeroconf)
        if not known and not await info.async_request(zeroconf, RESOLVE_MILLISECONDS):
            return
        room = instance in self._known or len(self._known) < MOST_KNOWN
        if room and self._beacon.is_crew(info.properties):
            self._known.add(instance)
            self._found(instance, usable(info.parsed_addresses(IPVersion.V4Only), info.port))
        else:
            self._lost(instance)

    def _lost(self, instance: str) -> None:
        if instance in self._known:
            self._known.remove(instance)
            self._found(instance, ())

    def _tell_network(self, now: frozenset[Interface]) -> None:
        alone = all(interfaces.is_loopback(address) for address in interfaces.addresses(now))
        self._tell(Finding.NO_NETWORK if alone else Finding.WORKING)

    def _tell(self, finding: Finding) -> None:
        if finding is not self._finding:
            self._finding = finding
            self._changed()


def _nobody(_instance: str, _addresses: tuple[object, ...]) -> None:
    """Until discovery starts nobody is told."""


def _nothing() -> None:
    """Until discovery starts nothing changes."""
