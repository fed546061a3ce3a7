"""What the table does about notices and clocks besides answering, by keys, on real stations: put off, say how
it ended, enter R1's outcome, start and hold the clocks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtGui import QGuiApplication

from crewlink.crew.commands import AnswerNotice, Raise
from crewlink.crew.posts import Post
from crewlink.match.commands import TimeOut
from crewlink.match.teams import Team
from crewlink.snapshot import Snapshot
from tests.ui.table_crew import TableCrew
from tests.ui.test_table_match import begun

Open = Callable[[], TableCrew]
ALL = (Post.SCORER, Post.R2, Post.R1, Post.SITE)


@pytest.fixture
def table(application: QGuiApplication) -> Iterator[TableCrew]:
    """The table's face over four stations."""
    made = TableCrew(None, ALL)
    yield made
    assert made.close() == []


def acts(table: TableCrew) -> list[str]:
    """The words of the list that Up or Down opened."""
    return [str(row.words) for row in table.desk.panel.acts.rows]


def choose(table: TableCrew, key: str, verb: str) -> None:
    """Press Up or Down until the line says `verb`."""
    for _ in range(20):
        table.press(key)
        if table.desk.line.verb == verb:
            return
    raise AssertionError(f"{verb} is not offered: {acts(table)}")


def notice(table: TableCrew, kind: str) -> str:
    """The id of the open notice of a kind."""
    return next(one.id for one in table.look().notices if one.kind == kind)


def at_r2(table: TableCrew) -> Snapshot:
    station = table.crew.stations[Post.R2]
    return station.snapshot(table.crew.now, 1_700_000_000_000 + round(table.crew.now * 1000))


def test_a_report_is_put_off_to_the_next_dead_ball_and_all_see_it(table: TableCrew) -> None:
    begun(table)
    table.crew.act(Post.R2, Raise("conduct", "B", 3))
    table.look()
    choose(table, "Up", "Not now")
    table.press("Enter")
    (here,) = (one for one in table.look().notices if one.kind == "conduct")
    assert here.held and not here.puts_off
    (there,) = (one for one in at_r2(table).notices if one.kind == "conduct")
    assert "Table" in there.waits


def test_not_now_is_not_offered_for_what_does_not_wait(table: TableCrew) -> None:
    begun(table)
    table.crew.act(Post.R2, Raise("wrong_server", "A", 12))
    table.look()
    for _ in range(12):
        table.press("Up")
        assert table.desk.line.verb != "Not now"


def test_r1s_outcome_is_entered_by_sign_without_telling_the_bench_what_it_was(table: TableCrew) -> None:
    begun(table)
    table.crew.act(Post.R2, Raise("conduct", "B", 3))
    id_ = notice(table, "conduct")
    table.crew.act(Post.SCORER, AnswerNotice(id_))
    table.look()
    choose(table, "Down", "Dealt with")
    boxes = [str(row.value) for row in table.desk.line.slots.rows]
    assert boxes == ["R1 by sign: dealt with"]
    table.press("Enter")
    crew = table.crew.stations[Post.R1].court
    assert crew is not None
    end = crew.crew.notices[bytes.fromhex(id_)].end
    assert end is not None and (end.post, end.by, end.reason) == ("R1", "scorer", "dealt with")
    assert not [one for one in table.look().notices if one.kind == "conduct"]


def test_what_the_table_asked_for_is_closed_with_how_it_ended(table: TableCrew) -> None:
    begun(table)
    table.crew.act(Post.SCORER, Raise("check_sheet", detail="score"))
    id_ = notice(table, "check_sheet")
    choose(table, "Down", "Dealt with")
    table.press("Tab Down Enter")
    court = table.crew.stations[Post.R2].court
    assert court is not None
    end = court.crew.notices[bytes.fromhex(id_)].end
    assert end is not None and (end.by, end.reason) == ("scorer", "put right")


def test_the_warm_up_clock_is_started_held_and_ended_at_the_table(table: TableCrew) -> None:
    table.look()
    choose(table, "Down", "Clock")
    table.press("Enter")
    clock = table.look().clock
    assert clock is not None and (clock.kind, clock.held) == ("warm_up", False)
    choose(table, "Down", "Clock")
    table.press("Enter")
    held = table.look().clock
    assert held is not None and held.held
    table.crew.pass_time(30.0)
    still = table.look().clock
    assert still is not None and still.left == pytest.approx(held.left, abs=0.1)
    choose(table, "Down", "Clock")
    table.press("Tab Down Enter")
    assert not [one for one in table.look().clocks if one.kind == "warm_up"]


def test_a_time_out_clock_can_be_held_and_let_go_on(table: TableCrew) -> None:
    begun(table)
    table.crew.act(Post.SCORER, TimeOut(Team.A))
    table.look()
    choose(table, "Down", "Clock")
    assert [str(row.value) for row in table.desk.line.slots.rows] == ["hold the time-out A"]
    table.press("Enter")
    assert [one.held for one in table.look().clocks if one.kind == "time_out"] == [True]
    choose(table, "Down", "Clock")
    table.press("Enter")
    assert [one.held for one in table.look().clocks if one.kind == "time_out"] == [False]
