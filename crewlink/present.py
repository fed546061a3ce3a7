"""What follows at one moment from the court, the link and the clock: who is heard, what notices come to,
whether the ball is in play. Worked out once until an input comes or the court moves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct

from crewlink import owed
from crewlink.acting import Me
from crewlink.charter import Charter
from crewlink.court import Court, Line
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment
from crewlink.crew.outlook import Outlook, look
from crewlink.crew.posts import Post
from crewlink.lateness import late_now
from crewlink.link_reading import Peers, branches_aside, unheard
from crewlink.spell import current
from protocol.membership import Roster
from protocol.peer import Peer

CLOCKS_ALIKE_MS = 2.0
"""So far the two clocks of a device may run apart before the times of others are worked out anew."""


class Present(Struct, frozen=True):
    """One moment at this station, and what it was made from."""

    made_from: tuple[object, ...]
    peers: Peers
    moment: Moment
    me: Me


class Watch:
    """Works out the present of one station. `rally_after`: so long after the ball died, with nothing holding
    the service, play is taken to go on (seconds).
    """

    def __init__(self, peer: Peer, rally_after: float) -> None:
        self._now = 0.0
        self._dead_since = 0.0
        self._peer = peer
        self._rally_after = rally_after
        self._clocks = (0.0, 0)  # a reading of both clocks, kept while they run alike
        self._outlook = Outlook()
        self._present: Present | None = None
        self._filled: tuple[Roster | None, Charter | None, tuple[str, ...]] = None, None, ()

    def passes(self, now: float, wall_ms: int) -> None:
        """Time has gone on (monotonic seconds, this device's own clock in ms)."""
        if abs((now - self._clocks[0]) * 1000 - (wall_ms - self._clocks[1])) > CLOCKS_ALIKE_MS:
            self._clocks = (now, wall_ms)
        self.forget(now)

    def forget(self, now: float) -> None:
        """Something has happened: what was worked out before counts no longer."""
        self._now, self._present = now, None

    def ball_died(self) -> None:
        """The record has moved, so the ball is dead since now."""
        self._dead_since = self._now

    def present(self, court: Court, post: str) -> Present:
        """Everything about this moment, for a station with this post."""
        made_from = (court, self._peer.standing(), self._peer.roster)
        old = self._present
        if old is None or any(one is not other for one, other in zip(made_from, old.made_from, strict=True)):
            peers = self._peer.peers(self._now)
            offsets = {d: one.offset_ms for d, one in peers.items() if one.offset_ms is not None}
            moment, rests_on = self._moment(court, offsets), self._notices_rest_on(court, offsets)
            self._outlook = look(self._outlook, court.crew.notices, moment, rests_on)
            old = self._present = Present(made_from, peers, moment, self._me(court, post, peers))
        return old

    def filled(self, court: Court | None) -> tuple[str, ...]:
        """Posts that somebody holds in this match, in the crew's order."""
        roster, opened = self._peer.roster, court.charter if court is not None else None
        if self._filled[0] is not roster or self._filled[1] is not opened:
            held = {member.post for member in roster.members.values()}
            if opened is not None and not opened.settings.worn:
                held.add(str(Post.R1))  # on the stand without a device: answers by signs
            self._filled = roster, opened, tuple(str(post) for post in Post if post in held)
        return self._filled[2]

    def in_play(self, court: Court) -> bool:
        """Whether play is taken to go on (nobody enters the whistle)."""
        if not court.match.in_set or court.match.phase != "play":
            return False
        if court.lines and self._now - self._dead_since < self._rally_after:
            return False
        return not _held(court)

    @property
    def play_presumed_at(self) -> float:
        """From when on play is taken to go on (seconds), if nothing holds it."""
        return self._dead_since + self._rally_after

    def _notices_rest_on(self, court: Court, offsets: Mapping[bytes, float]) -> tuple[object, ...]:
        """What `_moment` is made from, but for the time."""
        record, crew = (court.lines, court.chain, court.written), (court.crew.causes, court.crew.expected)
        aside = self._peer.standing().set_aside
        return (record, crew, self.filled(court), self._clocks, offsets, aside)

    def _moment(self, court: Court, offsets: Mapping[bytes, float]) -> Moment:
        then, then_ms = self._clocks
        subject, filled, own = current(court.match)[2], self.filled(court), self._peer.device

        def local(time: int, device: bytes) -> float:
            return then - (then_ms - (time - offsets.get(device, 0.0))) / 1000

        return Moment(
            now=self._now,
            here=court.here,
            place=court.place,
            true=lambda wanted: (
                wanted == subject or late_now(court, filled, wanted) or self._lacks(court, wanted)
            ),
            settled=lambda notice: court.settling(notice) is not None,
            wrote=court.wrote,
            local=local,
            knows=lambda device: device == own or device in offsets,
            planned=lambda at: local(at, own),
            died=lambda anchor: _ended(court.rally_end(anchor), local),
            dead_since=self._dead_since,
            profile=court.match.profile,
            device=own,
            filled=filled,
            holds=self._holds,
        )

    def _me(self, court: Court, post: str, peers: Peers) -> Me:
        standing = self._peer.standing()
        safe = self._peer.stands(standing.head) if court.match.finished and not standing.sealed else None
        return Me(
            post=post,
            writes=self._peer.may_write(),
            head=standing.head,
            filled=self.filled(court),
            in_play=self.in_play(court),
            epoch=standing.epoch,
            sealed=standing.sealed,
            stands=safe is not None and safe.yes,
            unheard=unheard(self._peer, peers),
            aside=branches_aside(self._peer, court),
            states=self._outlook.states,
            live=self._outlook.live,
            steps=self._outlook.steps,
        )

    def _holds(self, post: str, device: bytes) -> bool:
        """Whether a post is this device's now."""
        member = self._peer.roster.members.get(device)
        return member is not None and member.post == post

    def _lacks(self, court: Court, head: str) -> bool:
        """Whether a branch of the record that ends so is not counted and holds lines that are missing."""
        aside = branches_aside(self._peer, court)
        return any(one.head.hex() == head and owed.missing_lines(court, one) for one in aside)


def _held(court: Court) -> bool:
    """Whether an open notice of this rally holds the service."""
    for notice in court.crew.notices.values():
        raised = notice.raised
        if raised is None or notice.end is not None or not all_kinds()[raised.kind].stops:
            continue
        place = court.place(raised.anchor)
        here = place is None or place.rallies >= court.here.rallies
        if here and court.settling(notice.id) is None:
            return True
    return False


def _ended(line: Line | None, local: Callable[[int, bytes], float]) -> float | None:
    """When a line was written (seconds, this clock), if there is one."""
    return None if line is None else local(line.time, line.device)
