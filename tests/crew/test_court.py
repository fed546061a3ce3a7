"""A court is a pure fold: step by step or at once, in any order of the free acts, it comes out the same."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from crewlink.charter import Charter
from crewlink.court import Court, Line
from crewlink.crew.notice import Act
from crewlink.match import facts
from crewlink.match.commands import BeginSet, Command, LineUp, Point, TimeOut, Toss, Undo
from crewlink.match.history import decide
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet

OPENING = b"o" * 32
PLAYERS = tuple(range(1, 13))
SETUP = MatchSetup(team_a=TeamSheet(players=PLAYERS, captain=1), team_b=TeamSheet(players=PLAYERS, captain=2))
START: tuple[Command, ...] = (
    Toss(Team.A, Team.A),
    LineUp(Team.A, (1, 2, 3, 4, 5, 6), captain=1),
    LineUp(Team.B, (1, 2, 3, 4, 5, 6), captain=2),
    BeginSet(),
)
COMMANDS = st.sampled_from([Point(Team.A), Point(Team.B), TimeOut(Team.A), TimeOut(Team.B), Undo("slip")])


def lines_of(commands: list[Command]) -> list[Line]:
    court = Court.start(Charter(SETUP), OPENING)
    lines: list[Line] = []
    for command in [*START, *commands]:
        for fact in decide(court.chain, command).facts:
            line = Line(len(lines).to_bytes(32, "big"), facts.to_wire(fact))
            lines.append(line)
            court = court.write(line)
    return lines


def free_acts(anchors: list[bytes], count: int, source: random.Random) -> list[Act]:
    acts = []
    for number in range(count):
        name = source.choice(["raise", "answer", "shown", "ready", "close"])
        fields: dict[str, object] = {"notice": bytes([source.randrange(4)])}
        if name == "raise":
            fields = {"id": bytes([source.randrange(4)]), "kind": "conduct", "asks": ["R1", "R2"]}
        post = source.choice(["R1", "R2", "scorer"])
        anchor = source.choice(anchors)
        acts.append(Act(b"f%03d" % number, post, post.encode(), anchor, number, number, name, fields))
    return acts


@settings(max_examples=60, deadline=None)
@given(st.lists(COMMANDS, max_size=40), st.randoms(use_true_random=False))
def test_step_by_step_and_at_once_give_the_same_court(commands: list[Command], source: random.Random) -> None:
    lines = lines_of(commands)
    acts = free_acts([OPENING, *(line.id for line in lines)], 20, source)
    whole = Court.fold(Charter(SETUP), OPENING, lines, acts)
    mixed = Court.start(Charter(SETUP), OPENING)
    source.shuffle(acts)
    written = 0
    for act in acts:
        ahead = min(len(lines), written + source.randrange(4))
        mixed, written = mixed.follow(lines[:ahead]).hear(act), ahead
    mixed = mixed.follow(lines)
    assert mixed.digest() == whole.digest()


@settings(max_examples=40, deadline=None)
@given(st.lists(COMMANDS, min_size=3, max_size=30), st.lists(COMMANDS, max_size=10), st.integers(1, 30))
def test_following_another_branch_is_the_same_as_never_having_left_it(
    one: list[Command], other: list[Command], cut: int
) -> None:
    first = lines_of(one)
    kept = first[: min(cut, len(first))]
    branch = [*kept]
    court = Court.fold(Charter(SETUP), OPENING, kept, ())
    for number, command in enumerate(other):
        for fact in decide(court.chain, command).facts:
            branch.append(Line(b"b" + number.to_bytes(31, "big"), facts.to_wire(fact)))
            court = court.write(branch[-1])
    went = Court.start(Charter(SETUP), OPENING).follow(first).follow(branch)
    assert went.digest() == Court.fold(Charter(SETUP), OPENING, branch, ()).digest()


def test_a_cause_named_twice_is_kept_as_a_finding() -> None:
    lines = lines_of([Point(Team.A)])
    asked = b"r" * 32
    more = [
        Line(bytes([n]) * 32, facts.to_wire(fact), because=asked)
        for n, fact in enumerate(
            [*decide(Court.fold(Charter(SETUP), OPENING, lines, ()).chain, Point(Team.A)).facts] * 2
        )
    ]
    court = Court.fold(Charter(SETUP), OPENING, [*lines, *more], ())
    assert court.written[asked] == more[0].id
    assert court.twice == (more[1].id,)


def test_a_fact_of_a_newer_version_is_a_finding_and_nothing_else() -> None:
    lines = [*lines_of([Point(Team.A)]), Line(b"n" * 32, ("waved", {"team": "A"}))]
    court = Court.fold(Charter(SETUP), OPENING, lines, ())
    assert court.match.score == (1, 0)
    assert [finding.code for finding in court.match.findings] == ["not_known"]
