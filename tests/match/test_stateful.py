"""A match as a state machine: whatever is pressed in whatever order, the invariants hold after each step.

Two engines are fed the same entries: one grows its record line by line, the other reads each fact from the
wire and folds all of them anew. They must agree byte for byte.
"""

from __future__ import annotations

import random

import msgspec
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from crewlink.match import facts
from crewlink.match.chain import Chain
from crewlink.match.commands import (
    Amend,
    ChangeCourts,
    Choose,
    Command,
    Insert,
    LiberoSwap,
    Overrule,
    Point,
    Question,
    Strike,
    Undo,
)
from crewlink.match.facts import Corrected, Fact, Overruled
from crewlink.match.rotation import FRONT, position_of
from crewlink.match.scoring import PLAYING
from crewlink.match.standing import owed
from crewlink.match.state import Match, digest
from crewlink.match.teams import Team
from crewlink.match.terms import Phase
from crewlink.rules.loading import SHIPPED
from tests.match.any_command import any_command
from tests.match.invariants import Step, answered, broken
from tests.match.likely import likely
from tests.match.playing import Table, from_start

SEEDS = st.integers(0, 2**32 - 1)
TEAMS = st.sampled_from(list(Team))


def by_wire(fact: Fact) -> Fact:
    """The fact as another station reads it."""
    return facts.from_wire(msgspec.msgpack.decode(msgspec.msgpack.encode(facts.to_wire(fact))))


def liberos_in_front(match: Match) -> list[Team]:
    """Teams whose libero stands in the front row."""
    courts = [(team, match.court(team)) for team in Team]
    return [team for team, court in courts if court.libero and position_of(court, court.libero) in FRONT]


class AnyMatch(RuleBasedStateMachine):
    """One match; each rule presses something. `ruled`: by set, whether R1 or a correction set something."""

    @initialize(profile=st.sampled_from(SHIPPED))
    def begin(self, profile: str) -> None:
        """Both engines stand before the same match."""
        self.table = from_start(profile)
        self.other = Chain.fold(self.table.match.setup, tuple(self._entries()))
        self.ruled = False
        self.refolded = False
        self.pressed = 0

    def _entries(self) -> list[tuple[bytes, Fact]]:
        return [(line.entry_id, by_wire(line.fact)) for line in self.table.chain.lines]

    def press(self, command: Command) -> None:
        """Ask, and write it if it is allowed."""
        before = self.table.match
        decision = self.table.ask(command)
        assert answered(decision) is None
        if not decision.ruling.fine:
            return
        self.table.do(command)
        for fact in decision.facts:
            self.other = self.other.extend((len(self.other) + 1).to_bytes(32, "big"), by_wire(fact))
        self._look(command, decision.facts, before)

    def _look(self, command: Command, written: tuple[Fact, ...], before: Match) -> None:
        after = self.table.match
        self.pressed += 1
        self.refolded = self.refolded or isinstance(command, Undo | Strike | Amend | Insert)
        if after.set_number != before.set_number and not after.finished:
            self.ruled = False
        self.ruled = self.ruled or any(isinstance(f, Overruled | Corrected) for f in written)
        if self.refolded or len(written) != 1:  # older lines count anew: later ones may no longer fit
            return
        decision = self.table.ask(command)
        step = Step(Point(Team.A), decision, written[0], before, after, self.pressed, self.ruled)
        assert broken(step) is None

    @rule(seed=SEEDS)
    def table_presses(self, seed: int) -> None:
        """What a table would press, mostly legal."""
        source = random.Random(seed)
        for _ in range(8):
            self.press(likely(self.table.match, source))

    @rule(seed=SEEDS)
    def anything_is_pressed(self, seed: int) -> None:
        """Any command at all, with a question answered and a refusal overruled where it can be."""
        command = any_command(random.Random(seed))
        decision = self.table.ask(command)
        self.press(command)
        if isinstance(command, Question) and decision.proposal is not None:
            self.press(Choose(command, decision.proposal.suggested))
        elif decision.otherwise and not isinstance(command, Choose | Overrule):
            self.press(Overrule(command, "seen"))

    @rule(team=TEAMS)
    def ball_is_served(self, team: Team) -> None:
        """All that is owed is done before the service; then no libero stands in the front row."""
        if self.table.match.phase is not Phase.PLAY:
            return
        self.pay()
        if not owed(self.table.match):
            assert liberos_in_front(self.table.match) == []
            self.press(Point(team))

    def pay(self) -> None:
        """Change courts, take liberos off, as far as the rules let it be done."""
        match = self.table.match
        for one in owed(match):
            if one.code == "courts":
                self.press(ChangeCourts())
            elif one.code == "libero" and one.team is not None:
                court = match.court(one.team)
                self.press(LiberoSwap(one.team, court.stands_for or 0, court.libero or 0))

    @precondition(lambda self: len(self.table.chain) > 0)
    @rule(seed=SEEDS)
    def a_line_is_crossed_out(self, seed: int) -> None:
        """Undo, or a strike of any line."""
        source = random.Random(seed)
        lines = self.table.chain.lines
        self.press(Undo() if source.random() < 0.6 else Strike(source.choice(lines).entry_id, "typed"))

    @precondition(lambda self: len(self.table.chain) > 0)
    @rule(seed=SEEDS)
    def a_missing_line_is_put_in(self, seed: int) -> None:
        """A rally that was forgotten."""
        source = random.Random(seed)
        before = source.choice(self.table.chain.lines).entry_id
        self.press(Insert(before, Point(source.choice(list(Team))), "forgotten"))

    @invariant()
    def engines_agree_byte_for_byte(self) -> None:
        """The one that grew and the one that read the wire stand the same."""
        assert digest(self.other.match) == digest(self.table.match)

    @invariant()
    def a_libero_in_front_is_always_owed(self) -> None:
        """Nobody can serve on without being told."""
        match = self.table.match
        if match.phase in PLAYING:
            told = {one.team for one in owed(match) if one.code in ("libero", "must_leave")}
            assert set(liberos_in_front(match)) <= told

    def teardown(self) -> None:
        """A third engine reads the whole record at once."""
        anew = Chain.fold(self.table.match.setup, tuple(self._entries()))
        assert digest(anew.match) == digest(self.table.match)
        assert [line.counts for line in anew.lines] == [line.counts for line in self.table.chain.lines]


AnyMatch.TestCase.settings = settings(max_examples=60, stateful_step_count=20, deadline=None)
TestAnyMatch = AnyMatch.TestCase


def test_a_libero_left_in_front_is_owed() -> None:
    """A point while the libero stands in the front row is taken: the table keeps up, the audit tells."""
    table: Table = from_start()
    table.do(LiberoSwap(Team.A, 20, 2))
    for team in "BABABA":
        if liberos_in_front(table.match):
            break
        table.rallies(team)
    assert liberos_in_front(table.match) == [Team.A]
    assert [one.code for one in owed(table.match)] == ["libero"]
