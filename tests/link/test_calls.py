"""Calls on a network that loses packets: more tries, begun anew, one connection, nothing left over."""

import asyncio
import errno
import socket
import ssl
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager, suppress

import pytest

from protocol import connecting, door, pairing_shell
from protocol.address import Address
from protocol.connecting import Way, connect, reaching
from protocol.pairing import MOST_WRONG, PairingRefused, Refusal
from protocol.pairing_shell import PairingFailed, look_at
from tests.link.parts import Watch, in_loop
from tests.link.test_pairing import OTHER, WRONG, Person, hosting, joining

HERE = Address("127.0.0.1", 1)
REAL_TRY = connecting._try


class Tries:
    """Stands in for the tries of a call: what becomes of each, in order of beginning; None: silence."""

    def __init__(self, *ends: socket.socket | OSError | None) -> None:
        self.begun = 0
        self.cancelled = 0
        self._ends = ends

    async def __call__(self, _way: Way) -> socket.socket:
        end = self._ends[min(self.begun, len(self._ends) - 1)]
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


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tries of a call all begin in the same moment."""
    monkeypatch.setattr(connecting, "TRIES", (0.0, 0.0, 0.0))
    monkeypatch.setattr(connecting, "AGAIN_SECONDS", 0.0)


@in_loop
async def test_the_first_try_that_gets_through_is_the_call(
    monkeypatch: pytest.MonkeyPatch, at_once: None
) -> None:
    with socket.socket() as second:
        tries = Tries(None, second, None)
        monkeypatch.setattr(connecting, "_try", tries)
        assert await connect(HERE) is second
        await asyncio.sleep(0)
        assert tries.begun == 3 and tries.cancelled == 2 and second.fileno() >= 0


@in_loop
async def test_a_second_connection_of_one_call_is_closed(
    monkeypatch: pytest.MonkeyPatch, at_once: None
) -> None:
    with socket.socket() as one, socket.socket() as other:
        monkeypatch.setattr(connecting, "_try", Tries(one, other, None))
        made = await connect(HERE)
        await asyncio.sleep(0)
        assert sorted(each.fileno() >= 0 for each in (one, other)) == [False, True]
        assert made.fileno() >= 0


@in_loop
async def test_a_no_ends_the_call_at_once(monkeypatch: pytest.MonkeyPatch, at_once: None) -> None:
    tries = Tries(ConnectionRefusedError(), None, None)
    monkeypatch.setattr(connecting, "_try", tries)
    with pytest.raises(ConnectionRefusedError):
        await connect(HERE)
    await asyncio.sleep(0)
    assert tries.cancelled == 2


@in_loop
async def test_silence_ends_the_call_in_time(monkeypatch: pytest.MonkeyPatch, at_once: None) -> None:
    tries = Tries(None, None, None)
    monkeypatch.setattr(connecting, "_try", tries)
    with pytest.raises(TimeoutError):
        await connect(HERE, 0.05)
    await asyncio.sleep(0)
    assert tries.begun == tries.cancelled == 3


@pytest.mark.parametrize("lost", [errno.EHOSTUNREACH, errno.ENETUNREACH, errno.ETIMEDOUT])
@in_loop
async def test_no_way_just_now_is_not_the_end_of_a_call(
    monkeypatch: pytest.MonkeyPatch, at_once: None, lost: int
) -> None:
    """The system's three questions for a neighbour may all be lost: it then says that there is no way."""
    with socket.socket() as late:
        no_way = [OSError(lost, "no way")] * 6
        tries = Tries(*no_way, late)
        monkeypatch.setattr(connecting, "_try", tries)
        assert await connect(HERE, 20) is late
        assert tries.begun >= 7


@in_loop
async def test_a_name_with_two_ways_is_called_both_ways(
    monkeypatch: pytest.MonkeyPatch, at_once: None
) -> None:
    called: list[str] = []

    async def note(way: Way) -> socket.socket:
        called.append(str(way[1][0]))
        return await asyncio.get_running_loop().create_future()

    async def two(_: Address) -> list[Way]:
        return [(socket.AF_INET6, ("fd00::1", 1, 0, 0)), (socket.AF_INET, ("127.0.0.1", 1))]

    monkeypatch.setattr(connecting, "_try", note)
    monkeypatch.setattr(connecting, "_ways", two)
    with pytest.raises(TimeoutError):
        await connect(Address("table.local", 1), 0.05)
    assert called == ["fd00::1", "127.0.0.1", "fd00::1"]


