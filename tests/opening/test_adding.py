"""One more device for a court that runs: a code again after set-up is over, over real sockets."""

from __future__ import annotations

import asyncio
import secrets
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from crewlink.home import Home
from protocol.address import Address
from protocol.pairing_code import Code
from protocol.pairing_shell import Joined, join
from tests.opening.desk_process import PLAN
from ui.bridge.setup_port import SetupNews
from ui.setup_source import SetupDesk
from ui.station_source import StationSource

WAIT_S = 30.0


class Table:
    """A court that runs, and the desk beside its face."""

    def __init__(self, home: Home, stack: ExitStack) -> None:
        self._changed = threading.Condition()
        self.news = SetupNews()
        source = StationSource(home.open_court(PLAN))
        source.start()
        stack.callback(source.stop)
        self.desk = SetupDesk(home, device="laptop", station=source)
        stack.callback(self.desk.end)
        source.listen(self.desk.picture)
        self.source = source

    def told(self, news: SetupNews) -> None:
        with self._changed:
            self.news = news
            self._changed.notify_all()

    def until(self, happened: Callable[[], object], what: str) -> None:
        end = time.monotonic() + WAIT_S
        with self._changed:
            while not happened():
                self.source.refresh()
                self._changed.wait(0.2)
                assert time.monotonic() < end, f"not within {WAIT_S} s: {what}: {self.news}"


@pytest.fixture
def table(tmp_path: Path) -> Iterator[Table]:
    with ExitStack() as stack:
        yield Table(Home(tmp_path / "laptop"), stack)


def joining(table: Table, tablet: Home, post: str) -> Joined:
    """The code is typed on the tablet, and the person at the table says yes."""
    code = table.news.code
    assert code is not None
    at = Address("127.0.0.1", Address.parse(code.address).port)
    secret = Code.parse(code.digits).secret
    identity = tablet.identity()
    name = f"tablet, for {post}"

    async def both() -> Joined:
        asked = asyncio.create_task(join([at], secret, identity, name, random_bytes=secrets.token_bytes))
        await asyncio.to_thread(table.until, lambda: table.news.knock, "the knock")
        table.desk.admit(True)
        return await asked

    return asyncio.run(both())


def test_a_code_is_shown_again_in_the_match(table: Table, tmp_path: Path) -> None:
    """Nothing is opened before it is asked for; a device comes as R2, the next job gets a code of its own."""
    table.desk.begin(table.told, lambda _: None, lambda: None)
    table.until(lambda: table.news.sign.startswith("Court 7: "), "court and words")
    assert table.news.code is None
    table.desk.show_code("R2")
    table.until(lambda: table.news.code, "the code")
    joined = joining(table, Home(tmp_path / "tablet"), "R2")
    assert {member.post for member in joined.invitation.members} == {"scorer", "R2"}
    table.until(lambda: table.news.code is None, "the code is gone")
    table.until(lambda: "R2" not in {one.post for one in table.news.crew if one.reach == "unfilled"}, "R2")
    table.desk.show_code("R1")
    table.until(lambda: table.news.code is not None and table.news.code.post == "R1", "the next code")
    table.desk.show_code("")
    table.until(lambda: table.news.code is None, "taken away")


def test_a_desk_that_is_never_asked_leaves_nothing_behind(table: Table) -> None:
    table.desk.end()
    assert table.news == SetupNews()
