"""What a user can get wrong is answered in one sentence with what, where and what to do; nothing is lost."""

from __future__ import annotations

import socket
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec import structs

from crewlink.charter import Charter, Names
from crewlink.folder import StationFolder
from crewlink.match.setup import MatchSetup
from demo_session.event import prepare


@pytest.fixture
def folder(tmp_path: Path) -> StationFolder:
    crew = prepare(tmp_path, ["scorer", "R2"], Charter(MatchSetup()), Names())
    return StationFolder(crew.folders["scorer"])


def told(*arguments: str) -> str:
    """What the command says when it cannot start; it must end with 2, in one line, without a traceback."""
    done = subprocess.run(
        [sys.executable, "-m", "crewlink", *arguments],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 2, done
    assert "Traceback" not in done.stderr
    assert done.stderr.strip().count("\n") == 0
    return done.stderr


def station(folder: StationFolder) -> str:
    return told("station", str(folder.path))


def test_a_folder_without_a_station(tmp_path: Path) -> None:
    assert "There is no station here. Open or join a court first." in told("station", str(tmp_path))


def test_a_station_file_with_a_slip_is_named_with_its_place(folder: StationFolder) -> None:
    folder.station.write_text(folder.station.read_text().replace('"port"', '"prot"') or "{}")
    folder.station.write_text('{"format": "crewlink station 1", "post": "scorer", "prot": 1}')
    said = station(folder)
    assert "station.json" in said and "prot" in said


def test_an_invitation_that_is_damaged(folder: StationFolder) -> None:
    folder.invitation.write_text(folder.invitation.read_text()[:-40])
    said = station(folder)
    assert "court.json" in said and "again" in said


def test_keys_that_are_missing(folder: StationFolder) -> None:
    for file in folder.identity.iterdir():
        file.unlink()
    assert "identity" in station(folder)


def test_a_file_that_is_no_match_file_is_not_touched(folder: StationFolder) -> None:
    with sqlite3.connect(folder.database) as other:
        other.execute("CREATE TABLE recipes (name TEXT)")
    before = folder.database.read_bytes()
    assert "match.db" in station(folder)
    assert folder.database.read_bytes() == before


def test_a_damaged_match_file_is_kept_and_the_user_is_told(folder: StationFolder) -> None:
    start_once(folder)
    whole = folder.database.read_bytes()
    damaged = whole[: len(whole) // 2] + bytes(len(whole) - len(whole) // 2)
    folder.database.write_bytes(damaged)
    said = start_once(folder)
    kept = [file for file in folder.path.iterdir() if file.is_file() and file.read_bytes() == damaged]
    assert len(kept) == 1 and kept[0] != folder.database
    assert kept[0].name in said


def start_once(folder: StationFolder) -> str:
    """Start the station and end its input at once; what it said on the error output."""
    done = subprocess.run(
        [sys.executable, "-m", "crewlink", "station", str(folder.path)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    return done.stderr


def test_a_port_in_use(folder: StationFolder) -> None:
    with socket.create_server(("", 0)) as taken:
        port = taken.getsockname()[1]
        folder.write(structs.replace(folder.read(), port=port))
        assert f"Port {port}: Another program on this device uses it." in station(folder)


def test_an_address_that_cannot_be_one(folder: StationFolder) -> None:
    folder.write(structs.replace(folder.read(), addresses=("gym:notaport",)))
    assert "gym:notaport" in station(folder)


def test_a_profile_with_a_mistake(tmp_path: Path) -> None:
    crew = prepare(tmp_path / "x", ["scorer"], Charter(MatchSetup(profile="ABC")), Names())
    said = told("station", str(crew.folders["scorer"]))
    assert "ABC" in said


def test_a_script_with_a_mistake(tmp_path: Path) -> None:
    script = tmp_path / "slip.json"
    script.write_text('{"script": 1, "title": "x", "teems": {}}')
    done = subprocess.run(
        [sys.executable, "-m", "crewlink", "rehearse", str(script)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 2 and "slip.json" in done.stdout and "teems" in done.stdout
