"""Known devices come to the next match without a code: keys that were pinned once let both ends in.

Knows the call of the one that invites and the ear of the one that waits. TLS 1.3 with both certificates,
each side welcoming only what it knows; nobody else gets as far as a word. A person says yes at the invited
device (or has said so for good), then the host admits it and sends what it needs.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterable, Sequence
from dataclasses import dataclass

import msgspec

from protocol.address import Address, plain_host
from protocol.door import HEARD_SECONDS, Door, knock
from protocol.identity import Identity, certificate_device
from protocol.pairing import ATTEMPT_SECONDS, LONGEST_NAME, VERSION, PairingRefused, Refusal, printable
from protocol.pairing_shell import DECISION_SECONDS, Joined, PairingFailed, invitation_of
from protocol.pairing_talk import receive, send
from protocol.pairing_wire import (
    LONGEST_ADMISSION,
    LONGEST_FRAME,
    Admission,
    Consent,
    Invite,
)
from protocol.roster import Member
from protocol.tls import Contexts, shown_certificate
from protocol.words import words_of

MOST_CALLERS = 4


@dataclass(frozen=True, slots=True)
class Invitee:
    """What the invited device is told: by whom (32 bytes), to which court, for which job.

    `words`: those of the inviting device's key, the same as on its screen.
    """

    device: bytes
    name: str
    court: str
    post: str
    words: str


Decide = Callable[[Invitee], Awaitable[bool]]
"""Asks the person at the invited device."""


class InvitationEar:
    """Waits for invitations of known devices. `decide` is asked one at a time; `joined` gets what came of it.

    `known`: certificates (DER) of the devices that may call. `name`: what this device calls itself.
    """

    def __init__(
        self,
        identity: Identity,
        known: Iterable[bytes],
        name: str,
        decide: Decide,
        joined: Callable[[Joined], Awaitable[None]],
    ) -> None:
        self.port = 0
        self._identity = identity
        self._known = tuple(known)
        self._name = name
        self._decide = decide
        self._joined = joined
        self._door = Door(self._talk, callers=MOST_CALLERS, longest=LONGEST_ADMISSION)
        self._asked = False

    async def start(self, port: int = 0) -> None:
        """Open the port. Errors: PortError."""
        self.port = await self._door.open(port, Contexts.build(self._identity, self._known).accept)

    async def close(self) -> None:
        """Take no more calls, end those that are going on."""
        await self._door.close()

    async def _talk(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        cert = shown_certificate(writer.transport)
        device = None if cert is None else certificate_device(cert)
        if cert is None or device is None or cert not in self._known:
            return
        async with asyncio.timeout(ATTEMPT_SECONDS):
            invite = await receive(reader, Invite)
        if invite.version != VERSION:
            raise PairingRefused(Refusal.NEWER)
        host = plain_host(str(writer.get_extra_info("peername")[0]))
        if not await self._ask(
            reader,
            Invitee(
                device,
                printable(invite.name)[:LONGEST_NAME],
                printable(invite.court)[:LONGEST_NAME],
                invite.post,
                words_of(cert),
            ),
        ):
            raise PairingRefused(Refusal.DECLINED)
        await send(writer, Consent(self._name))
        async with asyncio.timeout(DECISION_SECONDS):
            admission = await receive(reader, Admission, longest=LONGEST_ADMISSION)
        invitation = invitation_of(admission)
        if not {cert, self._identity.tls_cert} <= {member.tls_cert for member in invitation.members}:
            raise PairingRefused(Refusal.BAD_CREDENTIALS)
        await self._joined(Joined(invitation, Address(host, admission.port)))

    async def _ask(self, reader: asyncio.StreamReader, invitee: Invitee) -> bool:
        """The person's answer; no when another invitation is being answered, or the caller has gone."""
        if self._asked:
            raise PairingRefused(Refusal.BUSY)
        self._asked = True
        asking = asyncio.ensure_future(self._decide(invitee))
        gone = asyncio.ensure_future(reader.read(1))
        try:
            done, _ = await asyncio.wait(
                {asking, gone}, timeout=DECISION_SECONDS, return_when=asyncio.FIRST_COMPLETED
            )
            return asking in done and asking.result()
        finally:
            self._asked = False
            for task in (asking, gone):
                task.cancel()
            await asyncio.gather(asking, gone, return_exceptions=True)


@dataclass(frozen=True, slots=True)
class Host:
    """Who invites: its keys, what it and its court are called."""

    identity: Identity
    name: str
    court: str


async def invite(
    addresses: Sequence[Address],
    guest: Member,
    post: str,
    host: Host,
    admit: Callable[[str], Awaitable[Admission]],
) -> None:
    """Ask a known device to come, and let it in. `guest`: its pinned keys; `admit`: given its name, admits.

    Errors: PairingRefused (it said no), PairingFailed (not reached, or it does not know us any more).
    """
    context = Contexts.build(host.identity, [guest.tls_cert]).dial
    silent = "That device does not answer. Open crewlink on it, or show it a code."
    try:
        answered = await knock(addresses, context, LONGEST_FRAME, seconds=HEARD_SECONDS)
    except (OSError, UnicodeError) as error:
        raise PairingFailed(silent) from error
    reader, writer = answered.reader, answered.writer
    try:
        if shown_certificate(writer.transport) != guest.tls_cert:
            raise PairingFailed(silent)
        await send(writer, Invite(VERSION, host.court, post, host.name))
        async with asyncio.timeout(DECISION_SECONDS):
            consent = await receive(reader, Consent)
        await send(writer, await admit(printable(consent.name)[:LONGEST_NAME]))
        async with asyncio.timeout(ATTEMPT_SECONDS):
            await reader.read()
    except (OSError, EOFError, msgspec.MsgspecError) as error:
        problem = "That device ended the talk, or does not know this one any more. Show it a code."
        raise PairingFailed(problem) from error
    finally:
        writer.transport.abort()
