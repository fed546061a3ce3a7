from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol.courier_seal import HEADER_SIZE, MAX_DATAGRAM, TAG_SIZE
from protocol.courier_words import MAX_CARRIED, Carry, Held, Passed, Receipt, Words, decode, encode

HELD = st.builds(Held, st.binary(min_size=8, max_size=8), st.integers(0, 2**31), st.integers(0, 2**64 - 1))
DEVICE = st.binary(min_size=32, max_size=32)
CARRY = st.builds(
    Carry,
    st.binary(min_size=64, max_size=64),
    st.binary(min_size=1, max_size=MAX_CARRIED),
    st.none() | DEVICE,
)
WORDS = CARRY | st.builds(Receipt, st.integers(0, 2**64 - 1), HELD) | st.builds(Passed, DEVICE, HELD)


@given(WORDS)
def test_words_come_out_as_they_went_in(words: Words) -> None:
    assert decode(encode(words)) == words
    assert HEADER_SIZE + len(encode(words)) + TAG_SIZE <= MAX_DATAGRAM


@given(st.binary(max_size=1300))
def test_bytes_are_words_or_nothing(data: bytes) -> None:
    words = decode(data)
    assert words is None or encode(words) == data


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\x00",
        b"\x05" + bytes(100),
        b"\x01" + bytes(64),
        b"\x01" + bytes(64 + MAX_CARRIED + 1),
        b"\x02" + bytes(96),
        encode(Receipt(1, Held(b"m" * 8, 1, 0))) + b"x",
        encode(Receipt(1, Held(b"m" * 8, 1, 0)))[:-1],
        encode(Receipt(1, Held(b"m" * 8, 2**32 - 1, 0))),
        encode(Passed(b"d" * 32, Held(b"m" * 8, 1, 0)))[:-1],
    ],
)
def test_what_does_not_fit_exactly_is_no_word(data: bytes) -> None:
    assert decode(data) is None


@given(HELD, st.integers(0, 2**31 + 100))
def test_a_receipt_covers_what_is_below_its_base_and_what_its_mask_names(held: Held, seq: int) -> None:
    log = held.mark + bytes(24)
    named = {held.base + 1 + bit for bit in range(64) if held.mask >> bit & 1}
    assert held.covers(log, seq) == (seq < held.base or seq in named)
    assert not held.covers(bytes([log[0] ^ 1]) + log[1:], seq)


def test_a_receipt_is_smaller_than_any_entry() -> None:
    assert len(encode(Receipt(1, Held(b"m" * 8, 1, 0)))) < len(encode(Carry(b"s" * 64, b"b")))
