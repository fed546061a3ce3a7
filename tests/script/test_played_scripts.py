"""Our own scripts, hard ones and those of the rehearsal: they come out as they say, every value counts."""

from __future__ import annotations

import itertools
import json
import re
from pathlib import Path

import pytest

import demo_session
from crewlink.script.format import Script
from crewlink.script.player import play
from crewlink.script.reading import load, parse
from crewlink.script.rehearse import needs_crew, stage_for
from tests.script.spoil import spoilt

HARD = sorted((Path(__file__).parent / "hard").glob("*.json"))
SHOWN = sorted((Path(demo_session.__file__).parent / "scripts").glob("*.json"))
FILES = [pytest.param(path, id=path.stem) for path in HARD + SHOWN]


def differences(script: Script) -> list[str]:
    return [
        f"{number}, {profile}, step {step.number}: {difference}"
        for number, run in enumerate(script.runs, 1)
        for profile in run.profiles
        for step in play(run, stage_for(script, run, profile))
        for difference in step.differences
    ]


def test_there_are_ten_hard_ones() -> None:
    assert len(HARD) == 10


@pytest.mark.parametrize("path", FILES)
def test_script_comes_out_as_it_says(path: Path) -> None:
    assert not differences(load(path))


@pytest.mark.parametrize("path", FILES)
def test_each_expected_value_is_really_compared(path: Path) -> None:
    hurried = re.sub(r'"pause": [0-9.]+', '"pause": 0', path.read_text("utf-8"))
    script = load(path)
    steps = sum(len(run.steps) for run in script.runs)
    every = 4 * (1 + steps // 20) if any(map(needs_crew, script.runs)) else 1  # stations take their time
    for wrong, place in itertools.islice(spoilt(json.loads(hurried)), 0, None, every):
        assert differences(parse(json.dumps(wrong), path.name)), f"{path.stem}: {place} is not compared"
