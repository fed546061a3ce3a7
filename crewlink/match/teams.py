"""The two teams and the people in them: labels, roles, team lists. Numbers only, no names of persons."""

from enum import StrEnum

from msgspec import Struct

Six = tuple[int, int, int, int, int, int]
Score = tuple[int, int]


class Team(StrEnum):
    """One of the two teams of a match, as labelled on the score sheet."""

    A = "A"
    B = "B"

    @property
    def other(self) -> "Team":
        """The opponent."""
        return Team.B if self is Team.A else Team.A

    @property
    def place(self) -> int:
        """0 for A, 1 for B: the place in every pair (score, positions)."""
        return 0 if self is Team.A else 1


class Role(StrEnum):
    """What a member of a team is, on the score sheet."""

    PLAYER = "player"
    COACH = "coach"
    ASSISTANT_COACH = "assistant_coach"
    CAPTAIN = "captain"
    THERAPIST = "therapist"
    DOCTOR = "doctor"
    STAFF = "staff"


class Person(Struct, frozen=True, omit_defaults=True):
    """A member of a team: a player by number, anyone else by role."""

    role: Role = Role.PLAYER
    number: int | None = None

    @property
    def label(self) -> str:
        """Short plain words for screens: "7" or "coach"."""
        if self.number is not None:
            return str(self.number)
        return self.role.value.replace("_", " ")


class TeamSheet(Struct, frozen=True, omit_defaults=True):
    """A team list: name of the team, player numbers (liberos included), captain, liberos, staff.

    An empty `players` means that no list was given; numbers are then not checked against it.
    """

    name: str = ""
    players: tuple[int, ...] = ()
    captain: int | None = None
    liberos: tuple[int, ...] = ()
    staff: tuple[Role, ...] = (Role.COACH,)


def pair(team: Team, own: int, other: int) -> Score:
    """Put (own, other) of `team` into the order A, B."""
    return (own, other) if team is Team.A else (other, own)
