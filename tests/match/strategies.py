"""Hypothesis strategies: any command, any fact, by their types; numbers from a small pool: they must meet."""

import types
import typing
from enum import Enum
from functools import cache

from hypothesis import strategies as st
from msgspec import NODEFAULT, Struct, structs

from crewlink.match import commands, facts
from crewlink.match.teams import Six

ON_COURT = (4, 9, 7, 12, 2, 15, 8, 1, 10, 5, 14, 3)
NUMBERS = st.sampled_from((*ON_COURT, 6, 11, 13, 16, 20, 21, 18, 17, 22, 0, 99, -1))
IDS = st.integers(1, 60).map(lambda n: n.to_bytes(32, "big"))


@cache
def of_type(kind: object) -> st.SearchStrategy[typing.Any]:
    """Values of a field's type."""
    words = st.sampled_from(("", "x"))
    simple = {int: NUMBERS, bytes: IDS, bool: st.booleans(), str: words, type(None): st.none()}
    if kind in simple:
        return simple[kind]  # type: ignore[index]
    if kind == Six:
        return st.permutations((4, 9, 7, 12, 2, 15)).map(tuple) | st.tuples(*[NUMBERS] * 6)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return st.sampled_from(kind)
    if isinstance(kind, type) and issubclass(kind, Struct):
        return st.deferred(lambda: of_struct(kind))
    return _of_composite(kind)


def _of_composite(kind: object) -> st.SearchStrategy[typing.Any]:
    origin, args = typing.get_origin(kind), typing.get_args(kind)
    if origin in (typing.Union, types.UnionType):
        return st.one_of(*(of_type(arg) for arg in args))
    if origin is tuple and len(args) == 2 and args[1] is Ellipsis:
        return st.lists(of_type(args[0]), max_size=3).map(tuple)
    if origin is tuple:
        return st.tuples(*(of_type(arg) for arg in args))
    if origin is dict:
        return st.just({})
    raise TypeError(kind)


@cache
def of_struct(kind: type[Struct]) -> st.SearchStrategy[typing.Any]:
    """Instances of a struct; fields with a default are often left out."""
    hints = typing.get_type_hints(kind)
    needed, free = {}, {}
    for field in structs.fields(kind):
        has_default = field.default is not NODEFAULT or field.default_factory is not NODEFAULT
        (free if has_default else needed)[field.name] = of_type(hints[field.name])
    return st.fixed_dictionaries(needed, optional=free).map(lambda given: kind(**given))


ANY_FACT = of_type(facts.Fact)
ANY_COMMAND = of_type(commands.Command)
