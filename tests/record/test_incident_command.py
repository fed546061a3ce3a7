"""`crewlink incidents`: the lists of courts whose programs are closed, in files for their owner alone."""

from __future__ import annotations

import csv
import stat
from pathlib import Path

import pytest

from crewlink import cli
from crewlink.charter import Charter, Names, Settings
from crewlink.crew.commands import Raise
from crewlink.folder import StationFolder
from crewlink.match.setup import MatchSetup
from crewlink.running import RunningStation
from demo_session.event import prepare
from protocol.store import Store


@pytest.fixture
def court(tmp_path: Path) -> dict[str, Path]:
    """Folders of a court whose R2 reported something and then closed the program."""
    names = Names(court="Court 3", event="Autumn Cup", responsible="The desk")
    opened = Charter(MatchSetup(), Settings(retention_days=30))
    folders = prepare(tmp_path, ["R2", "scorer", "site"], opened, names).folders
    running = RunningStation(folders["R2"], lambda: None)
    running.start()
    try:
        answer = running.submit(Raise("conduct", "A", 9, detail="coach", text="would not sit down"))
        assert answer.done, answer
    finally:
        running.stop()
    return dict(folders)


def test_it_writes_both_files_and_only_the_owner_may_read_them(
    court: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "list.csv").write_text("old, and open to all")
    assert cli.main(["incidents", str(court["R2"]), "--to", str(tmp_path / "list")]) == 0
    rows = list(csv.DictReader((tmp_path / "list.csv").read_text("utf-8-sig").splitlines()))
    assert [(row["court"], row["number"], row["words"]) for row in rows] == [
        ("Court 3", "9", "would not sit down")
    ]
    assert (tmp_path / "list.pdf").read_bytes().startswith(b"%PDF")
    for ending in ("csv", "pdf"):
        assert stat.S_IMODE((tmp_path / f"list.{ending}").stat().st_mode) == 0o600
    assert "1 incident." in capsys.readouterr().out


def test_looking_into_a_folder_changes_nothing_in_its_match(court: dict[str, Path], tmp_path: Path) -> None:
    folder = StationFolder(court["R2"])
    rows = rows_of(folder)
    cli.main(["incidents", str(court["R2"]), "--to", str(tmp_path / "list")])
    assert rows_of(folder) == rows


def rows_of(folder: StationFolder) -> list[bytes]:
    from protocol.roster import Invitation

    store = Store.open(folder.database, Invitation.load(folder.invitation).match)
    try:
        return [row.id for row in store.load()]
    finally:
        store.close()


@pytest.mark.parametrize(
    ("post", "said"),
    [("scorer", "The table keeps no reports. Ask R1, R2 or the supervisor."), ("site", "never came here")],
)
def test_a_folder_without_the_reports_says_why(
    court: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str], post: str, said: str
) -> None:
    assert cli.main(["incidents", str(court[post]), "--to", str(tmp_path / "list")]) == 2
    told = capsys.readouterr().err
    assert said in told and str(court[post]) in told and told.count("\n") == 1
    assert not (tmp_path / "list.csv").exists()


def test_a_place_that_cannot_be_written_is_named(
    court: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    nowhere = tmp_path / "not there" / "list"
    assert cli.main(["incidents", str(court["R2"]), "--to", str(nowhere)]) == 2
    assert "Cannot be written" in capsys.readouterr().err


def test_while_the_program_runs_it_says_so(
    court: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    running = RunningStation(court["R2"], lambda: None)
    running.start()
    try:
        assert cli.main(["incidents", str(court["R2"]), "--to", str(tmp_path / "list")]) == 2
    finally:
        running.stop()
    told = capsys.readouterr().err
    assert told.count("\n") == 1 and "match.db" in told
