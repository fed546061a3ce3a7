"""What is the same at every station is worked out once: bytes that are read, the shape of fields, signatures.

Frames and entries are never changed once they are read, so that saves time and nothing else; a test plays
seeds with it and without, and finds the same runs. A forged signature is checked wherever it comes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from hashlib import sha256
from typing import TypeVar
from unittest.mock import patch

from protocol import book, entry, intake, journal, membership, pen, wire
from protocol.entry import TAG, Entry, Fields, decoded, read, verify
from tests.sim.station import SimIdentity

_R = TypeVar("_R")
_KEPT = 50_000


def _once(work: Callable[..., _R]) -> Callable[..., _R]:
    """Work whose answer is remembered; an error is not, so that it is found again."""
    known: dict[tuple[object, ...], _R] = {}

    def remembered(*given: object) -> _R:
        answer = known.get(given)
        if answer is None:
            if len(known) >= _KEPT:
                known.clear()
            answer = known[given] = work(*given)
        return answer

    return remembered


def _shape_once() -> Callable[[Fields, type[_R]], _R | None]:
    """`decoded`, once for the fields of each entry, by which of them it is and not by what they hold."""
    known: dict[tuple[int, type], tuple[Fields, object]] = {}

    def remembered(fields: Fields, shape: type[_R]) -> _R | None:
        name = (id(fields), shape)
        found = known.get(name)
        if found is None:
            if len(known) >= _KEPT:
                known.clear()
            found = known[name] = (fields, decoded(fields, shape))  # kept, so that its number stays its own
        return found[1]  # type: ignore[return-value]

    return remembered


def _signed_once(stack: ExitStack) -> None:
    """What a key of this hall has signed needs no check; anything else is checked once if it is good."""
    good: set[tuple[bytes, bytes, bytes]] = set()
    original = SimIdentity.sign

    def sign(self: SimIdentity, data: bytes) -> bytes:
        signature = original(self, data)
        good.add((data, signature, self.public_key))
        return signature

    def check(one: Entry, public_key: bytes) -> None:
        name = (TAG + sha256(one.body).digest(), one.signature, public_key)
        if name not in good:
            verify(one, public_key)
            good.add(name)

    stack.enter_context(patch.object(SimIdentity, "sign", sign))
    stack.enter_context(patch.object(book, "verify", check))


@contextmanager
def worked_out_once() -> Iterator[None]:
    """While this holds, a frame is decoded once, an entry read once, and a signature checked once."""
    with ExitStack() as stack:
        _signed_once(stack)
        reading, shape = _once(read), _shape_once()
        for module in (book, entry, intake):
            stack.enter_context(patch.object(module, "read", reading))
        for module in (journal, membership, pen):
            stack.enter_context(patch.object(module, "decoded", shape))
        stack.enter_context(patch.object(wire, "decode", _once(wire.decode)))
        yield
