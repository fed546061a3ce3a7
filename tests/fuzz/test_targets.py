"""Every parser of outside bytes takes spoilt samples, or refuses them by its own error, within its bounds.

A few dozen inputs a target; `python -m tests.fuzz` runs millions.
"""

from __future__ import annotations

import gc
import tracemalloc
from collections.abc import Iterator
from functools import lru_cache
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.judge import CORPUS, kept, measured, seeds
from tests.fuzz.mutation import Form, mutated
from tests.fuzz.target import Run, Target, TooLarge, TooSlow
from tests.fuzz.targets import TARGETS

SLOW = ("match files", "write-ahead logs", "acts at a station")

pytestmark = pytest.mark.filterwarnings("ignore:Parsed a serial number")


@lru_cache
def made(target: Target) -> tuple[Run, list[bytes]]:
    return target.make(), list(seeds(target))


@pytest.fixture(autouse=True)
def traced() -> Iterator[None]:
    gc.collect()
    tracemalloc.start()
    yield
    tracemalloc.stop()


def named(target: Target) -> str:
    return target.name


@pytest.mark.parametrize("target", TARGETS, ids=named)
def test_good_samples_are_taken_and_those_that_broke_it_no_longer_do(target: Target) -> None:
    run, _ = made(target)
    taken = [measured(target, run, sample) for sample in target.samples()]
    assert any(taken)
    for data in kept(target):
        measured(target, run, data)


@pytest.mark.parametrize("target", [each for each in TARGETS if each.name not in SLOW], ids=named)
@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@given(st.randoms(use_true_random=False))
def test_spoilt_samples(target: Target, random: Random) -> None:
    run, samples = made(target)
    measured(target, run, mutated(random, random.choice(samples), target.form, samples)[: target.longest])


@pytest.mark.parametrize("target", [each for each in TARGETS if each.name in SLOW], ids=named)
@settings(max_examples=20, suppress_health_check=list(HealthCheck))
@given(st.randoms(use_true_random=False))
def test_spoilt_samples_of_what_is_slow(target: Target, random: Random) -> None:
    run, samples = made(target)
    measured(target, run, mutated(random, random.choice(samples), target.form, samples)[: target.longest])


@pytest.mark.parametrize("target", [each for each in TARGETS if each.name not in SLOW], ids=named)
@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@given(st.binary(max_size=300))
def test_any_bytes(target: Target, data: bytes) -> None:
    measured(target, made(target)[0], data)


def test_the_corpus_stays_small_and_belongs_to_targets() -> None:
    folders = {path.name for path in CORPUS.iterdir()}
    assert folders <= {each.name.replace(" ", "-") for each in TARGETS}
    assert sum(path.stat().st_size for path in CORPUS.rglob("*")) < 200_000


def test_what_is_too_slow_too_large_or_unnamed_is_seen() -> None:
    def hungry(data: bytes) -> bool:
        return len(bytes(2_000_000)) > 0

    def broken(data: bytes) -> bool:
        return bool(1 / len(data))

    target = Target("bad", Form.BYTES, lambda: hungry, lambda: [b"x"], 1, most_kb=1000)
    with pytest.raises(TooLarge, match="1953 kB"):
        measured(target, hungry, b"x")
    with pytest.raises(ZeroDivisionError):
        measured(target, broken, b"")
    hasty = Target("hasty", Form.BYTES, lambda: hungry, lambda: [b"x"], 1, most_seconds=0.0)
    with pytest.raises(TooSlow):
        measured(hasty, hungry, b"x")
