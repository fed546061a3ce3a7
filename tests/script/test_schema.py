"""The JSON Schema, read by another program: it takes our scripts and refuses what the reader refuses."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from crewlink.script.schema import schema_text

ROOT = Path(__file__).parents[2]
FOLDERS = ("tests/published/cases", "tests/script/hard", "demo_session/scripts")
FILES = [path for folder in FOLDERS for path in sorted((ROOT / folder).glob("*.json"))]
SCHEMA = json.loads(schema_text())
CHECK = Draft202012Validator(SCHEMA)


def faults(plain: object) -> list[str]:
    return [error.message for error in CHECK.iter_errors(plain)]


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("path", [pytest.param(path, id=path.stem) for path in FILES])
def test_every_script_fits(path: Path) -> None:
    plain = json.loads(path.read_text("utf-8"))
    assert not faults(plain)
    assert (path.parent / plain["$schema"]).resolve() == ROOT / "crewlink" / "script" / "schema.json"


@pytest.mark.parametrize(
    "change",
    [
        lambda plain: plain.pop("teams"),
        lambda plain: plain.update(script=2),
        lambda plain: plain.update(colour="red"),
        lambda plain: plain["runs"][0]["steps"][0].pop("do"),
        lambda plain: plain["runs"][0]["steps"][0].update(do="goal"),
        lambda plain: plain["runs"][0]["steps"][0].update(teem="A"),
        lambda plain: plain["runs"][0]["steps"][0].update(expect={"score": [1]}),
        lambda plain: plain["runs"][0].update(profiles=["WORLD"]),
        lambda plain: plain["start"]["A"].update(positions=[1, 2, 3, 4, 5]),
    ],
)
def test_what_the_reader_refuses_does_not_fit(change: Any) -> None:
    plain = copy.deepcopy(json.loads(FILES[19].read_text("utf-8")))
    change(plain)
    assert faults(plain)
