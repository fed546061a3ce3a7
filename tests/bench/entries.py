"""Measures entries: signing, verifying, loading, catching up, one record entry more, ranking the tree.

Run from the root: `python -m tests.bench.entries`. Processor time; each figure is the best of several runs.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from protocol.entry import NONE, Entry, Kind, read, verify, write
from protocol.peer import Peer
from protocol.stamp import stamp_of
from tests.protocol.hall import WALL, Hall, Keys

ENTRIES = 3000
RUNS = 5


def best(work: Callable[[], object], runs: int = RUNS) -> float:
    """Seconds of processor time of the quickest run."""
    times = []
    for _ in range(runs):
        began = time.process_time()
        work()
        times.append(time.process_time() - began)
    return min(times)


def signing() -> tuple[float, float, float]:
    """Entries a second: written, read, verified."""
    keys = Keys("bench")

    def one(number: int) -> Entry:
        return write(
            keys,
            log=NONE,
            seq=number,
            prev=NONE,
            anchor=NONE,
            time=WALL,
            stamp=stamp_of(WALL),
            kind=Kind.RECORD,
            payload=(
                "write",
                {"epoch": NONE, "index": number, "fact": ["point", {"to": "A"}], "because": None},
            ),
        )

    entries = [one(number) for number in range(1000)]
    wrote = best(lambda: [one(number) for number in range(1000)])
    parsed = best(lambda: [read(entry.body, entry.signature) for entry in entries])
    verified = best(lambda: [verify(entry, keys.public_key) for entry in entries])
    return 1000 / wrote, 1000 / parsed, 1000 / verified


def long_hall(count: int) -> Hall:
    """Two stations apart, one with so many record entries."""
    hall = Hall(2)
    hall.part({0}, {1})
    for number in range(count):
        hall[0].write(["point", {"to": "AB"[number % 2]}])
    hall.settle()
    return hall


def main() -> None:
    wrote, parsed, verified = signing()
    print(f"write and sign   {wrote:9.0f} a second")
    print(f"read             {parsed:9.0f} a second")
    print(f"verify           {verified:9.0f} a second")
    hall = long_hall(ENTRIES)
    began = time.process_time()
    hall.heal()
    caught = ENTRIES / (time.process_time() - began)
    print(f"catch up         {caught:9.0f} entries a second, both ends together")
    rows = list(hall[1].disk.values())
    keys, invitation = hall[1].keys, hall.invitation

    def load() -> Peer:
        return Peer(keys, invitation, run=b"r" * 16, stored=rows, wall_ms=WALL)

    print(f"load             {len(rows) / best(load, 3):9.0f} entries a second")
    pen = hall[1].peer._book.pen

    def rank() -> None:
        pen._stale = True
        pen.path()

    print(f"rank the tree    {best(rank) * 1000:9.2f} ms at {ENTRIES} entries")
    for count in (100, ENTRIES):
        print(f"one entry more   {step(count):9.0f} microseconds at {count}, both ends, with its receipt")


def step(count: int) -> float:
    """Microseconds for one record entry and its receipt, both stations together."""
    hall = long_hall(count)
    hall.heal()
    before = hall[1].peer.rankings
    began = time.process_time()
    for number in range(200):
        hall[0].write(["point", {"n": number}])
        hall.settle()
        hall[1].peer.standing()
    spent = time.process_time() - began
    assert hall[1].peer.rankings == before
    return spent / 200 * 1e6


if __name__ == "__main__":
    main()
