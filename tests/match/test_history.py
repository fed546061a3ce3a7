"""Corrections of the record: undo, strike, amend, and what they would lead to."""

import msgspec

from crewlink.match import history
from crewlink.match.chain import Chain
from crewlink.match.commands import (
    Amend,
    BeginSet,
    Change,
    Choose,
    Insert,
    Pair,
    Point,
    Strike,
    Substitute,
    TimeOut,
    Undo,
    WrongServer,
)
from crewlink.match.facts import Amended, LineUpGiven, RallyWon, Struck, UnknownFact
from crewlink.match.state import digest
from tests.match.playing import BASE_A, A, B, from_start, in_middle, line_ups, setup


def test_undo_takes_back_the_last_line_that_counts() -> None:
    table = in_middle((5, 5), A)
    table.rallies("AB")
    target = history.undo_target(table.chain)
    assert target is not None
    assert target.entry_id == table.last_id
    table.do(Undo())
    assert table.match.score == (6, 5)
    table.do(Undo())
    assert table.match.score == (5, 5)
    assert table.ask(Undo()).ruling.code == "nothing_to_undo"
    assert [line.struck for line in table.chain.lines] == [True, True, False, False]


def test_a_strike_can_be_struck() -> None:
    table = in_middle((5, 5), A)
    table.rallies("AB")
    before = table.match
    table.do(Undo())
    table.do(Strike(table.last_id, "was right"))
    assert table.match.score == before.score
    assert table.match.court_b == before.court_b
    assert not table.chain.lines[1].struck
    assert table.chain.lines[2].struck


def test_undo_takes_back_a_strike_or_change_of_an_older_line() -> None:
    table = in_middle((5, 5), A)
    table.rallies("ABBA")
    first = table.chain.lines[0].entry_id
    table.do(Strike(first, "wrong line"))
    assert table.match.score == (6, 7)
    table.do(Undo())
    assert table.match.score == (7, 7)
    table.do(Change(first, Point(B), "wrong team"))
    assert table.match.score == (6, 8)
    table.do(Undo())
    assert table.match.score == (7, 7)
    table.do(Undo(), Undo())
    assert table.match.score == (6, 6)


def test_undo_after_undo_goes_further_back_and_plays_on() -> None:
    table = in_middle((5, 5), A)
    table.rallies("AAB")
    table.do(Undo(), Undo())
    assert table.match.score == (6, 5)
    table.rallies("B")
    table.do(Undo(), Undo())
    assert table.match.score == (5, 5)
    assert table.ask(Undo()).ruling.code == "nothing_to_undo"


def test_change_of_a_line_by_a_command() -> None:
    table = in_middle((5, 5), A)
    table.do(Substitute(A, (Pair(6, 9),)))
    line = table.last_id
    table.rallies("AB")
    table.do(Change(line, Substitute(A, (Pair(6, 7),)), "7 went out"))
    assert table.match.court_a.order == (4, 9, 6, 12, 2, 15)
    refused = table.ask(Change(line, Substitute(A, (Pair(4, 7),)), "?"))
    assert (refused.facts, refused.ruling.code) == ((), "already_on_court")
    assert table.ask(Change(b"?", Point(A), "?")).ruling.code == "no_such_line"


def test_a_line_that_was_missed_is_written_before_another() -> None:
    table = in_middle((5, 5), A)
    table.rallies("AB")
    second = table.last_id
    table.rallies("B")
    table.do(Insert(second, Substitute(A, (Pair(6, 9),)), "not written at the time"))
    assert table.match.court_a.order == (4, 6, 7, 12, 2, 15)
    assert table.match.court_a.swaps[0].score == (6, 5)
    assert table.match.score == (6, 7)
    assert table.match.findings == ()
    table.do(Insert(second, Point(A), "a rally was missed, too"))
    assert table.match.score == (7, 7)
    assert table.match.court_a.substitutions == 1


def test_strike_of_an_older_rally_moves_all_later_scores() -> None:
    table = in_middle((5, 5), A)
    table.rallies("ABBA")
    first = table.chain.lines[0].entry_id
    assert history.is_older_than_last_rally(table.chain, first)
    assert not history.is_older_than_last_rally(table.chain, table.last_id)
    table.do(Strike(first, "written twice"))
    assert table.match.score == (6, 7)
    assert [line.match.score for line in table.chain.lines] == [(5, 5), (5, 6), (5, 7), (6, 7), (6, 7)]
    assert table.ask(Strike(first, "again")).ruling.code == "already_struck"
    assert table.ask(Strike(b"nowhere", "")).ruling.code == "no_such_line"


def test_amend_puts_another_fact_in_the_place() -> None:
    table = in_middle((5, 5), A)
    table.rallies("ABA")
    second = table.chain.lines[1]
    won = RallyWon(A, A, 4, (7, 5))
    table.do(Amend(second.entry_id, (won,), "wrong team"))
    assert table.match.score == (8, 5)
    assert [line.amended for line in table.chain.lines] == [False, True, False, False]
    assert table.chain.lines[1].counts == (won,)
    assert table.ask(Amend(table.last_id, (won,), "")).ruling.code == "not_amendable"


