"""Profiles as files: complete, sourced, and refused with file and line when something is wrong."""

from importlib import resources

import pytest
from msgspec import Struct

from crewlink.rules.loading import SHIPPED, ProfileError, override, read, shipped
from crewlink.rules.profile import Profile

INT = (resources.files("crewlink.rules") / "profiles" / "INT.toml").read_text("utf-8")


@pytest.mark.parametrize("name", SHIPPED)
def test_each_value_of_a_shipped_profile_has_a_source(name: str) -> None:
    sourced = shipped(name)
    paths = {
        f"{section}.{field}"
        for section in Profile.__struct_fields__
        if isinstance(part := getattr(sourced.profile, section), Struct)
        for field in part.__struct_fields__
    }
    assert set(sourced.sources) == paths
    assert all(sourced.sources.values())
    assert sourced.profile.name == name


def line_of(text: str, start: str) -> int:
    return next(n for n, line in enumerate(text.splitlines(), 1) if line.startswith(start))


def test_missing_field_names_file_section_and_line() -> None:
    text = "\n".join(line for line in INT.splitlines() if not line.startswith("per_set = { value = 6"))
    with pytest.raises(ProfileError, match='"per_set" is missing') as raised:
        read(text, "event.toml")
    assert raised.value.file == "event.toml"
    assert raised.value.line == line_of(text, "[substitutions]")
    assert f"event.toml, line {raised.value.line}" in str(raised.value)


def test_missing_section_is_named() -> None:
    start, end = INT.index("[positions]"), INT.index("[wrong_server]")
    with pytest.raises(ProfileError, match='"positions" is missing'):
        read(INT[:start] + INT[end:])


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("seconds = { value = 30", "secs = { value = 30", '"secs" is not known here'),
        ("seconds = { value = 30", 'seconds = { value = "x"', '"seconds": Expected'),
        ('seconds = { value = 30, source = "R25 15.4.1" }', "seconds = 30", "must be"),
        (
            'seconds = { value = 30, source = "R25 15.4.1" }',
            'seconds = { value = 30, source = "" }',
            "must be",
        ),
        ('"starter_and_substitute"', '"anyone"', '"pairing"'),
    ],
)
def test_a_wrong_field_names_its_line(old: str, new: str, problem: str) -> None:
    assert old in INT
    text = INT.replace(old, new, 1)
    with pytest.raises(ProfileError, match=problem) as raised:
        read(text, "x.toml")
    assert new.split(",")[0] in text.splitlines()[raised.value.line - 1]


def test_text_that_is_no_toml_names_the_line() -> None:
    with pytest.raises(ProfileError, match="not readable as TOML") as raised:
        read("a = 1\nb = = 2\n", "x.toml")
    assert raised.value.line == 2


def test_unknown_profile_names_those_there_are() -> None:
    with pytest.raises(ProfileError, match="INT, USJ, USC, OLD"):
        shipped("XYZ")


def test_event_overrides_single_values() -> None:
    changed = override(
        shipped("INT").profile, {"substitutions.per_set": 12, "line_up.free_changes_until": 60}
    )
    assert changed.substitutions.per_set == 12
    assert changed.line_up.free_changes_until == 60
    assert changed.time_outs == shipped("INT").profile.time_outs


@pytest.mark.parametrize(
    ("path", "value", "problem"),
    [
        ("substitutions.per_match", 12, "is no value of a profile"),
        ("per_set", 12, "is no value of a profile"),
        ("references.delay", "x", "is no value of a profile"),
        ("__class__.x", 1, "is no value of a profile"),
        ("substitutions.per_set", "many", "Expected a whole number, got a text"),
    ],
)
def test_an_override_that_fits_nothing_is_refused(path: str, value: object, problem: str) -> None:
    with pytest.raises(ProfileError, match=problem):
        override(shipped("INT").profile, {path: value})