# With real sockets.


class Full:
    """A port whose queue is full: the system drops every first packet until `make_room`."""

    def __init__(self) -> None:
        self._ear = socket.create_server(("127.0.0.1", 0), backlog=0)
        self.address = Address(*self._ear.getsockname())
        self._waiting = [socket.socket() for _ in range(2)]
        for each in self._waiting:
            each.setblocking(False)
            with suppress(BlockingIOError):
                each.connect(self.address)
        self._taken: list[socket.socket] = []

    def make_room(self) -> None:
        self._taken.append(self._ear.accept()[0])
        self._taken.append(self._ear.accept()[0])

    def close(self) -> None:
        for each in (*self._waiting, *self._taken, self._ear):
            each.close()


@contextmanager
def full_port() -> Iterator[Full]:
    port = Full()
    try:
        yield port
    finally:
        port.close()


def count_tries(monkeypatch: pytest.MonkeyPatch, watch: Watch) -> list[Way]:
    """The tries as they begin; they go on as real ones."""
    begun: list[Way] = []

    async def counted(way: Way) -> socket.socket:
        begun.append(way)
        watch()
        return await REAL_TRY(way)

    monkeypatch.setattr(connecting, "_try", counted)
    return begun


@in_loop
async def test_a_port_that_swallows_first_packets_is_called_until_it_answers(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(connecting, "TRY_SECONDS", 0.1)
    watch = Watch()
    begun = count_tries(monkeypatch, watch)
    with full_port() as port:
        calling = asyncio.create_task(connect(port.address, 30))
        await watch.until(lambda: len(begun) > 2 * len(connecting.TRIES), "each try was begun anew")
        assert not calling.done()
        port.make_room()
        made = await calling
        assert made.getpeername() == port.address
        made.close()


@in_loop
async def test_a_connection_that_had_to_wait_gives_way_to_a_fresh_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Its system has learned a wrong length of the way from it, and would wait as long for what is lost."""
    monkeypatch.setattr(connecting, "SLOW_SECONDS", 0.0)
    monkeypatch.setattr(connecting, "FRESH_SECONDS", 20.0)
    made: list[socket.socket] = []

    async def noted(way: Way) -> socket.socket:
        made.append(await REAL_TRY(way))
        return made[-1]

    monkeypatch.setattr(connecting, "_try", noted)
    with socket.create_server(("127.0.0.1", 0)) as ear:
        connection = await connect(Address(*ear.getsockname()), 30)
        assert connection is not made[0] and connection in made
        await asyncio.sleep(0)
        assert [each for each in made if each.fileno() >= 0] == [connection]
        connection.close()


@in_loop
async def test_where_no_fresh_one_comes_about_the_first_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connecting, "SLOW_SECONDS", 0.0)
    with socket.socket() as first:
        monkeypatch.setattr(connecting, "TRIES", (0.0,))
        monkeypatch.setattr(connecting, "_try", Tries(first, ConnectionRefusedError()))
        assert await connect(HERE) is first
        monkeypatch.setattr(connecting, "_try", Tries(first, None))
        assert await connect(HERE) is first and first.fileno() >= 0


@in_loop
async def test_a_silent_address_holds_up_no_other() -> None:
    async with hosting(Person()) as host:
        with full_port() as silent:
            addresses = [silent.address, Address("127.0.0.1", host.port)]
            async with reaching(addresses, 30) as made:
                address, connection = await made.get()
            assert address == addresses[1]
            assert isinstance(connection, socket.socket)
            connection.close()
            assert await look_at(addresses) is not None


class Middle:
    """A relay before a port that keeps silent on the first calls, or hangs up on them."""

    def __init__(self, port: int, silent: int) -> None:
        self.calls = 0
        self.talks: set[asyncio.Task[None]] = set()
        self._port = port
        self._silent = silent

    async def answer(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self.calls += 1
        talk = asyncio.current_task()
        assert talk is not None
        self.talks.add(talk)
        try:
            if self.calls <= self._silent:
                await reader.read()
                return
            inner, outer = await asyncio.open_connection("127.0.0.1", self._port)
            await asyncio.gather(pump(reader, outer), self.bring(inner, writer))
        except (OSError, asyncio.CancelledError):
            pass  # asyncio takes a talk that ends by a cancellation for a fault
        finally:
            writer.close()

    async def bring(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """What the port says."""
        await pump(reader, writer)


class Cutting(Middle):
    """Breaks the first talk off once the person at the host has been asked: the answer is lost."""

    def __init__(self, port: int, person: Person) -> None:
        super().__init__(port, 0)
        self._person = person

    async def bring(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        while data := await reader.read(65536):
            if self._person.asked and self.calls == 1:
                break
            writer.write(data)
        writer.close()


async def pump(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    try:
        while data := await reader.read(65536):
            writer.write(data)
    finally:
        writer.close()


@asynccontextmanager
async def before(port: int, silent: int) -> AsyncIterator[tuple[Middle, int]]:
    middle = Middle(port, silent)
    async with answering(middle) as own:
        yield middle, own


@asynccontextmanager
async def answering(middle: Middle) -> AsyncIterator[int]:
    server = await asyncio.start_server(middle.answer, "127.0.0.1", 0)
    try:
        yield server.sockets[0].getsockname()[1]
    finally:
        server.close()
        for talk in middle.talks:
            talk.cancel()
        await asyncio.gather(*middle.talks)


@in_loop
async def test_a_handshake_that_gets_stuck_is_begun_again_and_is_no_guess(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(door, "HANDSHAKE_SECONDS", 0.3)
    person = Person()
    async with hosting(person) as host, before(host.port, 2) as (middle, port):
        joined = await joining(port)
        assert joined.host.port == 4242 and person.asked == ["tablet"]
        assert middle.calls >= 3 and host.window.wrong == 0


@in_loop
async def test_a_device_whose_answer_was_lost_comes_again_and_nobody_is_asked_twice() -> None:
    person = Person()
    async with hosting(person) as host:
        middle = Cutting(host.port, person)
        async with answering(middle) as port:
            joined = await joining(port)
        assert joined.host.port == 4242
        assert person.asked == ["tablet"] and middle.calls == 2 and host.window.wrong == 0
        with pytest.raises(PairingRefused) as caught:
            await joining(host.port, own=OTHER)
        assert caught.value.reason is Refusal.USED


@in_loop
async def test_wrong_codes_are_counted_where_they_are_proved_and_lost_calls_are_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(door, "HANDSHAKE_SECONDS", 0.3)
    async with hosting(Person()) as host:
        for guess in range(1, MOST_WRONG + 1):
            async with before(host.port, 1) as (middle, port):
                with pytest.raises(PairingRefused) as caught:
                    await joining(port, WRONG)
            assert middle.calls >= 2 and host.window.wrong == guess
        assert caught.value.reason is Refusal.TOO_MANY
        with pytest.raises(PairingRefused):
            await joining(host.port)


@pytest.mark.parametrize(("heard", "said"), [(False, "cannot be reached"), (True, "lets no call through")])
@in_loop
async def test_what_is_said_when_no_call_gets_through(
    monkeypatch: pytest.MonkeyPatch, heard: bool, said: str
) -> None:
    monkeypatch.setattr(pairing_shell, "patience", lambda _heard: 0.2)
    with full_port() as silent, pytest.raises(PairingFailed, match=said):
        await joining(silent.address.port, heard=heard)


@in_loop
async def test_a_device_that_is_heard_is_called_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    called: list[float] = []

    async def knock(*_: object, seconds: float) -> None:
        called.append(seconds)
        raise ConnectionRefusedError

    monkeypatch.setattr(pairing_shell, "knock", knock)
    for heard in (False, True):
        with pytest.raises(PairingFailed):
            await joining(1, heard=heard)
        assert await look_at([HERE], heard=heard) is None
    assert called[0] == called[1] < called[2] == called[3]


@in_loop
async def test_whoever_is_not_the_door_is_not_called_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Another program listens there: it answers, and not as a door does."""
    calls = 0

    async def babble(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        nonlocal calls
        calls += 1
        writer.write(b"220 ready\r\n")
        writer.close()

    server = await asyncio.start_server(babble, "127.0.0.1", 0)
    address = Address("127.0.0.1", server.sockets[0].getsockname()[1])
    with pytest.raises((ssl.SSLError, ConnectionResetError)):
        await door.knock([address], ssl.create_default_context())
    assert calls == 1
    server.close()
