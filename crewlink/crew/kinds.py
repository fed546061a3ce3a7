"""The kinds of notice as data: `notices.toml`, checked and typed.

What a kind means (who may raise it, who must answer, what ends it) is read by the fold, the faces and the
tests from here alone.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Literal

import msgspec

from crewlink.crew.posts import CREW, Post

Level = Literal["now", "soon", "note"]
Ending = Literal["answered", "closed", "released", "outcome", "lapses"]


class Kind(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of notice; fields as explained at the top of notices.toml."""

    title: str
    level: Level
    raised_by: tuple[str, ...]
    asks: tuple[str, ...]
    in_rally: tuple[str, ...]
    ends: Ending
    quiet: bool = False
    neutral: bool = False
    table: str = ""

    def may_raise(self, post: str) -> bool:
        """Whether `post` may raise this kind; the program's own kinds are nobody's."""
        return "any" in self.raised_by or post in self.raised_by

    def reaches_in_rally(self, post: str) -> bool:
        """Whether the plate may come up at `post` while the ball is in play."""
        return "everyone" in self.in_rally or post in self.in_rally


class KindsError(ValueError):
    """notices.toml holds something that no kind may hold; the text says which kind and what."""


def parse(text: str) -> Mapping[str, Kind]:
    """Kinds by code out of TOML text; KindsError names the kind and the fault."""
    kinds = {}
    for code, fields in tomllib.loads(text).items():
        try:
            kind = msgspec.convert(fields, Kind)
        except msgspec.ValidationError as error:
            raise KindsError(f"notices.toml, [{code}]: {error}") from error
        known = {*map(str, Post), "any", "program", "others", "addressee", "everyone"}
        strange = {*kind.raised_by, *kind.asks, *kind.in_rally} - known
        if strange:
            raise KindsError(f"notices.toml, [{code}]: no such post: {', '.join(sorted(strange))}")
        kinds[code] = kind
    return kinds


@cache
def all_kinds() -> Mapping[str, Kind]:
    """The kinds that this version ships."""
    return parse(resources.files("crewlink.crew").joinpath("notices.toml").read_text("utf-8"))


def asked(kind: Kind, filled: tuple[str, ...], author: str, addressee: str = "") -> tuple[str, ...]:
    """Posts that must answer a notice raised by `author` in a crew whose `filled` posts are given."""
    wanted: list[str] = []
    for entry in kind.asks:
        if entry == "others":
            wanted += [post for post in CREW if post != author]
        elif entry == "addressee":
            wanted += [addressee] if addressee else []
        else:
            wanted += [entry] if entry != author else []
    return tuple(post for post in wanted if post in filled)
