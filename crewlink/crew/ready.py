"""What must be ready after each kind of interruption, as data: `ready.toml`, checked and typed."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Literal, get_args

import msgspec

from crewlink.match.facts import SimpleFact

Stop = Literal["table", "libero", "R2"]


class Pause(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of interruption; fields as explained at the top of ready.toml."""

    facts: tuple[str, ...]
    stops: tuple[Stop, ...]
    anew: bool = False
    positions: bool = False


class ReadyError(ValueError):
    """ready.toml holds something that it may not hold; the text says what."""


def parse(text: str) -> Mapping[str, Pause]:
    """Kinds of interruption by name out of TOML text. Errors: ReadyError."""
    known, taken = fact_names(), set[str]()
    pauses = {}
    for name, fields in tomllib.loads(text).items():
        try:
            pause = msgspec.convert(fields, Pause)
        except msgspec.ValidationError as error:
            raise ReadyError(f"ready.toml, [{name}]: {error}") from error
        strange, twice = set(pause.facts) - known, set(pause.facts) & taken
        if strange or twice:
            raise ReadyError(
                f"ready.toml, [{name}]: {', '.join(sorted(strange | twice))} unknown or named twice"
            )
        taken |= set(pause.facts)
        pauses[name] = pause
    return pauses


def fact_names() -> frozenset[str]:
    """The names of all facts, as they stand on the wire."""
    plain = {str(one.__struct_config__.tag) for one in get_args(SimpleFact)}
    return frozenset(plain | {"overruled", "struck", "amended"})


@cache
def all_pauses() -> Mapping[str, Pause]:
    """The kinds that this version ships."""
    return parse(resources.files("crewlink.crew").joinpath("ready.toml").read_text("utf-8"))


@cache
def pause_of() -> Mapping[str, Pause]:
    """The kind of interruption that each fact makes; facts that make none are left out."""
    return {fact: pause for pause in all_pauses().values() for fact in pause.facts}
