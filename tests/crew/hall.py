"""A hall of whole stations: own clocks that are off and drift, frames that take their time, links that part,
disks that outlive a run. Everything follows from one seed; nothing waits for real time.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Iterable, Mapping
from random import Random

from crewlink import charter
from crewlink.acts import AnyCommand
from crewlink.charter import Charter, Settings
from crewlink.court import Court
from crewlink.crew.notice import Notice
from crewlink.crew.posts import CREW, Post
from crewlink.match.commands import BeginSet, LineUp, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet
from crewlink.script.crew_stage import steady
from crewlink.snapshot import NoticeView, Snapshot
from crewlink.station import Answer, Station
from protocol.entry import StoredEntry
from protocol.identity import Identity
from protocol.output import Commit, Drop, Send
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation, Member
from protocol.run_wall import RunWall

WALL_MS = 1_700_000_000_000
CREW_OF_THREE = (Post.SCORER, Post.R2, Post.R1)
ALL = (Post.SCORER, Post.R2, Post.R1, Post.SITE)
USUAL = Settings()
PLAYERS = tuple(range(1, 15))
SETUP = MatchSetup(
    team_a=TeamSheet(players=PLAYERS, captain=1, liberos=(13,)),
    team_b=TeamSheet(players=PLAYERS, captain=2, liberos=(14,)),
)
SIX_A, SIX_B = (1, 2, 3, 4, 5, 6), (2, 3, 4, 5, 6, 7)


class Box:
    """One device: its clocks (off by `off_s`, drifting `ppm`), its disk, its station of this run."""

    def __init__(self, hall: Hall, post: Post, off_s: float, ppm: float) -> None:
        self.hall, self.post = hall, post
        self.off_s, self.ppm = off_s, ppm
        self.identity = Identity.create(hall.random_bytes)
        self.disk: dict[bytes, StoredEntry] = {}
        self.links: dict[int, Box] = {}
        self.runs = 0
        self.up, self.touched = False, True
        self.station: Station

    @property
    def member(self) -> Member:
        one = self.identity
        return Member(one.device, one.public_key, one.tls_cert, one.binding, str(self.post))

    @property
    def now(self) -> float:
        return 50.0 + self.hall.time * (1 + self.ppm * 1e-6)

    @property
    def wall(self) -> int:
        return self._run_wall()

    def device_wall(self) -> int:
        """What the device shows; it can be set, by way of `off_s`."""
        return WALL_MS + round(1000 * (self.off_s + self.hall.time * (1 + self.ppm * 1e-6)))

    def start(self, founding: FoundingCharter | None = None) -> None:
        self.runs += 1
        self._run_wall = RunWall(self.device_wall, lambda: self.now)
        peer = Peer(
            self.identity,
            self.hall.invitation,
            run=self.hall.random_bytes(16),
            stored=list(self.disk.values()),
            wall_ms=self.wall,
            now=self.now,
            found=founding,
        )
        self.station = Station(peer, str(self.post), salt=lambda: self.hall.random_bytes(16))
        self.up = True


class Hall:
    """Boxes by post. `delay`: seconds that a frame takes, least and most. `apart`: pairs that never link."""

    def __init__(
        self,
        posts: Iterable[Post] = ALL,
        *,
        settings: Settings = USUAL,
        setup: MatchSetup = SETUP,
        clocks: Mapping[Post, tuple[float, float]] = {},
        delay: tuple[float, float] = (0.0, 0.0),
        seed: int = 1,
        voters: Iterable[Post] = CREW,
        apart: Iterable[tuple[Post, Post]] = (),
    ) -> None:
        self.random_bytes = steady(b"hall %d" % seed)
        self.random = Random(seed)
        self.time, self.delay, self._beat = 0.0, delay, 0.0
        self._apart = {frozenset(pair) for pair in apart}
        self.boxes = {post: Box(self, post, *clocks.get(post, (0.0, 0.0))) for post in posts}
        members = tuple(box.member for box in self.boxes.values())
        self.invitation = Invitation(self.random_bytes(16), members[0].device, members)
        chosen = set(map(str, voters))
        devices = tuple(member.device for member in members if member.post in chosen)
        opened = charter.to_map(Charter(setup, settings))
        self.founding = FoundingCharter(devices, opened, charter.FOLD_VERSION, charter.POSTS)
        self._number = itertools.count()
        self._frames: list[tuple[float, int, Box, int, bytes]] = []
        self._last: dict[tuple[Post, int], float] = {}
        first, *others = self.boxes.values()
        first.start(self.founding)
        for box in others:
            box.start()
        self.heal()
        self.pass_time(3.0)

    # -- what people do and see

    def do(self, post: Post, command: AnyCommand, wait: float = 0.1) -> Answer:
        """Act at a post's own station, then let `wait` seconds pass."""
        self.pass_time(0.05)
        box = self.boxes[post]
        answer = box.station.submit(command, box.now, box.wall)
        self.pass_time(wait)
        return answer

    def begin(self, *before: tuple[Post, AnyCommand]) -> None:
        """Toss, two line-ups, what is done `before` the begin, begin: set 1 at 0:0, A serves."""
        for command in (
            Toss(Team.A, Team.A),
            LineUp(Team.A, SIX_A, liberos=("X", "X"), captain=1),
            LineUp(Team.B, SIX_B, liberos=("X", "X"), captain=2),
        ):
            assert self.do(Post.SCORER, command).done
        for post, act in (*before, (Post.SCORER, BeginSet())):
            assert self.do(post, act).done

    def look(self, post: Post) -> Snapshot:
        box = self.boxes[post]
        return box.station.snapshot(box.now, box.wall)

    def court(self, post: Post) -> Court:
        court = self.boxes[post].station.court
        assert court is not None
        return court

    def plates(self, post: Post, kind: str) -> list[NoticeView]:
        return [one for one in self.look(post).notices if one.kind == kind]

    def plate(self, post: Post, kind: str) -> NoticeView:
        found = self.plates(post, kind)
        assert found, f"no {kind} at {post}: {[one.kind for one in self.look(post).notices]}"
        return found[0]

    def notices(self, post: Post, kind: str) -> list[Notice]:
        crew = self.court(post).crew
        return [one for one in crew.notices.values() if one.raised is not None and one.raised.kind == kind]

    def digests(self) -> set[str]:
        return {self.court(post).digest() for post, box in self.boxes.items() if box.up}

    # -- links, disks, time

    def part(self, *groups: Iterable[Post]) -> None:
        """Links between different groups are cut."""
        side = {post: number for number, group in enumerate(groups) for post in group}
        for one in self.boxes.values():
            for link, other in list(one.links.items()):
                if side.get(one.post) != side.get(other.post):
                    self._cut(one, link)

    def heal(self) -> None:
        """Every pair of running stations that is not linked is linked."""
        boxes = [box for box in self.boxes.values() if box.up]
        for one, other in itertools.combinations(boxes, 2):
            if other not in one.links.values() and {one.post, other.post} not in self._apart:
                link = next(self._number)
                one.links[link], other.links[link] = other, one
                one.station.link_up(link, other.identity.device, one.now, one.wall)
                other.station.link_up(link, one.identity.device, other.now, other.wall)

    def kill(self, post: Post) -> None:
        """The process ends at once; what was saved is on its disk."""
        box = self.boxes[post]
        for link in list(box.links):
            self._cut(box, link)
        box.up = False

    def restart(self, post: Post) -> None:
        """A new run over the same disk."""
        self.boxes[post].start(self.founding if post == next(iter(self.boxes)) else None)
        self.heal()

    def enrol(self, post: Post, by: Post, as_post: Post | None = None) -> None:
        """A new device gets a job: `by` admits it, it starts over an empty disk and is linked with all.

        It is kept under `post`; its job is `as_post`, if given.
        """
        off = self.random.uniform(-30.0, 30.0)
        new, admitter = Box(self, as_post or post, off, 0.0), self.boxes[by]
        admitter.station.peer.admit(new.member, admitter.now, admitter.wall)
        self.boxes.pop(post, None)
        self.pass_time(0.5)  # the others know it before it comes
        self.boxes[post] = new
        members = tuple(admitter.station.peer.roster.members.values())
        self.invitation = Invitation(self.invitation.match, self.invitation.opener, members)
        new.start()
        self.heal()

    def pass_time(self, seconds: float) -> None:
        """Let true time run on; every station is told the time by its own clocks."""
        until = self.time + seconds
        for box in self.boxes.values():
            box.touched = True
        self._settle()
        while self.time < until:
            due = [until, self._next_beat()]
            due += [frame[0] for frame in self._frames[:1]]
            self.time = min(at for at in due if at > self.time)
            for box in self.boxes.values():
                if box.up and (self.time >= until or self.time >= self._beat):
                    box.station.tick(box.now, box.wall)
                    box.touched = True
            self._settle()

    def _next_beat(self) -> float:
        """Stations are told the time four times a second."""
        if self._beat <= self.time:
            self._beat = self.time + 0.25
        return self._beat

    def _cut(self, one: Box, link: int) -> None:
        other = one.links.pop(link)
        other.links.pop(link, None)
        for box in (one, other):
            if box.up:
                box.station.link_down(link, box.now)

    def _settle(self) -> None:
        for _ in range(2000):
            moved = [self._work(box) for box in self.boxes.values() if box.up and box.touched]
            moved.append(self._deliver())
            if not any(moved):
                return
        raise AssertionError("the hall does not come to rest")

    def _work(self, box: Box) -> bool:
        box.touched = False
        outputs = box.station.drain()
        for output in outputs:
            if isinstance(output, Commit):
                box.touched = True
                box.disk.update({row.id: row for row in output.rows})
                box.station.committed(output.batch, box.now, box.wall)
            elif isinstance(output, Send):
                self._send(box, output)
            elif isinstance(output, Drop):
                other = box.links.pop(output.link, None)
                if other is not None and other.links.pop(output.link, None) is not None:
                    other.station.link_down(output.link, other.now)
        return bool(outputs)

    def _send(self, box: Box, output: Send) -> None:
        if output.link not in box.links:
            return
        at = self.time + self.random.uniform(*self.delay)
        way = (box.post, output.link)
        self._last[way] = at = max(at, self._last.get(way, 0.0))  # a stream keeps its order
        heapq.heappush(
            self._frames, (at, next(self._number), box.links[output.link], output.link, output.frame)
        )

    def _deliver(self) -> bool:
        any_came = False
        while self._frames and self._frames[0][0] <= self.time:
            _, _, box, link, frame = heapq.heappop(self._frames)
            if box.up and link in box.links:
                box.station.receive(link, frame, box.now, box.wall)
                any_came = box.touched = True
        return any_came
