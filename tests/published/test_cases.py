"""The worked cases in cases/, played over the rules engine; each file names its source."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from crewlink.match.setup import MatchSetup
from crewlink.script.crew_stage import CrewStage
from crewlink.script.engine_stage import EngineStage
from crewlink.script.format import Script
from crewlink.script.player import Played, Stage, play
from crewlink.script.reading import load, parse
from tests.script.spoil import spoilt

FILES = sorted((Path(__file__).parent / "cases").glob("*.json"))
CASES = [pytest.param(path, id=path.stem) for path in FILES]


def rules_alone(script: Script, setup: MatchSetup) -> Stage:
    return EngineStage(setup)


def stations(script: Script, setup: MatchSetup) -> Stage:
    return CrewStage(setup, script.posts)


def played(
    script: Script, stage: Callable[[Script, MatchSetup], Stage] = rules_alone
) -> Iterator[tuple[str, tuple[Played, ...]]]:
    for number, run in enumerate(script.runs, 1):
        for profile in run.profiles:
            yield f"run {number}, {profile}", play(run, stage(script, script.setup(run, profile)))


def differences(script: Script, stage: Callable[[Script, MatchSetup], Stage] = rules_alone) -> list[str]:
    return [
        f"{title}, step {step.number}: {difference}"
        for title, steps in played(script, stage)
        for step in steps
        for difference in step.differences
    ]


def test_all_sixty_six_cases_are_here() -> None:
    assert [path.stem for path in FILES] == [f"O{number:02}" for number in range(1, 67)]


@pytest.mark.parametrize("path", CASES)
def test_case_comes_out_as_published(path: Path) -> None:
    script = load(path)
    assert not differences(script)
    assert sum(step.compared for _, steps in played(script) for step in steps) > 0


@pytest.mark.parametrize("path", CASES)
def test_case_comes_out_the_same_over_linked_stations(path: Path) -> None:
    assert not differences(load(path), stations)


@pytest.mark.parametrize("path", CASES)
def test_case_names_its_source_and_how_sure_it_is(path: Path) -> None:
    script = load(path)
    assert script.confidence in ("high", "medium")
    assert script.source


@pytest.mark.parametrize("path", CASES)
def test_each_expected_value_is_really_compared(path: Path) -> None:
    """Change one expected value at a time: the case must then differ."""
    plain = json.loads(path.read_text("utf-8"))
    for wrong, place in spoilt(plain):
        assert differences(parse(json.dumps(wrong), path.name)), f"{path.stem}: {place} is not compared"
