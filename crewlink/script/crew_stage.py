"""A stage of whole stations in one process: they hand each other their frames and share a made-up clock.

The stations are the real ones (`crewlink.station`) with their keys and journals; what is left out is sockets,
disks and waiting. Scripts with steps of the crew are played here.
"""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Callable, Sequence

from crewlink import charter
from crewlink.charter import Charter, Settings
from crewlink.court import Court
from crewlink.crew.commands import CrewCommand, PenCommand
from crewlink.crew.posts import Post
from crewlink.match.facts import from_wire
from crewlink.match.history import decide
from crewlink.match.ruling import Proposal, Ruling, Severity
from crewlink.match.setup import MatchSetup
from crewlink.script.player import Act
from crewlink.script.seen import DONE, Answer, Seen, seen, with_crew
from crewlink.snapshot import Snapshot
from crewlink.station import Answer as StationAnswer
from crewlink.station import Station
from protocol.identity import Identity
from protocol.output import Commit, Drop, Send
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation, Member

WALL_MS = 1_700_000_000_000
"""What the stations' wall clocks show at the start, in ms."""
LINKING_S = 3.0
SILENCE_S = 12.0
FIRST_STEP_MS = WALL_MS + round(LINKING_S * 1000)
"""What they show when the stations are linked and the first step can be played."""
USUAL = Settings()
ACT_S = 0.1
"""So long an act takes: no two happen in one millisecond of the clocks."""


class _Device:
    """A device of the stage: its keys, and its station in the match that is played now."""

    def __init__(self, identity: Identity) -> None:
        self.identity = identity
        self.links: dict[int, _Device] = {}
        self.station: Station

    def member(self, post: str) -> Member:
        one = self.identity
        return Member(one.device, one.public_key, one.tls_cert, one.binding, post)


