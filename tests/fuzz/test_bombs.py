"""Inputs of the greatest size a parser takes, made to cost as much as they can: time and memory are bounded.

Time is that of the processor, so a busy machine does not matter; the bounds are wide, and what grows with the
square of its input breaks them.
"""

from __future__ import annotations

import json
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import msgpack
import msgspec
import pytest

from crewlink import charter
from crewlink.charter import CharterError, Names
from crewlink.control import obey
from crewlink.folder import FolderError, StationFolder
from crewlink.home import Choices, Home
from crewlink.script.reading import ScriptError, load, parse
from crewlink.team_list import read_list
from protocol import pairing_wire, wire
from protocol.address import Address, AddressError
from protocol.entry import MAX_BODY, MAX_PRIVATE, EntryError, read
from protocol.identity import FILE_NAME, Identity, IdentityError
from protocol.pairing_code import Code, CodeError, Ticket
from protocol.roster import Invitation, InvitationError
from protocol.small_file import MOST, read_small
from tests.fuzz.court_targets import Anybody

MOST_SECONDS = 5.0
FRAME_KB, ENTRY_KB, PAIRING_KB = 32 * 1024, 8 * 1024, 1024
Refusals = type[Exception] | tuple[type[Exception], ...]


def cost(act: Callable[[], object], refusals: Refusals = ()) -> float:
    """The most memory held at once, in kB; the act ends in time, by a named refusal or well."""
    tracemalloc.start()
    begin = time.process_time()
    try:
        act()
    except refusals:
        pass
    finally:
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
    assert time.process_time() - begin < MOST_SECONDS
    return peak / 1024


def filled(start: bytes, unit: bytes, size: int) -> bytes:
    """A front and as many of one unit as fit."""
    return start + unit * ((size - len(start)) // len(unit))


UNITS = (
    *(b"\xc0", b"\x90", b"\x80", b"\xa1a", b"\xcb" + bytes(8)),
    *(b"\x91", b"\x81\xa1a", b"\xd6\xff" + bytes(4)),
)
FRONTS = (
    *(b"", b"\xdd\x00\x03\xff\xf0", b"\xdf\x00\x01\xff\xf0"),
    *(b"\xdd\xff\xff\xff\xff", b"\xc6\xff\xff\xff\xff"),
)


@pytest.mark.parametrize("front", FRONTS)
@pytest.mark.parametrize("unit", UNITS)
def test_frames_and_entries(front: bytes, unit: bytes) -> None:
    named = b"\x82\xa1t\xa4ping\xa6number" + front
    for start in (front, named):
        frame = filled(start, unit, wire.MAX_FRAME)
        assert cost(lambda frame=frame: wire.decode(frame), wire.WireError) < FRAME_KB  # type: ignore[misc]
        body = filled(start, unit, MAX_BODY)
        assert cost(lambda body=body: read(body, bytes(64)), EntryError) < ENTRY_KB  # type: ignore[misc]


@pytest.mark.parametrize("front", FRONTS)
@pytest.mark.parametrize("unit", UNITS)
def test_pairing_messages(front: bytes, unit: bytes) -> None:
    start = b"\x82\xa4type\xa9admission\xa7members" + front
    for frame in (filled(start, unit, pairing_wire.LONGEST_FRAME), filled(front, unit, 16_000)):
        assert cost(lambda frame=frame: pairing_wire.decode(frame), msgspec.MsgspecError) < PAIRING_KB  # type: ignore[misc]


def test_a_stream_that_never_ends_a_frame_is_held_once() -> None:
    reader = wire.Deframer()
    piece = wire.MAX_FRAME.to_bytes(4, "big") + bytes(1000)

    def feed() -> None:
        for _ in range(2000):
            reader.feed(piece)

    assert cost(feed) < 2048


@pytest.mark.parametrize(
    "text", ["[" * MAX_PRIVATE, '{"x":' * 3000, '{"x":' + "9" * 9000 + "}", '{"court":"\\ud800"}', "\xff"]
)
def test_names_in_private_text(text: str) -> None:
    assert Names.from_text(text) in (None, Names(), Names(court="\ufffd"))


JSON_BOMBS = (
    b"[" * 200_000,
    b'{"a":' * 100_000,
    b'{"format":' + b"9" * 100_000 + b"}",
    b'{"format":"\\ud800"}',
    b'{"format":"\xff"}',
    b'{"x":' + b"[" * 100_000,
    b"\xef\xbb\xbf{}",
    b"",
    b"[" + b"[]," * 100_000 + b"[]]",
    b"{" + b'"a":1,' * 150_000 + b'"a":1}',
    b"1" * MOST,
)


@pytest.mark.parametrize("content", JSON_BOMBS, ids=lambda content: content[:12].decode(errors="replace"))
def test_files_of_a_station(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "courts" / "one").mkdir(parents=True)
    court = tmp_path / "courts" / "one"
    for path in (tmp_path / "choices.json", *(court / name for name in ("court.json", "station.json"))):
        path.write_bytes(content)
    (court / FILE_NAME).write_bytes(content)
    assert Home(tmp_path).choices() == Choices()
    assert Home(tmp_path).courts() == ()
    with pytest.raises(FolderError, match="Not readable"):
        StationFolder(court).read()
    with pytest.raises(InvitationError, match="damaged"):
        Invitation.load(court / "court.json")
    with pytest.raises(IdentityError, match="damaged"):
        Identity.load(court)


def test_a_file_that_is_much_too_long_is_not_read_into_memory(tmp_path: Path) -> None:
    path = tmp_path / "court.json"
    with path.open("wb") as file:
        file.truncate(1 << 40)
    assert cost(lambda: read_small(path), OSError) < 2048
    with pytest.raises(InvitationError, match="longer than 1024 KiB"):
        Invitation.load(path)
    with pytest.raises(ScriptError, match="longer than 1024 KiB"):
        load(path)


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b'{"a":' + b"1" * 5000 + b"}", "thousands of digits"),
        (b"[" * 200_000, "nested too deeply"),
        (b'{"script": 1, "title": "\\ud800", "runs": []}', "half a letter"),
        (b"{" + b'"a":1,' * 140_000 + b'"a":1}', "written twice"),
        (b"[" + b"[]," * 100_000 + b"[]]", "expected an object, got a list"),
        (b'{"runs":[' + b"{}," * 60_000 + b"{}]}", "missing"),
    ],
    ids=["digits", "depth", "half a letter", "doubled fields", "lists", "runs"],
)
def test_scripts(content: bytes, reason: str) -> None:
    assert len(content) <= MOST
    began = time.process_time()
    with pytest.raises(ScriptError, match=reason):
        parse(content.decode())
    assert time.process_time() - began < MOST_SECONDS


