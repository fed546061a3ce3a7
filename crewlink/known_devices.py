"""Devices that this one was in a crew with: their keys, so that they come to the next match by one tap.

Pure. A device that was installed anew has new keys: the old entry under its name is kept as replaced, is
invited no more, and can be taken out.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from protocol.identity import binding_holds, device_id
from protocol.roster import Member

MOST_DEVICES = 48


class KnownDevice(Struct, frozen=True, omit_defaults=True):
    """One device. `name`: what it calls itself, "" if it never said; `post`, `court`: where it was last.

    `seen`: when, seconds since 1970. `replaced`: another device goes by its name now.
    """

    device: bytes
    sign_key: bytes
    tls_cert: bytes
    binding: bytes
    post: str
    court: str = ""
    name: str = ""
    seen: float = 0.0
    replaced: bool = False

    @property
    def member(self) -> Member:
        """Its keys as others pin them."""
        return Member(self.device, self.sign_key, self.tls_cert, self.binding, self.post)

    @property
    def sound(self) -> bool:
        """Whether the keys belong together; a file can be damaged."""
        fits = binding_holds(self.sign_key, self.tls_cert, self.binding)
        return fits and device_id(self.sign_key) == self.device


def met(
    known: Iterable[KnownDevice], members: Iterable[Member], court: str, now: float, own: bytes
) -> tuple[KnownDevice, ...]:
    """The list after this device was in a crew with these members; newest first, within bounds."""
    by_device = {one.device: one for one in known}
    for member in members:
        if member.device == own:
            continue
        old = by_device.get(member.device)
        by_device[member.device] = KnownDevice(
            member.device,
            member.sign_key,
            member.tls_cert,
            member.binding,
            member.post,
            court or (old.court if old else ""),
            old.name if old else "",
            now,
        )
    return _newest(by_device.values())


def named(known: Iterable[KnownDevice], device: bytes, name: str) -> tuple[KnownDevice, ...]:
    """The list after a device told its name; others of that name are replaced by it."""
    listed = tuple(known)
    if not name or all(one.device != device for one in listed):
        return listed
    return tuple(
        replace(one, name=name, replaced=False)
        if one.device == device
        else replace(one, replaced=one.replaced or one.name == name)
        for one in listed
    )


def without(known: Iterable[KnownDevice], device: bytes) -> tuple[KnownDevice, ...]:
    """The list without a device: it has to type a code again."""
    return tuple(one for one in known if one.device != device)


def _newest(known: Iterable[KnownDevice]) -> tuple[KnownDevice, ...]:
    return tuple(sorted(known, key=lambda one: (-one.seen, one.device))[:MOST_DEVICES])
