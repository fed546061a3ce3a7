"""Offset and delay of another station's clock against RFC 5905, Network Time Protocol Version 4.

Section 8: offset = ((T2 - T1) + (T3 - T4)) / 2, delay = (T4 - T1) - (T3 - T2), with T1, T4 on our clock and
T2, T3 on theirs. Section 10, clock filter: of the last eight samples the one with the least delay counts.
Here T2 = T3: the answer goes out in the step in which the question came in.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.clock import KEPT, ClockFilter, court_time

MS = st.integers(0, 10**13)


def rfc_offset(t1: float, t2: float, t3: float, t4: float) -> float:
    return ((t2 - t1) + (t3 - t4)) / 2


def rfc_delay(t1: float, t2: float, t3: float, t4: float) -> float:
    return (t4 - t1) - (t3 - t2)


@given(t1=MS, theirs=MS, way=st.integers(0, 5000))
def test_offset_and_delay_are_those_of_the_rfc(t1: int, theirs: int, way: int) -> None:
    found, t4 = ClockFilter(), t1 + way
    found.add(10.0, t1, theirs, 10.0 + way / 1000, t4)
    assert found.offset_ms == pytest.approx(rfc_offset(t1, theirs, theirs, t4))
    assert found.delay_ms == pytest.approx(rfc_delay(t1, theirs, theirs, t4), abs=1e-3)


@given(offset=st.integers(-(10**7), 10**7), out=st.integers(0, 500), back=st.integers(0, 500))
def test_the_error_of_the_offset_is_at_most_half_the_delay(offset: int, out: int, back: int) -> None:
    """The true offset lies within half the delay of the measured one (RFC 5905, section 8, and appendix)."""
    t1 = 1_700_000_000_000
    found = ClockFilter()
    found.add(0.0, t1, t1 + out + offset, (out + back) / 1000, t1 + out + back)
    assert found.offset_ms is not None and found.delay_ms is not None
    assert abs(found.offset_ms - offset) <= found.delay_ms / 2 + 1e-6


def test_eight_samples_are_kept_and_the_quickest_counts() -> None:
    assert KEPT == 8
    found = ClockFilter()
    for way, offset in [(40, 0), (4, 100), (60, 0), (30, 0), (20, 0), (50, 0), (70, 0), (80, 0)]:
        found.add(0.0, 0, offset + way // 2, way / 1000, way)
    assert (found.delay_ms, found.offset_ms) == (pytest.approx(4.0), pytest.approx(100.0))
    found.add(0.0, 0, 5, 0.010, 10)
    found.add(0.0, 0, 5, 0.010, 10)
    assert (found.delay_ms, found.offset_ms) == (pytest.approx(10.0), pytest.approx(0.0)), "the oldest went"


def test_time_on_the_writers_clock_is_ours_and_the_offset() -> None:
    assert court_time(1000, 250.4) == 1250
    assert court_time(1000, None) == 1000
