from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.bucket import Bucket
from protocol.courier_pace import (
    LONGEST_GAP,
    QUICK_COPIES,
    SHORTEST_GAP,
    SLOW_GAP,
    UNKNOWN_GAP,
    RoundTrip,
)


def trip(*samples: float) -> RoundTrip:
    made = RoundTrip()
    for sample in samples:
        made.add(sample)
    return made


def test_the_first_gap_follows_the_round_trip() -> None:
    assert RoundTrip().gap(1) == UNKNOWN_GAP
    assert RoundTrip(guess=0.006).gap(1) == pytest.approx(0.012)
    assert trip(0.001).gap(1) == SHORTEST_GAP
    assert trip(*[0.006] * 50).gap(1) == SHORTEST_GAP
    assert trip(*[0.020, 0.030] * 50).gap(1) == pytest.approx(0.025 + 2 * 0.005, abs=0.003)


@given(st.lists(st.floats(0.0001, 3.0), max_size=40))
def test_gaps_grow_and_stay_within_their_bounds(samples: list[float]) -> None:
    known = trip(*samples)
    gaps = [known.gap(copies) for copies in range(1, QUICK_COPIES)]
    assert all(later >= earlier for earlier, later in itertools.pairwise(gaps))
    assert gaps[0] >= SHORTEST_GAP
    assert max(gaps) <= max(LONGEST_GAP, known.patience)
    assert known.gap(QUICK_COPIES) == known.gap(500) == SLOW_GAP


def test_the_brake_holds_while_the_way_is_full_and_lets_go_after() -> None:
    known = trip(*[0.006] * 20)
    assert not known.braked
    for _ in range(20):
        known.add(0.3)
    assert known.braked
    for _ in range(40):
        known.add(0.006)
    assert not known.braked


def test_a_longer_way_is_believed_in_the_end() -> None:
    known = trip(*[0.005] * 20, *[0.080] * 30)
    assert known.braked
    for _ in range(500):
        known.add(0.080)
    assert not known.braked


@given(
    st.lists(st.tuples(st.floats(0.0, 2.0), st.floats(0.0, 30.0)), max_size=60),
    st.floats(1.0, 100.0),
    st.floats(1.0, 50.0),
)
def test_a_bucket_never_gives_more_than_its_rate_and_burst(
    asks: list[tuple[float, float]], rate: float, burst: float
) -> None:
    bucket = Bucket(rate, burst)
    start = now = 10.0
    taken = 0.0
    for pause, amount in asks:
        now += pause
        if bucket.take(amount, now):
            taken += amount
        assert taken <= burst + rate * (now - start) + 1e-6


def test_a_bucket_fills_again_and_a_clock_that_steps_back_gives_nothing() -> None:
    bucket = Bucket(2.0, 2.0)
    assert bucket.take(2, 100.0) and not bucket.take(1, 100.0)
    assert not bucket.take(1, 40.0)
    assert not bucket.take(1, 40.4) and bucket.take(1, 41.0)
