"""The lab's own bookkeeping: rows that fail, goals that are missed, tables that a report can take."""

from __future__ import annotations

import pytest

from tests.network.report import Exit, Failed, Report
from tests.network.table import Cell, Spread, below


def broken(_: object = None) -> float:
    raise OSError("the switch has ended")


def test_a_row_that_fails_is_told_and_the_others_go_on(capsys: pytest.CaptureFixture[str]) -> None:
    report = Report()
    rows = [("calm", 0.0), ("stormy", 0.3), ("mild", 0.1)]
    results = report.at_once(rows, lambda loss: broken() if loss == 0.3 else loss)
    assert results == [0.0, Failed("the switch has ended"), 0.1]
    assert "FAILED stormy: the switch has ended" in capsys.readouterr().err
    cells = [one if isinstance(one, Failed) else [Cell(str(one))] for one in results]
    report.show(
        "Weather", ["name", "loss"], [((name,), cell) for (name, _), cell in zip(rows, cells, strict=True)]
    )
    assert report.end(1.0) is Exit.NOT_MEASURED
    told = capsys.readouterr().out
    assert "| stormy | FAILED: the switch has ended |" in told
    assert "3 rows, 1 failures" in told and "- FAILED stormy" in told


def test_a_missed_goal_is_marked_and_tells_in_the_exit_code(capsys: pytest.CaptureFixture[str]) -> None:
    report = Report()
    rows = [(("0%",), [Cell("0.10", below(0.1, 0.2))]), (("30%",), [Cell("0.30", below(0.3, 0.2))])]
    report.show("Paired, 40 times", ["loss", "admitted, s"], rows, ["within 0.2 s"])
    assert report.end(1.0) is Exit.GOAL_MISSED
    told = capsys.readouterr().out
    assert "0.30 MISSED" in told and "0.10 MISSED" not in told
    assert "- MISSED Paired, 30%: admitted, s 0.30" in told and "- Goal: within 0.2 s" in told


def test_when_all_is_well_it_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    report = Report()
    report.show("Calm", ["loss", "s"], [(("0%",), [Cell("0.10", True)]), (("30%",), [Cell("2.00")])])
    assert report.end(1.0) is Exit.ALL_WELL
    assert "Every goal was met" in capsys.readouterr().out


def test_every_line_of_a_table_has_as_many_cells(capsys: pytest.CaptureFixture[str]) -> None:
    report = Report()
    report.show("Three", ["a", "b", "c"], [(("x",), Failed("gone")), (("y",), [Cell("1"), Cell("2")])])
    lines = [line for line in capsys.readouterr().out.splitlines() if line.startswith("|")]
    assert len(lines) == 4 and {line.count("|") for line in lines} == {4}


def test_what_never_came_is_the_longest_and_is_counted() -> None:
    spread = Spread.of([0.2, None, 0.1, 0.3])
    assert spread.counted(0.5) == "0.20 / - (3 of 4)"
    assert spread.worst is None and below(spread.worst, 2.0) is False
    assert below(spread.quantile(0.5), 2.0) is True and below(9.0, None) is None
    assert Spread.of([]).counted(0.5) == "- / - (0 of 0)"
