"""A device is replaced in mid-match, the record signed and locked, the next match begun: by live stations."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from demo_session.rehearsal import SAME, main

SCRIPT = Path(__file__).parent / "hand_over.json"


def test_it_plays_through_real_processes_as_expected(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = main(["--headless", "--pace", "0.05", "--keep", str(tmp_path), str(SCRIPT)])
    said = capsys.readouterr()
    assert code == SAME, said.out + said.err
    assert "R2, R1 (entered by R2); locked" in said.out
    record = json.loads((tmp_path / "hand_over" / "record.json").read_text("utf-8"))
    assert record["locked"] is True and record["result"]["set_scores"] == [[6, 2]]
    answered = record["notices"][0]["answers"]
    assert set(answered) == {"scorer", "R1"}
    assert sorted(path.name for path in (tmp_path / "hand_over").iterdir() if path.is_dir()) == [
        "R1",
        "R1-match-2",
        "R2",
        "R2-match-2",
        "scorer",
        "scorer-4",
        "scorer-4-match-2",
        "site",
        "site-match-2",
    ]
