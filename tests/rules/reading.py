"""Which values of which profiles are read while something runs: profiles that note each look at them."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import Any

from msgspec import Struct, structs

from crewlink.rules import loading
from crewlink.rules.loading import SourcedProfile, shipped
from crewlink.rules.profile import Profile

Read = set[tuple[str, str]]
"""(profile, "section.field") of each value that was read."""


@contextmanager
def noting() -> Iterator[Read]:
    """Inside it all values that are read of a shipped profile are noted in the set."""
    noted: Read = set()
    real = loading.read

    def read(text: str, file: str = "profile") -> SourcedProfile:
        made = real(text, file)
        return structs.replace(made, profile=_watched(made.profile))

    loading.read = read
    shipped.cache_clear()
    _NOTED.append(noted)
    try:
        yield noted
    finally:
        _NOTED.remove(noted)
        loading.read = real
        shipped.cache_clear()


_NOTED: list[Read] = []


def _watched(profile: Profile) -> Profile:
    """The same profile, of sections that note who looks."""
    changes = {}
    for section in Profile.__struct_fields__:
        part = getattr(profile, section)
        if isinstance(part, Struct):
            kind = _watching(type(part), section, profile.name)
            changes[section] = kind(*(getattr(part, field) for field in part.__struct_fields__))
    return structs.replace(profile, **changes)


@cache
def _watching(kind: type[Struct], section: str, name: str) -> type[Struct]:
    """A section whose fields note their reading. Written for this check alone: it is slower."""
    fields = frozenset(kind.__struct_fields__)

    def look(self: Struct, field: str) -> Any:
        if field in fields and _NOTED:
            _NOTED[-1].add((name, f"{section}.{field}"))
        return object.__getattribute__(self, field)

    made = types.new_class(
        kind.__name__, (kind,), {"frozen": True}, lambda body: body.update({"__getattribute__": look})
    )
    return typing.cast(type[Struct], made)
