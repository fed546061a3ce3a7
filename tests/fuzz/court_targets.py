"""What people write and stations say of a match: scripts, lists, control lines, charters, facts, acts."""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import Any

import msgpack
import msgspec

from crewlink import charter
from crewlink.acts import AnyCommand
from crewlink.charter import Charter, CharterError, Names, Settings
from crewlink.control import Look, obey
from crewlink.court import Court, Line
from crewlink.crew.notice import Act
from crewlink.crew.posts import Post
from crewlink.crew.reduction import Crew, reduce
from crewlink.digest import digest
from crewlink.match import commands, facts
from crewlink.match.chain import Chain
from crewlink.match.ruling import Decision
from crewlink.record.audit import audit
from crewlink.record.export import record_json
from crewlink.record.incident_csv import incidents_csv
from crewlink.record.taking_out import incidents_of
from crewlink.rules.format import FormatOptions
from crewlink.rules.loading import SHIPPED
from crewlink.script.reading import ScriptError, parse
from crewlink.station import Answer
from crewlink.team_list import read_list, read_numbers
from protocol.entry import Kind, Malformed
from tests.crew.hall import SETUP, Hall
from tests.fuzz.mutation import Form
from tests.fuzz.target import Run, Target

CASES = Path(__file__).parents[1] / "published" / "cases"


def scripts() -> Run:
    def run(data: bytes) -> bool:
        try:
            parse(data.decode(errors="replace"))
        except ScriptError:
            return False
        return True

    return run


def script_samples() -> Sequence[bytes]:
    small = sorted(CASES.glob("*.json"), key=lambda path: path.stat().st_size)
    return [json.dumps(json.loads(path.read_bytes())).encode() for path in small[:12]]


def team_lists() -> Run:
    def run(data: bytes) -> bool:
        text = data.decode(errors="replace")
        read = read_list(text)
        assert set(read.liberos) | set(read.captains) | set(read.doubled) <= set(read.numbers)
        read_numbers(text)
        return bool(read.numbers) and not read.unread

    return run


def team_list_samples() -> Sequence[bytes]:
    return [
        b"2 4 6 7 9c 11 12 L20",
        b"Number;Name;Job\n9;Ines Vale;Captain\n20;Mo Reed;Libero\n4;Liv Cole;",
        b'"7","Ada Lund",""\n"8","Bo Finn","L"',
        b"1.\t2.\t3.\r\n4, 5; 6",
    ]


class Anybody:
    """A station that takes every command and writes no file."""

    def submit(self, command: AnyCommand) -> Answer:
        return Answer("accepted")

    def ask(self, command: AnyCommand) -> Decision | None:
        return None

    def look(self) -> Look:
        raise OSError

    def record(self) -> str:
        raise OSError(28, "No space left on device")


def control_lines() -> Run:
    def run(data: bytes) -> bool:
        try:
            answer = obey(Anybody(), data.decode(errors="replace"))
        except OSError:
            return True  # it came as far as asking the station to look
        json.dumps(answer)
        return "error" not in answer

    return run


def control_samples() -> Sequence[bytes]:
    lines: list[dict[str, Any]] = [
        {"id": 1, "do": ["point", {"team": "A"}]},
        {"id": 2, "look": True},
        {"id": 3, "record": "record.json"},
        {"id": 4, "stop": True},
        {"id": 5, "ask": ["wrong_server", {"team": "A", "player": 4}]},
        {"id": 6, "do": ["line_up", {"team": "B", "positions": [4, 9, 7, 12, 2, 15], "liberos": [20, "X"]}]},
        {"id": 7, "do": ["raise", {"kind": "stop", "asks": ["R1", "R2"], "text": "wet floor"}]},
        {"id": 8, "do": ["answer", {"notice": "00" * 32}]},
    ]
    return [json.dumps(line).encode() for line in lines]


