"""Offset and delay of another station's clock against RFC 5905, Network Time Protocol Version 4.

Section 8: offset = ((T2 - T1) + (T3 - T4)) / 2, delay = (T4 - T1) - (T3 - T2), with T1, T4 on our clock and
T2, T3 on theirs. Section 10, clock filter: of the last eight samples the one with the least delay counts.
Here T2 = T3: the answer goes out in the step in which the question came in. The true offset lies within half
the delay (section 4, root distance: the offset is off by at most delay / 2). A clock that parts from its
counter by more than the step threshold, STEPT = 128 ms (code skeleton in the appendix), was set, and what
the filter held is dropped (from memory, as are the section numbers).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.clock import KEPT, ClockFilter

MS = st.integers(0, 10**13)
WALL = 1_700_000_000_000


def rfc_offset(t1: float, t2: float, t3: float, t4: float) -> float:
    return ((t2 - t1) + (t3 - t4)) / 2


def rfc_delay(t1: float, t2: float, t3: float, t4: float) -> float:
    return (t4 - t1) - (t3 - t2)


class Pair:
    """Two clocks: ours is true, theirs is off by `offset` ms and drifts; `ask` is one ping and its answer."""

    def __init__(self, offset: float = 0.0, drift: float = 0.0) -> None:
        self.filter = ClockFilter()
        self.now, self.offset, self.drift, self.set_by = 100.0, offset, drift, 0.0

    @property
    def wall(self) -> int:
        return WALL + round(self.now * 1000.0 + self.set_by)

    @property
    def true_offset(self) -> float:
        return self.offset + self.now * 1000.0 * self.drift - self.set_by

    def ask(self, out: float = 2.0, back: float = 2.0, pause: float = 1.0) -> None:
        """`out`, `back`: ms on the way; `pause`: seconds before."""
        self.now += pause
        sent, asked = self.now, self.wall
        self.now += out / 1000.0
        theirs = round(self.wall + self.true_offset)
        self.now += back / 1000.0
        self.filter.add(sent, asked, theirs, self.now, self.wall)

    @property
    def error(self) -> float:
        assert self.filter.offset_ms is not None
        return abs(self.filter.offset_ms - self.true_offset)


@given(t1=MS, theirs=MS, way=st.integers(0, 5000))
def test_offset_and_delay_are_those_of_the_rfc(t1: int, theirs: int, way: int) -> None:
    found, t4 = ClockFilter(), t1 + way
    found.add(10.0, t1, theirs, 10.0 + way / 1000, t4)
    assert found.offset_ms == pytest.approx(rfc_offset(t1, theirs, theirs, t4))
    assert found.delay_ms == pytest.approx(rfc_delay(t1, theirs, theirs, t4), abs=1e-3)


@given(offset=st.integers(-(10**7), 10**7), out=st.integers(0, 500), back=st.integers(0, 500))
def test_the_error_of_the_offset_is_at_most_half_the_delay(offset: int, out: int, back: int) -> None:
    pair = Pair(offset)
    pair.ask(out, back)
    assert pair.filter.delay_ms is not None
    assert pair.error <= pair.filter.delay_ms / 2 + 1.0  # both walls are whole milliseconds


def test_eight_samples_are_kept_and_the_quickest_counts() -> None:
    assert KEPT == 8
    pair = Pair(100.0)
    pair.ask(2.0, 2.0)
    for number in range(7):
        pair.ask(20.0 + number, 60.0)
    assert pair.filter.delay_ms == pytest.approx(4.0) and pair.error <= 1.0
    pair.ask(20.0, 60.0)
    assert pair.filter.delay_ms == pytest.approx(80.0), "the ninth pushed the first out"


@given(
    ways=st.lists(st.tuples(st.floats(0, 900), st.floats(0, 900)), min_size=1, max_size=30),
    offset=st.floats(-(10**7), 10**7),
    drift=st.floats(-2e-4, 2e-4),
)
def test_samples_of_clocks_that_nobody_sets_never_contradict(
    ways: list[tuple[float, float]], offset: float, drift: float
) -> None:
    """However uneven the ways, and though the clocks drift by 200 ppm: no sample is dropped too early."""
    pair = Pair(offset, drift)
    for count, (out, back) in enumerate(ways, 1):
        pair.ask(out, back)
        assert len(pair.filter._samples) == min(count, KEPT)


def test_their_clock_is_set_and_the_next_answer_tells() -> None:
    pair = Pair(50.0)
    for _ in range(8):
        pair.ask(1.0, 1.0)
    pair.offset += 3_600_000.0
    pair.ask(30.0, 60.0)
    assert pair.error <= 46.0, "not the quickest sample, but the only one that is of this clock"


def test_our_own_clock_is_set_and_the_next_answer_tells() -> None:
    pair = Pair(50.0)
    for _ in range(8):
        pair.ask(1.0, 1.0)
    pair.set_by -= 7_200_000.0
    pair.ask(30.0, 60.0)
    assert pair.error <= 46.0


def test_an_answer_that_was_slept_over_is_no_sample() -> None:
    """The counter stood still while the wall clock went on: the way looks quick, and is not."""
    pair = Pair(50.0)
    pair.ask(1.0, 1.0)
    asked = pair.wall
    theirs = round(asked + pair.true_offset)
    pair.filter.add(pair.now, asked, theirs, pair.now + 0.001, asked + 30_000)
    assert pair.error <= 1.0
    assert len(pair.filter._samples) == 1


@given(step=st.floats(-90.0, 90.0))
def test_a_clock_that_is_put_right_by_little_is_not_taken_for_set(step: float) -> None:
    pair = Pair(0.0)
    pair.ask(40.0, 40.0)
    pair.set_by += step
    pair.ask(60.0, 60.0)
    assert len(pair.filter._samples) == 2
