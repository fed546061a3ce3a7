"""What a court costs: one entry folded in, and a whole match of 3,000 entries replayed from its file's rows.

    python -m tests.bench.replay

Prints medians and the growth from 750 to 3,000 entries. No limits are asserted; figures vary by machine.
"""

from __future__ import annotations

import hashlib
import itertools
import statistics
import time

from crewlink import charter
from crewlink.charter import Charter
from crewlink.crew.commands import AnswerNotice, Raise
from crewlink.match.commands import BeginSet, LineUp, Point, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet
from crewlink.rules.format import FormatOptions
from crewlink.station import Station
from protocol.entry import StoredEntry
from protocol.identity import Identity
from protocol.output import Commit
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation, Member

PLAYERS = tuple(range(1, 13))
WALL = 1_700_000_000_000
SIX = (1, 2, 3, 4, 5, 6)


class Alone:
    """One station that writes a long match by itself, its rows kept as a file would keep them."""

    def __init__(self) -> None:
        count = itertools.count()

        def source(size: int) -> bytes:
            return b"".join(hashlib.sha256(next(count).to_bytes(8, "big")).digest() for _ in range(2))[:size]

        self.source = source
        self.identity = Identity.create(source)
        one = self.identity
        member = Member(one.device, one.public_key, one.tls_cert, one.binding, "scorer")
        self.invitation = Invitation(source(16), one.device, (member,))
        setup = MatchSetup(
            format=FormatOptions(best_of=199, points=25),
            team_a=TeamSheet(players=PLAYERS, captain=1),
            team_b=TeamSheet(players=PLAYERS, captain=2),
        )
        self.founding = FoundingCharter((one.device,), charter.to_map(Charter(setup)), charter.FOLD_VERSION)
        self.rows: list[StoredEntry] = []
        self.now = 0.0
        self.station = self.started(())

    def started(self, rows: tuple[StoredEntry, ...]) -> Station:
        peer = Peer(
            self.identity,
            self.invitation,
            run=self.source(16),
            stored=rows,
            wall_ms=WALL,
            found=self.founding,
        )
        return Station(peer, "scorer")

    def settle(self) -> None:
        while commits := [output for output in self.station.drain() if isinstance(output, Commit)]:
            for commit in commits:
                self.rows += commit.rows
                self.station.committed(commit.batch, self.now, WALL + round(self.now * 1000))

    def write(self, entries: int) -> list[float]:
        """Write until so many rows are kept; seconds each point took from command to folded and saved."""
        taken: list[float] = []
        turn = itertools.cycle([Team.A, Team.B, Team.A, Team.A, Team.B])
        while len(self.rows) < entries:
            court = self.station.court
            if court is not None and not court.match.in_set:
                for command in (
                    Toss(Team.A, Team.A),
                    LineUp(Team.A, SIX, captain=1),
                    LineUp(Team.B, SIX, captain=2),
                    BeginSet(),
                ):
                    self.station.submit(command, self.now, WALL + round(self.now * 1000))
                self.settle()
                continue
            self.now += 20.0
            begun = time.perf_counter()
            self.station.submit(Point(next(turn)), self.now, WALL + round(self.now * 1000))
            self.settle()
            taken.append(time.perf_counter() - begun)
            if len(self.rows) % 40 == 0:
                self.notice()
        return taken

    def notice(self) -> None:
        """Raise and answer a notice, as every second game of a match sees one."""
        made = self.station.submit(Raise("conduct", "A"), self.now, WALL)
        if made.entries:
            self.station.submit(AnswerNotice(made.entries[0]), self.now, WALL)
        self.settle()


def main() -> None:
    """Measure and print."""
    alone = Alone()
    alone.settle()
    taken = alone.write(3000)
    early, late = statistics.median(taken[50:350]), statistics.median(taken[-300:])
    print(f"one point, command to folded (signed, no disk): median {early * 1e6:.0f} us at the start,")
    print(f"  {late * 1e6:.0f} us at 3,000 entries (ratio {late / early:.2f})")
    figures = {}
    for entries in (750, 1500, 3000):
        rows = tuple(alone.rows[:entries])
        times = []
        for _ in range(3):
            begun = time.perf_counter()
            station = alone.started(rows)
            assert station.court is not None
            times.append(time.perf_counter() - begun)
        figures[entries] = statistics.median(times)
        print(f"replay of {entries} entries, signatures checked: {figures[entries] * 1000:.0f} ms")
    print(f"growth 750 to 3,000: {figures[3000] / figures[750]:.2f} (4.00 is straight)")


if __name__ == "__main__":
    main()
