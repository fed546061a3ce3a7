"""Which links there are to whom, and which of two to one station goes. Knows no sockets and no frames.

Both stations may dial, so two links can come about. Both ends must close the same one without a word:
- Of two links in opposite directions the one that the lower device id dialled stays.
- Of two in the same direction the caller closes the later one; the other end waits for that.
- A link on which nothing was heard for a while is no rival of a new one: the network may have changed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from protocol.link import Link

FRESH_SECONDS = 2.5
MOST_LINKS = 4


@dataclass(slots=True)
class LinkTable:
    """The verified links of a station. `own`: its device id."""

    own: bytes
    _by_number: dict[int, Link] = field(default_factory=dict)
    _next: int = 1

    def add(self, link: Link) -> list[Link]:
        """Enter a link whose device is proved; returns those that are now to be closed, maybe itself."""
        link.number = self._next
        self._next += 1
        self._by_number[link.number] = link
        return self._surplus(link)

    def remove(self, link: Link) -> bool:
        """Forget a link; whether it was known."""
        return self._by_number.pop(link.number, None) is link

    def get(self, number: int) -> Link | None:
        return self._by_number.get(number)

    def of(self, device: bytes) -> list[Link]:
        """Links to a device, oldest first."""
        return [link for link in self._by_number.values() if link.device == device]

    def devices(self) -> set[bytes]:
        return {link.device for link in self._by_number.values()}

    def __iter__(self) -> Iterator[Link]:
        return iter(list(self._by_number.values()))

    def _surplus(self, new: Link) -> list[Link]:
        rivals = [link for link in self.of(new.device) if link is not new]
        stale = [link for link in rivals if new.last_heard - link.last_heard > FRESH_SECONDS]
        fresh = [link for link in rivals if link not in stale]
        ours_stay = self.own < new.device
        against = [link for link in fresh if link.dialled != new.dialled]
        along = [link for link in fresh if link.dialled == new.dialled]
        if against and new.dialled != ours_stay:
            return [*stale, new]
        if new.dialled:
            return [*stale, *against, *([new] if along else [])]
        return [*stale, *against, *along[: max(0, len(along) + 1 - MOST_LINKS)]]
