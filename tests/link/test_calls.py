"""Calls on a network that loses first packets: more tries, one connection, nothing left over."""

import asyncio
import socket

import pytest

from protocol import ports
from protocol.address import Address
from tests.link.parts import in_loop

HERE = Address("127.0.0.1", 1)


class Tries:
    """Stands in for the tries of a call: what becomes of each, in order of beginning."""

    def __init__(self, *ends: socket.socket | OSError | None) -> None:
        self.begun = 0
        self.cancelled = 0
        self._ends = ends

    async def __call__(self, _address: Address, _pause: float) -> socket.socket:
        end = self._ends[self.begun]
        self.begun += 1
        if end is None:
            try:
                await asyncio.Event().wait()
            except asyncio.CancelledError:
                self.cancelled += 1
                raise
        if isinstance(end, OSError):
            raise end
        assert end is not None
        return end


@in_loop
async def test_the_first_try_that_gets_through_is_the_call(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as second:
        tries = Tries(None, second, None)
        monkeypatch.setattr(ports, "_try", tries)
        assert await ports.connect(HERE) is second
        await asyncio.sleep(0)
        assert tries.cancelled == 2 and second.fileno() >= 0


@in_loop
async def test_a_second_connection_of_one_call_is_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as one, socket.socket() as other:
        monkeypatch.setattr(ports, "_try", Tries(one, other, None))
        made = await ports.connect(HERE)
        await asyncio.sleep(0)
        assert sorted(each.fileno() >= 0 for each in (one, other)) == [False, True]
        assert made.fileno() >= 0


@in_loop
async def test_a_no_ends_the_call_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    tries = Tries(ConnectionRefusedError(), None, None)
    monkeypatch.setattr(ports, "_try", tries)
    with pytest.raises(ConnectionRefusedError):
        await ports.connect(HERE)
    await asyncio.sleep(0)
    assert tries.cancelled == 2


@in_loop
async def test_silence_ends_the_call_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    tries = Tries(None, None, None)
    monkeypatch.setattr(ports, "_try", tries)
    with pytest.raises(TimeoutError):
        await ports.connect(HERE, 0.01)
    await asyncio.sleep(0)
    assert tries.cancelled == 3
