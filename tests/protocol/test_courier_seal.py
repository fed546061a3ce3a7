from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.courier_seal import (
    HEADER_SIZE,
    MAX_DATAGRAM,
    MOST_KEYS,
    MOST_REPEATS,
    OLD_KEY_SECONDS,
    TAG_SIZE,
    UNLINKED_SECONDS,
    WINDOW,
    Seals,
    Window,
    derive,
)

A, B, C = (bytes([number]) * 32 for number in (1, 2, 3))


class Clock:
    def __init__(self) -> None:
        self.now = 50.0
        self.tls: float | None = 50.0


def seals(own: bytes, clock: Clock, seed: int = 0) -> Seals:
    return Seals(own, random.Random(f"{own.hex()} {seed}").randbytes, lambda device: clock.tls)


def agree(one: Seals, other: Seals, first: bytes = A, second: bytes = B) -> None:
    one.begin(second)
    other.begin(first)
    waiting = [(other, first, one.shared(second)), (one, second, other.shared(first))]
    while waiting:
        at, sender, said = waiting.pop(0)
        assert said is not None
        if at.hear(sender, said):
            back = (one, second) if at is other else (other, first)
            waiting.append((*back, at.shared(sender)))


@pytest.fixture
def pair() -> tuple[Seals, Seals, Clock]:
    clock = Clock()
    one, other = seals(A, clock), seals(B, clock)
    agree(one, other)
    return one, other, clock


Pair = tuple[Seals, Seals, Clock]


def test_what_is_sealed_opens_once_at_the_other_end(pair: Pair) -> None:
    one, other, clock = pair
    for words in (b"a", b"b" * 1000):
        counter, datagram = one.seal(B, words)
        opened = other.open(datagram, clock.now)
        assert opened is not None and (opened.device, opened.counter, opened.words) == (A, counter, words)
        assert len(datagram) == HEADER_SIZE + len(words) + TAG_SIZE
        assert other.open(datagram, clock.now) is None
        assert one.open(datagram, clock.now) is None


def test_the_two_directions_and_other_devices_have_other_keys() -> None:
    share_a, share_b = b"a" * 32, b"b" * 32
    there = derive(A, B, share_a, share_b)
    back = derive(B, A, share_b, share_a)
    third = derive(A, C, share_a, share_b)
    assert len({there, back, third}) == 3
    assert len({name for name, _ in (there, back, third)}) == 3


@given(st.data())
def test_a_changed_datagram_does_not_open(data: st.DataObject) -> None:
    clock = Clock()
    one, other = seals(A, clock), seals(B, clock)
    agree(one, other)
    _, datagram = one.seal(B, data.draw(st.binary(min_size=1, max_size=100)))
    place = data.draw(st.integers(0, len(datagram) - 1))
    change = data.draw(st.integers(1, 255))
    spoilt = bytearray(datagram)
    spoilt[place] ^= change
    assert other.open(bytes(spoilt), clock.now) is None
    cut = data.draw(st.integers(0, len(datagram) - 1))
    assert other.open(datagram[:cut], clock.now) is None
    assert other.open(datagram + b"x", clock.now) is None
    assert other.open(datagram, clock.now) is not None  # what was forged has not used up its counter


@given(st.binary(max_size=MAX_DATAGRAM + 10))
def test_no_bytes_do_worse_than_not_to_open(datagram: bytes) -> None:
    clock = Clock()
    one, other = seals(A, clock), seals(B, clock)
    agree(one, other)
    assert other.open(datagram, clock.now) is None


@given(st.lists(st.integers(1, 3000), max_size=60))
def test_a_window_takes_each_counter_once_and_none_that_is_too_old(counters: list[int]) -> None:
    window = Window()
    taken: set[int] = set()
    for counter in counters:
        wanted = counter not in taken and counter > max(taken, default=0) - WINDOW
        assert window.is_new(counter) == wanted
        if wanted:
            window.take(counter)
            taken.add(counter)
    assert not window.is_new(0)
    assert window.seen < 1 << WINDOW


