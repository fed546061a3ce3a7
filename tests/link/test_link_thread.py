"""The link in its own thread, as a window uses it: starts, answers, hands over changes, stops."""

import asyncio
import random
import socket
import threading
from collections.abc import Callable
from pathlib import Path
from queue import SimpleQueue

import pytest

from protocol.address import Address
from protocol.driving import Event
from protocol.link_thread import MERGE_SECONDS, Changes, LinkThread, LinkThreadError
from protocol.node import Node, wall_milliseconds
from protocol.output import Arrived
from protocol.peer import Peer
from protocol.ports import PortError
from protocol.roster import FoundingCharter
from protocol.store import Store
from protocol.store_error import DiskFull, InUse
from tests.link.crew import invite
from tests.link.parts import MATCH, WAIT, identity, in_loop

A, B = identity(1), identity(2)
INVITATION = invite([A, B], MATCH)


class Window:
    """What a window holds: a station's thread and the changes that came."""

    def __init__(self, folder: Path, number: int, *, manual: int | None = None, port: int = 0) -> None:
        self.own = (A, B)[number]
        self.path = folder / f"{number}.sqlite"
        self.changes: SimpleQueue[tuple[Event, ...]] = SimpleQueue()
        self.threads: set[str] = set()
        self._manual = [Address("127.0.0.1", manual)] if manual else []
        self._port = port
        self.thread = LinkThread(self.build, self.changed)

    def changed(self, events: tuple[Event, ...]) -> None:
        self.threads.add(threading.current_thread().name)
        self.changes.put(events)

    async def build(self, on_change: Callable[[tuple[Event, ...]], None]) -> Node:
        store = Store.open(self.path, MATCH)
        founding = FoundingCharter((A.device, B.device), {}) if self.own is A else None
        run, stored = random.Random(str(self.path)).randbytes(16), store.load()
        peer = Peer(self.own, INVITATION, run=run, stored=stored, wall_ms=wall_milliseconds(), found=founding)
        return Node(
            peer,
            store,
            self.own,
            random=random.random,
            on_change=on_change,
            port=self._port,
            manual=self._manual,
        )

    def until(self, condition: Callable[[set[bytes]], bool]) -> None:
        """Take changes until the ids that arrived satisfy the condition."""
        arrived: set[bytes] = set()
        while not condition(arrived):
            for event in self.changes.get(timeout=WAIT):
                if isinstance(event, Arrived):
                    arrived.update(entry.id for entry in event.entries)


def write(node: Node) -> bytes:
    return node.author("free", ("note", {"words": "x"})).id


def test_entries_go_from_one_window_to_the_other(tmp_path: Path) -> None:
    first = Window(tmp_path, 0)
    first.thread.start()
    second = Window(tmp_path, 1, manual=first.thread.submit(lambda node: node.port).result(WAIT))
    second.thread.start()
    entry = first.thread.submit(write).result(WAIT)
    second.until(lambda arrived: entry in arrived)
    answer = second.thread.submit(write).result(WAIT)
    first.until(lambda arrived: answer in arrived)
    assert first.thread.state().result(WAIT).contacts[0].verified
    first.thread.stop()
    second.thread.stop()
    assert first.threads == {"crewlink link"}


def test_what_was_written_just_before_the_end_is_saved(tmp_path: Path) -> None:
    window = Window(tmp_path, 0)
    window.thread.start()
    written = [window.thread.submit(write) for _ in range(50)]
    window.thread.stop()
    store = Store.open(window.path, MATCH)
    assert {row.id for row in store.load()} >= {each.result(WAIT) for each in written}
    store.close()


def test_an_error_of_the_work_comes_back_to_who_gave_it(tmp_path: Path) -> None:
    window = Window(tmp_path, 0)
    window.thread.start()

    def fail(_: Node) -> None:
        raise ValueError("by hand")

    with pytest.raises(ValueError, match="by hand"):
        window.thread.submit(fail).result(WAIT)
    window.thread.submit(write).result(WAIT)
    window.thread.stop()


def test_before_the_start_and_after_the_end_nothing_can_be_given(tmp_path: Path) -> None:
    window = Window(tmp_path, 0)
    with pytest.raises(LinkThreadError, match="not running"):
        window.thread.submit(write)
    window.thread.start()
    window.thread.stop()
    with pytest.raises(LinkThreadError, match="not running"):
        window.thread.submit(write)
    window.thread.stop()


def test_a_start_that_fails_says_why_and_leaves_nothing_behind(tmp_path: Path) -> None:
    with socket.create_server(("", 0)) as taken:
        window = Window(tmp_path, 0, port=taken.getsockname()[1])
        with pytest.raises(PortError, match="Another program"):
            window.thread.start()
    window.thread.stop()
    again = Window(tmp_path, 0)
    again.thread.start()
    with pytest.raises(InUse):
        Window(tmp_path, 0).thread.start()
    again.thread.stop()
    assert not [thread for thread in threading.enumerate() if thread.name.startswith("crewlink")]


def test_an_end_that_cannot_save_says_so(tmp_path: Path) -> None:
    window = Window(tmp_path, 0)
    window.thread.start()
    connection = window.thread.submit(lambda node: node._store._connection).result(WAIT)
    connection.execute("PRAGMA max_page_count = 1")
    window.thread.submit(lambda node: [write(node) for _ in range(500)]).result(WAIT)
    while (storage := window.thread.state().result(WAIT).storage) is None:
        window.changes.get(timeout=WAIT)
    assert "disk is full" in storage
    with pytest.raises(DiskFull):
        window.thread.stop()


@in_loop
async def test_the_first_change_goes_at_once_and_the_next_go_together() -> None:
    loop = asyncio.get_running_loop()
    handed: list[tuple[float, int]] = []
    changes = Changes(lambda events: handed.append((loop.time(), len(events))))
    event = Arrived((), False)
    start = loop.time()
    changes.add((event,))
    assert [count for _, count in handed] == [1]
    for _ in range(100):
        changes.add((event,))
    changes.add(())
    while len(handed) < 2:
        await asyncio.sleep(0)
    assert handed[1][1] == 100
    assert handed[1][0] - start >= MERGE_SECONDS * 0.9
    changes.add(())
    while len(handed) < 3:
        await asyncio.sleep(0)
    assert handed[2][1] == 0
    assert handed[2][0] - handed[1][0] >= MERGE_SECONDS * 0.9
