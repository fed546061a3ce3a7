"""`crewlink rehearse`: what it prints and with which exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crewlink.cli import main
from crewlink.script.schema import schema_text
from tests.script.test_player import START
from tests.script.test_reading import TEAMS


def write(folder: Path, name: str, *steps: object, **more: object) -> Path:
    path = folder / name
    runs = [{"profiles": ["INT", "OLD"], "steps": list(steps)}]
    plain = {"script": 1, "title": "Wrong server", "teams": TEAMS, "start": START, "runs": runs, **more}
    path.write_text(json.dumps(plain), "utf-8")
    return path


WRONG_SERVER = {"do": "wrong_server", "team": "A", "player": 15}
AGREE = {"do": "agree", "by": "R1", "expect": {"score": [5, 6], "serves": "B", "server": 1}}


def test_as_expected_is_exit_code_0(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write(tmp_path, "same.json", WRONG_SERVER, AGREE)
    assert main(["rehearse", str(path)]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "same.json: run 1, INT: 2 steps, 3 expectations, as expected",
        "same.json: run 1, OLD: 2 steps, 3 expectations, as expected",
    ]


def test_a_difference_is_exit_code_1_and_names_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write(tmp_path, "other.json", WRONG_SERVER, {**AGREE, "expect": {"score": [5, 7]}})
    assert main(["rehearse", "--profile", "INT", str(path)]) == 1
    assert capsys.readouterr().out.splitlines() == [
        "other.json: run 1, INT, step 2: score: expected [5, 7], got [5, 6]",
        "other.json: run 1, INT: 2 steps, 1 expectation, 1 differs",
    ]


def test_explain_says_ruling_rule_score_server_and_duties(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write(tmp_path, "told.json", WRONG_SERVER, AGREE)
    assert main(["rehearse", "--explain", "--profile", "INT", str(path)]) == 0
    said = capsys.readouterr().out
    for part in (
        "Table: wrong server, team A, player 15",
        "Point and service to B. Rule 7.7.1. [wrong_server, a fault]",
        "R1: decide",
        "line_up_typed:",
        "A 5 : B 6, set 1, sets 0:0; B serves with 1; A 4-9-7-12-2-15, B 1-10-5-14-3-8",
    ):
        assert part in said


def test_a_bad_script_is_exit_code_2_and_the_others_are_still_played(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path, "a.json", {"do": "point"})
    write(tmp_path, "b.json", WRONG_SERVER, AGREE)
    assert main(["rehearse", str(tmp_path)]) == 2
    said = capsys.readouterr().out
    assert "a.json: run 1, step 1: the field `team` is missing" in said
    assert "b.json: run 1, INT: 2 steps, 3 expectations, as expected" in said


def test_a_start_that_can_not_be_is_told_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    start = {**START, "A": {"positions": [4, 4, 7, 12, 2, 15]}}
    path = write(tmp_path, "start.json", WRONG_SERVER, start=start)
    assert main(["rehearse", str(path)]) == 2
    assert "six different numbers" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("more", "part"),
    [
        ({"format": {"best_of": 4}}, "not an odd number"),
        ({"format": {"best_of": 3, "all_sets": 2}}, "not both"),
    ],
)
def test_a_format_that_can_not_be_played(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], more: dict[str, object], part: str
) -> None:
    path = write(tmp_path, "format.json", WRONG_SERVER, **more)
    assert main(["rehearse", str(path)]) == 2
    assert part in capsys.readouterr().out


def test_an_override_that_does_not_exist(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write(tmp_path, "override.json", WRONG_SERVER)
    plain = json.loads(path.read_text("utf-8"))
    plain["runs"][0]["overrides"] = {"substitutions.most": 3}
    path.write_text(json.dumps(plain), "utf-8")
    assert main(["rehearse", str(path)]) == 2
    assert '"substitutions.most" is no value of a profile' in capsys.readouterr().out


def test_nothing_to_play(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rehearse"]) == 2
    assert main(["rehearse", str(tmp_path)]) == 2
    assert main(["rehearse", str(tmp_path / "none.json")]) == 2
    said = capsys.readouterr().out
    assert "name at least one script" in said
    assert "no script (*.json)" in said
    assert "can't be read" in said


def test_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rehearse", "--schema"]) == 0
    assert capsys.readouterr().out == schema_text()


def test_a_profile_that_no_run_has(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write(tmp_path, "some.json", WRONG_SERVER, AGREE)
    assert main(["rehearse", "--profile", "USC", str(path)]) == 2
    assert "no run of the profile USC" in capsys.readouterr().out


def test_any_script_can_be_played_over_stations(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write(tmp_path, "same.json", WRONG_SERVER, AGREE)
    assert main(["rehearse", "--stations", "--profile", "INT", str(path)]) == 0
    assert capsys.readouterr().out == (
        "same.json: run 1, INT: 2 steps over 5 stations, 3 expectations, as expected\n"
    )
