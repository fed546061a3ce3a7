"""Devices that were in a crew with this one, as the set-up shows them: who is near, who was asked, who came.

Knows the list in the data folder and inviting. Made and used on the set-up's loop, but for `listed`.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import replace

from crewlink.home import Home
from crewlink.known_devices import KnownDevice
from protocol.address import Address
from protocol.book import WriteError
from protocol.inviting import Host, invite
from protocol.near import NearSearch, near_name
from protocol.pairing import PairingRefused
from protocol.pairing_shell import PairingFailed
from protocol.pairing_wire import Admission
from protocol.roster import Member
from ui.bridge.setup_port import Coming, Guest


class GuestBook:
    """The known devices. `changed` gets them as they are to be shown, the near ones first."""

    def __init__(self, home: Home, changed: Callable[[tuple[Guest, ...]], None]) -> None:
        self._home = home
        self._changed = changed
        self._known = home.devices()
        self._near: dict[str, tuple[Address, ...]] = {}
        self._state: dict[bytes, tuple[Coming, str]] = {}

    def listed(self) -> tuple[Guest, ...]:
        """As they are to be shown."""
        made = [self._guest(one) for one in self._known if self._state.get(one.device) != _CAME]
        return tuple(sorted(made, key=lambda guest: (guest.replaced, not guest.near)))

    async def search(self) -> None:
        """Look who is near until cancelled."""

        def near(found: dict[str, tuple[Address, ...]]) -> None:
            self._near = found
            self._changed(self.listed())

        async with NearSearch(near):
            await asyncio.get_running_loop().create_future()

    async def invite(
        self, device: bytes, post: str, host: Host, admit: Callable[[Member, str], Awaitable[Admission]]
    ) -> None:
        """Ask a known device to come; what became of it is shown at its line."""
        one = next((known for known in self._known if known.device == device), None)
        if one is None or one.replaced or self._state.get(device, _NOT)[0] is Coming.ASKED:
            return
        self._set(device, Coming.ASKED, "")
        names: list[str] = []

        async def let_in(name: str) -> Admission:
            names.append(name)
            return await admit(one.member, name)

        try:
            await invite(self._near.get(near_name(device), ()), one.member, post, host, let_in)
        except PairingRefused as refused:
            said = "It said no." if refused.reason.value == "declined" else str(refused)
            self._set(device, Coming.FAILED, said)
        except (PairingFailed, WriteError) as error:
            self._set(device, Coming.FAILED, str(error))
        except TimeoutError:
            self._set(device, Coming.FAILED, "Nobody answered on it.")
        else:
            await asyncio.to_thread(self._home.call, device, names[0])
            self._set(device, *_CAME)

    def take_out(self, device: bytes) -> None:
        """Forget a device: it has to type a code again. Errors: FolderError."""
        self._home.forget(device)
        self._known = self._home.devices()
        self._changed(self.listed())

    def met(self, member: Member, court: str, name: str) -> None:
        """A device has come by its code: an older one of its name is replaced by it."""
        self._home.learn(member, court, name)
        self._known = self._home.devices()
        self._state[member.device] = _CAME
        self._changed(self.listed())

    def _set(self, device: bytes, coming: Coming, said: str) -> None:
        self._state[device] = (coming, said)
        self._changed(self.listed())

    def _guest(self, one: KnownDevice) -> Guest:
        coming, said = self._state.get(one.device, _NOT)
        near = near_name(one.device) in self._near
        plain = Guest(one.device.hex(), one.name, one.post, one.court, near, one.replaced)
        return replace(plain, coming=coming, said=said)


_NOT = (Coming.NOT, "")
_CAME = (Coming.NOT, "came")
