"""The kinds of notice as data: `notices.toml`, checked and typed.

What a kind means (who may raise it, who must answer, whom it reaches in a rally, what ends it) is read by the
fold, the faces and the tests from here alone.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources
from typing import Literal

import msgspec

from crewlink.crew.posts import CREW, OFFICIALS, Post, acting_for
from crewlink.rules.profile import Profile

Level = Literal["now", "soon", "note"]
LEVELS: tuple[Level, ...] = ("now", "soon", "note")
Ending = Literal["answered", "closed", "released", "outcome", "lapses", "done", "missing", "rally"]


class Kind(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of notice; fields as explained at the top of notices.toml."""

    title: str
    level: Level
    raised_by: tuple[str, ...]
    asks: tuple[str, ...]
    in_rally: tuple[str, ...]
    ends: Ending
    when: str = ""
    in_rally_when: tuple[str, ...] = ()
    ends_on: tuple[str, ...] = ()
    details: tuple[str, ...] = ()
    serious: tuple[str, ...] = ()
    again_to_site: bool = False
    as_sent: bool = False
    quiet: bool = False
    neutral: bool = False
    table: str = ""
    stops: bool = False
    phone: bool = False
    may_wait: bool = False
    incident: bool = False
    outcomes: tuple[str, ...] = ()

    def may_raise(self, post: str) -> bool:
        """Whether `post` may raise this kind; the program's own kinds are nobody's."""
        return "any" in self.raised_by or post in self.raised_by

    @property
    def by_program(self) -> bool:
        """Whether only the program raises it."""
        return self.raised_by == ("program",)

    def reached_in_rally(self, profile: Profile, level: str = "") -> tuple[str, ...]:
        """Who is reached while the ball is in play: posts, or "everyone". `level`: as it was sent."""
        if self.as_sent:
            return ("everyone",) if level == "now" else ()
        return self.in_rally_when if self.when and rule_value(profile, self.when) else self.in_rally

    def reaches_in_rally(self, post: str, profile: Profile, level: str = "") -> bool:
        """Whether the plate may come up at `post` while the ball is in play."""
        reached = self.reached_in_rally(profile, level)
        return "everyone" in reached or post in reached


class KindsError(ValueError):
    """notices.toml holds something that no kind may hold; the text says which kind and what."""


def rule_value(profile: Profile, place: str) -> bool:
    """The yes/no of a profile that `place` names, as "wrong_server.stop_at_hit". Errors: AttributeError."""
    value: object = profile
    for part in place.split("."):
        value = getattr(value, part)
    return value is True


def parse(text: str) -> Mapping[str, Kind]:
    """Kinds by code out of TOML text; KindsError names the kind and the fault."""
    kinds = {}
    for code, fields in tomllib.loads(text).items():
        try:
            kind = msgspec.convert(fields, Kind)
        except msgspec.ValidationError as error:
            raise KindsError(f"notices.toml, [{code}]: {error}") from error
        known = {*map(str, Post), "any", "program", "others", "addressee", "everyone"}
        strange = {*kind.raised_by, *kind.asks, *kind.in_rally, *kind.in_rally_when} - known
        if strange:
            raise KindsError(f"notices.toml, [{code}]: no such post: {', '.join(sorted(strange))}")
        if bool(kind.when) != bool(kind.in_rally_when):
            raise KindsError(f"notices.toml, [{code}]: `when` and `in_rally_when` stand together")
        kinds[code] = kind
    return kinds


@cache
def all_kinds() -> Mapping[str, Kind]:
    """The kinds that this version ships."""
    return parse(resources.files("crewlink.crew").joinpath("notices.toml").read_text("utf-8"))


class Asked(msgspec.Struct, frozen=True):
    """Who must answer a notice (`asks`), and who would have to but is not in this crew (`left_out`)."""

    asks: tuple[str, ...]
    left_out: tuple[str, ...]


def asked(
    kind: Kind,
    filled: Iterable[str],
    behind: Iterable[str],
    addressees: Iterable[str] = (),
    site: bool = False,
) -> Asked:
    """Who must answer a notice in a crew whose `filled` posts are given.

    `behind`: the posts that raise it, they know already. `site`: this one is the supervisor's, too (a serious
    or repeated one). Where one official is missing the other is asked in the place.
    """
    raisers, here = set(behind), set(filled)
    wanted: set[str] = {Post.SITE} if site else set()
    for entry in kind.asks:
        if entry == "others":
            wanted |= set(CREW)
        elif entry == "addressee":
            wanted |= set(addressees) or (set(CREW) if Post.SITE in raisers else {Post.SITE})
        else:
            wanted |= {entry, acting_for(entry, here) if entry in OFFICIALS else entry} - {""}
    order = [str(post) for post in Post if post in wanted - raisers]
    return Asked(
        tuple(post for post in order if post in here), tuple(post for post in order if post not in here)
    )
