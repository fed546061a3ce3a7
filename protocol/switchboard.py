"""Who is linked to this station: calls in, calls out, whom to let in, which links stay.

Knows members by their certificates, links and addresses. What comes over a link it hands to its owner and
does not read. All of it runs on one event loop.
"""

from __future__ import annotations

import asyncio
import socket
from collections.abc import Callable, Iterable, Mapping
from typing import Protocol, TypeAlias

from protocol import interfaces, places
from protocol.address import Address
from protocol.courier_shell import SocketName
from protocol.dialer import Dialer
from protocol.driving import Finder
from protocol.identity import Identity, certificate_device
from protocol.link import Link
from protocol.link_table import LinkTable
from protocol.node_state import Contact, Finding
from protocol.peer import PeerState
from protocol.ports import Acceptor, listen_again
from protocol.tls import Contexts

HURRY_SECONDS = 0.5
SPREAD_SECONDS = 2.0

Known: TypeAlias = Mapping[bytes, tuple[Address, ...]]
"""Addresses by device."""


class SwitchboardOwner(Protocol):
    """Who is told what happens on the links."""

    def link_up(self, link: int, device: bytes) -> None:
        """A link stands, and its other end has proved to be this device."""

    def link_down(self, link: int) -> None:
        """A link that stood is gone, for whatever reason but `Switchboard.forget`."""

    def frame(self, link: int, frame: bytes) -> None:
        """One whole frame came; `all_heard` follows soon."""

    def all_heard(self, more: bool) -> None:
        """A link has handed on all frames that it had read, or as many as it may at once.

        `more`: another link has something to be read, too, and will be heard in a moment.
        """

    def links_changed(self) -> None:
        """What `Switchboard.contact` or `finding` tell may be different now."""