def charters() -> Run:
    """The charter in an opening entry, and the names beside it."""

    def run(data: bytes) -> bool:
        Names.from_text(data.decode(errors="replace"))
        try:
            fields = msgpack.unpackb(data, raw=False)
            read = charter.from_map(fields, 1)
        except (ValueError, CharterError, msgpack.UnpackException):
            return False
        Court.start(read, bytes(32))
        return True

    return run


def charter_samples() -> Sequence[bytes]:
    made = Charter(SETUP, Settings(worn=False, starts=1_700_000_000_000))
    setup = msgspec.structs.replace(SETUP, format=FormatOptions(best_of=3))
    short = msgspec.structs.replace(made, setup=setup)
    return [
        *(msgpack.packb(charter.to_map(each)) for each in (made, short)),
        Names("Court 1", "Cup").to_text().encode(),
    ]


def profiles() -> Run:
    """A rule profile inside a charter: read, and a match begun by it."""

    def run(data: bytes) -> bool:
        setup = {"profile_text": data.decode(errors="replace")}
        try:
            read = charter.from_map({"setup": setup}, 1)
        except CharterError:
            return False
        Court.start(read, bytes(32))
        return True

    return run


def profile_samples() -> Sequence[bytes]:
    folder = resources.files("crewlink.rules") / "profiles"
    return [(folder / f"{name}.toml").read_bytes() for name in SHIPPED]


class Recorded:
    """A court of which the record goes on with whatever fact comes; a new one after some."""

    LIFE = 40

    def __init__(self) -> None:
        self.heard = 0

    def __call__(self, data: bytes) -> bool:
        if self.heard % self.LIFE == 0:
            self.chain = Chain.start(SETUP)
            for fact in played():
                self.chain = self.chain.extend(bytes(32), fact)
        try:
            wire = msgpack.unpackb(data, raw=False)
        except (ValueError, msgpack.UnpackException):
            return False
        line = Line(bytes(32), wire if isinstance(wire, list) else ("unreadable", {}))
        if len(line.fact) != 2 or not isinstance(line.fact[1], dict):
            return False
        self.heard += 1
        fact = facts.from_wire((str(line.fact[0]), {str(key): value for key, value in line.fact[1].items()}))
        self.chain = self.chain.extend(self.heard.to_bytes(32, "big"), fact)
        digest(self.chain.match)
        return not isinstance(fact, facts.UnknownFact)


def played() -> list[facts.Fact]:
    """A little of a match, as it is recorded."""
    hall = Hall((Post.SCORER, Post.R2))
    hall.begin()
    for letter in "AABAB":
        hall.do(Post.SCORER, commands.from_wire(["point", {"team": letter}]))
    return [line.fact for line in hall.court(Post.SCORER).chain.lines]


def fact_samples() -> Sequence[bytes]:
    kinds = {facts.to_wire(fact)[0]: fact for fact in played()}
    wires = [list(facts.to_wire(fact)) for fact in kinds.values()]
    more: list[list[Any]] = [
        ["struck", {"entry": bytes(32), "reason": "typed twice"}],
        ["struck", {"entry": (1).to_bytes(32, "big"), "reason": ""}],
        ["time_out", {"team": "A", "score": [3, 2]}],
        ["substitution", {"team": "B", "player_in": 8, "player_out": 2, "score": [3, 2]}],
    ]
    return [msgpack.packb(wire) for wire in (*wires, *more)]


class Crewed:
    """A crew that hears whatever act comes; a new one after some."""

    LIFE = 60

    def __init__(self) -> None:
        self.heard = 0
        self.crew = Crew()

    def __call__(self, data: bytes) -> bool:
        try:
            post, name, fields = msgpack.unpackb(data, raw=False)
            plain = {str(key): value for key, value in fields.items()}
        except (ValueError, TypeError, AttributeError, msgpack.UnpackException):
            return False
        if self.heard % self.LIFE == 0:
            self.crew = Crew()
        self.heard += 1
        act = Act(self.heard.to_bytes(32, "big"), str(post), b"d" * 32, bytes(32), 5, 5, str(name), plain)
        before = self.crew
        self.crew = reduce(self.crew, act)
        digest(self.crew)
        return act.id not in (*self.crew.unknown, *self.crew.ignored) and self.crew is not before


