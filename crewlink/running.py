"""A station at work: its folder, its file, its keys, its link thread. What a window or a control line
talks to.

Every call may come from any thread; the work itself happens on the link's thread. `on_change` is called there
when the court or the links changed and must only hand over.
"""

from __future__ import annotations

import os
import secrets
import threading
import time
from collections.abc import Callable, Mapping
from concurrent.futures import Future
from pathlib import Path
from typing import TypeVar

from msgspec import structs

from crewlink import charter
from crewlink.acts import AnyCommand
from crewlink.admitting import admit
from crewlink.control import Look
from crewlink.crew.commands import CrewCommand, PenCommand
from crewlink.folder import FolderError, StationFolder
from crewlink.going_on import WHAT, folder_after
from crewlink.match.beginning import begin
from crewlink.match.history import decide
from crewlink.match.ruling import Decision
from crewlink.next_match import Handover
from crewlink.record.export import record_json
from crewlink.record.incidents import MatchIncidents
from crewlink.record.taking_out import incidents_of
from crewlink.script.seen import seen
from crewlink.site.calling import SiteCall
from crewlink.snapshot import Saved, Snapshot
from crewlink.station import RALLY_PRESUMED_S, Answer, Station
from crewlink.whereabouts import Whereabouts
from crewlink.whereabouts import read as read_whereabouts
from crewlink.whereabouts import write as write_whereabouts
from protocol.address import Address
from protocol.beacon import Beacon
from protocol.discovery import Discovery
from protocol.driving import Event
from protocol.identity import Identity, IdentityError
from protocol.link_thread import LinkThread, LinkThreadError
from protocol.node import Node, wall_milliseconds
from protocol.pairing import Candidate
from protocol.pairing_wire import Admission
from protocol.peer import Peer
from protocol.roster import Invitation, InvitationError, Member
from protocol.run_wall import RunWall
from protocol.store import Store

WAIT_S = 10.0
STALL_S = 3.0
"""So long a disk may take to save before its person is told."""
GO_ON_S = 0.1
"""How often a station looks whether it can leave for the next match."""
T = TypeVar("T")


