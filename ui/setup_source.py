"""The world behind the set-up face: the data folder, the station that was opened or joined, pairing, looking.

Everything slow happens on a thread of its own with an event loop; calls return at once and what came of them
is told as news. Knows no window.
"""

from __future__ import annotations

import asyncio
import contextlib
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
from crewlink.site.hall import read_pass
from crewlink.snapshot import RefusalView, Snapshot
from protocol import interfaces
from protocol.address import Address
from protocol.book import WriteError
from protocol.event_pass import PREFIX as PASS_PREFIX
from protocol.event_pass import PassError
from protocol.identity import Identity, IdentityError
from protocol.inviting import Host, InvitationEar, Invitee
from protocol.near import NearSign
from protocol.pairing import MOST_WRONG, Candidate, PairingRefused
from protocol.pairing_beacon import HostSeen, PairingSearch, PairingUnfindable
from protocol.pairing_code import TICKET_PREFIX, Code, CodeError, Ticket, check_digit
from protocol.pairing_shell import Joined, PairingFailed, Sight, join, look_at
from protocol.pairing_wire import Admission
from protocol.roster import Member
from protocol.words import words_of
from ui.bridge.setup_port import (
    CrewMember,
    Guest,
    HeardCourt,
    Invited,
    Joining,
    Knock,
    Network,
    SetupNews,
    ShownCode,
)
from ui.bridge.submit import Command
from ui.code_door import CodeDoor
from ui.guest_book import GuestBook
from ui.remembering import Remembering
from ui.station_source import Sent, StationSource

LONGEST_DEVICE = 24
SNAPSHOT_SECONDS = 0.5
MOST_SIGHTS = 8
LAST_TURNS = 5
"""Turns of the loop in which what was closed lets go of its sockets."""
RETIRE_SECONDS = 10.0
"""For so long a device to which the answer was lost may come again for it."""
REFUSED_EARLY = "The court is not open yet."


