"""When a session tells what is saved here: spaced, but never so late that the sender has to wait for it."""

from __future__ import annotations

import pytest

from protocol.session import MAX_BYTES_OUT, MAX_CHUNKS_OUT, VECTOR_BURST, Remote, Session
from protocol.wire import Chunk, Packed


def spent() -> Session:
    """A session that has told several times in a row at second 0."""
    session = Session(1, Remote(bytes(32)), 0.0)
    for _ in range(int(VECTOR_BURST)):
        assert session.may_tell(0.0)
    assert not session.may_tell(0.0)
    return session


def chunk(number: int, size: int) -> Chunk:
    return Chunk(number, [Packed(bytes(size), bytes(64), None)])


def test_little_that_came_waits_for_its_turn() -> None:
    session = spent()
    session.took(chunk(1, 400), 1)
    assert not session.may_tell(0.1)
    assert session.may_tell(0.3)


@pytest.mark.parametrize(
    ("chunks", "size"), [(1, MAX_BYTES_OUT // 4), (4, MAX_BYTES_OUT // 16), (MAX_CHUNKS_OUT // 4, 10)]
)
def test_much_that_came_is_told_at_once(chunks: int, size: int) -> None:
    """The sender has only so much on its way: it would stand still until it hears."""
    session = spent()
    for number in range(1, chunks + 1):
        assert not session.may_tell(0.0)
        session.took(chunk(number, size), number)
    assert session.may_tell(0.0)
    assert session.got(chunks) == chunks
    assert not session.may_tell(0.1)
