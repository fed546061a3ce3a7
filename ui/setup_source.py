"""The world behind the set-up face: the data folder, the station that was opened or joined, pairing, looking.

Everything slow happens on a thread of its own with an event loop; calls return at once and what came of them
is told as news. Knows no window.
"""

from __future__ import annotations

import asyncio
import platform
import secrets
import threading
import time
from collections.abc import Callable, Coroutine
from dataclasses import replace
from pathlib import Path
from typing import Any

from crewlink.crew.posts import Post
from crewlink.folder import FORMAT, FolderError, StationFile, StationFolder
from crewlink.home import Choices, Home
from crewlink.opening import CourtPlan
from crewlink.serving import TROUBLES
from crewlink.snapshot import RefusalView, Snapshot
from protocol import interfaces
from protocol.address import Address
from protocol.book import WriteError
from protocol.identity import Identity
from protocol.pairing import MOST_WRONG, Candidate, PairingRefused
from protocol.pairing_beacon import HostSeen, PairingSearch, PairingUnfindable
from protocol.pairing_code import TICKET_PREFIX, Code, CodeError, Ticket, check_digit
from protocol.pairing_shell import Joined, PairingFailed, join
from protocol.pairing_wire import Admission
from ui.bridge.setup_port import CrewMember, HeardCourt, Joining, Knock, Network, SetupNews, ShownCode
from ui.bridge.submit import Command
from ui.code_door import CodeDoor
from ui.remembering import Remembering
from ui.station_source import Sent

LONGEST_DEVICE = 24
SNAPSHOT_SECONDS = 0.5
RETIRE_SECONDS = 1.0
REFUSED_EARLY = "The court is not open yet."


