"""What holds for any match whatever is pressed: nothing raises, orders stay whole, a refold is the same."""

import random

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from crewlink.match import commands, engine, facts, history
from crewlink.match.chain import Chain
from crewlink.match.rotation import regulars, rotate
from crewlink.match.standing import standing
from crewlink.match.state import Match, digest
from crewlink.match.teams import Team
from crewlink.rules.loading import SHIPPED
from tests.match.likely import likely
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start
from tests.match.strategies import ANY_COMMAND, ANY_FACT, IDS

PROFILES = st.sampled_from(SHIPPED)
SEEDS = st.integers(0, 2**32 - 1)


def whole(match: Match) -> None:
    """Six different numbers a team, each in its own place of the order, the server in position 1."""
    for team in Team:
        court = match.court(team)
        if court.order:
            assert len(court.order) == 6
            assert len(set(court.order)) == 6
    if match.serving is not None and match.court(match.serving).order:
        assert match.server == match.court(match.serving).order[0]


def in_place(match: Match, team: Team) -> None:
    """The order on court is the line-up, turned, with the substitutions of the set made in it."""
    court = match.court(team)
    sheet = list(court.line_up)
    for swap in court.swaps:
        assert sheet[swap.slot] == swap.goes_out
        sheet[swap.slot] = swap.comes_in
    assert regulars(court) == rotate(tuple(sheet), court.turns)


@settings(max_examples=150, deadline=None)
@given(PROFILES, st.lists(ANY_COMMAND, max_size=40))
def test_no_command_raises_and_orders_stay_whole(profile: str, pressed: list[commands.Command]) -> None:
    table = from_start(profile)
    for command in pressed:
        decision = table.ask(command)
        assert decision.ruling.sentence
        assert decision.ruling.fine or not decision.facts
        if decision.ruling.fine:
            table.do(command)
        whole(table.match)
        standing(table.match)


@settings(max_examples=150, deadline=None)
@given(PROFILES, st.lists(ANY_FACT, max_size=40), st.lists(ANY_COMMAND, max_size=10))
def test_no_fact_raises_and_none_makes_a_command_raise(
    profile: str, record: list[facts.Fact], pressed: list[commands.Command]
) -> None:
    chain = from_start(profile).chain
    match = chain.match
    for fact in record:
        after = engine.evolve(match, fact)
        assert after.line == match.line + 1
        match = after
        standing(match)
        chain = chain.extend(len(chain).to_bytes(32, "big"), fact)
    for command in pressed:
        assert history.decide(chain, command).ruling.sentence


@settings(max_examples=40, deadline=None)
@given(PROFILES, SEEDS)
def test_allowed_play_keeps_score_and_places(profile: str, seed: int) -> None:
    table, source = from_start(profile), random.Random(seed)
    for _ in range(250):
        before = table.match
        command = likely(before, source)
        if not table.ask(command).ruling.fine:
            continue
        table.do(command)
        after = table.match
        whole(after)
        if len(after.sets) > len(before.sets):
            assert max(after.sets[-1].score) >= after.format.target(before.set_number)
        else:
            assert after.score >= before.score
            assert sum(after.score) - sum(before.score) == after.completed - before.completed
        for team in Team:
            if after.court(team).order:
                in_place(after, team)
        assert after.findings == ()


def test_likely_play_reaches_all_that_it_should() -> None:
    """Guards the test above against a generator that never gets anywhere."""
    seen: set[tuple[str, str]] = set()
    for profile in SHIPPED:
        table, source = from_start(profile), random.Random(5)
        for _ in range(2000):
            command = likely(table.match, source)
            decision = table.ask(command)
            seen.add((type(command).__name__, decision.ruling.severity.value))
            if decision.ruling.fine:
                table.do(command)
            if table.match.finished:
                table = from_start(profile)
    wanted = (
        "Substitute",
        "LiberoSwap",
        "TimeOut",
        "Sanction",
        "Point",
        "BeginSet",
        "LineUp",
        "ChangeCourts",
    )
    assert {(name, "fine") for name in wanted} <= seen
    assert {("Substitute", "delay"), ("LiberoSwap", "delay"), ("TimeOut", "improper_request")} <= seen


