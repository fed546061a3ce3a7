"""What the set-up face asks of the world, and what it is told: plain data, no Qt.

The world is a `Desk`: the data folder, the network, pairing, the station once it runs. It answers by news,
from any thread; every call returns at once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from crewlink.home import Choices, KnownCourt
from crewlink.opening import CourtPlan


class Network(StrEnum):
    """What this device can hear."""

    STARTING = "starting"
    HEARD = "heard"
    NONE = "none"


class Joining(StrEnum):
    """How far joining a court has come."""

    NOT = "not"
    ASKING = "asking"
    WAITING = "waiting"
    REFUSED = "refused"
    JOINED = "joined"


@dataclass(frozen=True, slots=True)
class HeardCourt:
    """A court whose code is on show.

    `number`: two digits, the same as on its screen; `where`: host:port to pair at, the likeliest first.
    `court`, `words`: what it says it is called, and the words of its key, once it was asked.
    """

    key: str
    number: str
    where: tuple[str, ...]
    court: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class ShownCode:
    """A code on show for a job. `digits`: nine; `ends`: good until then, monotonic seconds; `tries`: left.

    `number`, `address`: how the other device finds this one. `square`: the text of the square. `court`,
    `words`: what the other device shows too, to compare.
    """

    post: str
    digits: str
    ends: float
    tries: int
    number: str
    address: str
    square: str
    court: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class CrewMember:
    """A job of this court. `reach`: "here", "linked", "late", "lost" or "unfilled"; silence in seconds."""

    post: str
    reach: str
    silent: float = 0.0


@dataclass(frozen=True, slots=True)
class Knock:
    """A device that knows the code and asks to be let in; `name` is what it calls itself."""

    name: str
    post: str


class Coming(StrEnum):
    """How far inviting a known device has come."""

    NOT = "not"
    ASKED = "asked"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Guest:
    """A device that this one was in a crew with. `device`: its id in hex; `post`, `court`: where it was last.

    `near`: it waits to be invited; `replaced`: a device of its name has other keys now. `said`: why it did
    not come, in a sentence.
    """

    device: str
    name: str
    post: str
    court: str
    near: bool = False
    replaced: bool = False
    coming: Coming = Coming.NOT
    said: str = ""


@dataclass(frozen=True, slots=True)
class Invited:
    """A known device invites this one: to which court, for which job; the words of its key, and its name."""

    court: str
    post: str
    words: str
    name: str


@dataclass(frozen=True, slots=True)
class SetupNews:
    """All that the set-up face is told. `trouble`: a plain sentence, or "".

    `seen`: the court to be joined. `sign`: this court's name and the words of its key, "" before it is open.
    """

    device: str = ""
    network: Network = Network.STARTING
    heard: tuple[HeardCourt, ...] = ()
    known: tuple[KnownCourt, ...] = ()
    choices: Choices = field(default_factory=Choices)
    opened: bool = False
    crew: tuple[CrewMember, ...] = ()
    code: ShownCode | None = None
    knock: Knock | None = None
    joining: Joining = Joining.NOT
    seen: HeardCourt | None = None
    sign: str = ""
    guests: tuple[Guest, ...] = ()
    invited: Invited | None = None
    trouble: str = ""


class Desk(Protocol):
    """The world behind the set-up face."""

    def listen(self, told: Callable[[SetupNews], None]) -> None:
        """Give the news now and whenever they change."""

    def keep(self, choices: Choices) -> None:
        """Remember how this person likes the program."""

    def seek(self, on: bool) -> None:
        """Listen for courts, or stop listening."""

    def open_court(self, plan: CourtPlan) -> None:
        """Make the court and start its station here; news say `opened`."""

    def show_code(self, post: str) -> None:
        """Show a code for a job; "" takes it away."""

    def admit(self, yes: bool) -> None:
        """Let the device that knocks in, or not."""

    def invite(self, device: str, post: str) -> None:
        """Ask a known device to come, for a job."""

    def take_out(self, device: str) -> None:
        """Forget a known device."""

    def come(self, yes: bool) -> None:
        """Answer the device that invites this one."""

    def use_pass(self, text: str) -> None:
        """Let the supervisor of an event pass in; the text of a pass, or the path of its file."""

    def join(self, where: tuple[str, ...], post: str) -> None:
        """Prepare to join at one of these addresses, for a job; the text of a square joins at once."""

    def offer(self, digits: str) -> None:
        """Try a code; it has nine digits and its last digit is right."""

    def code_fits(self, digits: str) -> bool:
        """Whether the last of nine digits fits the others."""

    def leave(self) -> None:
        """Forget the joining that was begun."""

    def go(self, folder: str) -> None:
        """Set-up is over: show the face of the court here, or of the known one in `folder`."""


class NoDesk:
    """A world in which nothing happens, for a face without a program behind it."""

    def listen(self, told: Callable[[SetupNews], None]) -> None:
        """Nothing is told."""

    def keep(self, choices: Choices) -> None:
        """Nothing is kept."""

    def seek(self, on: bool) -> None:
        """Nothing is heard."""

    def open_court(self, plan: CourtPlan) -> None:
        """Nothing is opened."""

    def show_code(self, post: str) -> None:
        """Nothing is shown."""

    def admit(self, yes: bool) -> None:
        """Nobody knocks."""

    def invite(self, device: str, post: str) -> None:
        """Nobody is asked."""

    def take_out(self, device: str) -> None:
        """Nobody is known."""

    def come(self, yes: bool) -> None:
        """Nobody invites."""

    def use_pass(self, text: str) -> None:
        """Nobody is let in."""

    def join(self, where: tuple[str, ...], post: str) -> None:
        """Nothing is joined."""

    def offer(self, digits: str) -> None:
        """Nothing is sent."""

    def code_fits(self, digits: str) -> bool:
        """Every code fits."""
        return True

    def leave(self) -> None:
        """Nothing was begun."""

    def go(self, folder: str) -> None:
        """There is nowhere to go."""
