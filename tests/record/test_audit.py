"""The audit: silent over what the rules let be written, and each planted error is found and named."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from msgspec import structs

from crewlink.match import engine
from crewlink.match.chain import Chain, _Pages
from crewlink.match.commands import (
    ChangeCourts,
    LiberoSwap,
    Pair,
    Point,
    Protest,
    Remark,
    Sanction,
    Stop,
    Substitute,
    TechnicalTimeOut,
    TimeOut,
)
from crewlink.match.facts import (
    Corrected,
    Exchange,
    Fact,
    RallyWon,
    SetScore,
    Struck,
    Substituted,
    TimeOutTaken,
)
from crewlink.match.setup import TeamStart
from crewlink.match.state import Match, with_court
from crewlink.match.teams import Person, Team
from crewlink.match.terms import Card, Cause, RemarkKind, StopCause
from crewlink.record.audit import AuditFinding, audit
from crewlink.rules.loading import SHIPPED
from crewlink.script.engine_stage import EngineStage
from crewlink.script.player import play
from crewlink.script.reading import load
from tests.match.likely import likely
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start, in_middle

TESTS = Path(__file__).parents[1]
FOUR = tuple(SetScore(n, (25, 20) if n % 2 else (20, 25), A if n % 2 else B) for n in range(1, 5))


def codes(chain: Chain) -> list[str]:
    return [one.code for one in audit(chain)]


def written(table: Table, *facts: Fact) -> Chain:
    """Facts put into the record past the rules, as a faulty station would."""
    chain = table.chain
    for number, fact in enumerate(facts, 1000):
        chain = chain.extend(number.to_bytes(32, "big"), fact)
    return chain


def spoilt(table: Table, match: Match) -> Chain:
    """The record with another state behind its last line."""
    lines = list(table.chain.lines)
    lines[-1] = structs.replace(lines[-1], match=match)
    return Chain(table.chain.start_match, _Pages(lines), len(lines))


@pytest.mark.parametrize("profile", SHIPPED)
@pytest.mark.parametrize("seed", range(4))
def test_points_agree_over_any_play_that_is_allowed(profile: str, seed: int) -> None:
    """Cards, delays, substitutions and all: what is left to tell is only what was owed and not done."""
    table, source = from_start(profile), random.Random(seed)
    for _ in range(300):
        command = likely(table.match, source)
        if table.ask(command).ruling.fine:
            table.do(command)
    told = {code for code in codes(table.chain) if not code.startswith("owed_")}
    assert told <= {"technical_due", "stopped", "time_out_runs"}


def test_a_plain_match_is_clean() -> None:
    table = in_middle((24, 3), A, set_number=3, sets=(FOUR[0], SetScore(2, (25, 9), A)))
    table.rallies("A")
    assert table.match.finished
    assert audit(table.chain) == ()


def test_a_struck_rally_is_clean() -> None:
    table = from_start()
    table.rallies("AAB")
    chain = written(table, Struck(table.last_id, "typed"))
    assert chain.match.score == (2, 0)
    assert audit(chain) == ()


def test_a_score_that_the_lines_do_not_give() -> None:
    table = from_start()
    table.rallies("AAB")
    found = audit(spoilt(table, with_court(table.match, A, points=3)))
    assert found == (
        AuditFinding("points_differ", "By the lines it is 2:1, in the match 3:1.", table.last_id),
    )


def test_a_list_of_rallies_that_the_score_does_not_follow() -> None:
    table = from_start()
    table.rallies("AAB")
    found = audit(spoilt(table, structs.replace(table.match, rallies=table.match.rallies[:-1])))
    assert [one.sentence for one in found] == ["By the rallies kept it is 2:0, in the match 2:1."]


def test_a_finished_set_that_the_lines_do_not_give() -> None:
    table = in_middle((24, 3), A)
    table.rallies("A")
    found = audit(spoilt(table, structs.replace(table.match, sets=(SetScore(1, (25, 23), A),))))
    assert [one.code for one in found] == ["points_differ"]


def test_a_line_that_does_not_fit_is_named() -> None:
    chain = written(from_start(), RallyWon(A, A, 4, (1, 0), set_number=3))
    line = (1000).to_bytes(32, "big")
    assert [(one.code, one.entry) for one in audit(chain)] == [
        ("does_not_fit", line),
        ("points_differ", line),
    ]


def test_more_time_outs_than_allowed() -> None:
    three = [TimeOutTaken(A, n, (0, 0)) for n in (1, 2, 3)]
    found = [one for one in audit(written(from_start(), *three)) if one.code == "over_limit"]
    assert [(one.sentence, one.entry) for one in found] == [
        ("Team A has 3 time-outs, allowed are 2.", (1002).to_bytes(32, "big"))
    ]


def test_more_substitutions_than_allowed() -> None:
    table = in_middle((5, 5), A, a=TeamStart(BASE_A, substitutions=6))
    chain = written(table, Substituted(A, (Exchange(4, 6, 1, 7),), (5, 5)))
    assert "over_limit" in codes(chain)


def test_a_rally_served_with_the_libero_in_front() -> None:
    table = from_start()
    table.do(LiberoSwap(A, 20, 2))
    table.rallies("BA")
    assert table.match.court_a.order[3] == 20
    served = len(table.chain)
    table.rallies("A")
    found = audit(table.chain)
    assert [one.code for one in found] == ["owed_libero", "owed_libero"]
    assert found[0].entry == table.chain.line(served).entry_id
    ruled = Corrected(
        Cause.ILLEGAL_LIBERO, "fault", (1, 2), B, (table.match.court_a.order, BASE_B), (1, 2),
        before=table.match.score, team=A, cancelled=(1, 0), rallies=1,
    )  # fmt: skip
    assert all(one.entry != found[0].entry for one in audit(written(table, ruled)))


def test_courts_not_changed() -> None:
    table = in_middle((7, 5), A, set_number=5, sets=FOUR)
    table.rallies("A")
    assert codes(table.chain) == ["owed_courts"]
    table.rallies("A")
    assert codes(table.chain) == ["owed_courts", "owed_courts"]
    table.do(ChangeCourts())
    assert codes(table.chain) == ["owed_courts"]
    table.do(Remark(RemarkKind.COURT_CHANGE_FORGOTTEN))
    assert audit(table.chain) == ()


def test_an_expelled_player_still_on_court() -> None:
    table = from_start()
    table.do(Sanction(A, Person(number=9), Card.EXPULSION), Point(A))
    assert codes(table.chain) == ["owed_must_leave", "owed_must_leave"]
    table.do(Substitute(A, (Pair(6, 9),)))
    assert codes(table.chain) == ["owed_must_leave"]


def test_what_is_left_open() -> None:
    stopped, protest, pause = from_start(), from_start(), from_start()
    stopped.do(Stop(StopCause.FACILITY))
    protest.do(Protest(A))
    pause.do(TimeOut(A))
    assert codes(stopped.chain) == ["stopped"]
    assert codes(protest.chain) == ["protest_open", "stopped"]
    assert codes(pause.chain) == ["time_out_runs"]


def test_a_technical_time_out_left_out() -> None:
    table = in_middle((7, 5), A, "OLD")
    table.rallies("A")
    assert codes(table.chain) == ["technical_due"]
    table.do(TechnicalTimeOut())
    assert codes(table.chain) == ["time_out_runs"]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"sets": (SetScore(1, (24, 23), A),)}, "set_not_won"),
        ({"sets": (SetScore(1, (25, 3), B),)}, "set_not_won"),
        ({"sets": (SetScore(2, (25, 3), A),)}, "set_missing"),
        ({"sets": tuple(SetScore(n, (25, 3), A) for n in (1, 2, 3, 4))}, "set_too_many"),
        ({"sets": tuple(SetScore(n, (25, 3), A) for n in (1, 2, 3))}, "match_end"),
        ({"sets": ()}, "sets_won"),
    ],
)
def test_sets_and_result_that_do_not_follow(changes: dict[str, object], code: str) -> None:
    table = in_middle((24, 3), A)
    table.rallies("A")
    assert code in codes(spoilt(table, structs.replace(table.match, **changes)))


def test_another_winner() -> None:
    table = in_middle((24, 3), A, set_number=3, sets=(SetScore(1, (25, 9), A), SetScore(2, (25, 9), A)))
    table.rallies("A")
    assert codes(spoilt(table, structs.replace(table.match, winner=Team.B))) == ["winner"]


def test_a_set_that_goes_on_though_it_is_won() -> None:
    table = from_start()
    table.rallies("A")
    assert "set_goes_on" in codes(spoilt(table, with_court(table.match, A, points=25)))


def test_an_empty_record_is_clean() -> None:
    assert audit(Chain.start(from_start().match.setup)) == ()
    assert engine.begin(from_start().match.setup).line == 0


SCRIPTS = sorted(p for folder in ("published/cases", "script/hard") for p in (TESTS / folder).glob("*.json"))
UNFINISHED = ("owed_", "stopped", "time_out_runs", "technical_due", "protest_open")


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_worked_cases_end_with_figures_that_agree(path: Path) -> None:
    """A case may stop in the middle of things; its points, sets and counts agree all the same."""
    script = load(path)
    for run in script.runs:
        for profile in run.profiles:
            stage = EngineStage(script.setup(run, profile))
            play(run, stage)
            assert [one for one in audit(stage.chain) if not one.code.startswith(UNFINISHED)] == []
