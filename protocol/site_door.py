"""How a court that holds an event pass comes to its site: the site's door, and the court's call.

Knows sockets, limits and the two messages. The site shows the certificate that stands in the pass; the court
proves that it was given the pass and brings its match's invitation, with the site in it. The site answers
with the port at which it takes part in that match.
"""

from __future__ import annotations

import asyncio
import hmac
import time
from collections.abc import Awaitable, Callable, Iterable, Sequence
from dataclasses import dataclass

import msgspec

from protocol.address import Address, plain_host
from protocol.door import Door, knock
from protocol.event_pass import VERSION, EventPass, proof_of
from protocol.identity import Identity
from protocol.pairing import ATTEMPT_SECONDS, PairingRefused, Refusal
from protocol.pairing_shell import PairingFailed, invitation_of
from protocol.pairing_talk import receive, send
from protocol.pairing_wire import LONGEST_ADMISSION, Admission, Introduce, Placed
from protocol.roster import Invitation
from protocol.tls import Contexts, showing, shown_certificate

MOST_CALLERS = 8
PLACE_SECONDS = 20.0
NOT_YET = "The supervisor is not reached yet. It is tried again by itself."


@dataclass(frozen=True, slots=True)
class Introduced:
    """A court that came with a pass: its match, and where its station listens."""

    invitation: Invitation
    court: Address
    event: str


Place = Callable[[Introduced], Awaitable[int]]
"""Takes part in a match; gives the port there. Errors: PairingRefused."""


class SiteDoor:
    """Takes courts in while it is open. `passes`: asked each time for those that were given out."""

    def __init__(
        self,
        identity: Identity,
        passes: Callable[[], Iterable[EventPass]],
        place: Place,
        *,
        wall: Callable[[], float] = time.time,
    ) -> None:
        self.port = 0
        self._identity = identity
        self._passes = passes
        self._place = place
        self._wall = wall
        self._door = Door(self._talk, callers=MOST_CALLERS, longest=LONGEST_ADMISSION)

    async def start(self, port: int = 0) -> None:
        """Open the door. Errors: PortError."""
        self.port = await self._door.open(port, showing(self._identity))

    async def close(self) -> None:
        """Shut the door."""
        await self._door.close()

    async def _talk(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        async with asyncio.timeout(ATTEMPT_SECONDS):
            told = await receive(reader, Introduce, longest=LONGEST_ADMISSION)
        if told.version != VERSION:
            raise PairingRefused(Refusal.NEWER)
        known = self._pass_of(told)
        invitation = invitation_of(told.admission)
        if invitation.member(self._identity.device) is None:
            raise PairingRefused(Refusal.BAD_CREDENTIALS)
        host = plain_host(str(writer.get_extra_info("peername")[0]))
        court = Address(host, told.admission.port)
        async with asyncio.timeout(PLACE_SECONDS):
            port = await self._place(Introduced(invitation, court, known.event))
        await send(writer, Placed(port))

    def _pass_of(self, told: Introduce) -> EventPass:
        """The pass that was proved. Errors: PairingRefused."""
        for one in self._passes():
            proof = proof_of(one.secret, self._identity.tls_cert, told.admission)
            if hmac.compare_digest(proof, told.proof):
                if self._wall() >= one.expires:
                    raise PairingRefused(Refusal.OLD_PASS)
                return one
        raise PairingRefused(Refusal.UNKNOWN_PASS)


async def introduce(
    addresses: Sequence[Address], event_pass: EventPass, identity: Identity, admission: Admission
) -> Address:
    """Tell the site of a court; gives where the site takes part in its match.

    `admission`: the match, its members with the site among them, the port of this court's station.
    Errors: PairingRefused, PairingFailed (not reached).
    """
    context = Contexts.build(identity, [event_pass.site.tls_cert]).dial
    try:
        answered = await knock(addresses, context)
    except (OSError, UnicodeError) as error:
        raise PairingFailed(NOT_YET) from error
    try:
        if shown_certificate(answered.writer.transport) != event_pass.site.tls_cert:
            raise PairingRefused(Refusal.NOT_THE_HOST)
        await send(answered.writer, Introduce(VERSION, event_pass.proof(admission), admission))
        async with asyncio.timeout(PLACE_SECONDS + ATTEMPT_SECONDS):
            placed = await receive(answered.reader, Placed)
    except (OSError, EOFError, msgspec.MsgspecError) as error:
        raise PairingFailed(NOT_YET) from error
    finally:
        answered.writer.transport.abort()
    return Address(answered.address.host, placed.port)
