"""Pairing over sockets: the host's port that is open while a code is shown, and the joiner's call.

Knows TLS streams, time limits and how an admission becomes an invitation. What is exchanged and what it
proves is protocol.pairing. The host shows its certificate and asks for none; the joiner takes any and
proves it by the code.
"""

from __future__ import annotations

import asyncio
import ssl
import time
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass

import msgspec

from protocol.address import Address
from protocol.door import HEARD_SECONDS, REACH_SECONDS, Answered, Door, knock
from protocol.identity import Identity, binding_holds, device_id
from protocol.pairing import (
    ATTEMPT_SECONDS,
    LONGEST_NAME,
    VERSION,
    Candidate,
    HostAttempt,
    JoinAttempt,
    PairingRefused,
    PairingWindow,
    RandomBytes,
    Refusal,
    printable,
)
from protocol.pairing_talk import receive, send
from protocol.pairing_wire import (
    LONGEST_ADMISSION,
    LONGEST_FRAME,
    Admission,
    Ask,
    Confirm,
    Look,
    MemberShape,
    Refused,
    Reply,
    Sign,
    Welcome,
)
from protocol.roster import Invitation, Member
from protocol.tls import showing, shown_certificate
from protocol.words import words_of

MOST_CALLERS = 8
DECISION_SECONDS = 120.0
TALKS = 2
"""How often a joiner talks if it breaks off. Each talk gives whoever answers one guess, so not often."""

Approve = Callable[[Candidate], Awaitable[Admission | None]]
"""Asks the person at the host; admits the device and gives what it needs, or None for no."""


class PairingFailed(Exception):
    """The other station cannot be reached, or what answers is none of ours. Nothing was proved or spent."""


@dataclass(frozen=True, slots=True)
class Joined:
    """A device is in: what it needs to start its station, and where the host is."""

    invitation: Invitation
    host: Address


