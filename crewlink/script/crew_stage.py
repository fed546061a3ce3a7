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
from crewlink.crew.commands import CrewCommand
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
from protocol.output import Commit, Send
from protocol.peer import Peer
from protocol.roster import Invitation, Member

WALL_MS = 1_700_000_000_000
"""What the stations' wall clocks show at the start, in ms."""
LINKING_S = 3.0
FIRST_STEP_MS = WALL_MS + round(LINKING_S * 1000)
"""What they show when the stations are linked and the first step can be played."""
USUAL = Settings()
ACT_S = 0.1
"""So long an act takes: no two happen in one millisecond of the clocks."""


class CrewStage:
    """Stations by post; the first post opens the match and writes. `random` gives keys and run ids."""

    def __init__(
        self,
        setup: MatchSetup,
        posts: Sequence[Post],
        random: Callable[[int], bytes] | None = None,
        settings: Settings = USUAL,
    ) -> None:
        random = random or steady(b"crewlink stage 1")
        self.now = 0.0
        identities = {post: Identity.create(random) for post in posts}
        members = tuple(
            Member(one.device, one.public_key, one.tls_cert, one.binding, str(post))
            for post, one in identities.items()
        )
        invitation = Invitation(random(16), members[0].device, members)
        founding = charter.founding(members, Charter(setup, settings))
        self.stations = {
            post: Station(
                Peer(
                    identity,
                    invitation,
                    run=random(16),
                    stored=(),
                    wall_ms=self._wall(),
                    now=self.now,
                    found=founding if post is posts[0] else None,
                ),
                str(post),
                salt=lambda: random(16),
            )
            for post, identity in identities.items()
        }
        self._writer = self.stations[posts[0]]
        self._link_all()
        self.pass_time(LINKING_S)

    def act(self, post: Post, command: Act) -> Answer:
        """Do it at the post's own station; all stations are equal again when this returns."""
        station = self.stations.get(post)
        if station is None:
            sentence = f"No {post} in this crew; there are {', '.join(self.stations)}."
            return Answer(Ruling("no_such_post", Severity.REFUSE, sentence))
        self.now += ACT_S
        before = self._court(self._writer)
        made = station.submit(command, self.now, self._wall())
        self._settle()
        after = self._court(self._writer)
        ruling, proposal = _answered(before, command, made)
        lines = after.lines[len(before.lines) :]
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

    def pass_time(self, seconds: float) -> None:
        """Let the clock run on; what falls due on the way is done at its moment."""
        until = self.now + seconds
        while True:
            self._settle()
            due = [at for one in self.stations.values() if (at := one.next_tick()) is not None]
            at = max(min(due, default=until), self.now)
            if at >= until:
                break
            self.now = at if at > self.now else self.now + 0.05
            self._tick()
        self.now = until
        self._tick()
        self._settle()

    def _tick(self) -> None:
        for station in self.stations.values():
            station.tick(self.now, self._wall())

    def _wall(self) -> int:
        return WALL_MS + round(self.now * 1000)

    def _court(self, station: Station) -> Court:
        assert station.court is not None, "the stations of a stage are linked from the start"
        return station.court

    def _link_all(self) -> None:
        """Link every station with every other; link n at a station leads to the n-th station."""
        stations = list(self.stations.values())
        for place, station in enumerate(stations):
            for other, peer in enumerate(stations):
                if other != place:
                    station.link_up(other, peer.peer.device, self.now, self._wall())

    def _settle(self) -> None:
        """Hand over frames and save until every station is at rest."""
        stations = list(self.stations.values())
        moving = True
        while moving:
            moving = False
            for place, station in enumerate(stations):
                for output in station.drain():
                    if isinstance(output, Commit):
                        station.committed(output.batch, self.now, self._wall())
                        moving = True
                    elif isinstance(output, Send):
                        stations[output.link].receive(place, output.frame, self.now, self._wall())
                        moving = True

    def _snapshot(self, station: Station) -> Snapshot:
        return station.snapshot(self.now, self._wall())


def _answered(before: Court, command: Act, made: StationAnswer) -> tuple[Ruling, Proposal | None]:
    """What the person at the station is told, and the proposal that a question leads to."""
    if made.kind in ("refused", "failed"):
        told = Ruling(made.code or made.kind, Severity.REFUSE, made.sentence, made.reference)
    else:
        told = Ruling(DONE, Severity.FINE, "Done.")
    if isinstance(command, CrewCommand):
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
