"""Five long matches in which everything goes wrong at once, in long/, worked out by hand from the rules.

Each comes out as it says over the rules alone, and its record ends clean under the audit.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crewlink.match.chain import Chain
from crewlink.record.audit import audit
from crewlink.rules.loading import SHIPPED
from crewlink.script.engine_stage import EngineStage
from crewlink.script.format import Script
from crewlink.script.player import play
from crewlink.script.reading import load, parse
from tests.script.spoil import spoilt

FILES = sorted((Path(__file__).parent / "long").glob("*.json"))
LONG = [pytest.param(path, id=path.stem) for path in FILES]


def played(script: Script) -> tuple[list[str], Chain]:
    """What differs, and the record at the end."""
    (run,) = script.runs
    stage = EngineStage(script.setup(run, run.profiles[0]))
    steps = play(run, stage)
    return [f"step {step.number}: {one}" for step in steps for one in step.differences], stage.chain


def test_there_are_five_over_all_four_books() -> None:
    assert len(FILES) == 5
    assert {profile for path in FILES for run in load(path).runs for profile in run.profiles} == set(SHIPPED)


@pytest.mark.parametrize("path", LONG)
def test_it_comes_out_as_worked_out(path: Path) -> None:
    different, _ = played(load(path))
    assert not different


@pytest.mark.parametrize("path", LONG)
def test_its_record_ends_clean(path: Path) -> None:
    _, chain = played(load(path))
    assert chain.match.finished
    assert audit(chain) == ()


@pytest.mark.parametrize("path", LONG)
def test_each_expected_value_is_really_compared(path: Path) -> None:
    plain = json.loads(path.read_text("utf-8"))
    for wrong, place in spoilt(plain):
        assert played(parse(json.dumps(wrong), path.name))[0], f"{path.stem}: {place} is not compared"
