"""Real peers joined by hand-worked wires and disks: all at once, unless a test holds something back."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from protocol import wire
from protocol.entry import Entry, Kind, Payload, StoredEntry
from protocol.output import Arrived, Commit, Drop, Forked, Output, PrivateCame, Refused, Send
from protocol.peer import Peer
from protocol.roster import FoundingCharter, Invitation, Member

POSTS = ("scorer", "R1", "R2", "assistant", "site")
WALL = 1_700_000_000_000


class Keys:
    """An identity that follows from a word."""

    def __init__(self, word: str) -> None:
        self._key = Ed25519PrivateKey.from_private_bytes(hashlib.sha256(word.encode()).digest())
        self.public_key = self._key.public_key().public_bytes_raw()
        self.device = hashlib.sha256(self.public_key).digest()

    def sign(self, data: bytes) -> bytes:
        return self._key.sign(data)

    def member(self, post: str) -> Member:
        return Member(self.device, self.public_key, b"certificate " + post.encode(), b"binding", post)


def invitation(keys: Iterable[Keys], match: bytes = b"m" * 16) -> Invitation:
    members = tuple(key.member(post) for key, post in zip(keys, POSTS, strict=False))
    return Invitation(match, members[0].device, members)


class Station:
    def __init__(self, hall: Hall, number: int) -> None:
        self.hall = hall
        self.number = number
        self.keys = Keys(f"station {number}")
        self.disk: dict[bytes, StoredEntry] = {}
        self.arrived: list[Entry] = []
        self.own: list[Entry] = []
        self.events: list[Output] = []
        self.unsaved: list[Commit] = []
        self.disk_works = True
        self.runs = 0
        self.peer: Peer

    def start(self) -> None:
        self.runs += 1
        run = bytes([self.number, self.runs]) * 8
        charter = self.hall.charter if self.number == 0 else None
        self.peer = Peer(
            self.keys,
            self.hall.invitation,
            run=run,
            stored=list(self.disk.values()),
            wall_ms=self.hall.wall(self.number),
            now=self.hall.now,
            found=charter,
        )

    def write(self, fact: object, **more: object) -> Entry:
        return self.author(Kind.RECORD, ("write", {"fact": fact, **more}))  # type: ignore[dict-item]

    def note(self, text: str) -> Entry:
        return self.author(Kind.FREE, ("note", {"said": text}))

    def author(self, kind: str, payload: Payload, private: bytes | None = None) -> Entry:
        return self.peer.author(kind, payload, self.hall.now, self.hall.wall(self.number), private)

    def chain(self) -> list[object]:
        return [entry.fields["fact"] for entry in self.peer.standing().chain]

    def aside(self) -> list[object]:
        return [entry.fields["fact"] for entry in self.peer.standing().set_aside]


class Hall:
    """`settle` lets everything happen that can; `wait` lets time pass, a quarter of a second at a time."""

    def __init__(self, count: int = 3, voters: int | None = None) -> None:
        self.now = 100.0
        self.stations = [Station(self, number) for number in range(count)]
        self.invitation = invitation([station.keys for station in self.stations])
        devices = [station.keys.device for station in self.stations[:voters]]
        self.charter = FoundingCharter(tuple(devices), {"sets": 5})
        self.cut: set[tuple[int, int]] = set()
        self.sent: list[tuple[int, int, bytes]] = []
        for station in self.stations:
            station.start()
        self.join_all()
        self.settle()

    def wall(self, number: int) -> int:
        """The wall clock of a station, milliseconds. Here they all stand still."""
        return WALL

    def __getitem__(self, number: int) -> Station:
        return self.stations[number]

    def join_all(self) -> None:
        for one in self.stations:
            for other in self.stations:
                if one is not other:
                    self.join(one.number, other.number)

    def join(self, one: int, other: int) -> None:
        """One end of a link; link numbers tell both ends."""
        device = self.stations[other].keys.device
        self.stations[one].peer.link_up(one * 100 + other, device, self.now, self.wall(one))

    def part(self, *groups: set[int]) -> None:
        """Frames go only inside these groups; links between them are closed."""
        numbers = range(len(self.stations))
        together = {(a, b) for group in groups for a in group for b in group}
        self.cut = {(a, b) for a in numbers for b in numbers if (a, b) not in together and a != b}
        for a, b in self.cut:
            self.stations[a].peer.link_down(a * 100 + b, self.now)

    def heal(self) -> None:
        for a, b in sorted(self.cut):
            self.cut.discard((a, b))
            self.join(a, b)
        self.settle()

    def restart(self, number: int) -> None:
        for other in self.stations:
            if other.number != number:
                other.peer.link_down(other.number * 100 + number, self.now)
        self.stations[number].unsaved.clear()
        self.stations[number].start()
        for other in self.stations:
            if other.number != number and (number, other.number) not in self.cut:
                self.join(number, other.number)
                self.join(other.number, number)

    def settle(self) -> None:
        for _ in range(1000):
            worked = [self._work(station) for station in self.stations]
            if not any(worked):
                return
        raise AssertionError("the hall does not come to rest")

    def wait(self, seconds: float) -> None:
        for _ in range(round(seconds * 4)):
            self.now += 0.25
            for station in self.stations:
                station.peer.tick(self.now, self.wall(station.number))
            self.settle()

    def messages(self) -> list[tuple[int, int, wire.Message]]:
        """What was sent: by whom, to whom, and what it says."""
        return [(sender, receiver, wire.decode(frame)) for sender, receiver, frame in self.sent]

    def _work(self, station: Station) -> bool:
        outputs = station.peer.drain()
        for output in outputs:
            if isinstance(output, Commit):
                station.unsaved.append(output)
            elif isinstance(output, Send):
                self._deliver(station.number, output)
            elif isinstance(output, Arrived):
                station.arrived += output.entries
                station.own += output.entries if output.own else ()
            else:
                assert isinstance(output, Drop | Forked | PrivateCame | Refused)
                station.events.append(output)
        return self._save(station) or bool(outputs)

    def _save(self, station: Station) -> bool:
        if not station.disk_works or not station.unsaved:
            return False
        commit = station.unsaved.pop(0)
        station.disk.update({row.id: row for row in commit.rows})
        station.peer.committed(commit.batch, self.now, self.wall(station.number))
        return True

    def _deliver(self, sender: int, output: Send) -> None:
        other = output.link % 100
        self.sent.append((sender, other, output.frame))
        if (sender, other) not in self.cut:
            self.stations[other].peer.receive(other * 100 + sender, output.frame, self.now, self.wall(other))
