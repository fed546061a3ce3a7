"""The station's calls to others: whom to call, where, and how it went.

Knows addresses, pace and results. What a link says is its owner's business.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Callable, Iterable, Mapping

from protocol.address import Address, AddressBook
from protocol.dialing import DialPlan, Target
from protocol.ports import PortOwner, call, end_calls

MOST_STRANGERS = 64


class Dialer:
    """Calls every known device that is not linked, at all its addresses, and every typed address.

    `missing`: devices that are known and not linked, asked for each time. `doubt`: told the instance name
    of a device that is announced and does not answer. `name_of`: the instance name of a device.
    """

    def __init__(
        self,
        owner: PortOwner,
        missing: Callable[[], Iterable[bytes]],
        doubt: Callable[[str], None],
        *,
        manual: Iterable[Address],
        name_of: Callable[[bytes], str],
        random: Callable[[], float],
        clock: Callable[[], float],
    ) -> None:
        self._owner = owner
        self._missing = missing
        self._doubt = doubt
        self._name_of = name_of
        self._clock = clock
        self._book = AddressBook(set(manual))
        self._plan = DialPlan(random)
        self._announced: dict[str, tuple[Address, ...]] = {}
        self._devices: dict[str, bytes] = {}
        self._answered: dict[Target, bool] = {}
        self._calls: set[asyncio.Task[None]] = set()
        self._news = asyncio.Event()

    async def run(self) -> None:
        """Call until cancelled."""
        try:
            while True:
                self._news.clear()
                wanted = [device for device in self._missing() if self._book.of(device)]
                self._plan.want([*wanted, *self._book.unclaimed()])
                for target in self._plan.due(self._clock()):
                    task = asyncio.create_task(self._call(target))
                    self._calls.add(task)
                    task.add_done_callback(self._calls.discard)
                await self._pause()
        finally:
            await end_calls(tuple(self._calls))

    def look(self) -> None:
        """Links, members or addresses have changed: see whom to call."""
        self._news.set()

    def know(self, devices: Iterable[bytes]) -> None:
        """The devices that may be called; what was announced for others is kept a while, within bounds."""
        self._devices = {self._name_of(device): device for device in devices}
        for instance, addresses in self._announced.items():
            self._enter(instance, addresses)
        self.look()

    def announced(self, instance: str, addresses: tuple[Address, ...]) -> None:
        """Discovery names addresses for an instance; none: it is gone."""
        strangers = sum(name not in self._devices for name in self._announced)
        if instance in self._devices or strangers < MOST_STRANGERS:
            self._announced[instance] = addresses
            self._enter(instance, addresses)
            self.look()
        if not addresses:
            self._announced.pop(instance, None)

    def add(self, address: Address) -> None:
        """A typed address, tried from now on."""
        self._book.manual.add(address)
        self._plan.hurry(address)
        self.look()

    def settled(self, device: bytes) -> None:
        """The device is linked and talks."""
        self._plan.settled(device)
        self._answered[device] = True

    def met(self, device: bytes, address: Address) -> bool:
        """The device is reached there. True if that is news."""
        before = self._book.lasting(device)
        self._book.learned(device, address)
        return address not in before

    def told(self, device: bytes, addresses: tuple[Address, ...], *, by_itself: bool) -> bool:
        """A station names addresses of a device, maybe its own. True if that is news."""
        known = device in self._devices.values()
        if not known or not self._book.told(device, addresses, by_itself=by_itself):
            return False
        self._plan.hurry(device)
        self.look()
        return True

    def remember(self, places: Mapping[bytes, Iterable[Address]]) -> None:
        """Where devices were reached on another day, the likeliest first."""
        for device, addresses in places.items():
            for address in reversed(tuple(addresses)):
                self._book.learned(device, address)

    def lasting(self, device: bytes) -> tuple[Address, ...]:
        """Addresses of a device worth telling others and keeping for another day."""
        return self._book.lasting(device)

    def hurry(self) -> None:
        """The network may have changed: call everyone now."""
        self._plan.hurry_all()
        self.look()

    def reached(self, device: bytes) -> None:
        """There is a way to this device: call it now."""
        self._plan.hurry(device)
        self.look()

    def is_heard(self, device: bytes) -> bool:
        return self._book.is_heard(device)

    def answered(self, device: bytes) -> bool | None:
        """Whether the last call reached anything; None before the first."""
        return self._answered.get(device)

    def address(self, device: bytes) -> Address | None:
        """Where the device was met last, or else may be met."""
        return next(iter(self._book.of(device)), None)

    def _enter(self, instance: str, addresses: tuple[Address, ...]) -> None:
        device = self._devices.get(instance)
        if device is not None and self._book.found(device, addresses) and addresses:
            self._plan.hurry(device)

    async def _call(self, target: Target) -> None:
        try:
            addresses = (target,) if isinstance(target, Address) else self._book.of(target)
            reply = await call(self._owner, addresses, self._clock)
            self._answered[target] = reply.answered
            if isinstance(target, bytes) and not reply.answered and self._book.is_heard(target):
                self._doubt(self._name_of(target))
            if reply.link is not None and reply.address is not None and reply.link.device:
                self._book.learned(reply.link.device, reply.address)
        finally:
            self._plan.ended(target, self._clock())
            self.look()

    async def _pause(self) -> None:
        due = self._plan.next_due()
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(None if due is None else max(0.0, due - self._clock())):
                await self._news.wait()