class Switchboard:
    """The links of one station. Make it inside a running loop, `start`, later `stop_calls`, then `close`.

    `known`: where devices were reached on another day. `keep` is told where the linked ones are reached now.
    """

    def __init__(
        self,
        identity: Identity,
        owner: SwitchboardOwner,
        finder: Finder | None,
        *,
        manual: Iterable[Address],
        random: Callable[[], float],
        clock: Callable[[], float],
        known: Known | None = None,
        keep: Callable[[Known], None] | None = None,
    ) -> None:
        self._identity = identity
        self._owner = owner
        self._finder = finder
        self._clock = clock
        self._links = LinkTable(identity.device)
        name_of = _plain_name if finder is None else finder.name_of
        self._dialer = Dialer(
            self,
            self._missing,
            self._doubt,
            manual=manual,
            name_of=name_of,
            random=random,
            clock=clock,
        )
        self._dialer.remember(known or {})
        self._keep = keep
        self._ear: socket.socket | None = None
        self._port = 0
        self._spread: asyncio.TimerHandle | None = None
        self._welcome: dict[bytes, bytes] = {}
        self._places: dict[bytes, SocketName] = {}
        self._reached: dict[bytes, float] = {}
        self._contexts: Contexts | None = None
        self._tasks: list[asyncio.Task[None]] = []
        self._closing = False

    @property
    def finding(self) -> Finding:
        if self._finder is None:
            return Finding.OFF
        finding = self._finder.finding
        return Finding.WORKING if finding is Finding.ALONE and self._links.devices() else finding

    async def start(self, port: int, wish: int = 0) -> int:
        """Listen, look for others and call them; returns the port. `wish`: the port to take if any will do.

        Errors: PortError.
        """
        ear = self._ear = listen_again(port, wish)
        own_port = self._port = int(ear.getsockname()[1])
        work = (Acceptor(ear, self, self._clock).run(), self._dialer.run())
        self._tasks = [asyncio.create_task(each) for each in work]
        if self._finder is not None:
            await self._finder.start(own_port, self._dialer.announced, self._owner.links_changed)
        self._changed()
        return own_port

    async def stop_calls(self) -> None:
        """Say good-bye to whoever looks for us, and take and make no more calls. Links go on."""
        self._closing = True
        if self._spread is not None:
            self._spread.cancel()
        if self._finder is not None:
            await self._finder.close()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        if self._ear is not None:
            self._ear.close()

    async def close_links(self) -> None:
        """End all links politely; returns when they are gone."""
        links = list(self._links)
        for link in links:
            link.close()
        for link in links:
            await link.gone.wait()

    def abort_links(self) -> None:
        """End what is left at once."""
        for link in self._links:
            link.abort()

    def send(self, number: int, frames: Iterable[bytes]) -> None:
        """Send on a link, if it still stands."""
        if (link := self._links.get(number)) is not None:
            link.send(frames)

    def forget(self, number: int) -> None:
        """End a link of which the owner knows already that it is down."""
        if (link := self._links.get(number)) is not None:
            self._links.remove(link)
            link.close()
            self._changed()

    def welcome(self, certificates: Iterable[bytes]) -> None:
        """Whoever shows one of these (DER) may link; contexts are made anew, links of others end."""
        welcome = {cert: device for cert in certificates if (device := certificate_device(cert))}
        if welcome == self._welcome:
            return
        self._welcome, self._contexts = welcome, None
        for link in self._links:
            if welcome.get(link.certificate or b"") != link.device:
                self._drop(link)
                link.close()
        self._dialer.know(device for device in welcome.values() if device != self._identity.device)

    def add(self, address: Address) -> None:
        """Try this typed address from now on."""
        self._dialer.add(address)

    def meet(self, device: bytes, address: Address) -> None:
        """A device is known to be there, by a proof of its own."""
        self._dialer.met(device, address)
        self._dialer.look()

    def renew(self) -> None:
        """The device woke up or the network changed under it: make all links anew."""
        for link in self._links:
            self._drop(link)
            link.abort()
        self._dialer.hurry()
        if self._finder is not None:
            self._finder.refresh()

    def reached(self, device: bytes) -> None:
        """A datagram of this device came through: if there is no link, now is the time to call it."""
        now = self._clock()
        if device in self._missing() and now - self._reached.get(device, -HURRY_SECONDS) >= HURRY_SECONDS:
            self._reached[device] = now
            self._dialer.reached(device)

    def place(self, device: bytes) -> SocketName | None:
        """Where the other end of a device's last link is, or was."""
        return self._places.get(device)

    def contact(self, state: PeerState) -> Contact:
        """Another station, as the links show it."""
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

    # What ports and links ask and tell.

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
        if link.name is not None:
            self._places[device] = link.name
        surplus = self._links.add(link)
        if link in surplus:
            self._links.remove(link)  # the owner never hears of it
        else:
            self._owner.link_up(link.number, device)
            self._tell_places(link)
        for loser in surplus:
            self._drop(loser)
            loser.close()
        self._changed()

    def link_frame(self, link: Link, frame: bytes) -> None:
        if self._links.get(link.number) is not link:
            return
        if link.frames_heard == 1:
            self._dialer.settled(link.device)
            self._owner.links_changed()
        if places.is_places(frame):
            self._take_places(link, frame)
        else:
            self._owner.frame(link.number, frame)

    def link_read(self, link: Link) -> None:
        self._owner.all_heard(more=any(other.has_unread for other in self._links if other is not link))

    def link_lost(self, link: Link) -> None:
        self._drop(link)

    def _drop(self, link: Link) -> None:
        """Forget a link and tell the owner, unless that happened before."""
        if self._links.remove(link):
            self._owner.link_down(link.number)
            self._changed()

    # Where everyone is.

    def _tell_places(self, link: Link) -> None:
        """Say where we are, and where others were reached."""
        hosts = interfaces.addresses(interfaces.snapshot())
        here = {self._identity.device: tuple(Address(host, self._port) for host in hosts)}
        others = {device: self._dialer.lasting(device) for device in self._links.devices() - {link.device}}
        link.send([places.encode(self._port, here | others)])

    def _take_places(self, link: Link, frame: bytes) -> None:
        try:
            told = places.decode(frame)
        except places.BadPlaces:
            self._drop(link)
            link.abort()
            return
        news = self._dialer.met(link.device, Address(link.host, told.port))
        for spot in told.spots:
            near = places.worth_a_try(spot, link.host)
            if spot.device != self._identity.device:
                by_itself = spot.device == link.device
                news |= self._dialer.told(spot.device, near, by_itself=by_itself)
        if news and self._spread is None:
            self._spread = asyncio.get_running_loop().call_later(SPREAD_SECONDS, self._spread_places)
        if self._keep is not None:
            self._keep({device: self._dialer.lasting(device) for device in self._links.devices()})

    def _spread_places(self) -> None:
        """Something new was told a moment ago: pass it on, once for all that came meanwhile."""
        self._spread = None
        for link in self._links:
            self._tell_places(link)

    def _missing(self) -> set[bytes]:
        return set(self._welcome.values()) - self._links.devices() - {self._identity.device}

    def _doubt(self, instance: str) -> None:
        if self._finder is not None:
            self._finder.doubt(instance)
        self._owner.links_changed()

    def _changed(self) -> None:
        self._dialer.look()
        if self._finder is not None:
            self._finder.seek(bool(self._missing()))
        self._owner.links_changed()


def _plain_name(device: bytes) -> str:
    """A name for a device that nobody looks for by name."""
    return device.hex()[:16]
