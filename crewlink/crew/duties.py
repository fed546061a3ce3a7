"""What each post does in each phase, as data: `duties.toml`, checked and typed."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources
from typing import Literal

import msgspec

from crewlink.crew.posts import Post, acting_for
from crewlink.crew.ready import fact_names

DutyPhase = Literal[
    "before", "toss", "warm_up", "set_start", "interruption", "between_sets", "deciding_set", "end"
]
Clock = Literal["", "start", "warm_up", "between_sets"]


class Duty(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"other": "else"}):
    """One duty; fields as explained at the top of duties.toml."""

    phase: DutyPhase
    text: str
    posts: tuple[Post, ...]
    other: tuple[Post, ...] = ()
    of: Clock = ""
    due: int = 0
    by_team: bool = False
    when: str = ""
    facts: tuple[str, ...] = ()

    def done_by(self, filled: Iterable[str]) -> tuple[str, ...]:
        """Whose duty it is in a crew: its posts, or where none of them is filled the first other that is, or
        who does the work of the first of its posts.
        """
        here = set(filled)
        own = tuple(str(post) for post in self.posts if post in here)
        others = (str(post) for post in self.other if post in here)
        return own or tuple(one for one in (next(others, ""), acting_for(self.posts[0], here)) if one)[:1]


class DutiesError(ValueError):
    """duties.toml holds something that it may not hold; the text says what."""


def parse(text: str) -> Mapping[str, Duty]:
    """Duties by code out of TOML text. Errors: DutiesError."""
    duties = {}
    for code, fields in tomllib.loads(text).items():
        try:
            duty = msgspec.convert(fields, Duty)
        except msgspec.ValidationError as error:
            raise DutiesError(f"duties.toml, [{code}]: {error}") from error
        strange = set(duty.facts) - fact_names()
        if strange:
            raise DutiesError(f"duties.toml, [{code}]: no such fact: {', '.join(sorted(strange))}")
        if bool(duty.of) != bool(duty.due):
            raise DutiesError(f"duties.toml, [{code}]: `of` and `due` stand together")
        duties[code] = duty
    return duties


@cache
def all_duties() -> Mapping[str, Duty]:
    """The duties that this version ships, in the order in which they are done."""
    return parse(resources.files("crewlink.crew").joinpath("duties.toml").read_text("utf-8"))
