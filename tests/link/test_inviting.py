"""Known devices come without a code, strangers get no word; who a host is can be seen before its code."""

from __future__ import annotations

import asyncio
import contextlib
import secrets
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

import pytest

from protocol.address import Address
from protocol.identity import Identity
from protocol.inviting import Host, InvitationEar, Invitee, invite
from protocol.near import NearSearch, NearSign, find_near, near_name
from protocol.pairing import PairingRefused, Refusal
from protocol.pairing_shell import Joined, PairingFailed, PairingHost, admission_of, look_at
from protocol.pairing_wire import Admission
from protocol.roster import Invitation, Member
from protocol.words import WORD_COUNT, WORDS, words_of
from tests.link.parts import MATCH, Watch, identity, in_loop

HOST, GUEST, STRANGER, AGAIN = (identity(n) for n in range(70, 74))


def member(of: Identity, post: str) -> Member:
    return Member(of.device, of.public_key, of.tls_cert, of.binding, post)


@dataclass
class Device:
    """A device that waits to be invited, and what its person sees and says."""

    says: bool = True
    asked: list[Invitee] = field(default_factory=list)
    joined: list[Joined] = field(default_factory=list)

    async def decide(self, invitee: Invitee) -> bool:
        self.asked.append(invitee)
        return self.says

    async def take(self, joined: Joined) -> None:
        self.joined.append(joined)


@asynccontextmanager
async def waiting(device: Device, known: Identity, own: Identity = GUEST) -> AsyncIterator[Address]:
    ear = InvitationEar(own, [known.tls_cert], "Lena's tablet", device.decide, device.take)
    await ear.start()
    try:
        yield Address("127.0.0.1", ear.port)
    finally:
        await ear.close()


async def inviting(at: Address, own: Identity = HOST, guest: Identity = GUEST) -> list[str]:
    """Invite the guest as R2; the names under which devices were admitted."""
    admitted: list[str] = []

    async def admit(name: str) -> Admission:
        admitted.append(name)
        members = (member(own, "scorer"), member(guest, "R2"))
        return admission_of(Invitation(MATCH, own.device, members), 4001)

    await invite([at], member(guest, "R2"), "R2", Host(own, "Pia's laptop", "Court 3"), admit)
    return admitted


@in_loop
async def test_a_known_device_is_let_in_by_one_yes() -> None:
    device = Device()
    async with waiting(device, HOST) as at:
        assert await inviting(at) == ["Lena's tablet"]
    assert device.asked == [Invitee(HOST.device, "Pia's laptop", "Court 3", "R2", words_of(HOST.tls_cert))]
    [joined] = device.joined
    assert joined.invitation.match == MATCH
    assert joined.invitation.member(GUEST.device) == member(GUEST, "R2")
    assert joined.host == Address("127.0.0.1", 4001)


@in_loop
async def test_the_person_at_the_invited_device_can_say_no() -> None:
    device = Device(says=False)
    async with waiting(device, HOST) as at:
        with pytest.raises(PairingRefused) as caught:
            await inviting(at)
    assert caught.value.reason is Refusal.DECLINED
    assert device.joined == []


@in_loop
async def test_a_stranger_that_invites_gets_no_word() -> None:
    """It knows where the device is and what it is called; its key is not known there."""
    device = Device()
    async with waiting(device, HOST) as at:
        with pytest.raises(PairingFailed, match="does not know this one any more"):
            await inviting(at, own=STRANGER)
    assert device.asked == []


@in_loop
async def test_a_stranger_in_place_of_a_known_device_is_not_admitted() -> None:
    """Someone else listens where the known device was, or it was installed anew: other keys, no admission."""
    device = Device()
    async with waiting(device, HOST, own=AGAIN) as at:
        with pytest.raises(PairingFailed):
            await inviting(at)
    assert device.asked == []


@in_loop
async def test_an_invitation_that_is_withdrawn_ends_the_question() -> None:
    asked = asyncio.Event()
    ended = asyncio.Event()

    async def decide(_: Invitee) -> bool:
        asked.set()
        try:
            await asyncio.get_running_loop().create_future()
        finally:
            ended.set()
        return True

    device = Device()
    ear = InvitationEar(GUEST, [HOST.tls_cert], "tablet", decide, device.take)
    await ear.start()
    calling = asyncio.create_task(inviting(Address("127.0.0.1", ear.port)))
    await asyncio.wait_for(asked.wait(), 20)
    calling.cancel()
    with contextlib.suppress(asyncio.CancelledError):
        await calling
    await asyncio.wait_for(ended.wait(), 20)
    await ear.close()
    assert device.joined == []


@in_loop
async def test_nobody_at_the_address_says_so() -> None:
    with pytest.raises(PairingFailed, match="does not answer"):
        await inviting(Address("127.0.0.1", 9))


@in_loop
async def test_near_devices_are_found_by_a_name_that_only_friends_know() -> None:
    watch, seen = Watch(), [{}]
    own = Identity.create(secrets.token_bytes)

    def changed(near: dict[str, tuple[Address, ...]]) -> None:
        seen.append(near)
        watch()

    async with NearSearch(changed):
        async with NearSign(own.device, 4003):
            await watch.until(lambda: near_name(own.device) in seen[-1], "near")
            assert {address.port for address in await find_near(own.device)} == {4003}
        await watch.until(lambda: near_name(own.device) not in seen[-1], "gone")
    assert own.device.hex()[:8] not in near_name(own.device)


@in_loop
async def test_a_host_says_its_court_and_its_words_before_any_code() -> None:
    """Two courts side by side: each has its own name and words, the same that its own screen shows."""

    async def approve(_: object) -> Admission | None:
        raise AssertionError("nobody has proved a code")

    sights = []
    for own, court in ((HOST, "Court 3"), (STRANGER, "Court 4")):
        host = PairingHost(own, b"12345678", approve, random_bytes=secrets.token_bytes, court=court)
        await host.start()
        sight = await look_at([Address("127.0.0.1", host.port)])
        assert sight is not None
        assert (sight.court, sight.words) == (court, words_of(own.tls_cert))
        assert host.window.wrong == 0
        sights.append(sight)
        await host.close()
    assert sights[0].words != sights[1].words
    assert await look_at([Address("127.0.0.1", 9)]) is None


def test_words_are_plain_and_all_different() -> None:
    assert len(WORDS) == len(set(WORDS)) == 256
    assert all(word.isalpha() and word.islower() and 3 <= len(word) <= 9 for word in WORDS)
    assert len(words_of(HOST.tls_cert).split()) == WORD_COUNT
    assert words_of(HOST.tls_cert) == "crown giant berry"