@pytest.mark.parametrize(
    "line",
    [
        "[" * 100_000,
        '{"do":' + "1" * 5000 + "}",
        '{"do": ["point", {"team": "\\ud800"}]}',
        '{"ask": ["point", {"\\ud800": 1}]}',
        '{"record": "a\\u0000b"}',
        '{"record": "\\ud800"}',
        '{"do": ["point", ' + "[" * 900 + "]" * 900 + "]}",
    ],
)
def test_control_lines(line: str) -> None:
    answer = obey(Anybody(), line)
    assert "error" in answer
    json.dumps(answer)


def test_a_control_line_writes_no_file_under_a_name_that_is_none() -> None:
    class Recording(Anybody):
        def record(self) -> str:
            return "{}"

    assert "cannot be written" in obey(Recording(), '{"id": 1, "record": "a\\u0000b"}')["error"]


def test_a_pasted_list_of_a_million_numbers() -> None:
    text = "7 12 9c L20 x\n" * 100_000
    assert cost(lambda: read_list(text)) < 8 * 1024
    read = read_list(text)
    assert read.doubled == (7, 12, 9, 20)
    assert len(read.unread[-1]) > 1_000_000, "what was not read is told"


@pytest.mark.parametrize(
    "text",
    [
        *("a:" + "1" * 5000, ":" * 100_000, "[" + ":" * 1000 + "]:80", "x" * 64 + ".local:80"),
        *("a..b:80", "a\0b:80", "a\u202eb:80", "a b:80", "x." * 200 + "x:80", "a:٣", "a:²", "a:00000080"),
    ],
)
def test_addresses_that_no_resolver_would_take(text: str) -> None:
    with pytest.raises(AddressError, match="is not an address") as caught:
        Address.parse(text)
    assert len(str(caught.value)) < 140


@pytest.mark.parametrize(
    "text",
    [
        *("CREWLINK1|é|1.2.3.4:5", "CREWLINK1|" + "A" * 100_000 + "|1.2.3.4:5", "CREWLINK1|A|" + ":" * 9000),
        "CREWLINK1|26SW2PH47GSE3RYWNENM3K5BXA" + "|1.2.3.4:5" * 17,
        *("1" * 100_000, "٣" * 9, "²" * 9),
    ],
)
def test_codes_and_tickets(text: str) -> None:
    for parse_one in (Code.parse, Ticket.parse):
        with pytest.raises(CodeError):
            parse_one(text)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("a = " + "[" * 900, "nested too deeply"),
        ("a = " + "[\n" * 2000, "nested too deeply"),
        ("a = " + "1" * 900, "is not known here"),
        ("a = [\n" + "1" * 900 + ",\n]", "is not known here"),
        ("a." * 20_000 + "b = 1", "longer than 32000 letters"),
        ("a." * 10_000 + "b = 1", "a line longer than 1000 letters"),
        (("a." * 490 + "b%d = 1\n") * 32, "not readable as TOML"),
        ("\ud800", "not readable as TOML"),
    ],
    ids=["depth", "lines of depth", "digits", "number", "long", "keys", "lines of keys", "half a letter"],
)
def test_rule_profiles_in_a_charter(text: str, reason: str) -> None:
    began = time.process_time()
    with pytest.raises(CharterError, match=reason):
        charter.from_map({"setup": {"profile_text": text}}, 1)
    assert time.process_time() - began < MOST_SECONDS


def test_a_deep_fact_stays_under_the_depth_of_an_entry() -> None:
    deep: object = 1
    for _ in range(40):
        deep = [deep]
    body = msgpack.packb([1, bytes(32), 0, bytes(32), bytes(32), 0, "record", ["write", {"fact": deep}]])
    with pytest.raises(EntryError, match="too deep"):
        read(body, bytes(64))
