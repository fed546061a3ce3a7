"""The points of a match counted from the facts alone: what each line says it gives, takes or sets.

It knows the format and who wins a set at a score, but nothing of positions, service or the state the rules
engine keeps: two counts that have nothing in common must agree.
"""

from __future__ import annotations

from collections.abc import Iterable

from crewlink.match.facts import (
    Corrected,
    DeclaredIncomplete,
    Defaulted,
    Delayed,
    Fact,
    LatePoint,
    Overruled,
    RallyWon,
    Sanctioned,
    SetBegun,
    SetRestarted,
)
from crewlink.match.scoring import match_over, points_to_win, set_winner
from crewlink.match.state import Match
from crewlink.match.teams import Score, Team
from crewlink.match.terms import DelayStep, Scope
from crewlink.rules.format import Format


class Tally:
    """A running count. `sets`: results of the finished sets; `now`: the set that is played or prepared.

    `over`: no set is left. `ruled`: R1 or the book set this score by decision, not point by point.
    """

    def __init__(self, start: Match) -> None:
        self.form: Format = start.format
        self.sets: list[Score] = [one.score for one in start.sets]
        self.winners: list[Team | None] = [one.winner for one in start.sets]
        self.now: Score = start.score
        self.begun = start.in_set
        self.waiting: Score = (start.a.pending, start.b.pending)
        self.over = start.finished
        self.ruled = False

    def add(self, fact: Fact) -> None:
        """Count one fact."""
        if isinstance(fact, Overruled):
            for one in fact.facts:
                self.add(one)
        elif isinstance(fact, RallyWon) and self.begun:
            self._give(fact.team)
        elif isinstance(fact, LatePoint) and not self.begun:
            self._give(fact.team.other)
        elif isinstance(fact, Sanctioned | Delayed):
            self._penalty(fact)
        elif isinstance(fact, SetBegun):
            self._begin()
        elif isinstance(fact, Corrected):
            self._correct(fact)
        else:
            self._decided(fact)

    def _give(self, team: Team) -> None:
        a, b = self.now
        self.now = (a + 1, b) if team is Team.A else (a, b + 1)
        self._close_if_won()

    def _penalty(self, fact: Sanctioned | Delayed) -> None:
        gives = fact.point if isinstance(fact, Sanctioned) else fact.step is DelayStep.PENALTY
        if not gives or self.over:
            return
        if self.begun:
            self._give(fact.team.other)
        else:
            a, b = self.waiting
            self.waiting = (a + 1, b) if fact.team is Team.A else (a, b + 1)

    def _begin(self) -> None:
        self.begun = True
        by_a, by_b = self.waiting
        self.waiting = (0, 0)
        self.now = (self.now[0] + by_b, self.now[1] + by_a)
        self._close_if_won()

    def _correct(self, fact: Corrected) -> None:
        """Take what it cancels, give what it gives; a decision of R1 sets the score as it says."""
        if fact.reopens and self.sets:
            self.now, self.begun, self.over = self.sets.pop(), True, False
            self.winners.pop()
        if fact.before is None:
            self.now, self.ruled = fact.score, True
        else:
            given = tuple(fact.score[i] - fact.before[i] + fact.cancelled[i] for i in (0, 1))
            self.now = tuple(self.now[i] - fact.cancelled[i] + given[i] for i in (0, 1))  # type: ignore[assignment]
        if fact.sets:
            self._sets_anew([(one.score, one.winner) for one in fact.sets])
        if not self.over:
            self._close_if_won()

    def _sets_anew(self, sets: Iterable[tuple[Score, Team | None]]) -> None:
        self.sets, self.winners = [], []
        for score, winner in sets:
            if not self.over:
                self._done(score, winner)

    def _decided(self, fact: Fact) -> None:
        """Restart, incompleteness, default: the score as the book sets it."""
        if isinstance(fact, SetRestarted):
            self.now, self.begun = self.form.start_of(self.number), False
        elif isinstance(fact, DeclaredIncomplete):
            self._incomplete(fact)
        elif isinstance(fact, Defaulted):
            self._default(fact)

    def _incomplete(self, fact: DeclaredIncomplete) -> None:
        winner = fact.team.other
        while not self.over:
            self._close(points_to_win(self.form, self.number, self.now, winner), winner)
            if fact.scope is Scope.SET:
                return

    def _default(self, fact: Defaulted) -> None:
        winner = fact.team.other
        if fact.scope is Scope.MATCH:
            self.sets, self.winners, self.over = [], [], False
        while not self.over:
            target = self.form.target(self.number)
            self._close((target, 0) if winner is Team.A else (0, target), winner)
            if fact.scope is Scope.SET:
                return

    @property
    def number(self) -> int:
        """Number of the set that is played or prepared."""
        return len(self.sets) + 1

    @property
    def won(self) -> Score:
        """Sets won."""
        return self.winners.count(Team.A), self.winners.count(Team.B)

    def _close_if_won(self) -> None:
        winner = set_winner(self.form, self.number, self.now)
        if winner is not None:
            self._close(self.now, winner)

    def _close(self, score: Score, winner: Team | None) -> None:
        self._done(score, winner)
        self.begun, self.ruled = False, False
        self.now = score if self.over else self.form.start_of(self.number)

    def _done(self, score: Score, winner: Team | None) -> None:
        self.sets.append(score)
        self.winners.append(winner)
        self.over = match_over(self.form, len(self.sets), self.won)
