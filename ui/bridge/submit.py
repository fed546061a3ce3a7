"""How a face's intent leaves the interface: a command goes to `Submit`, an `Answer` comes back at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from crewlink.crew.commands import CrewCommand, PenCommand
from crewlink.match.commands import Command as MatchCommand
from crewlink.snapshot import RefusalView
from ui.line.world import Verdict

Command = CrewCommand | PenCommand | MatchCommand


class Answer(Protocol):
    """What the station says to a command; `refusal` is None unless it was refused or failed.

    A station on another thread answers "on its way" here; what came of it stands in the next snapshot.
    """

    @property
    def refusal(self) -> RefusalView | None:
        """Why it was not done."""


Submit = Callable[[Command], Answer]
"""Hand a command to the station. Never blocks."""

Ask = Callable[[MatchCommand, Callable[[Verdict], None]], None]
"""Ask the station what the rules say to a command, without doing it; the answer may come from any thread."""

Refused = Callable[[RefusalView], None]
"""Show a refusal on the face."""


class Door:
    """The one way out: submits a command, shows a refusal, says whether it went through."""

    def __init__(self, submit: Submit, refused: Refused) -> None:
        self._submit = submit
        self._refused = refused

    def send(self, command: Command) -> bool:
        """Submit `command`; False if it was refused (then the face already shows why)."""
        refusal = self._submit(command).refusal
        if refusal is not None:
            self._refused(refusal)
        return refusal is None

    def refuse(self, sentence: str) -> bool:
        """Refuse here, before any station: the act makes no sense as entered."""
        self._refused(RefusalView(sentence))
        return False
