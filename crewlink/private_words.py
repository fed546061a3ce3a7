"""The words of a match that travel beside their entries and that this post may read: names, and what people
wrote in a notice. Read when they come, taken away for good when they are to go (crewlink.erasing).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from crewlink import erasing
from crewlink.charter import Names
from crewlink.court import Court
from protocol.entry import Entry, text_of
from protocol.peer import Peer

LOOK_BACK_AFTER_S, LOOK_BACK_EVERY_S = 60.0, 3600.0
"""When a station looks for words that are older than the event keeps them: after its start, and again."""


class PrivateWords:
    """What is here of them. `names_erased`: the names are gone from here for good."""

    def __init__(self, peer: Peer) -> None:
        self.names = Names()
        self.names_erased = False
        self._peer = peer
        self._entries: dict[bytes, Entry] = {}
        self._look_back_at = math.inf

    @property
    def texts(self) -> Mapping[bytes, str]:
        """Free words by the entry they travel beside."""
        return {id_: text_of(one.private or b"") for id_, one in self._entries.items() if one.act != "names"}

    def read(self, entry: Entry, court: Court | None) -> None:
        """An entry has come, or its words have."""
        if not entry.private:
            return
        self._entries[entry.id] = entry
        if entry.act == "names" and (names := Names.from_text(text_of(entry.private))) is not None:
            self.names = names
        if court is not None and court.crew.erased:
            self.erase(court)

    def erase(self, court: Court, *, everything: bool = False) -> None:
        """Take away what is to go by what the crew did, or all of it."""
        for id_ in erasing.due(court, tuple(self._entries.values()), everything):
            gone = self._entries.pop(id_)
            self._peer.erase_private(id_)
            if gone.act == "names":
                self.names, self.names_erased = Names(), True

    def keep_no_longer(self, court: Court, now: float, wall_ms: int, *, alone: bool) -> None:
        """A minute after the start, then every hour: erase what is older than the event keeps it."""
        if self._look_back_at == math.inf:
            self._look_back_at = now + LOOK_BACK_AFTER_S
        if now < self._look_back_at:
            return
        self._look_back_at = now + LOOK_BACK_EVERY_S
        if erasing.kept_too_long(court, wall_ms, alone=alone):
            self.erase(court, everything=True)
