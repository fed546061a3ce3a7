"""A stage of the rules engine alone: one match, no crew, no link. Worked cases are played here."""

from __future__ import annotations

from crewlink.crew.commands import CrewCommand, PenCommand
from crewlink.crew.permissions import may
from crewlink.crew.posts import Post, word
from crewlink.match import history
from crewlink.match.chain import Chain
from crewlink.match.commands import to_wire
from crewlink.match.ruling import Ruling, Severity
from crewlink.match.setup import MatchSetup
from crewlink.script.player import Act
from crewlink.script.seen import Answer, Seen, seen


class EngineStage:
    """The engine with the lines it has written; entry ids are counted up."""

    def __init__(self, setup: MatchSetup) -> None:
        self._chain = Chain.start(setup)
        self._written = 0

    @property
    def chain(self) -> Chain:
        """The record so far."""
        return self._chain

    def act(self, post: Post, command: Act) -> Answer:
        """Decide at once, if the post may; what is allowed is written at once."""
        if isinstance(command, CrewCommand | PenCommand):
            return Answer(skipped=True)
        if not may(post, to_wire(command)[0]):
            return Answer(Ruling("not_your_job", Severity.REFUSE, f"{word(post)} does not decide this."))
        decision = history.decide(self._chain, command)
        lines = []
        for fact in decision.facts:
            self._written += 1
            line = self._written.to_bytes(32, "big")
            self._chain = self._chain.extend(line, fact)
            lines.append(line)
        return Answer(decision.ruling, decision.proposal, tuple(lines), decision.facts)

    def look(self, post: Post) -> Seen:
        """The match; all posts see the same."""
        return seen(self._chain.match)

    def pass_time(self, seconds: float, *, exactly: bool = True) -> None:
        """The rules don't look at clocks."""

    def device(self, post: Post) -> str:
        """There are no devices."""
        return ""

    def lose(self, post: Post) -> Answer:
        """Nobody is there to leave."""
        return Answer(skipped=True)

    def enrol(self, post: Post, by: Post) -> Answer:
        """Nobody comes in."""
        return Answer(skipped=True)

    def cut_off(self, post: Post) -> Answer:
        """There are no links."""
        return Answer(skipped=True)

    def link_again(self, post: Post) -> Answer:
        """There are no links."""
        return Answer(skipped=True)
