"""The worked cases in cases/, played over the rules engine; each file names its source."""

from __future__ import annotations

import copy
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


def spoilt(plain: dict[str, object]) -> Iterator[tuple[dict[str, object], str]]:
    """Copies of a script with one expected value changed, and where."""
    for run, step in expectations(plain):
        for place in leaves(plain["runs"][run]["steps"][step]["expect"]):  # type: ignore[index]
            wrong = copy.deepcopy(plain)
            inner = wrong["runs"][run]["steps"][step]["expect"]  # type: ignore[index]
            for key in place[:-1]:
                inner = inner[key]
            inner[place[-1]] = other(place, inner[place[-1]])
            yield wrong, f"run {run + 1}, step {step + 1}, {place}"


def expectations(plain: dict[str, object]) -> Iterator[tuple[int, int]]:
    for number, run in enumerate(plain["runs"]):  # type: ignore[arg-type,var-annotated]
        for place, step in enumerate(run["steps"]):
            if "expect" in step:
                yield number, place


def leaves(value: object, place: tuple[object, ...] = ()) -> Iterator[tuple[object, ...]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*place, key))
    elif isinstance(value, list) and value:
        for index, inner in enumerate(value):
            yield from leaves(inner, (*place, index))
    else:
        yield place


WORDS = {
    "severity": {"fault": "delay", "delay": "improper_request", "improper_request": "refuse"},
    "phase": {"play": "stopped", "time_out": "play", "finished": "play", "between_sets": "check"},
    "suggested": {"penalty": "expulsion", "expulsion": "penalty", "disqualification": "penalty"},
    "card": {"penalty": "warning", "warning": "penalty", "expulsion": "penalty"},
}


def other(place: tuple[object, ...], value: object) -> object:
    """A value of the same kind that is not `value`."""
    if value is None:
        return (
            "A"
            if place[-1] in ("winner", "set_point")
            else 1
            if place[0] != "positions"
            else [1, 2, 3, 4, 5, 6]
        )
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1 if value < 99 else value - 1
    if value == []:
        return another_list(str(place[0]))
    if value in ("A", "B"):
        return "B" if value == "A" else "A"
    if isinstance(value, str) and value.startswith("L"):
        return int(value[1:]) + 1
    for key, words in WORDS.items():
        if key in place and value in words:
            return words[str(value)]
    return {"scorer_mistake": "other", "captain_told": "other", "6": "5", "coach": "doctor"}.get(
        str(value), f"not {value}"
    )


def another_list(name: str) -> list[object]:
    return {
        "findings": ["point_outside_set"],
        "overlaps": [[1, 2]],
        "cards": [{"player": 1, "card": "warning"}],
    }.get(name, [1])  # type: ignore[return-value]