def test_a_new_key_is_used_only_when_the_other_names_it(pair: Pair) -> None:
    one, other, clock = pair
    _, old = one.seal(B, b"old")
    one.begin(B)
    other.begin(A)
    said = other.shared(A)
    assert said is not None and one.hear(B, said)
    _, still = one.seal(B, b"still")
    assert still[1:9] == old[1:9] and not one.settled(B)
    ours = one.shared(B)
    assert ours is not None and ours.opens is not None
    assert other.hear(A, ours)  # they have ours and the name of their key: they seal with it
    assert other.settled(A) and not one.settled(B)
    answer = other.shared(A)
    assert answer is not None and answer.seals and not one.hear(B, answer)
    _, new = one.seal(B, b"new")
    assert new[1:9] != old[1:9] and one.settled(B)
    assert [found.words for d in (new, old, still) if (found := other.open(d, clock.now))] == [
        b"new",
        b"old",
        b"still",
    ]


def test_an_old_key_opens_ten_seconds_after_a_new_one_is_used(pair: Pair) -> None:
    one, other, clock = pair
    late = [one.seal(B, b"late")[1] for _ in range(3)]
    agree(one, other)
    clock.now = clock.tls = 500.0
    assert other.open(late[0], clock.now) is not None  # nothing has come under the new one yet
    assert other.open(one.seal(B, b"new")[1], clock.now) is not None
    assert other.open(late[1], clock.now + OLD_KEY_SECONDS) is not None
    assert other.open(late[2], clock.now + OLD_KEY_SECONDS + 0.1) is None


def test_four_keys_are_kept_at_most(pair: Pair) -> None:
    one, other, clock = pair
    first = one.seal(B, b"first")[1]
    for _ in range(MOST_KEYS):
        agree(one, other)
    assert other.open(first, clock.now) is None
    assert len(other._by_id) == MOST_KEYS


def test_no_nonce_comes_twice_whatever_becomes_of_the_keys(pair: Pair) -> None:
    one, other, _ = pair
    heads = set()
    for turn in range(20):
        for _ in range(3):
            heads.add(one.seal(B, b"x")[1][:HEADER_SIZE])
        if turn % 5 == 4:
            one.forget_all()
        agree(one, other)
    assert len(heads) == 60


def test_keys_are_gone_after_a_revocation_a_sleep_and_ten_minutes_without_a_link(pair: Pair) -> None:
    one, other, clock = pair
    datagrams = [one.seal(B, b"x")[1] for _ in range(3)]
    assert other.open(datagrams[0], clock.now + UNLINKED_SECONDS) is not None
    assert other.open(datagrams[1], clock.now + UNLINKED_SECONDS + 1) is None
    assert not other.can_seal(A, clock.now) and other.open(datagrams[1], clock.now) is None
    agree(one, other)
    datagram = one.seal(B, b"x")[1]
    other.forget(A)
    assert other.open(datagram, clock.now) is None and not other.can_seal(A, clock.now)
    agree(one, other)
    one.forget_all()
    assert not one.can_seal(B, clock.now) and not one._by_id


def test_keys_settle_although_words_are_lost_and_then_nothing_more_is_said() -> None:
    clock = Clock()
    one, other = seals(A, clock), seals(B, clock)
    one.begin(B)
    other.begin(A)
    rng = random.Random(1)
    for _ in range(MOST_REPEATS):
        for at, sender, said in ((other, A, one.again(B)), (one, B, other.again(A))):
            while said is not None and rng.random() < 0.6:
                if not at.hear(sender, said):
                    break
                at, sender, said = (one, B, other.shared(A)) if at is other else (other, A, one.shared(B))
    assert one.settled(B) and other.settled(A)
    assert one.again(B) is None and other.again(A) is None


def test_who_never_answers_is_told_a_few_times_only() -> None:
    one = seals(A, Clock())
    one.begin(B)
    assert sum(one.again(B) is not None for _ in range(100)) == MOST_REPEATS


def test_a_key_is_repeatable_from_its_parts() -> None:
    key_id, key = derive(A, B, b"a" * 32, b"b" * 32)
    assert (len(key_id), len(key)) == (8, 32)
    assert derive(A, B, b"a" * 32, b"b" * 32) == (key_id, key)
    assert key != derive(A, B, b"b" * 32, b"a" * 32)[1]