class SetupDesk:
    """The `Desk` of a running program. `begin` starts its thread, `end` stops it and closes what is open.

    `gone`: called (on the window's thread) when set-up is over; then `station` or `resumed` says where to go.
    With a `station` it only brings devices into a court that runs: begun and ended with its panel.
    """

    def __init__(
        self,
        home: Home,
        *,
        clock: Callable[[], float] = time.monotonic,
        device: str = "",
        station: StationSource | None = None,
    ) -> None:
        self._home = home
        self._guests = GuestBook(home, self._show_guests)
        self._running = station is not None
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
        self._court, self._asked = "", ""
        self._ear: InvitationEar | None = None
        self._near = contextlib.AsyncExitStack()
        self._coming: asyncio.Future[bool] | None = None
        self._sights: dict[str, Sight] = {}
        self._where: tuple[str, ...] = ()
        self._post = ""
        self.station: StationSource | None = station
        self.folder: Path | None = None if station is None else station.station.folder
        self.news = SetupNews(
            device=(device or platform.node())[:LONGEST_DEVICE],
            choices=home.choices(),
            known=home.courts(),
            opened=self._running,
            guests=self._guests.listed(),
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
        if self._running:
            self._do(self._guests.search())
            self._do(self._tell_sign())
        else:
            self._do(self._wait_for_invitations())
        told(self.news)

    def end(self) -> None:
        """Stop looking and showing. The station goes on: whoever takes `station` stops it."""
        self._told, self._pictured = _nobody, _nobody
        if self._thread.is_alive():
            asyncio.run_coroutine_threadsafe(self._close(), self._loop).result(10.0)
            self._loop.call_soon_threadsafe(self._loop.stop)
            self._thread.join(10.0)
        elif not self._loop.is_closed():
            self._loop.close()  # it was never begun

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

    def invite(self, device: str, post: str) -> None:
        """Ask a known device to come, for a job."""
        self._do(self._invite(bytes.fromhex(device), post))

    def take_out(self, device: str) -> None:
        """Forget a known device."""
        try:
            self._guests.take_out(bytes.fromhex(device))
        except FolderError as error:
            self._tell(trouble=str(error))

    def come(self, yes: bool) -> None:
        """Answer the device that invites this one."""
        self._loop.call_soon_threadsafe(self._answer_invitation, yes)

    def use_pass(self, text: str) -> None:
        """Let the supervisor of an event pass in; the text of a pass, or the path of its file."""
        self._do(self._use_pass(text))

    def join(self, where: tuple[str, ...], post: str) -> None:
        """Prepare to join; the text of a square joins at once."""
        self._where, self._post = where, post
        self._tell(joining=Joining.NOT, seen=None, trouble="")
        if where and not where[0].startswith(TICKET_PREFIX):
            self._do(self._look_ahead(where))
        if where and where[0].startswith(TICKET_PREFIX):
            ticket = Ticket.parse(where[0])
            self._do(self._join(ticket.addresses, ticket.secret, heard=False))

    def offer(self, digits: str) -> None:
        """Try a code at the chosen court."""
        seen = self.news.seen is not None or any(one.where == self._where for one in self.news.heard)
        addresses = tuple(map(Address.parse, self._where))
        self._do(self._join(addresses, Code.parse(digits).secret, heard=seen))

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

    @property
    def _here(self) -> StationFolder | None:
        """The folder of the match that is played here now."""
        return None if self.station is None else StationFolder(self.station.station.folder)

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        self._loop.run_forever()
        for _ in range(LAST_TURNS):
            self._loop.run_until_complete(asyncio.sleep(0))
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
        await self._close_ear()
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
            self._do(self._guests.search())

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
        if snapshot.court != self._court:
            self._court = snapshot.court
            if self._thread.is_alive():
                self._do(self._tell_sign())
        self._pictured(snapshot)

    def picture(self, snapshot: Snapshot) -> None:
        """A snapshot of the court that runs, from whoever listens to it; from any thread."""
        self._picture(snapshot)

    # -- show a code

    async def _show(self, post: str) -> None:
        await self._close_door()
        folder = self._here
        if not post or folder is None:
            return
        identity = Identity.load(folder.identity)
        door = CodeDoor(identity, self._approve, self._court, clock=self._clock)
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
        return ShownCode(
            post,
            door.digits,
            door.ends,
            tries,
            door.number,
            door.address,
            door.square,
            self._court,
            door.words,
        )

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
        self._asked = code.post
        self._tell(knock=Knock(candidate.name, code.post))
        try:
            if not await self._answer:
                return None
            admission = await asyncio.wrap_future(station.station.admit(candidate, code.post))
            await asyncio.to_thread(self._met, candidate)
            return admission
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
        self._tell(heard=tuple(map(self._sighted, heard)))
        for court in heard[:MOST_SIGHTS]:
            if court.key not in self._sights:
                self._do(self._look_at(court))

    def _sighted(self, court: HeardCourt) -> HeardCourt:
        sight = self._sights.get(court.key)
        return court if sight is None else replace(court, court=sight.court, words=sight.words)

    async def _look_at(self, court: HeardCourt) -> None:
        """Ask a court that is heard what it is called, for its line in the list."""
        sight = await look_at(tuple(map(Address.parse, court.where)), heard=True)
        if sight is not None:
            self._sights[court.key] = sight
            self._tell(heard=tuple(map(self._sighted, self.news.heard)))

    async def _look_ahead(self, where: tuple[str, ...]) -> None:
        """Before the code is typed: which court is it, in its name and the words of its key?"""
        sight = await look_at(tuple(map(Address.parse, where)))
        if sight is not None and where == self._where:
            self._tell(seen=HeardCourt("", "", where, sight.court, sight.words))

    async def _join(self, addresses: tuple[Address, ...], secret: bytes, *, heard: bool) -> None:
        self._tell(joining=Joining.ASKING, trouble="")
        try:
            identity = await asyncio.to_thread(self._home.identity)
            joined = await join(
                addresses, secret, identity, self._name(), random_bytes=secrets.token_bytes, heard=heard
            )
            await self._start(self._keep_joined(joined))
        except (PairingRefused, PairingFailed, CodeError, *TROUBLES) as error:
            self._tell(joining=Joining.REFUSED, trouble=str(error))
        else:
            self._tell(joining=Joining.JOINED, trouble="")

    def _name(self) -> str:
        """What the other screen shows when it asks whether to let this device in."""
        return f"{self.news.device}, for {self._post}"

    def _keep_joined(self, joined: Joined) -> Path:
        identity = self._home.identity()
        me = joined.invitation.member(identity.device)
        assert me is not None, "an admission without this device is refused before"
        station = StationFile(FORMAT, me.post, addresses=(str(joined.host),))
        return self._home.add(station, identity, joined.invitation)

    # -- known devices

    async def _tell_sign(self) -> None:
        """The name of this court and the words of its key."""
        folder = self._here
        if folder is not None:
            with contextlib.suppress(IdentityError):
                own = await asyncio.to_thread(Identity.load, folder.identity)
                self._tell(sign=f"{self._court}: {words_of(own.tls_cert)}")

    def _met(self, candidate: Candidate) -> None:
        """A device was let in: remember its keys and its name."""
        one = Member(candidate.device, candidate.sign_key, candidate.tls_cert, candidate.binding, self._asked)
        self._guests.met(one, self._court, candidate.name.partition(",")[0])

    def _show_guests(self, guests: tuple[Guest, ...]) -> None:
        self._tell(guests=guests)

    async def _invite(self, device: bytes, post: str) -> None:
        station = self.station
        folder = self._here
        if station is None or folder is None:
            return
        identity = await asyncio.to_thread(Identity.load, folder.identity)

        async def admit(guest: Member, name: str) -> Admission:
            candidate = Candidate(guest.device, guest.sign_key, guest.tls_cert, guest.binding, name)
            return await asyncio.wrap_future(station.station.admit(candidate, post))

        await self._guests.invite(device, post, Host(identity, self.news.device, self._court), admit)

    async def _wait_for_invitations(self) -> None:
        """While this device is in no court, devices that know it may invite it."""
        known = await asyncio.to_thread(self._home.devices)
        certs = [one.tls_cert for one in known if not one.replaced]
        if not certs:
            return
        try:
            identity = await asyncio.to_thread(self._home.identity)
            ear = InvitationEar(identity, certs, self.news.device, self._decide, self._come)
            await ear.start()
        except TROUBLES as error:
            self._tell(trouble=str(error))
            return
        self._ear = ear
        await self._near.enter_async_context(NearSign(identity.device, ear.port))

    async def _decide(self, invitee: Invitee) -> bool:
        """A known device invites: its person asks to be asked, or not."""
        if self.station is not None or self.news.joining in (Joining.ASKING, Joining.WAITING):
            return False
        if self.news.choices.comes:
            return True
        self._coming = asyncio.get_running_loop().create_future()
        self._tell(invited=Invited(invitee.court, invitee.post, invitee.words, invitee.name))
        try:
            return await self._coming
        finally:
            self._coming = None
            self._tell(invited=None)

    def _answer_invitation(self, yes: bool) -> None:
        if self._coming is not None and not self._coming.done():
            self._coming.set_result(yes)

    async def _come(self, joined: Joined) -> None:
        """This device was let in."""
        try:
            await self._start(self._keep_joined(joined))
        except TROUBLES as error:
            self._tell(trouble=str(error))
        else:
            self._tell(joining=Joining.JOINED, trouble="")

    async def _close_ear(self) -> None:
        ear, self._ear = self._ear, None
        await self._near.aclose()
        if ear is not None:
            await ear.close()

    # -- the supervisor

    async def _use_pass(self, text: str) -> None:
        if self.station is None:
            return
        try:
            taken = text if text.strip().startswith(PASS_PREFIX) else await asyncio.to_thread(pass_text, text)
            await asyncio.wrap_future(self.station.station.use_pass(taken))
        except (PassError, WriteError, *TROUBLES) as error:
            self._tell(trouble=str(error))
        else:
            self._tell(trouble="")


def pass_text(path: str) -> str:
    """The text of the pass in a file. Errors: PassError, FolderError."""
    return read_pass(Path(path.strip().removeprefix("file://"))).text


def _nobody(_news: object) -> None:
    """Until set-up begins nobody is told."""


def _nothing() -> None:
    """Until set-up begins nothing ends."""
