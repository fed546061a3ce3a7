"""The page about scripts names everything that can stand in one, and its example comes out as it says."""

from __future__ import annotations

import enum
import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_type_hints

import msgspec
import pytest
from msgspec import inspect

import crewlink.script
from crewlink.crew.kinds import all_kinds
from crewlink.rules.profile import Profile
from crewlink.script.engine_stage import EngineStage
from crewlink.script.expectations import Expect
from crewlink.script.format import FormatChoice, Script, Start, StartTeam
from crewlink.script.player import play
from crewlink.script.reading import STEPS, parse
from crewlink.script.schema import HERE, schema_text

FOLDER = Path(crewlink.script.__file__).parent
PAGE = (FOLDER / "README.md").read_text("utf-8")
PROSE = re.sub(r"```.*?```", "", PAGE, flags=re.DOTALL)
NAMED = set(re.findall(r"[A-Za-z0-9_$]+", " ".join(re.findall(r"`([^`]+)`", PROSE))))
NOT_IN_SCRIPTS = {"Cause", "State"}  # only some of these words may stand in a script; listed below


def fields(kind: object) -> list[str]:
    info = inspect.type_info(kind)
    assert isinstance(info, inspect.StructType)
    return [field.encode_name for field in info.fields]


@pytest.mark.parametrize("step", STEPS)
def test_every_step_and_its_fields_are_named(step: str) -> None:
    missing = [name for name in (step, *fields(STEPS[step])) if name not in NAMED]
    assert not missing


@pytest.mark.parametrize("kind", [Script, Start, StartTeam, Expect, FormatChoice])
def test_every_field_is_named(kind: type) -> None:
    missing = [name for name in fields(kind) if name not in NAMED]
    assert not missing


def words(kind: object) -> Iterator[tuple[str, str]]:
    """Every word that may stand in a field of a few words, with the name of the field's type."""
    seen: set[object] = set()
    waiting = [inspect.type_info(kind)]
    while waiting:
        one = waiting.pop()
        if isinstance(one, inspect.EnumType):
            yield from ((one.cls.__name__, str(member.value)) for member in one.cls)
        elif isinstance(one, inspect.StructType) and one.cls not in seen:
            seen.add(one.cls)
            waiting += [field.type for field in one.fields]
        elif isinstance(one, inspect.UnionType):
            waiting += one.types
        elif isinstance(one, inspect.VarTupleType | inspect.ListType):
            waiting.append(one.item_type)
        elif isinstance(one, inspect.TupleType):
            waiting += one.item_types
        elif isinstance(one, inspect.DictType):
            waiting.append(one.value_type)
        elif isinstance(one, inspect.Metadata):
            waiting.append(one.type)


def test_every_word_is_named() -> None:
    missing = {
        f"{kind}: {word}" for kind, word in words(Script) if kind not in NOT_IN_SCRIPTS and word not in NAMED
    }
    assert not missing
    assert {"line_up", "illegal_substitution", "illegal_libero"} <= NAMED
    assert {"open", "answered", "closed", "withdrawn", "lapsed"} <= NAMED


def test_every_notice_is_named() -> None:
    assert not set(all_kinds()) - NAMED


def test_every_value_of_a_profile_is_named() -> None:
    for section, kind in get_type_hints(Profile).items():
        if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
            assert section in NAMED
            for name, value in get_type_hints(kind).items():
                assert name in NAMED, f"{section}.{name}"
                if isinstance(value, type) and issubclass(value, enum.Enum):
                    assert {member.value for member in value} <= NAMED


def test_the_example_comes_out_as_it_says() -> None:
    examples = [text for text in re.findall(r"```json\n(.*?)```", PAGE, re.DOTALL) if '"script"' in text]
    assert examples
    for text in examples:
        script = parse(text, "README.md")
        for run in script.runs:
            for profile in run.profiles:
                assert not [
                    step.differences
                    for step in play(run, EngineStage(script.setup(run, profile)))
                    if step.differences
                ]


def test_the_schema_file_is_the_one_that_the_types_give() -> None:
    assert (FOLDER / HERE).read_text("utf-8") == schema_text()