class SetupDesk:
    """The `Desk` of a running program. `begin` starts its thread, `end` stops it and closes what is open.

    `gone`: called (on the window's thread) when set-up is over; then `station` or `resumed` says where to go.
    """

    def __init__(self, home: Home, *, clock: Callable[[], float] = time.monotonic, device: str = "") -> None:
        self._home = home
        self._clock = clock
        self._told: Callable[[SetupNews], None] = _nobody
        self._pictured: Callable[[Snapshot], None] = _nobody
        self._gone: Callable[[], None] = _nothing
        self._lock = threading.Lock()
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._run, name="crewlink set-up", daemon=True)
        self._tasks: set[asyncio.Task[None]] = set()
        self._seeking: asyncio.Task[None] | None = None
        self._door: CodeDoor | None = None
        self._answer: asyncio.Future[bool] | None = None
        self._where: tuple[str, ...] = ()
        self._post = ""
        self.station: Remembering | None = None
        self.folder: Path | None = None
        self.news = SetupNews(
            device=(device or platform.node())[:LONGEST_DEVICE],
            choices=home.choices(),
            known=home.courts(),
        )

    # -- begin and end

    def begin(
        self,
        told: Callable[[SetupNews], None],
        pictured: Callable[[Snapshot], None],
        gone: Callable[[], None],
    ) -> None:
        """Start. `told` gets the news and `pictured` the court's snapshots, both from any thread."""
        self._told, self._pictured, self._gone = told, pictured, gone
        self._thread.start()
        self._do(self._look_at_network())
        told(self.news)

    def end(self) -> None:
        """Stop looking and showing. The station goes on: whoever takes `station` stops it."""
        self._told, self._pictured = _nobody, _nobody
        if self._thread.is_alive():
            asyncio.run_coroutine_threadsafe(self._close(), self._loop).result(10.0)
            self._loop.call_soon_threadsafe(self._loop.stop)
            self._thread.join(10.0)

    def submit(self, command: Command) -> Sent:
        """Hand a command to the court's station."""
        if self.station is None:
            return Sent(RefusalView(REFUSED_EARLY))
        return self.station.submit(command)

    def snapshot(self) -> Snapshot:
        """The court's newest snapshot; a blank one before there is a court."""
        return (
            Snapshot(self._clock(), str(Post.SCORER), "") if self.station is None else self.station.snapshot()
        )

    # -- what the face asks

    def listen(self, told: Callable[[SetupNews], None]) -> None:
        """Give the news to `told`, now and whenever they change."""
        self._told = told
        told(self.news)

    def keep(self, choices: Choices) -> None:
        """Remember how this person likes the program."""
        self._tell(choices=choices, trouble="")
        try:
            self._home.keep(choices)
        except FolderError as error:
            self._tell(trouble=str(error))

    def seek(self, on: bool) -> None:
        """Listen for courts, or stop listening."""
        self._loop.call_soon_threadsafe(self._seek, on)

    def open_court(self, plan: CourtPlan) -> None:
        """Make the court and start its station here."""
        self._do(self._open(plan))

    def show_code(self, post: str) -> None:
        """Show a code for a job; "" takes it away."""
        self._do(self._show(post))

    def admit(self, yes: bool) -> None:
        """Answer the device that knocks."""
        self._loop.call_soon_threadsafe(self._say, yes)

    def join(self, where: tuple[str, ...], post: str) -> None:
        """Prepare to join; the text of a square joins at once."""
        self._where, self._post = where, post
        self._tell(joining=Joining.NOT, trouble="")
        if where and where[0].startswith(TICKET_PREFIX):
            ticket = Ticket.parse(where[0])
            self._do(self._join(ticket.addresses, ticket.secret))

    def offer(self, digits: str) -> None:
        """Try a code at the chosen court."""
        self._do(self._join(tuple(map(Address.parse, self._where)), Code.parse(digits).secret))

    def code_fits(self, digits: str) -> bool:
        """Whether the last of nine digits fits the others."""
        return check_digit(digits) == 0

    def leave(self) -> None:
        """Forget the joining that was begun."""
        self._tell(joining=Joining.NOT, trouble="")

    def go(self, folder: str) -> None:
        """Set-up is over."""
        if folder:
            self.folder = Path(folder)
        self._gone()

    # -- work on the loop

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        self._loop.run_forever()
        self._loop.close()

    def _do(self, work: Coroutine[Any, Any, None]) -> None:
        def begin() -> None:
            task = self._loop.create_task(work)
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)

        self._loop.call_soon_threadsafe(begin)

    def _tell(self, **changes: Any) -> None:
        with self._lock:
            self.news = replace(self.news, **changes)
            news = self.news
        self._told(news)

    async def _close(self) -> None:
        self._seek(False)
        await self._close_door()
        tasks = [task for task in self._tasks if task is not asyncio.current_task()]
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    async def _look_at_network(self) -> None:
        while True:
            seen = await asyncio.to_thread(interfaces.snapshot)
            alone = all(interfaces.is_loopback(one) for one in interfaces.addresses(seen))
            network = Network.NONE if alone else Network.HEARD
            if network is not self.news.network:
                self._tell(network=network)
            await asyncio.sleep(2.0)

    # -- open

    async def _open(self, plan: CourtPlan) -> None:
        if self.station is not None:
            return
        try:
            path = await asyncio.to_thread(self._home.open_court, plan)
            await self._start(path)
        except TROUBLES as error:
            self._tell(trouble=str(error))
        else:
            self._tell(opened=True, trouble="")

    async def _start(self, path: Path) -> None:
        source = Remembering(path, self._home)
        await asyncio.to_thread(source.start)
        self.station, self.folder = source, path
        source.listen(self._picture)
        self._do(self._refresh(source))

    async def _refresh(self, source: Remembering) -> None:
        """A post that has gone silent changes nothing by itself: ask again."""
        while True:
            await asyncio.sleep(SNAPSHOT_SECONDS)
            source.refresh()

    def _picture(self, snapshot: Snapshot) -> None:
        """A snapshot came, on the link's thread."""
        reach = {link.post: CrewMember(link.post, link.state, link.silent) for link in snapshot.links}
        reach[snapshot.post] = CrewMember(snapshot.post, "here")
        crew = tuple(reach.get(post, CrewMember(post, "unfilled")) for post in map(str, Post))
        if crew != self.news.crew:
            self._tell(crew=crew)
        self._pictured(snapshot)

    # -- show a code

    async def _show(self, post: str) -> None:
        await self._close_door()
        if not post or self.folder is None:
            return
        identity = Identity.load(StationFolder(self.folder).identity)
        door = CodeDoor(identity, self._approve, clock=self._clock)
        try:
            await door.open()
        except TROUBLES as error:
            self._tell(trouble=str(error))
            return
        self._door = door
        self._do(self._expire(door))
        self._tell(code=self._code(door, post), knock=None, trouble=door.trouble)
        self._do(self._count_tries(door, post))

    def _code(self, door: CodeDoor, post: str) -> ShownCode:
        tries = max(0, MOST_WRONG - door.wrong)
        return ShownCode(post, door.digits, door.ends, tries, door.number, door.address, door.square)

    async def _count_tries(self, door: CodeDoor, post: str) -> None:
        wrong = 0
        while self._door is door:
            await door.guessed(wrong)
            wrong = door.wrong
            if self._door is door and self.news.code is not None:
                self._tell(code=self._code(door, post))

    async def _expire(self, door: CodeDoor) -> None:
        """A code that is too old stays on the screen, crossed out; its ports close."""
        await asyncio.sleep(max(0.0, door.ends - self._clock()))
        await door.close()

    async def _retire(self, door: CodeDoor | None) -> None:
        """A code that was used: give the other device its answer first, then close."""
        await asyncio.sleep(RETIRE_SECONDS)
        if self._door is door:
            await self._close_door()

    async def _close_door(self) -> None:
        door, self._door = self._door, None
        if door is not None:
            self._tell(code=None, knock=None)
            await door.close()

    async def _approve(self, candidate: Candidate) -> Admission | None:
        """A device knows the code: the person here looks at its name."""
        code, station = self.news.code, self.station
        if code is None or station is None or self._answer is not None:
            return None
        self._answer = asyncio.get_running_loop().create_future()
        self._tell(knock=Knock(candidate.name, code.post))
        try:
            if not await self._answer:
                return None
            return await asyncio.wrap_future(station.station.admit(candidate, code.post))
        except (WriteError, *TROUBLES) as error:
            self._tell(trouble=str(error))
            return None
        finally:
            self._answer = None
            self._tell(knock=None, code=None)
            self._do(self._retire(self._door))

    def _say(self, yes: bool) -> None:
        if self._answer is not None and not self._answer.done():
            self._answer.set_result(yes)

    # -- join

    def _seek(self, on: bool) -> None:
        if on and self._seeking is None:
            self._seeking = self._loop.create_task(self._search())
        elif not on and self._seeking is not None:
            self._seeking.cancel()
            self._seeking = None
            self._tell(heard=())

    async def _search(self) -> None:
        while True:
            try:
                async with PairingSearch(self._heard):
                    await asyncio.get_running_loop().create_future()
            except PairingUnfindable:
                self._tell(network=Network.NONE)
            await asyncio.sleep(2.0)

    def _heard(self, hosts: tuple[HostSeen, ...]) -> None:
        heard = tuple(
            HeardCourt(f"{host.number} {host.addresses[0]}", host.number, tuple(map(str, host.addresses)))
            for host in hosts
        )
        self._tell(heard=heard)

    async def _join(self, addresses: tuple[Address, ...], secret: bytes) -> None:
        self._tell(joining=Joining.ASKING, trouble="")
        identity = Identity.create(secrets.token_bytes)
        try:
            joined = await join(addresses, secret, identity, self._name(), random_bytes=secrets.token_bytes)
            await self._start(self._keep_joined(identity, joined))
        except (PairingRefused, PairingFailed, CodeError, *TROUBLES) as error:
            self._tell(joining=Joining.REFUSED, trouble=str(error))
        except TimeoutError:
            self._tell(joining=Joining.REFUSED, trouble="Nobody answered on the other device. Try again.")
        else:
            self._tell(joining=Joining.JOINED, trouble="")

    def _name(self) -> str:
        """What the other screen shows when it asks whether to let this device in."""
        return f"{self.news.device}, for {self._post}"

    def _keep_joined(self, identity: Identity, joined: Joined) -> Path:
        me = joined.invitation.member(identity.device)
        assert me is not None, "an admission without this device is refused before"
        station = StationFile(FORMAT, me.post, addresses=(str(joined.host),))
        return self._home.add(station, identity, joined.invitation)


def _nobody(_news: object) -> None:
    """Until set-up begins nobody is told."""


def _nothing() -> None:
    """Until set-up begins nothing ends."""
