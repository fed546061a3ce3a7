"""Stamps of one station: they grow whatever clocks do, follow a clock, and no lie draws them along."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from protocol.stamp import (
    AHEAD_MS,
    COUNT,
    MAX_MS,
    MAX_STAMP,
    StampClock,
    by_clock,
    milliseconds_of,
    stamp_of,
)

WALL = 1_700_000_000_000
MS = st.integers(WALL - 10_000, WALL + 10_000)
STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("write"), st.none() | MS),
        st.tuples(st.just("see"), st.integers(stamp_of(WALL - 10_000), stamp_of(WALL + 10_000) + 9)),
        st.tuples(st.just("see"), st.integers(0, MAX_STAMP - 1)),
    ),
    max_size=60,
)


def run(steps: list[tuple[str, int | None]], first: int = WALL) -> tuple[list[tuple[int, int]], StampClock]:
    """What is given, each with the highest honest stamp that was seen or given before."""
    clock, made = StampClock(), []
    highest = clock.write(first)
    for what, value in steps:
        if what == "write":
            stamp = clock.write(value)
            made.append((highest, stamp))
            highest = max(highest, stamp)
        else:
            assert value is not None
            clock.see(value)
            if value <= stamp_of(WALL + 10_000) + 9:
                highest = max(highest, value)
    return made, clock


@given(STEPS)
def test_stamps_grow_past_all_that_is_seen_but_lies(steps: list[tuple[str, int | None]]) -> None:
    """Clocks go forth and back, are lost and found; some of what is seen is any number of 64 bits."""
    made, clock = run(steps)
    assert all(before < stamp for before, stamp in made)
    assert clock.highest < MAX_STAMP


@given(STEPS)
def test_no_lie_draws_stamps_past_the_limit(steps: list[tuple[str, int | None]]) -> None:
    made, _ = run(steps)
    limit = stamp_of(WALL + 10_000 + AHEAD_MS) + COUNT + len(made)
    assert all(stamp <= limit for _, stamp in made)


@given(STEPS, st.integers(0, 5000))
def test_a_clock_that_is_past_all_else_is_shown_as_it_is(
    steps: list[tuple[str, int | None]], more: int
) -> None:
    _, clock = run(steps)
    now = milliseconds_of(clock.highest) + 1 + more
    assert clock.write(now) in (stamp_of(now), clock.highest)
    later = now + 2 * AHEAD_MS + 1  # what waited may have come to count meanwhile
    stamp = clock.write(later)
    assert stamp >= stamp_of(later) and (by_clock(stamp) == (stamp == stamp_of(later)))


def test_a_stamp_too_far_ahead_counts_once_the_clock_gets_there() -> None:
    clock = StampClock()
    clock.write(WALL)
    far = stamp_of(WALL + AHEAD_MS + 1)
    clock.see(far)
    assert clock.write(WALL) == stamp_of(WALL) + 1
    assert clock.write(WALL + 1) == far + 1, "ten minutes ahead, and no more, is believed"


def test_the_last_stamp_that_is_believed() -> None:
    for ahead, believed in ((0, True), (1, False)):
        clock = StampClock()
        clock.write(WALL)
        clock.see(stamp_of(WALL + AHEAD_MS + ahead))
        assert (milliseconds_of(clock.write(WALL)) > WALL) == believed


def test_a_full_count_carries_and_a_count_of_nought_says_that_a_clock_was_read() -> None:
    clock = StampClock()
    assert by_clock(clock.write(WALL))
    clock.see(stamp_of(WALL) + COUNT)
    carried = clock.write(WALL)
    assert milliseconds_of(carried) == WALL + 1 and not by_clock(carried)
    assert carried > stamp_of(WALL) + COUNT


def test_clocks_before_1970_and_at_the_end_of_the_range() -> None:
    clock = StampClock()
    assert [clock.write(-5), clock.write(-4)] == [1, 2]
    last = StampClock()
    made = [last.write(2**53) for _ in range(3)]
    assert milliseconds_of(made[0]) == MAX_MS and made == sorted(set(made)) and made[-1] < MAX_STAMP
    last.see(MAX_STAMP - 1)
    assert last.write(2**53) == made[-1] + 1