class PairingHost:
    """Listens while a code is shown. `approve` is asked once, for the device that proved the code.

    `court`: what this court is called, told to whoever asks, for people to compare.
    """

    def __init__(
        self,
        identity: Identity,
        secret: bytes,
        approve: Approve,
        *,
        random_bytes: RandomBytes,
        court: str = "",
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.window = PairingWindow(identity, secret, clock(), random_bytes)
        self.port = 0
        self._identity = identity
        self._approve = approve
        self._court = court
        self._clock = clock
        self._asked = False
        self._answered = asyncio.Event()
        self._admission: Admission | None = None
        self._door = Door(self._exchange, callers=MOST_CALLERS, longest=LONGEST_FRAME)

    async def start(self, port: int = 0) -> None:
        """Open the port. Errors: PortError."""
        self.port = await self._door.open(port, showing(self._identity))

    async def close(self) -> None:
        """Shut the port."""
        await self._door.close()

    async def _exchange(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        attempt: HostAttempt | None = None
        try:
            async with asyncio.timeout(ATTEMPT_SECONDS):
                ask = await receive(reader, Ask, Look)
                if not isinstance(ask, Ask):
                    await send(writer, Sign(self._court))
                    return
                attempt, reply = self.window.begin(ask, self._clock())
                await send(writer, reply)
                welcome, candidate = attempt.confirm(await receive(reader, Confirm), self._clock())
                await send(writer, welcome)
        finally:
            if attempt is not None:
                self.window.over(attempt)
        async with asyncio.timeout(DECISION_SECONDS):
            admission = await self._answer(candidate)
        await send(writer, admission or Refused(Refusal.DECLINED.value))

    async def _answer(self, candidate: Candidate) -> Admission | None:
        """The person's answer; the device gets the same one if its call broke off and it comes again."""
        if self._asked:
            await self._answered.wait()
            return self._admission
        self._asked = True
        try:
            self._admission = await self._approve(candidate)
        finally:
            self._answered.set()
        return self._admission


async def join(
    addresses: Sequence[Address],
    secret: bytes,
    identity: Identity,
    name: str,
    *,
    random_bytes: RandomBytes,
    heard: bool = False,
) -> Joined:
    """Get this device into the crew of the host at one of these addresses (called side by side).

    `heard`: the host is there for sure, so it is called longer. Calling costs no guess, however often. A talk
    that breaks off is begun again once; the host knows the device by its keys. Returns when the person at the
    host has said yes. Errors: PairingRefused, PairingFailed.
    """
    own = JoinTry(secret, identity, name, random_bytes)
    trouble: Exception | None = None
    for _ in range(TALKS):
        try:
            answered = await knock(addresses, _anyone(), LONGEST_ADMISSION, seconds=patience(heard))
        except (OSError, UnicodeError) as error:
            raise PairingFailed(_no_way(error, heard)) from error
        try:
            return await _prove(answered, own)
        except (OSError, EOFError) as error:
            trouble = error
        except msgspec.MsgspecError as error:
            raise PairingFailed("What answers there is no crewlink. Look at the address.") from error
        finally:
            answered.writer.transport.abort()
    raise PairingFailed("The other device ended the talk. Try again.") from trouble


def patience(heard: bool) -> float:
    """For how many seconds a device is called."""
    return HEARD_SECONDS if heard else REACH_SECONDS


def _no_way(error: OSError | UnicodeError, heard: bool) -> str:
    """What to tell the person when no call gets through."""
    if isinstance(error, ConnectionRefusedError):
        return "No code is shown at that address now. Ask for a new one, or look at the address."
    if heard and isinstance(error, TimeoutError):
        return "The other device is there, but this Wi-Fi lets no call through. Go nearer, or use another."
    return "The other device cannot be reached. Look at its address and at the Wi-Fi."


@dataclass(frozen=True, slots=True)
class Sight:
    """What is seen of a host before its code is typed: its court, and the words of its key."""

    court: str
    words: str


async def look_at(addresses: Sequence[Address], *, heard: bool = False) -> Sight | None:
    """Ask the host at one of these addresses who it is; None if nobody answers.

    Only for people to compare with the other screen: the code proves it. Costs no guess.
    """
    try:
        answered = await knock(addresses, _anyone(), LONGEST_ADMISSION, seconds=patience(heard))
    except (OSError, UnicodeError):
        return None
    try:
        words = words_of(shown_certificate(answered.writer.transport) or b"")
        async with asyncio.timeout(ATTEMPT_SECONDS):
            await send(answered.writer, Look(VERSION))
            sign = await receive(answered.reader, Sign)
        return Sight(printable(sign.court)[:LONGEST_NAME], words)
    except (OSError, EOFError, msgspec.MsgspecError, PairingRefused):
        return None
    finally:
        answered.writer.transport.abort()


@dataclass(frozen=True, slots=True)
class JoinTry:
    """What a joiner brings to a call."""

    secret: bytes
    identity: Identity
    name: str
    random_bytes: RandomBytes


def _anyone() -> ssl.SSLContext:
    """A context that takes any certificate: the code proves it."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE
    context.minimum_version = ssl.TLSVersion.TLSv1_3
    return context


async def _prove(answered: Answered, own: JoinTry) -> Joined:
    reader, writer = answered.reader, answered.writer
    host_cert = shown_certificate(writer.transport) or b""
    attempt = JoinAttempt(own.identity, own.secret, host_cert, own.random_bytes)
    async with asyncio.timeout(ATTEMPT_SECONDS):
        await send(writer, attempt.ask)
        reply = await receive(reader, Reply)
        await send(writer, attempt.confirm(reply, own.name))
        attempt.check(await receive(reader, Welcome))
    try:
        async with asyncio.timeout(DECISION_SECONDS):
            admission = await receive(reader, Admission, longest=LONGEST_ADMISSION)
    except TimeoutError as error:
        raise PairingFailed("Nobody said yes on the other device. Ask for a new code.") from error
    invitation = invitation_of(admission)
    pinned = {member.tls_cert for member in invitation.members}
    if not {host_cert, own.identity.tls_cert} <= pinned:
        raise PairingRefused(Refusal.BAD_CREDENTIALS)
    return Joined(invitation, Address(answered.address.host, admission.port))


def admission_of(invitation: Invitation, port: int) -> Admission:
    """What the host sends: the invitation with the new member in it, and the port of its node."""
    members = [
        MemberShape(each.device, each.sign_key, each.tls_cert, each.binding, each.post)
        for each in invitation.members
    ]
    return Admission(invitation.match, invitation.opener, members, port)


def invitation_of(admission: Admission) -> Invitation:
    """The invitation in an admission. Errors: PairingRefused when keys of a member do not fit together."""
    for each in admission.members:
        fits = binding_holds(each.sign_key, each.tls_cert, each.binding)
        if not fits or each.device != device_id(each.sign_key):
            raise PairingRefused(Refusal.BAD_CREDENTIALS)
    members = tuple(
        Member(each.device, each.sign_key, each.tls_cert, each.binding, each.post)
        for each in admission.members
    )
    return Invitation(admission.match, admission.opener, members)