class CrewStage:
    """Stations by post; the first post opens the match and writes. `random` gives keys and run ids."""

    def __init__(
        self,
        setup: MatchSetup,
        posts: Sequence[Post],
        random: Callable[[int], bytes] | None = None,
        settings: Settings = USUAL,
    ) -> None:
        self._random = random or steady(b"crewlink stage 1")
        self._links = itertools.count()
        self._alone: list[_Device] = []
        self.now = 0.0
        devices = {post: _Device(Identity.create(self._random)) for post in posts}
        self._devices = list(devices.values())
        members = tuple(device.member(str(post)) for post, device in devices.items())
        invitation = Invitation(self._random(16), members[0].device, members)
        founding = charter.founding(members, Charter(setup, settings))
        for place, (post, device) in enumerate(devices.items()):
            self._start(device, invitation, str(post), None if place else founding)
        self._link_all()
        self.pass_time(LINKING_S)

    @property
    def stations(self) -> dict[Post, Station]:
        """The stations by the posts that they have now."""
        return {Post(device.station.post): device.station for device in self._devices}

    @property
    def _writer(self) -> Station:
        """The station that writes; while nobody does, the first one."""
        stations = [device.station for device in self._devices]
        return next((one for one in stations if one.peer.may_write()), stations[0])

    def act(self, post: Post, command: Act) -> Answer:
        """Do it at the post's own station; all stations are equal again when this returns."""
        station = self.stations.get(post)
        if station is None:
            sentence = f"No {post} in this crew; there are {', '.join(self.stations)}."
            return Answer(Ruling("no_such_post", Severity.REFUSE, sentence))
        self.now += ACT_S
        before = self._court(station)
        made = station.submit(command, self.now, self._wall())
        self._settle()
        after = self._court(station)
        ruling, proposal = _answered(before, command, made)
        lines = after.lines[len(before.lines) :]
        self._go_on()
        return Answer(
            ruling=ruling,
            proposal=proposal,
            lines=tuple(line.id for line in lines),
            facts=tuple(from_wire(line.fact) for line in lines),
            proposal_id=next((one.id for one in self._snapshot(station).proposals), ""),
            notice=next((id_.hex() for id_ in after.crew.notices if id_ not in before.crew.notices), ""),
        )

    def look(self, post: Post) -> Seen:
        """The match and the notices as `post` sees them; a post that nobody holds sees with the writer."""
        station = self.stations.get(post, self._writer)
        return with_crew(seen(self._court(station).match), self._snapshot(station))

    def device(self, post: Post) -> str:
        """The id of the device that has, or had last, a job, in hex; "" if none had."""
        members = self._writer.peer.roster.members.values()
        return next((one.device.hex() for one in members if one.post == post), "")

    def lose(self, post: Post) -> Answer:
        """The device of a post is gone: switched off, walked away with."""
        device = self._with(post)
        self._unlink(device)
        self._devices.remove(device)
        return Answer()

    def cut_off(self, post: Post) -> Answer:
        """The device of a post reaches nobody, and after a while is silent for the others, as they for it."""
        device = self._with(post)
        self._unlink(device)
        self._alone.append(device)
        self.pass_time(SILENCE_S)
        return Answer()

    def link_again(self, post: Post) -> Answer:
        """The device that was cut off is linked again."""
        self._alone.remove(self._with(post))
        self._link_all()
        self.pass_time(LINKING_S)
        return Answer()

    def _with(self, post: Post) -> _Device:
        return next(one for one in self._devices if one.station.post == post)

    def _unlink(self, device: _Device) -> None:
        for link, other in device.links.items():
            del other.links[link]
            other.station.link_down(link, self.now)
            device.station.link_down(link, self.now)
        device.links = {}
        self._settle()

    def enrol(self, post: Post, by: Post) -> Answer:
        """`by` lets a new device in for a job; what pairing proves is taken as proved."""
        host = self.stations[by].peer
        device = _Device(Identity.create(self._random))
        host.admit(device.member(str(post)), self.now, self._wall())
        self._settle()  # the others know it before it comes
        here = Invitation(host.journal.match, host.roster.opener, tuple(host.roster.members.values()))
        self._start(device, here, str(post), None)
        self._devices.append(device)
        self._link_all()
        self._settle()
        self.pass_time(LINKING_S)
        return Answer()

    def pass_time(self, seconds: float, *, exactly: bool = True) -> None:
        """Let the clock run on; what falls due on the way is done at its moment."""
        until = self.now + seconds
        while True:
            self._settle()
            due = [at for one in self._devices if (at := one.station.next_tick()) is not None]
            at = max(min(due, default=until), self.now)
            if at >= until:
                break
            self.now = at if at > self.now else self.now + 0.05
            self._tick()
        self.now = until
        self._tick()
        self._settle()
        self._go_on()

    def _start(
        self, device: _Device, invitation: Invitation, post: str, found: FoundingCharter | None
    ) -> None:
        peer = Peer(
            device.identity,
            invitation,
            run=self._random(16),
            stored=(),
            wall_ms=self._wall(),
            now=self.now,
            found=found,
        )
        device.links = {}
        device.station = Station(peer, post, salt=lambda: self._random(16))

    def _go_on(self) -> None:
        """Go on with the next match, once every device can."""
        handed = [device.station.going_on() for device in self._devices]
        if any(one is None for one in handed):
            return
        for device, one in zip(self._devices, handed, strict=True):
            assert one is not None
            opened = one.charter
            found = None if opened is None else charter.founding(one.invitation.members, opened)
            self._start(device, one.invitation, one.post, found)
        self._link_all()
        self.pass_time(LINKING_S)

    def _tick(self) -> None:
        for device in self._devices:
            device.station.tick(self.now, self._wall())

    def _wall(self) -> int:
        return WALL_MS + round(self.now * 1000)

    def _court(self, station: Station) -> Court:
        assert station.court is not None, "the stations of a stage are linked from the start"
        return station.court

    def _link_all(self) -> None:
        """Link every pair of devices that is not linked."""
        for one, other in itertools.combinations(self._devices, 2):
            if other not in one.links.values() and one not in self._alone and other not in self._alone:
                link = next(self._links)
                one.links[link], other.links[link] = other, one
                one.station.link_up(link, other.identity.device, self.now, self._wall())
                other.station.link_up(link, one.identity.device, self.now, self._wall())

    def _settle(self) -> None:
        """Hand over frames and save until every station is at rest."""
        moving = True
        while moving:
            moving = False
            for device in self._devices:
                for output in device.station.drain():
                    if isinstance(output, Commit):
                        device.station.committed(output.batch, self.now, self._wall())
                        moving = True
                    elif isinstance(output, Send) and output.link in device.links:
                        there = device.links[output.link].station
                        there.receive(output.link, output.frame, self.now, self._wall())
                        moving = True
                    elif isinstance(output, Drop) and output.link in device.links:
                        other = device.links.pop(output.link)
                        del other.links[output.link]
                        other.station.link_down(output.link, self.now)

    def _snapshot(self, station: Station) -> Snapshot:
        return station.snapshot(self.now, self._wall())


def _answered(before: Court, command: Act, made: StationAnswer) -> tuple[Ruling, Proposal | None]:
    """What the person at the station is told, and the proposal that a question leads to."""
    if made.kind in ("refused", "failed"):
        told = Ruling(made.code or made.kind, Severity.REFUSE, made.sentence, made.reference)
    else:
        told = Ruling(DONE, Severity.FINE, "Done.")
    if isinstance(command, CrewCommand | PenCommand):
        return told, None
    decision = decide(before.chain, command)
    same = told.fine == bool(decision.facts)
    return decision.ruling if same else told, decision.proposal


def steady(seed: bytes) -> Callable[[int], bytes]:
    """A source of bytes that is the same at every run; for stations that nobody else meets."""
    count = itertools.count()

    def source(size: int) -> bytes:
        found = b""
        while len(found) < size:
            found += hashlib.sha256(seed + next(count).to_bytes(8, "big")).digest()
        return found[:size]

    return source