def test_line_up_typed_wrongly_is_amended_and_the_set_folded_anew() -> None:
    table = from_start()
    table.rallies("BBAA")
    line = next(line for line in table.chain.lines if isinstance(line.fact, LineUpGiven))
    right = msgspec.structs.replace(line.fact, positions=(4, 9, 7, 12, 15, 2))
    table.do(Amend(line.entry_id, (right,), "5 and 6 exchanged"))
    assert table.match.court_a.order == (9, 7, 12, 15, 2, 4)
    assert table.match.score == (2, 2)
    assert table.match.findings == ()


def test_what_no_longer_fits_is_a_finding_that_names_its_line() -> None:
    table = in_middle((5, 5), A)
    table.do(Substitute(A, (Pair(6, 9),)))
    first = table.last_id
    table.rallies("A")
    table.do(Substitute(A, (Pair(9, 6),)))
    second = table.last_id
    preview = history.preview(table.chain, Struck(first))
    assert [(entry, f.code) for entry, f in preview.findings] == [(second, "already_on_court")]
    assert preview.before == table.match
    decision = table.do(Strike(first, "never happened"))
    assert "1 later line(s) no longer fit" in decision.ruling.sentence
    assert [(entry, f.code) for entry, f in table.chain.finding_entries()] == [(second, "already_on_court")]
    assert table.match.court_a.order == BASE_A


def test_a_preview_changes_nothing() -> None:
    table = in_middle((5, 5), A)
    table.rallies("AB")
    seal, lines = digest(table.match), table.chain.lines
    history.preview(table.chain, Struck(lines[0].entry_id))
    assert (digest(table.match), table.chain.lines) == (seal, lines)
    table.rallies("A")
    assert len(table.chain) == 3


def test_rallies_past_the_end_of_a_set_fall_into_the_next_or_become_findings() -> None:
    table = in_middle((24, 20), A)
    table.rallies("B")
    lost = table.last_id
    table.rallies("A")
    assert table.match.set_number == 2
    table.do(Strike(lost, "written twice"))
    assert table.match.sets[0].score == (25, 20)
    chain = in_middle((23, 20), A).chain
    for number, team in enumerate((A, A, A)):
        chain = chain.extend(bytes([number]), RallyWon(team, A, 4, (0, 0)))
    assert [f.code for _, f in chain.finding_entries()] == ["point_outside_set"]


def test_a_set_that_a_strike_opens_again_does_not_take_the_points_of_the_next() -> None:
    table = in_middle((24, 20), A)
    table.rallies("A")
    last = table.last_id
    line_ups(table)
    table.do(BeginSet())
    table.rallies("AAB")
    table.do(TimeOut(B))
    preview = history.preview(table.chain, Struck(last))
    assert {f.code for _, f in preview.findings} == {"other_set"}
    assert len(preview.findings) == 7
    table.do(Strike(last, "wrong team"))
    assert (table.match.set_number, table.match.score) == (1, (24, 20))
    assert table.match.court_b.time_outs == 0
    table.do(Undo())
    won = RallyWon(A, A, 4, (25, 20))
    table.do(Amend(last, (won,), "right after all"))
    assert (table.match.set_number, table.match.score) == (2, (2, 1))
    assert table.match.findings == ()


def test_a_decision_whose_score_was_moved_is_a_finding() -> None:
    table = in_middle((10, 8), A)
    table.rallies("BA")
    first = table.last_id
    table.rallies("AA")
    table.do(Choose(WrongServer(A, 15, 2, False), "wrong_server"))
    decided = table.last_id
    assert table.match.score == (11, 10)
    table.do(Strike(first, "written twice"))
    assert [(e, f.code) for e, f in table.chain.finding_entries()] == [(decided, "decided_at_other_score")]


def test_corrections_of_lines_that_are_not_there_are_findings() -> None:
    chain = in_middle((5, 5), A).chain
    for number, fact in enumerate((Struck(b"x"), Amended(b"y", ()), Struck(bytes([2])))):
        chain = chain.extend(bytes([number]), fact)
    assert [f.code for _, f in chain.finding_entries()] == ["correction"] * 3
    assert chain.match.line == 3


def test_a_line_of_a_newer_version_is_kept_and_found() -> None:
    chain = in_middle((5, 5), A).chain.extend(b"1", UnknownFact("challenge_won", {"team": "A"}))
    assert [f.code for _, f in chain.finding_entries()] == ["not_known"]
    assert chain.match.score == (5, 5)


def test_more_time_outs_than_allowed_are_found_when_folded() -> None:
    table = in_middle((5, 5), A)
    table.do(TimeOut(A), TimeOut(A))
    fact = table.chain.lines[0].fact
    chain = table.chain.extend(b"late", fact)
    assert [(e, f.code) for e, f in chain.finding_entries()] == [(b"late", "time_outs_used_up")]


def test_index_of_knows_only_its_own_lines() -> None:
    table = in_middle((5, 5), A)
    table.rallies("A")
    short = table.chain
    table.rallies("B")
    assert table.chain.index_of(table.last_id) == 1
    assert short.index_of(table.last_id) is None
    assert short.before(0) == short.start_match
    assert table.chain.before(1) == short.match
    assert table.chain.before(2) == table.match
    assert Chain.start(setup()).index_of(b"1") is None


def test_two_matches_of_one_set_up_are_equal() -> None:
    one, other = from_start(), from_start()
    one.do(Point(B))
    other.do(Point(B))
    assert digest(one.match) == digest(other.match)
    other.do(Point(B))
    assert digest(one.match) != digest(other.match)