@given(st.lists(st.sampled_from("AB"), max_size=60), st.sampled_from("AB"))
def test_rallies_agree_with_a_count_by_hand(winners: list[str], first: str) -> None:
    """Against the plainest model there is: two lists and two numbers."""
    table = from_start(first=Team(first))
    points, orders, serving = {"A": 0, "B": 0}, {"A": [*BASE_A], "B": [*BASE_B]}, first
    for winner in winners:
        if max(points.values()) >= 25 and abs(points["A"] - points["B"]) >= 2:
            break
        table.do(commands.Point(Team(winner)))
        points[winner] += 1
        if winner != serving:
            orders[winner].append(orders[winner].pop(0))
            serving = winner
    over = max(points.values()) >= 25 and abs(points["A"] - points["B"]) >= 2
    match = table.match.closed if over else table.match
    assert match is not None
    assert match.score == (points["A"], points["B"])
    assert (match.court_a.order, match.court_b.order) == (tuple(orders["A"]), tuple(orders["B"]))
    assert (match.serving, match.server) == (Team(serving), orders[serving][0])
    assert len(table.match.sets) == over


@settings(max_examples=40, deadline=None)
@given(PROFILES, SEEDS)
def test_refold_of_play_with_strikes_is_the_same(profile: str, seed: int) -> None:
    table, source = from_start(profile), random.Random(seed)
    for _ in range(150):
        command: commands.Command = likely(table.match, source)
        chance, ids = source.random(), [line.entry_id for line in table.chain.lines]
        if chance < 0.08:
            command = commands.Strike(source.choice(ids), "")
        elif chance < 0.12:
            won = facts.RallyWon(source.choice(list(Team)), A, 4, (0, 0))
            command = commands.Amend(source.choice(ids), (won,), "")
        if table.ask(command).ruling.fine:
            table.do(command)
    entries = tuple((line.entry_id, line.fact) for line in table.chain.lines)
    anew = Chain.fold(table.match.setup, entries)
    assert digest(anew.match) == digest(table.match)
    assert anew.lines == table.chain.lines


@settings(max_examples=150, deadline=None)
@given(PROFILES, st.lists(ANY_FACT | st.builds(facts.Struck, IDS), max_size=50))
def test_refold_is_the_same_as_growing(profile: str, record: list[facts.Fact]) -> None:
    table = from_start(profile)
    chain = table.chain
    for number, fact in enumerate(record, table.written + 1):
        chain = chain.extend(number.to_bytes(32, "big"), fact)
    entries = tuple((line.entry_id, line.fact) for line in chain.lines)
    anew = Chain.fold(chain.start_match.setup, entries)
    assert digest(anew.match) == digest(chain.match)
    assert anew.lines == chain.lines


@settings(max_examples=100, deadline=None)
@given(st.lists(ANY_FACT, min_size=1, max_size=10), st.lists(ANY_FACT, max_size=10))
def test_an_older_chain_stays_as_it_was(first: list[facts.Fact], second: list[facts.Fact]) -> None:
    root = from_start().chain
    ends = []
    for branch, record in (("a", first), ("b", second)):
        chain = root
        for number, fact in enumerate(record):
            chain = chain.extend(f"{branch}{number}".encode(), fact)
        ends.append((chain, chain.lines, digest(chain.match)))
    for chain, lines, seal in ends:
        assert chain.lines == lines
        assert digest(chain.match) == seal
        assert [chain.index_of(line.entry_id) for line in lines] == list(range(len(lines)))
    assert len(root) == len(root.lines)


@given(ANY_FACT)
def test_a_fact_comes_back_from_the_wire(fact: facts.Fact) -> None:
    packed = msgspec.msgpack.encode(facts.to_wire(fact))
    assert facts.from_wire(msgspec.msgpack.decode(packed)) == fact


@given(ANY_COMMAND)
def test_a_command_comes_back_from_the_wire(command: commands.Command) -> None:
    packed = msgspec.msgpack.encode(commands.to_wire(command))
    assert commands.from_wire(msgspec.msgpack.decode(packed)) == command


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from("AB"), min_size=1, max_size=60))
def test_undo_of_everything_leads_back(winners: list[str]) -> None:
    table = from_start()
    seal = digest_without_place(table.match)
    lines = len(table.chain)
    for winner in winners:
        if table.ask(commands.Point(Team(winner))).ruling.fine:
            table.do(commands.Point(Team(winner)))
    for _ in range(len(table.chain) - lines):
        table.do(commands.Undo())
    assert digest_without_place(table.match) == seal


def digest_without_place(match: Match) -> bytes:
    return digest(msgspec.structs.replace(match, line=0))


def test_these_tables_differ_by_who_serves() -> None:
    assert from_start(first=A).match.serving is A
    assert from_start(first=B).match.serving is B
    assert history.undo_target(Table(from_start().match.setup).chain) is None