class RunningStation:
    """One station of one match, started from its folder.

    `notes`: what its person must know of the start, such as a damaged file that was kept aside.
    Errors of `start`: FolderError, SetupError, ProfileError, FormatError, IdentityError, InvitationError,
    StoreError, AddressError, PortError.
    """

    def __init__(
        self, path: Path, on_change: Callable[[], None], *, rally_after: float = RALLY_PRESUMED_S
    ) -> None:
        self._folder = StationFolder(path)
        self._rally_after = rally_after
        self._wall = RunWall(wall_milliseconds)
        self._on_change = on_change
        self._named = True
        self._station: Station | None = None
        self._node: Node | None = None
        self._site: SiteCall | None = None
        self._whereabouts = Whereabouts()
        self.notes: tuple[str, ...] = ()
        self._switching, self._leaving, self._ended = threading.RLock(), False, threading.Event()
        self._thread: LinkThread[Node] = LinkThread(self._build, lambda _events: self._changed())

    @property
    def folder(self) -> Path:
        """The folder of the match that is played here now."""
        return self._folder.path

    def start(self) -> None:
        """Open the file, listen, look for the others; returns when the station works."""
        self._thread.start()

    def stop(self) -> None:
        """Save, say good-bye, end. Errors: StoreError, LinkThreadError."""
        self._ended.set()
        with self._switching:
            self._thread.stop()

    def send(self, command: AnyCommand) -> Future[Answer]:
        """Carry out a command of this station's person, without waiting for what becomes of it."""
        return self._thread.submit(lambda _: self._made().submit(command, time.monotonic(), self._wall()))

    def submit(self, command: AnyCommand) -> Answer:
        """Carry out a command of this station's person, and wait for the answer."""
        return self._wait(lambda: self.send(command))

    def asking(self, command: AnyCommand) -> Future[Decision | None]:
        """What the rules say to a command of the match, without doing it; None where they say nothing."""

        def work(node: Node) -> Decision | None:
            court = self._made().court
            if court is None or isinstance(command, CrewCommand | PenCommand):
                return None
            return decide(court.chain, command)

        return self._thread.submit(work)

    def ask(self, command: AnyCommand) -> Decision | None:
        """As `asking`, and wait for the answer."""
        return self._wait(lambda: self.asking(command))

    def picture(self) -> Future[Snapshot]:
        """The court as this station's post sees it, once the link's thread gets to it."""
        return self._thread.submit(self._snapshot)

    def snapshot(self) -> Snapshot:
        """The court as this station's post sees it now."""
        return self._wait(self.picture)

    def look(self) -> Look:
        """A snapshot with what scripts and tests compare."""

        def work(node: Node) -> Look:
            station = self._made()
            snapshot = self._snapshot(node)
            court = station.court
            return Look(
                snapshot=snapshot,
                seen=None if court is None else seen(court.match),
                digest="" if court is None else court.digest(),
                held=sum(length for length, _ in _vector(station)),
                saved=snapshot.saved.here,
            )

        return self._wait(lambda: self._thread.submit(work))

    def admit(self, candidate: Candidate, post: str) -> Future[Admission]:
        """Let a device that proved the code into the match; gives what it needs to come in."""

        def work(node: Node) -> Admission:
            match = Invitation.load(self._folder.invitation).match
            now, wall_ms = time.monotonic(), self._wall()
            return admit(self._made().peer, match, node.port, candidate, post, now, wall_ms)

        return self._thread.submit(work)

    def members(self) -> Future[tuple[Member, ...]]:
        """The devices of this match, as the roster pins them."""
        return self._thread.submit(lambda _: tuple(self._made().peer.roster.members.values()))

    def use_pass(self, text: str) -> Future[None]:
        """Let the site of an event pass in and call it from now on.

        The future's errors: PassError, NotAdmitted, NoRight, NotReady, FolderError.
        """

        def work(node: Node) -> None:
            assert self._site is not None, "made with the node"
            event = self._snapshot(node).event
            self._site.use(text, event, time.monotonic(), self._wall())
            node.touch()

        return self._thread.submit(work)

    @property
    def port(self) -> int:
        """Where this station listens; 0 before it has started."""
        return 0 if self._node is None else self._node.port

    def record(self) -> str:
        """The record as JSON text; "" before the match is here."""

        def work(node: Node) -> str:
            station = self._made()
            if station.court is None:
                return ""
            return record_json(station.court, station.names, locked=station.peer.standing().sealed)

        return self._wait(lambda: self._thread.submit(work))

    def _wait(self, ask: Callable[[], Future[T]]) -> T:
        """The answer to what is asked, after a change to the next match if one goes on now."""
        with self._switching:
            asked = ask()
        return asked.result(WAIT_S)

    def incidents(self) -> Future[MatchIncidents]:
        """The incidents of the match, for who may take them out. The future's errors: TakingOutError."""

        def work(node: Node) -> MatchIncidents:
            self._snapshot(node)  # the court as of now
            return incidents_of(self._made())

        return self._thread.submit(work)

    def _snapshot(self, node: Node) -> Snapshot:
        snapshot, state = self._made().snapshot(time.monotonic(), self._wall()), node.state()
        refused = self._site.refused if self._site is not None else ""
        notes = (*self.notes, refused) if refused else self.notes
        return structs.replace(
            snapshot,
            storage=state.storage or stalled(self._folder.database, snapshot.saved),
            network=state.sentence(),
            findings=(*notes, *snapshot.findings),
        )

    def _changed(self) -> None:
        """On the link's thread: tell who shows this, and forget names that were erased."""
        if self._named and self._made().names_erased:
            self._named = False
            try:
                self._folder.forget_names()
            except FolderError as error:
                self.notes = (*self.notes, str(error))
        court = self._made().court
        if court is not None and court.crew.next and not self._leaving:
            self._leaving = True
            threading.Thread(target=self._go_on, name="crewlink next match", daemon=True).start()
        self._on_change()

    def _go_on(self) -> None:
        """Leave the match that is over for the next one, once the others have heard of it too."""
        while not self._ended.wait(GO_ON_S):
            try:
                handed = self._thread.submit(lambda node: self._made().going_on()).result(WAIT_S)
            except LinkThreadError:
                return
            if handed is not None:
                self._switch(handed)
                return

    def _switch(self, handed: Handover) -> None:
        with self._switching:
            if self._ended.is_set():
                return
            try:
                after = folder_after(self._folder, handed)
            except (FolderError, IdentityError, InvitationError) as error:
                self.notes = (*self.notes, f"{WHAT}: {error}")
                return
            self._thread.stop()
            self._folder, self._station = after, None
            self._leaving, self._named = False, True
            self._thread = LinkThread(self._build, lambda _events: self._changed())
            self._thread.start()
        self._on_change()

    def _made(self) -> Station:
        assert self._station is not None, "the link thread answers only when the station is made"
        return self._station

    async def _build(self, on_change: Callable[[tuple[Event, ...]], None]) -> Node:
        file = self._folder.read()
        if file.charter is not None:
            begin(file.charter.setup)  # one that can't be played is said here, not on a face
        identity = Identity.load(self._folder.identity)
        invitation = Invitation.load(self._folder.invitation)
        store = Store.open(self._folder.database, invitation.match)
        self.notes = () if store.rescue is None else (store.rescue.sentence(),)
        peer = Peer(
            identity,
            invitation,
            run=os.urandom(16),
            stored=store.load(),
            wall_ms=self._wall(),
            now=time.monotonic(),
            found=None if file.charter is None else charter.founding(invitation.members, file.charter),
        )
        self._station = Station(peer, file.post, names=file.names, rally_after=self._rally_after)
        self._whereabouts = read_whereabouts(self._folder.path)
        beacon = Beacon.of(identity.device, invitation.match, file.event)
        self._node = Node(
            self._station,
            store,
            identity,
            random=secrets.SystemRandom().random,
            on_change=on_change,
            finder=None if file.quiet else Discovery(beacon),
            port=file.port,
            manual=[Address.parse(text) for text in file.addresses],
            wish=self._whereabouts.port,
            known=self._whereabouts.known(time.time()),
            keep=self._keep_places,
            wall=self._wall,
        )
        self._site = SiteCall(self._folder.path, identity, invitation.match, peer, self._node)
        self._site.begin()
        return self._node

    def _keep_places(self, places: Mapping[bytes, tuple[Address, ...]]) -> None:
        """The linked devices are reached there: for the next start."""
        assert self._node is not None, "links come after the node"
        self._whereabouts = self._whereabouts.linked(self._node.port, time.time(), places)
        write_whereabouts(self._folder.path, self._whereabouts)


def _vector(station: Station) -> list[tuple[int, bytes]]:
    return [(mark.length, mark.head) for mark in station.peer.vector().values()]


def stalled(path: Path, saved: Saved) -> str:
    """What is to be told of a disk that says neither yes nor no: "" while it answers in time."""
    if saved.waited < STALL_S:
        return ""
    problem = f"The disk has not answered for {int(saved.waited)} s, nothing new is saved."
    return f"{path}: {problem} Close what else uses it, or change the disk."
