"""Clocks that are known by what others tell: offsets add up along a chain, errors are never understated."""

from __future__ import annotations

from math import ceil

from hypothesis import given
from hypothesis import strategies as st

from protocol import wire
from protocol.clock import TOLD_SECONDS, ClockFilter, Estimate
from protocol.clock_news import clocks_for, take_clocks
from protocol.session import Remote, Session

WALL = 1_700_000_000_000
NAMES = [bytes([number]) * 32 for number in range(6)]
RUN = bytes(range(16))
WAY = st.floats(0.0, 400.0)
OFF = st.floats(-1e8, 1e8)


def measured(remote: Remote, offset: float, out: float, back: float, now: float = 10.0) -> None:
    """One ping over ways of so many milliseconds."""
    theirs = round(WALL + out + offset)
    remote.clock.add(now, WALL, theirs, now + (out + back) / 1000, WALL + round(out + back), RUN)


@given(st.lists(st.tuples(OFF, WAY, WAY), min_size=2, max_size=5))
def test_along_a_chain_the_true_offset_lies_within_the_error_that_is_told(
    hops: list[tuple[float, float, float]],
) -> None:
    """Station 0 measures the clock of station 1, 1 that of 2, and so on; the last is told to the first."""
    last = NAMES[len(hops)]
    remotes = [{last: Remote(last)} for _ in hops]
    for number, (offset, out, back) in enumerate(hops):
        remote = remotes[number].setdefault(NAMES[number + 1], Remote(NAMES[number + 1]))
        measured(remote, offset, out, back)
    for number in range(len(hops) - 1, 0, -1):
        to = Session(1, Remote(NAMES[number - 1]), 0.0)
        told = clocks_for(to, remotes[number])
        nearer = remotes[number - 1]
        teller = Session(2, nearer[NAMES[number]], 0.0)
        teller.run = RUN
        take_clocks(teller, told, nearer, 11.0)
    found = remotes[0][last].clock.estimate
    assert found is not None
    true = sum(offset for offset, _, _ in hops)
    assert abs(found.offset_ms - true) <= found.error_ms + 2.0 * len(hops)  # walls are whole milliseconds


def test_nobody_is_told_of_a_clock_that_it_can_ask_or_told_of_itself() -> None:
    remotes = {name: Remote(name) for name in NAMES[1:4]}
    for name in NAMES[1:3]:
        measured(remotes[name], 500.0, 1.0, 1.0)
    remotes[NAMES[3]].clock.hear_of(Estimate(7.0, 2.0, 10.0, NAMES[1], RUN[:8]))
    to_1, to_2 = Session(1, remotes[NAMES[1]], 0.0), Session(2, remotes[NAMES[2]], 0.0)
    assert [told.name for told in clocks_for(to_1, remotes)] == [NAMES[2][:8]]
    assert [told.name for told in clocks_for(to_2, remotes)] == [NAMES[1][:8], NAMES[3][:8]]
    to_2.near = frozenset({NAMES[1][:8]})
    assert [told.name for told in clocks_for(to_2, remotes)] == [NAMES[3][:8]]


@given(way=st.floats(0.5, 300.0))
def test_each_station_on_the_way_makes_it_worse(way: float) -> None:
    """So a word that went in a circle is never taken for a better one."""
    remotes = {name: Remote(name) for name in NAMES[1:3]}
    measured(remotes[NAMES[2]], 500.0, way, way)
    known = remotes[NAMES[2]].clock.estimate
    assert known is not None
    (told,) = clocks_for(Session(1, remotes[NAMES[1]], 0.0), remotes)
    assert told.error >= ceil(known.error_ms) + 1 and told.run == RUN[:8]


def test_nothing_is_reckoned_by_the_clock_of_an_earlier_run_of_the_teller() -> None:
    """It was measured before; its new run may have another."""
    remotes = {name: Remote(name) for name in NAMES[1:3]}
    measured(remotes[NAMES[1]], 500.0, 1.0, 1.0)
    teller = Session(1, remotes[NAMES[1]], 0.0)
    told = [wire.ClockOf(NAMES[2][:8], 100, 1, RUN[:8])]
    teller.run = RUN[::-1]
    take_clocks(teller, told, remotes, 11.0)
    assert remotes[NAMES[2]].clock.estimate is None
    teller.run = RUN
    take_clocks(teller, told, remotes, 11.0)
    assert remotes[NAMES[2]].clock.offset_ms == 600.0


def test_what_is_told_does_not_count_against_what_is_measured_now() -> None:
    clock = ClockFilter()
    clock.add(10.0, WALL, WALL + 501, 10.002, WALL + 2)
    clock.hear_of(Estimate(90_000.0, 1.0, 10.5, NAMES[1]))
    assert clock.offset_ms == 500.0


def test_a_clock_that_was_set_while_out_of_reach_is_known_from_others() -> None:
    """It was measured once, has been out of reach, and its device came back elsewhere with another time."""
    clock = ClockFilter()
    clock.add(10.0, WALL, WALL + 501, 10.002, WALL + 2)
    clock.hear_of(Estimate(500.0, 9.0, 10.0 + TOLD_SECONDS + 1, NAMES[1]))
    assert clock.offset_ms == 500.0 and clock.estimate is not None and clock.estimate.by is None
    clock.hear_of(Estimate(3_600_500.0, 9.0, 10.0 + TOLD_SECONDS + 2, NAMES[1]))
    assert clock.offset_ms == 3_600_500.0
