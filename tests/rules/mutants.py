"""Profiles with one value changed: which changes there are, and how to play under one.

A mutant changes one value of one shipped profile: booleans flipped, numbers one up and one down, enums to
each other member, lists one shorter or in another order, "none" to a figure that some event plays.
"""

from __future__ import annotations

import typing
from collections.abc import Iterator
from contextlib import contextmanager
from enum import Enum
from typing import Any

import msgspec
from msgspec import Struct, structs

from crewlink.rules import loading
from crewlink.rules.loading import SHIPPED, SourcedProfile, shipped
from crewlink.rules.profile import Profile

IN_PLACE_OF_NONE = {
    "match.cap": 27,
    "match.court_change_at": 8,
    "line_up.deadline_first_set": 120,
    "line_up.free_changes_until": 60,
}
"""A figure for each value that is "none" in some profile: each is played under another profile or event."""
ORDERED = ("sign_off.order", "time_outs.technical_at")
"""Lists whose order says something; the others are sets."""
IN_PLACE_OF_EMPTY = {"time_outs.technical_at": (8, 16)}


class Mutant(Struct, frozen=True):
    """One value of one profile changed. `value`: what it is instead."""

    profile: str
    path: str
    value: Any

    @property
    def shown(self) -> str:
        """The changed value in plain words."""
        return words(self.value)


def words(value: Any) -> str:
    """A value as text, the same in each run."""
    return msgspec.json.encode(value).decode()


def values(profile: Profile) -> Iterator[tuple[str, Any, Any]]:
    """Each value of a profile: path, value, type."""
    for section in Profile.__struct_fields__:
        part = getattr(profile, section)
        if isinstance(part, Struct):
            hints = typing.get_type_hints(type(part))
            for field in part.__struct_fields__:
                yield f"{section}.{field}", getattr(part, field), hints[field]


def mutants() -> tuple[Mutant, ...]:
    """Every mutant of every shipped profile."""
    return tuple(
        Mutant(name, path, other)
        for name in SHIPPED
        for path, value, kind in values(shipped(name).profile)
        for other in others(path, value, kind)
    )


def others(path: str, value: Any, kind: Any) -> list[Any]:
    """What a value is changed to."""
    if isinstance(value, bool):
        return [not value]
    if isinstance(value, Enum):
        return [one for one in type(value) if one is not value]
    if isinstance(value, int):
        around = [value + 1, value - 1] if value > 0 else [value + 1]
        return [*around, None] if value and type(None) in typing.get_args(kind) else around
    if value is None:
        return [IN_PLACE_OF_NONE[path]]
    if isinstance(value, tuple):
        return _other_tuples(path, value)
    raise TypeError(f"{path}: {value!r}")


def _other_tuples(path: str, value: tuple[Any, ...]) -> list[tuple[Any, ...]]:
    if not value:
        return [IN_PLACE_OF_EMPTY[path]]
    made = [value[:-1], value[1:]]
    if path in ORDERED:
        made.append(tuple(reversed(value)))
    if isinstance(value[0], int):
        made.append((*value[:-1], value[-1] + 1))
    return [one for place, one in enumerate(made) if one != value and one not in made[:place]]


def changed(profile: Profile, mutant: Mutant) -> Profile:
    """The profile with the value of the mutant."""
    section, field = mutant.path.split(".")
    part = structs.replace(getattr(profile, section), **{field: mutant.value})
    return structs.replace(profile, **{section: part})


@contextmanager
def played_under(mutant: Mutant) -> Iterator[None]:
    """Inside it the profile of that name, wherever it is read, has the changed value."""
    real = loading.read

    def read(text: str, file: str = "profile") -> SourcedProfile:
        made = real(text, file)
        if file != f"{mutant.profile}.toml":
            return made
        return structs.replace(made, profile=changed(made.profile, mutant))

    loading.read = read
    shipped.cache_clear()
    try:
        yield
    finally:
        loading.read = real
        shipped.cache_clear()
