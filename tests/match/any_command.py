"""Any command at all, legal or not, drawn from a plain source of randomness: quick enough for many thousands.

Values are made from the types of the fields; numbers come from a small pool, so that they meet.
"""

from __future__ import annotations

import random
import types
import typing
from collections.abc import Callable
from enum import Enum
from functools import cache
from typing import Any

from msgspec import NODEFAULT, Struct, structs

from crewlink.match import commands, facts
from crewlink.match.commands import MatchCommand
from crewlink.match.teams import Six
from tests.match.playing import BASE_A, BASE_B

NUMBERS = (*BASE_A, *BASE_B, 6, 11, 13, 16, 18, 20, 21, 17, 22, 0, 99, -1)
LEFT_OUT = 0.6
"""So often a field that has a default is left out."""

Make = Callable[[random.Random], Any]
KINDS: tuple[type[Struct], ...] = typing.get_args(commands.PlainCommand)
FACTS: tuple[type[Struct], ...] = typing.get_args(facts.SimpleFact)


def any_command(source: random.Random) -> MatchCommand:
    """A command of any kind with fields of the right types."""
    made: MatchCommand = of_struct(source.choice(KINDS))(source)
    return made


def any_fact(source: random.Random) -> facts.SimpleFact:
    """A fact of any kind with fields of the right types."""
    made: facts.SimpleFact = of_struct(source.choice(FACTS))(source)
    return made


@cache
def of_struct(kind: type[Struct]) -> Make:
    """Makes instances of a struct."""
    hints = typing.get_type_hints(kind)
    fields = [(f.name, of_type(hints[f.name]), f.default is not NODEFAULT) for f in structs.fields(kind)]

    def make(source: random.Random) -> Struct:
        given = {n: m(source) for n, m, free in fields if not free or source.random() > LEFT_OUT}
        return kind(**given)

    return make


@cache
def of_type(kind: object) -> Make:
    """Makes values of a field's type."""
    simple: dict[object, Make] = {
        int: lambda source: source.choice(NUMBERS),
        bytes: lambda source: source.randrange(60).to_bytes(32, "big"),
        bool: lambda source: source.random() < 0.5,
        str: lambda source: source.choice(("", "x")),
        type(None): lambda source: None,
        Six: _six,
    }
    if kind in simple:
        return simple[kind]
    if isinstance(kind, type) and issubclass(kind, Enum):
        members = tuple(kind)
        return lambda source: source.choice(members)
    if isinstance(kind, type) and issubclass(kind, Struct):
        return lambda source: of_struct(kind)(source)
    return _composite(kind)


def _six(source: random.Random) -> Six:
    chosen = list(source.choice((BASE_A, BASE_B)))
    if source.random() < 0.5:
        chosen[source.randrange(6)] = source.choice(NUMBERS)
    source.shuffle(chosen)
    return typing.cast(Six, tuple(chosen))


def _composite(kind: object) -> Make:
    origin, args = typing.get_origin(kind), typing.get_args(kind)
    if origin in (typing.Union, types.UnionType):
        ways = tuple(of_type(arg) for arg in args)
        return lambda source: source.choice(ways)(source)
    if origin is tuple and len(args) == 2 and args[1] is Ellipsis:
        one = of_type(args[0])
        return lambda source: tuple(one(source) for _ in range(source.randrange(4)))
    if origin is tuple:
        each = tuple(of_type(arg) for arg in args)
        return lambda source: tuple(make(source) for make in each)
    raise TypeError(kind)
