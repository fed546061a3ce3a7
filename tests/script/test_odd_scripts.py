"""Whatever stands in a script: it is read or refused with a reason, and played without a crash."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from crewlink.match.beginning import SetupError
from crewlink.rules.format import FormatError
from crewlink.rules.loading import ProfileError
from crewlink.script.engine_stage import EngineStage
from crewlink.script.explain import explained
from crewlink.script.player import play
from crewlink.script.reading import ScriptError, parse

CASES = sorted((Path(__file__).parents[1] / "published" / "cases").glob("*.json"))
SCRIPTS = [json.loads(path.read_text("utf-8")) for path in CASES]
ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-2, 120),
    st.floats(allow_nan=False),
    st.text(max_size=3),
    st.sampled_from(["A", "B", "L20", "set", "match", "unknown", "penalty", "regular", "R1", "INT"]),
    st.lists(st.integers(0, 30), max_size=7),
    st.just({}),
)


def places(value: object, place: tuple[object, ...] = ()) -> Iterator[tuple[object, ...]]:
    yield place
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield from places(inner, (*place, key))


PLACES = [[place for place in places(script) if place] for script in SCRIPTS]


@settings(max_examples=150)
@given(st.data())
def test_one_odd_value_anywhere(data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(SCRIPTS) - 1))
    place = data.draw(st.sampled_from(PLACES[number]))
    script = copy.deepcopy(SCRIPTS[number])
    inner = script
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = data.draw(ODD)
    read_and_play(json.dumps(script))


@settings(max_examples=100)
@given(st.text(max_size=40))
def test_any_text(text: str) -> None:
    read_and_play(text)


@settings(max_examples=100)
@given(st.data())
def test_steps_in_any_order(data: st.DataObject) -> None:
    """Steps of one case are played from the start of another."""
    source = data.draw(st.sampled_from(SCRIPTS))
    target = copy.deepcopy(data.draw(st.sampled_from(SCRIPTS)))
    steps = data.draw(st.permutations(source["runs"][0]["steps"]))
    target["runs"] = [{**target["runs"][0], "steps": list(steps)}]
    read_and_play(json.dumps(target))


def read_and_play(text: str) -> None:
    try:
        script = parse(text, "odd.json")
    except ScriptError:
        return
    for run in script.runs:
        for profile in run.profiles:
            try:
                stage = EngineStage(script.setup(run, profile))
            except (SetupError, FormatError, ProfileError):
                continue
            for step in play(run, stage):
                assert list(explained(step))
