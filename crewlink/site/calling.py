"""A court that was given an event pass: it lets the site in, and calls it until it is linked.

    site.pass    the pass, in the station's folder

The site has a place for each match, whose port may change when it starts again: the court asks at the site's
door, and looks for the door by the site's key where the addresses in the pass are no longer right.
"""

from __future__ import annotations

import asyncio
import contextlib
import time
from pathlib import Path

from crewlink.folder import FolderError
from protocol.address import Address
from protocol.event_pass import LONGEST_TEXT, EventPass, PassError
from protocol.identity import Identity
from protocol.near import find_near
from protocol.node import Node
from protocol.pairing import PairingRefused
from protocol.pairing_shell import PairingFailed, admission_of
from protocol.pairing_wire import Admission
from protocol.peer import Peer
from protocol.roster import Invitation
from protocol.site_door import introduce
from protocol.small_file import read_small, write_whole

FILE_NAME = "site.pass"
AGAIN_SECONDS = 5.0


class SiteCall:
    """The way of one station to its site. Make and use it on the link's loop."""

    def __init__(self, folder: Path, identity: Identity, match: bytes, peer: Peer, node: Node) -> None:
        self._path = folder / FILE_NAME
        self._match = match
        self._identity = identity
        self._peer = peer
        self._node = node
        self._pass = _kept(self._path)
        self._news = asyncio.Event()
        self._task: asyncio.Task[None] | None = None
        self.refused = ""
        """What the site said when it refused this court, in a sentence."""

    def begin(self) -> None:
        """Call whenever there is a pass and no link; ends with the loop."""
        self._task = asyncio.get_running_loop().create_task(self._run())

    def use(self, text: str, event: str, now: float, wall_ms: int) -> None:
        """Take a pass. Errors: PassError, NotAdmitted, NoRight, NotReady, FolderError."""
        taken = EventPass.parse(text)
        taken.check(wall_ms / 1000, event)
        if self._peer.member(taken.site.device) is None:
            self._peer.admit(taken.site, now, wall_ms)
        try:
            write_whole(self._path, taken.text.encode())
        except OSError as error:
            raise FolderError(
                self._path, f"Cannot be written ({error.strerror}).", "Check the disk."
            ) from error
        self._pass, self.refused = taken, ""
        self._news.set()

    async def _run(self) -> None:
        while True:
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(AGAIN_SECONDS):
                    await self._news.wait()
            self._news.clear()
            taken = self._pass
            if taken is not None and self._due(taken):
                await self._call(taken)

    def _due(self, taken: EventPass) -> bool:
        state = self._peer.peers().get(taken.site.device)
        return time.time() < taken.expires and state is not None and not state.linked

    async def _call(self, taken: EventPass) -> None:
        members = tuple(self._peer.roster.members.values())
        now = Invitation(self._match, self._peer.roster.opener, members)
        admission = admission_of(now, self._node.port)
        try:
            where = await self._introduce(taken, admission)
        except PairingRefused as refused:
            self.refused = str(refused)
        except PairingFailed:
            return  # not there now: again in a moment
        else:
            self._node.meet(taken.site.device, where)

    async def _introduce(self, taken: EventPass, admission: Admission) -> Address:
        """Where the site takes part. Errors: PairingRefused, PairingFailed."""
        try:
            return await introduce(taken.addresses, taken, self._identity, admission)
        except PairingFailed:
            near = await find_near(taken.site.device)
            return await introduce(near, taken, self._identity, admission)


def _kept(path: Path) -> EventPass | None:
    try:
        return EventPass.parse(read_small(path).decode()[: 2 * LONGEST_TEXT])
    except (OSError, ValueError, PassError):
        return None
