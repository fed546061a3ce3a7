"""A station that is not running, read from its folder: nothing is written, nobody is called."""

from __future__ import annotations

import os
import time
from pathlib import Path

from crewlink.folder import StationFolder
from crewlink.station import Station
from protocol.identity import Identity
from protocol.node import wall_milliseconds
from protocol.peer import Peer
from protocol.roster import Invitation
from protocol.store import Store


def station_at_rest(path: Path) -> Station:
    """The court of a folder as its file holds it.

    Errors: FolderError, IdentityError, InvitationError, StoreError (also while its program is running).
    """
    folder = StationFolder(path)
    file = folder.read()
    identity = Identity.load(folder.identity)
    invitation = Invitation.load(folder.invitation)
    store = Store.open(folder.database, invitation.match)
    try:
        stored = store.load()
    finally:
        store.close()
    now, wall_ms = time.monotonic(), wall_milliseconds()
    peer = Peer(identity, invitation, run=os.urandom(16), stored=stored, wall_ms=wall_ms, now=now)
    station = Station(peer, file.post)
    station.tick(now, wall_ms)
    return station
