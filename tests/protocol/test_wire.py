from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protocol import wire
from protocol.wire import BadFrame, Deframer, FrameTooLong, UnknownMessage, decode, encode, with_length

MESSAGES = [
    wire.Hello([1], b"m" * 16, b"d" * 32, b"r" * 16),
    wire.Vector(b"r" * 16, 1, 2, [wire.LogMark(b"l" * 32, 3, b"h" * 32, (b"a" * 32, b"b" * 32))]),
    wire.Chunk(1, [wire.Packed(b"body", b"s" * 64, b"private")]),
    wire.Want(b"l" * 32, 0, 4),
    wire.Lack([b"i" * 32]),
    wire.Texts([wire.Text(b"i" * 32, b"private")]),
    wire.Ping(7, [wire.Beat(b"d" * 32, 2, 30)]),
    wire.Pong(7, 1_700_000_000_000),
    wire.Refuse(b"l" * 32, 5, "newer"),
    wire.Keys(65535, b"s" * 32, b"k" * 8, False),
    wire.Keys(0, b"s" * 32, None, True),
]


@pytest.mark.parametrize("message", MESSAGES, ids=lambda message: type(message).__name__)
def test_a_message_comes_out_as_it_went_in(message: wire.Message) -> None:
    assert decode(encode(message)) == message


def test_unknown_fields_are_ignored_and_unknown_names_are_named() -> None:
    assert decode(b"\x84\xa1t\xa4pong\xa6number\x07\xa4wall\x01\xa5later\x01") == wire.Pong(7, 1)
    with pytest.raises(UnknownMessage) as caught:
        decode(b"\x81\xa1t\xa5music")
    assert caught.value.name == "music"


@pytest.mark.parametrize(
    "frame",
    [
        b"",
        b"\x90",
        b"\x81\xa1t\x01",
        b"\x81\xa1t\xa4ping",
        b"\x82\xa1t\xa4ping\xa6number\xff",
        b"\x82\xa1t\xa4ping\xa6number\xa11",
        b"\x83\xa1t\xa4pong\xa6number\x01\xa4wall\xcb?\xf0\x00\x00\x00\x00\x00\x00",
        b"\xdd\xff\xff\xff\xff",
        b"\xdf\xff\xff\xff\xff",
        b"\xc6\xff\xff\xff\xff",
        b"\x91" * 5000,
        encode(wire.Ping(1)) + b"x",
        encode(wire.Want(b"short", 0, 1)),
        encode(wire.Keys(65536, b"s" * 32, None, False)),
        encode(wire.Keys(1, b"s" * 31, None, False)),
        encode(wire.Keys(1, b"s" * 32, b"k" * 9, False)),
        encode(wire.Lack([b"i" * 32] * (wire.MAX_IDS + 1))),
        encode(wire.Chunk(0, [wire.Packed(b"b", b"s" * 63)])),
        bytes(wire.MAX_FRAME + 1),
    ],
)
def test_anything_else_is_a_bad_frame(frame: bytes) -> None:
    with pytest.raises(BadFrame):
        decode(frame)


@given(st.binary(max_size=200))
def test_no_bytes_do_worse_than_a_wire_error(frame: bytes) -> None:
    with suppress(wire.WireError):
        decode(frame)


@given(st.lists(st.binary(max_size=40), max_size=8), st.lists(st.integers(1, 9), min_size=1, max_size=60))
def test_a_stream_is_cut_into_its_frames_wherever_it_is_torn(frames: list[bytes], steps: list[int]) -> None:
    stream = b"".join(with_length(frame) for frame in frames)
    reader = Deframer()
    found: list[bytes] = []
    while stream:
        step = steps[len(stream) % len(steps)]
        found += reader.feed(stream[:step])
        stream = stream[step:]
    assert found == frames


def test_a_length_above_the_limit_is_refused_before_anything_is_held() -> None:
    with pytest.raises(FrameTooLong) as caught:
        Deframer().feed(b"\xff\xff\xff\xff")
    assert caught.value.length == 2**32 - 1
