"""The threat table of protocol/README.md: each test it names is there. And two that fit no other file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from protocol import wire
from protocol.output import Drop
from protocol.wire import Chunk, Packed
from tests.protocol.hall import Hall, invitation

ROOT = Path(__file__).parents[2]
THREATS = (
    "eavesdropper",
    "active man in the middle",
    "code guessing",
    "replay",
    "rogue station",
    "rogue admitted station",
    "stolen device",
    "denial of service",
    "discovery spoofing",
    "datagram flooding",
)
WALL = 1_700_000_000_000


def rows() -> list[list[str]]:
    text = (ROOT / "protocol" / "README.md").read_text().partition("\n## Threats\n")[2].partition("\n## ")[0]
    lines = [line.strip("|").split("|") for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line] for line in lines[2:]]


def named_in(cell: str) -> list[str]:
    return re.findall(r"`(test_\w+)`", cell)


@pytest.mark.parametrize("threat", THREATS)
def test_every_threat_has_a_row_with_defence_tests_and_limits(threat: str) -> None:
    [row] = [row for row in rows() if row[0].lower() == threat]
    _, against, shown, open_ = row
    assert against and open_
    assert named_in(shown), "a claim without a test"


def test_every_test_that_is_named_exists() -> None:
    named = {name for row in rows() for name in named_in(row[2])}
    files = [*ROOT.glob("tests/**/test_*.py")]
    there = {name for file in files for name in re.findall(r"def (test_\w+)\(", file.read_text())}
    assert named and named <= there, named - there


def test_every_row_has_four_cells() -> None:
    assert {len(row) for row in rows()} == {4}


def test_an_entry_that_is_sent_again_changes_nothing() -> None:
    """Kept by someone and put in again, later and over another link."""
    hall = Hall(3)
    entry = hall[0].write("a point")
    hall.settle()
    before = (hall[1].chain(), hall[1].peer.vector())
    again = wire.encode(Chunk(0, [Packed(entry.body, entry.signature)]))
    for link in (100, 102):
        hall[1].peer.receive(link, again, hall.now, WALL)
    hall.settle()
    assert (hall[1].chain(), hall[1].peer.vector()) == before
    assert not any(isinstance(event, Drop) for event in hall[1].events)


def test_an_entry_of_another_match_is_not_taken() -> None:
    """What was signed for one match cannot be put into another one of the same crew."""
    old, new = Hall(2), Hall(2)
    old.invitation = invitation([station.keys for station in old.stations], b"another match---")
    for station in old.stations:
        station.disk.clear()
        station.start()
    old.join_all()
    old.settle()
    foreign = old[0].write("a point of another day")
    old.settle()
    new.settle()
    before = (new[1].chain(), new[1].peer.vector())
    chunk = wire.encode(Chunk(0, [Packed(foreign.body, foreign.signature)]))
    new[1].peer.receive(100, chunk, new.now, WALL)
    new.settle()
    assert foreign.id not in new[1].peer.journal
    assert (new[1].chain(), new[1].peer.vector()) == before
