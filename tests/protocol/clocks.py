"""A hall of peers whose clocks go on, each off by as much as it is told; one clock for each run."""

from __future__ import annotations

from collections.abc import Sequence

from protocol import wire
from protocol.entry import Entry, Kind, Payload, write
from protocol.output import Send
from tests.protocol.hall import WALL, Hall

OPENER = 0


class Clocks(Hall):
    """`offsets`: by station, milliseconds; to change one while its station is gone is to set its clock.

    `never`: two stations that are never linked.
    """

    def __init__(self, offsets: Sequence[int], never: tuple[int, int] | None = None) -> None:
        self.offsets = list(offsets)
        self.never = {never, never[::-1]} if never else set()
        self.lost: type[object] | None = None  # messages of this kind do not arrive
        self.first_offset = self.offsets[OPENER]
        super().__init__(len(self.offsets))
        self.wait(2.0)

    def join(self, one: int, other: int) -> None:
        if (one, other) not in self.never:
            super().join(one, other)

    def _deliver(self, sender: int, output: Send) -> None:
        if self.lost is None or not isinstance(wire.decode(output.frame), self.lost):
            super()._deliver(sender, output)

    def wall(self, number: int) -> int:
        return WALL + self.offsets[number] + round(self.now * 1000)

    def common(self) -> int:
        """What the common time should be, milliseconds: the opener's clock in its first run."""
        return WALL + self.first_offset + round(self.now * 1000)

    def note(self, number: int) -> Entry:
        entry = self[number].note("x")
        self.settle()
        return entry

    def record(self, number: int) -> Entry:
        entry = self[number].write(["point", {}])
        self.settle()
        return entry

    def gone(self, *numbers: int) -> None:
        """Stations are away: nothing goes to them or comes."""
        self.part(*({number} for number in numbers), {one.number for one in self.stations} - {*numbers})

    def back(self, *numbers: int) -> None:
        """They begin new runs, alone; then all are linked."""
        for number in numbers:
            self[number].unsaved.clear()
            self[number].start()
        self.heal()

    def move_pen(self, to: int, how: str) -> None:
        """From the opener to another; all are linked again in the end."""
        peer, device = self[to].peer, self[to].keys.device
        if how == "grant":
            self[OPENER].peer.grant_pen(device, self.now, self.wall(OPENER))
        elif how == "choose":
            head = self[OPENER].peer.standing().head
            self[1].peer.choose(head, device, self.now, self.wall(1))
        else:
            self.gone(OPENER)
            self.wait(5.0)
            if how == "take":
                peer.take_pen(self.now, self.wall(to))
                self.wait(2.0)
            else:
                peer.force_pen(self.now, self.wall(to))
            self.heal()
        self.settle()

    def lie(self, number: int, stamp: int, payload: Payload = ("note", {}), kind: str = Kind.FREE) -> Entry:
        """The next entry of a station, stamped by hand, comes to all others."""
        peer = self[number].peer
        assert peer.log is not None
        entries = peer.journal.logs[peer.log].entries
        entry = write(
            self[number].keys,
            log=peer.log,
            seq=len(entries),
            prev=entries[-1].id,
            anchor=peer.standing().head,
            time=self.wall(number),
            stamp=stamp,
            kind=kind,
            payload=payload,
        )
        frame = wire.encode(wire.Chunk(0, [wire.Packed(entry.body, entry.signature)]))
        for other in self.stations:
            if other.number != number:
                link = other.number * 100 + number
                other.peer.receive(link, frame, self.now, self.wall(other.number))
        self.settle()
        return entry
