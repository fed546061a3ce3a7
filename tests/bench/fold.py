"""Measures folding: microseconds a fact, milliseconds a record of 1,500 entries, growth with the length.

Run from the root: `python -m tests.bench.fold`. Processor time, so that other work on the machine
counts little; each figure of a whole fold is the median of several runs.
"""

from __future__ import annotations

import random
import statistics
import time

from crewlink.match import engine
from crewlink.match.chain import Chain
from crewlink.match.commands import (
    BeginSet,
    Command,
    EndTimeOut,
    LiberoSwap,
    LineUp,
    Pair,
    Point,
    Substitute,
    TimeOut,
    Toss,
)
from crewlink.match.facts import Fact
from crewlink.match.setup import MatchSetup
from crewlink.match.state import Match
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.rules.format import FormatOptions
from tests.match.playing import BASE_A, BASE_B, SHEET_A, SHEET_B

RUNS = 7
Entries = tuple[tuple[bytes, Fact], ...]


def long_setup(sets: int) -> MatchSetup:
    """A match of so many sets, all played."""
    return MatchSetup(team_a=SHEET_A, team_b=SHEET_B, format=FormatOptions(all_sets=sets))


def entries(setup: MatchSetup, wanted: int | None, seed: int = 1) -> Entries:
    """A record as a table writes it: rallies, libero replacements, time-outs, substitutions."""
    match, source, made = engine.begin(setup), random.Random(seed), list[tuple[bytes, Fact]]()
    while not match.finished and (wanted is None or len(made) < wanted):
        for command in _next(match, source):
            for fact in engine.decide(match, command).facts:
                match = engine.evolve(match, fact)
                made.append((len(made).to_bytes(32, "big"), fact))
    return tuple(made if wanted is None else made[:wanted])


def _next(match: Match, source: random.Random) -> list[Command]:
    if match.phase is Phase.CHECK:
        return [BeginSet()]
    if match.phase is Phase.TIME_OUT:
        return [EndTimeOut()]
    if match.phase is not Phase.PLAY:
        sheets = [LineUp(Team.A, BASE_A, (), 4), LineUp(Team.B, BASE_B, (), 8)]
        return [Toss(Team.A, Team.A), *sheets] if match.toss_due else list(sheets)
    team = source.choice(list(Team))
    chance = source.random()
    swaps = [_libero(match, each) for each in Team]
    if chance < 0.03:
        return [*swaps, TimeOut(team), Point(team)]
    if chance < 0.08:
        return [
            *swaps,
            Substitute(team, (Pair(_bench(match, team), match.court(team).order[2]),)),
            Point(team),
        ]
    return [*swaps, Point(team)]


def _bench(match: Match, team: Team) -> int:
    return next(n for n in match.squad(team).sheet.players[6:] if n not in match.court(team).order)


def _libero(match: Match, team: Team) -> Command:
    """Bring the libero on in position 5, off in the front row."""
    court, squad = match.court(team), match.squad(team)
    if court.libero is not None and court.stands_for is not None:
        return LiberoSwap(team, court.stands_for, court.libero)
    return LiberoSwap(team, squad.liberos[0], court.order[4])


def fact_times(setup: MatchSetup, record: Entries) -> list[float]:
    """Processor seconds for each fact folded at the head of a chain."""
    chain, times = Chain.start(setup), list[float]()
    for entry_id, fact in record:
        begun = time.thread_time()
        chain = chain.extend(entry_id, fact)
        times.append(time.thread_time() - begun)
    return times


def fold_time(setup: MatchSetup, record: Entries) -> float:
    """Median processor seconds for one whole fold."""
    times = []
    for _ in range(RUNS):
        begun = time.thread_time()
        Chain.fold(setup, record)
        times.append(time.thread_time() - begun)
    return statistics.median(times)


def main() -> None:
    """Print the three figures."""
    setup = long_setup(40)
    record = entries(setup, 3000)
    times = fact_times(setup, record)
    median, worst = statistics.median(times) * 1e6, max(times) * 1e6
    print(f"one fact at the head of the record: median {median:.1f} us, longest {worst:.0f} us")
    five = MatchSetup(team_a=SHEET_A, team_b=SHEET_B)
    whole = entries(five, None, seed=4)
    print(f"a whole match of {len(whole)} entries: {fold_time(five, whole) * 1e3:.1f} ms")
    folds = {size: fold_time(setup, record[:size]) for size in (750, 1500, 3000)}
    print(f"1500 entries: {folds[1500] * 1e3:.1f} ms")
    first, second = folds[1500] / folds[750], folds[3000] / folds[1500]
    print(f"growth: 750 to 1500 entries x{first:.2f}, 1500 to 3000 entries x{second:.2f}")


if __name__ == "__main__":
    main()
