"""What every step of a script carries, and small values that steps share."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from crewlink.crew.posts import Post
from crewlink.match.commands import Command
from crewlink.match.teams import Person, Role
from crewlink.script.expectations import Expect

Number = Annotated[int, Meta(ge=1, le=99)]
Seconds = Annotated[float, Meta(ge=0)]
Name = Annotated[str, Meta(pattern=r"^[a-z][a-z0-9_-]*$", description="a name of your own for this step")]


class Step(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True, tag_field="do"):
    """One step: what is done (`do`), by which post, after how long a pause, and what must be true afterwards.

    `pause`: how long people take before it, which a rehearsal may stretch or shorten; `wait`: so many seconds
    of the court's clocks go by at any pace, because something falls due in them. `name` lets a later step
    point at this one. `note` is for the reader alone.
    """

    by: Post = Post.SCORER
    name: Name | None = None
    note: str = ""
    pause: Seconds = 0.0
    wait: Seconds = 0.0
    expect: Expect | None = None

    def command(self) -> Command | None:
        """What is asked of the match; None if it is for the crew, or the player must look back first."""
        return None


class PlayerPair(
    Struct, frozen=True, forbid_unknown_fields=True, rename={"comes_in": "in", "goes_out": "out"}
):
    """One pair of a substitution: `in` the substitute, `out` the player on court."""

    comes_in: Number
    goes_out: Number


def person(player: int | None, member: Role | None) -> Person:
    """A player by number, or another member of the team by role."""
    return Person(Role.PLAYER, player) if player is not None else Person(member or Role.COACH)