def act_samples() -> Sequence[bytes]:
    one = bytes(32)
    acts: list[list[Any]] = [
        ["R2", "raise", {"id": one, "kind": "stop", "asks": ["R1", "scorer"], "entries": [one]}],
        ["R1", "raise", {"id": bytes(31) + b"2", "kind": "stop", "joins": one}],
        ["R1", "answer", {"notice": one}],
        ["R1", "shown", {"notice": one}],
        ["scorer", "request", {"command": ["point", {"team": "A"}], "cause": one}],
        ["R1", "consent", {"proposal": one, "agree": True}],
        ["scorer", "refusal", {"request": one, "epoch": one, "ruling": {"code": "x", "sentence": "no"}}],
        ["R2", "tick", {"duty": "positions", "fault": "4"}],
        ["R1", "clock", {"kind": "warm_up", "do": "start", "ms": 5}],
        ["scorer", "expected", {"post": "R1", "where": "court 3"}],
        ["R1", "erase", {"entry": one}],
        ["R1", "ready", {"pause": "set", "as": "R1"}],
    ]
    return [msgpack.packb(act) for act in acts]


class Admitted:
    """A whole station hears signed entries of an admitted one that means no good, and shows what it sees."""

    LIFE = 150

    def __init__(self) -> None:
        self.heard = 0

    def __call__(self, data: bytes) -> bool:
        if self.heard % self.LIFE == 0:
            self.hall = Hall((Post.SCORER, Post.R2, Post.R1))
            self.hall.begin()
        self.heard += 1
        box = self.hall.boxes[Post.R2 if self.heard % 3 else Post.SCORER]
        try:
            post, name, fields = msgpack.unpackb(data, raw=False)
            fields = dict(fields)
            if box.post is Post.SCORER and box.station.peer.may_write():
                payload: Any = ("write", {"fact": [name, fields], "because": post})
                box.station.peer.author(Kind.RECORD, payload, box.now, box.wall)
            else:
                kind = Kind.FREE if self.heard % 5 else Kind.ROSTER if self.heard % 2 else Kind.PEN
                box.station.peer.author(kind, (name, fields), box.now, box.wall)
        except (ValueError, TypeError, Malformed, msgpack.UnpackException):
            return False
        self.hall.pass_time(0.01)
        digest(self.hall.look(Post.R1))
        if self.heard % 8 == 0:
            self.take_out()
        return True

    def take_out(self) -> None:
        """Record, audit and incidents of what was heard, as files are made of them."""
        station = self.hall.boxes[Post.R1].station
        court = self.hall.court(Post.R1)
        json.loads(record_json(court, station.names))
        audit(court.chain)
        incidents_csv([incidents_of(station)])


def admitted_samples() -> Sequence[bytes]:
    wires = [msgpack.unpackb(sample, raw=False) for sample in fact_samples()]
    return [*act_samples(), *(msgpack.packb(["", name, fields]) for name, fields in wires)]


TARGETS = (
    Target("scripts", Form.JSON, scripts, script_samples, 40, longest=8192),
    Target("team lists", Form.TEXT, team_lists, team_list_samples, 50),
    Target("control lines", Form.JSON, control_lines, control_samples, 50),
    Target("charters and names", Form.MSGPACK, charters, charter_samples, 40),
    Target("rule profiles", Form.TEXT, profiles, profile_samples, 6, longest=8192),
    Target("facts of the record", Form.MSGPACK, Recorded, fact_samples, 15),
    Target("acts of the crew", Form.MSGPACK, Crewed, act_samples, 40),
    Target("acts at a station", Form.MSGPACK, Admitted, admitted_samples, 5, 4096, 10.0, 16_384),
)
