"""What a match is opened with: rules and numbers in the signed charter, names beside it.

The charter is the opaque map that `protocol` puts into the opening entry. Names of teams, court and event are
private text (salted hash in the signed bytes), so that they can be erased without breaking a chain.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

import msgspec
from msgspec import Struct, structs

from crewlink.crew.permissions import ACTS
from crewlink.crew.posts import CREW
from crewlink.crew.signed import SIGN_OFF
from crewlink.match.beginning import SetupError, begin
from crewlink.match.setup import MatchSetup
from crewlink.rules.format import FormatError
from crewlink.rules.loading import ProfileError
from protocol.roster import CREW_POSTS, FoundingCharter, Member, Post, Right

FOLD_VERSION = 1
POSTS = tuple(
    Post(post.label, post.rights | {Right.SIGN_OFF} if post.label in ACTS[SIGN_OFF] else post.rights)
    for post in CREW_POSTS
)
"""The posts of a match: R2 and the table may enter the signature that R1 gives by a sign."""


class Settings(Struct, frozen=True, omit_defaults=True):
    """What the event decides.

    `worn`: devices on a person are allowed; else R1 answers by signs, which R2 or the table enter. `names`:
    teams and people are named; else letters and numbers alone. `retention_days`: how long names and reports
    are kept (0: until erased by hand). `medical_post`: the post that closes a suspected head injury.
    `starts`: when the match is planned to begin (ms, wall clock; 0: not planned). `warm_up`: length of the
    official warm-up (s). `paper`: the paper sheet is the official one, so the table says when it has written.
    `start_grace`: so long after its time a match counts as running late (s).
    """

    worn: bool = True
    names: bool = True
    retention_days: int = 0
    medical_post: str = "site"
    starts: int = 0
    warm_up: int = 600
    paper: bool = False
    start_grace: int = 120


class Charter(Struct, frozen=True, omit_defaults=True):
    """The agreed start of a match: its rules, teams by number, event settings."""

    setup: MatchSetup
    settings: Settings = Settings()


class TeamNames(Struct, frozen=True, omit_defaults=True):
    """What a team is called: `name` up to 16 letters, `short` up to 9; `colour` of the shirt as #rrggbb."""

    name: str
    short: str = ""
    colour: str = ""


class Names(Struct, frozen=True, omit_defaults=True):
    """The names of a match, as one private text. `responsible`: who answers for names and reports."""

    court: str = "Court"
    event: str = ""
    a: TeamNames = TeamNames("Team A", "Team A")
    b: TeamNames = TeamNames("Team B", "Team B")
    responsible: str = ""

    def to_text(self) -> str:
        """As JSON text, to travel beside an entry."""
        return msgspec.json.encode(self).decode()

    @classmethod
    def from_text(cls, text: str) -> Names | None:
        """Read what `to_text` wrote; None when it is something else."""
        try:
            return msgspec.json.decode(text, type=cls)
        except (ValueError, RecursionError):
            return None


def shown_names(names: Names, settings: Settings) -> Names:
    """The names as screens show them: letters alone where the event wants no names."""
    if settings.names:
        return names
    plain = Names(court=names.court, event=names.event, responsible=names.responsible)
    return structs.replace(
        plain,
        a=structs.replace(plain.a, colour=names.a.colour),
        b=structs.replace(plain.b, colour=names.b.colour),
    )


class CharterError(ValueError):
    """An opening that this version cannot read; the text says what and what to do."""


def to_map(charter: Charter) -> dict[str, object]:
    """The charter as the plain map that goes into the opening entry."""
    return cast(dict[str, object], msgspec.to_builtins(charter, builtin_types=(bytes,)))


def from_map(fields: object, fold: int) -> Charter:
    """Read an opening entry's charter. Errors: CharterError (newer, damaged, not to be played)."""
    if fold > FOLD_VERSION:
        raise CharterError(f"This match was opened by a newer crewlink (fold {fold}). Update this device.")
    try:
        charter = msgspec.convert(fields, Charter, builtin_types=(bytes,))
    except msgspec.ValidationError as error:
        raise CharterError(
            f"The opening of this match cannot be read ({error}). Open the match again."
        ) from error
    try:
        begin(charter.setup)
    except (SetupError, ProfileError, FormatError) as error:
        raise CharterError(f"This match cannot be played ({error}). Open the match again.") from error
    return charter


def founding(members: Iterable[Member], opened: Charter) -> FoundingCharter:
    """What the opener founds a match with; the crew of the court votes, not the site."""
    crew = set(map(str, CREW))
    voters = tuple(member.device for member in members if member.post in crew)
    return FoundingCharter(voters, to_map(opened), FOLD_VERSION, POSTS)
