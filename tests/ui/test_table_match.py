"""A match played at the table by keys alone, on real stations: face, engine, record and crew."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from msgspec.structs import replace
from PySide6.QtGui import QGuiApplication

from crewlink.crew.commands import AnswerNotice, Consent, Raise, TickDuty
from crewlink.crew.posts import Post
from crewlink.match.commands import Pair, Strike, Substitute, TimeOut
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team
from crewlink.snapshot import Snapshot
from tests.ui.table_crew import TableCrew, setup, sheet

OpenCrew = Callable[..., TableCrew]


@pytest.fixture
def crew(application: QGuiApplication) -> Iterator[OpenCrew]:
    """`crew()` opens the table over a crew of stations; a warning of the window fails the test."""
    opened: list[TableCrew] = []

    def open_crew(match: MatchSetup | None = None, *posts: Post) -> TableCrew:
        opened.append(TableCrew(match, posts) if posts else TableCrew(match))
        return opened[-1]

    yield open_crew
    assert [warning for one in opened for warning in one.close()] == []


def begun(table: TableCrew) -> Snapshot:
    """Toss, both sheets and the position check, by keys."""
    table.press("Enter Left Enter Left Enter")
    table.press(sheet("Left", "7 12 2 15 4 9", "", ""))
    table.press(sheet("Right", "3 8 1 10 5 14", "", ""))
    return table.press("Enter")


def texts(snapshot: Snapshot) -> list[str]:
    """The match history, newest first."""
    return [line.text for line in snapshot.history]


def verb(table: TableCrew) -> str:
    """What the number line says."""
    return str(table.desk.line.verb)


def numbers(snapshot: Snapshot, team: str) -> list[int]:
    """Who stands in position 1 to 6."""
    return [spot.number for spot in (snapshot.a if team == "A" else snapshot.b).spots]


def test_before_the_first_service(crew: OpenCrew) -> None:
    """Toss, two line-ups, position check: the set begins with the server of the sheet."""
    table = crew()
    assert table.snapshot().phase == "before"
    snapshot = begun(table)
    assert texts(snapshot) == [
        "Set 1 begins",
        "Line-up B 3 8 1 10 5 14",
        "Line-up A 7 12 2 15 4 9",
        "Toss: A serves first",
    ]
    assert (snapshot.server_team, snapshot.server) == ("A", 7)
    assert numbers(snapshot, "B") == [3, 8, 1, 10, 5, 14]


def test_a_faulty_sheet_can_only_go_back(crew: OpenCrew) -> None:
    """3 twice: the fault is named by its box, nothing is written; with the box put right it is accepted."""
    table = crew()
    table.press("Enter Left Enter Left Enter")
    snapshot = table.press("Left 7 Enter 12 Enter 2 Enter 15 Enter 4 Enter 7 Enter Enter Down")
    panel = table.desk.panel
    sentences = [fault.sentence for fault in panel.faults.rows]
    assert sentences == ["7 is in box 1 and in box 6.", "Captain 9 is not in the line-up."]
    assert table.desk.line.keyWords[0] == "Send back"
    snapshot = table.press("Enter")
    assert "Line-up A 7 12 2 15 4 7" not in texts(snapshot)
    assert snapshot.sheets[0].state == "missing"
    snapshot = table.press("9 Enter 9 Enter Enter")
    assert texts(snapshot)[0] == "Line-up A 7 12 2 15 4 9"


def test_libero_boxes_take_a_number_or_an_x(crew: OpenCrew) -> None:
    """Where the book has them on the sheet, a blank libero box is a fault; Down crosses it."""
    table = crew(replace(setup(), overrides={"libero.named_on": "line_up_sheet"}))
    table.press("Enter Left Enter Left Enter")
    snapshot = table.press("Left 7 Enter 12 Enter 2 Enter 15 Enter 4 Enter 9 Enter 20 Enter Enter Enter Down")
    faults = [fault.where for fault in table.desk.panel.faults.rows]
    assert faults == ["libero 2"]
    snapshot = table.press("Enter Down Enter Enter Enter")
    assert texts(snapshot)[0] == "Line-up A 7 12 2 15 4 9"
    assert snapshot.a.liberos[0].number == 20


def test_a_sheet_left_half_written_is_kept(crew: OpenCrew) -> None:
    """Esc leaves it, the other team's sheet is typed, and the first goes on where it was."""
    table = crew()
    table.press("Enter Left Enter Left Enter")
    table.press("Left 7 Enter 12 Enter 2 Esc")
    table.press(sheet("Right", "3 8 1 10 5 14", "", ""))
    snapshot = table.press("Left Enter 15 Enter 4 Enter 9 Enter Enter Down Enter")
    assert texts(snapshot)[0] == "Line-up A 7 12 2 15 4 9"


def test_rallies_rotate_and_score(crew: OpenCrew) -> None:
    """Points by arrows: the score counts, the receivers rotate when they win the service."""
    table = crew()
    begun(table)
    for arrow in ("Left", "Right", "Right", "Left"):
        snapshot = table.rally(arrow)
    assert (snapshot.a.points, snapshot.b.points) == (2, 2)
    assert numbers(snapshot, "A") == [12, 2, 15, 4, 9, 7]
    assert numbers(snapshot, "B") == [8, 1, 10, 5, 14, 3]
    assert [line.lane for line in snapshot.history[:4]] == ["A", "B", "B", "A"]


def test_two_points_at_once_are_one(crew: OpenCrew) -> None:
    """The second Left within two seconds writes nothing."""
    table = crew()
    begun(table)
    snapshot = table.press("Left Left")
    assert snapshot.a.points == 1
    assert "second point" in verb(table)


def test_undo_is_a_new_line(crew: OpenCrew) -> None:
    """Backspace crosses the point out; both lines stay in the history."""
    table = crew()
    begun(table)
    table.rally("Left")
    assert verb(table) == "A scored"
    snapshot = table.press("Bksp")
    assert (snapshot.a.points, texts(snapshot)[:2]) == (0, ["Crossed out", "Point A"])
    assert snapshot.history[1].struck
    assert [line.score for line in snapshot.history[:2]] == ["0:0", "1:0"]


def test_a_substitution(crew: OpenCrew) -> None:
    """17 for 8: legal before it is written; then 8 is the only one who may come back for 17."""
    table = crew()
    begun(table)
    table.press("F10 17 Tab 8")
    assert table.desk.line.said == "yes"
    snapshot = table.press("Enter")
    assert texts(snapshot)[0] == "Substitution B, 17 in for 8"
    assert numbers(snapshot, "B") == [3, 17, 1, 10, 5, 14]
    assert snapshot.b.substitutions == 1
    table.rally("Left")
    table.press("F10 8")
    assert "17 goes out, the only one" in table.desk.line.message
    snapshot = table.press("Enter Enter")
    assert numbers(snapshot, "B") == [3, 8, 1, 10, 5, 14]


def test_a_second_pair_of_the_same_request(crew: OpenCrew) -> None:
    """Two pairs one after the other in one interruption are one request."""
    table = crew()
    begun(table)
    table.press("F10 17 Tab 8 Enter")
    snapshot = table.press("F10 22 Tab 1 Enter")
    assert texts(snapshot)[:2] == ["Substitution B, 22 in for 1", "Substitution B, 17 in for 8"]


def test_time_outs_run_out(crew: OpenCrew) -> None:
    """Two are written, the clock runs, Enter ends it; the third is refused before Enter, in words."""
    table = crew()
    begun(table)
    for count in (1, 2):
        snapshot = table.press("F2 Enter")
        assert (snapshot.phase, snapshot.a.time_outs) == ("time_out", count)
        assert snapshot.clock is not None and snapshot.clock.total == 30
        assert table.desk.panel.kind == "clock"
        table.wait(7.0)
        assert table.press("Enter").phase == "dead_ball"
        table.rally("Left")
    table.press("F2")
    assert table.desk.line.said == "no"
    assert table.press("Enter").a.time_outs == 2


def test_a_libero_goes_in_and_comes_back(crew: OpenCrew) -> None:
    """The libero's number stands there already; back again both numbers do."""
    table = crew()
    begun(table)
    snapshot = table.press("Down Down Down Left 4 Enter")
    assert texts(snapshot)[0] == "Libero A, 20 in for 4"
    table.rally("Left")
    table.press("Down Down Down Left")
    values = [slot.value for slot in table.desk.line.slots.rows]
    assert values == ["4", "20"]
    assert texts(table.press("Enter"))[0] == "Libero A, 4 in for 20"


def test_a_wrong_server_from_the_table_to_r1(crew: OpenCrew) -> None:
    """Raised by two keys, answered at R2 and R1, decided by R1: the line waits, then the record has it."""
    table = crew()
    begun(table)
    for arrow in ("Left", "Right", "Right"):
        table.rally(arrow)
    snapshot = table.press("Up 9 Enter")
    notice = snapshot.notices[0]
    assert (notice.kind, notice.team, notice.number, notice.due) == ("wrong_server", "B", 9, 8)
    assert (verb(table), table.desk.line.hint) == ("Told all", "wrong server B 9")
    assert table.desk.panel.kind == "wrong"
    table.do(Post.R2, AnswerNotice(notice.id))
    snapshot = table.do(Post.R1, AnswerNotice(notice.id))
    assert {row.post for row in snapshot.notices[0].receipts if row.state == "answered"} == {"R1", "R2"}
    table.wait(7.0)
    assert verb(table) == "Waits for R1"
    table.do(Post.R1, Consent(snapshot.proposals[0].id, True))
    snapshot = table.wait(7.0)
    assert texts(snapshot)[0].startswith("Wrong server B 9, now")
    assert verb(table) == ""


def test_r1_by_sign(crew: OpenCrew) -> None:
    """R1 wears no device: what R1 signalled is entered here and counts as relayed."""
    table = crew(None, Post.SCORER, Post.R2)
    begun(table)
    table.rally("Left")
    table.press("Up 9 Enter")
    snapshot = table.press("Enter Enter Down Enter Enter")
    assert texts(snapshot)[0].startswith("Wrong server A 9")
    assert (snapshot.a.points, snapshot.b.points) == (0, 1)
    assert [(line.detail, line.lane) for line in snapshot.history[:2]] == [
        ("", "B"),
        ("point taken away", "A"),
    ]
    assert table.desk.line.value == ""


def test_conduct_from_r2_is_neutral_here(crew: OpenCrew) -> None:
    """The plate says "R1 deals with it"; Space says that the table knows."""
    table = crew()
    begun(table)
    snapshot = table.do(Post.R2, Raise("conduct", "B", None, "coach"))
    assert snapshot.notices[0].neutral
    table.wait(1.0)
    snapshot = table.press("Space")
    assert any(row.post == "scorer" and row.state == "answered" for row in snapshot.notices[0].receipts)


def test_what_others_ask_for_is_written_and_can_be_undone(crew: OpenCrew) -> None:
    """R2 asks for a time-out; the table writes it by itself and offers to take it back."""
    table = crew()
    begun(table)
    snapshot = table.do(Post.R2, TimeOut(Team.B))
    assert texts(snapshot)[0] == "Time-out B, number 1"
    assert verb(table) == "Time-out B, number 1"
    table.press("Enter")
    snapshot = table.do(Post.R2, Substitute(Team.B, (Pair(17, 8),)))
    assert texts(snapshot)[0] == "Substitution B, 17 in for 8"


def test_a_whole_set_by_keys_alone(crew: OpenCrew) -> None:
    """A wins 25:23; the line said "wins the set" before the key; then the sheets of set 2 are due."""
    table = crew()
    begun(table)
    for rally in range(46):
        table.rally("Left" if rally % 2 == 0 else "Right")
    snapshot = table.rally("Left")
    assert (snapshot.a.points, snapshot.b.points) == (24, 23)
    table.wait(7.0)
    assert table.desk.line.leftHint == "wins the set"
    snapshot = table.press("Left")
    assert (snapshot.a.sets, snapshot.set_number, snapshot.left) == (1, 2, "B")
    assert (snapshot.history[0].text, snapshot.history[0].score) == ("Set 1 to A, 25:23", "25:23")
    assert (verb(table), table.desk.line.value) == ("Set 1 to A, 25:23", "")
    table.wait(7.0)
    assert table.desk.panel.kind == "sets"
    table.press(sheet("Left", "3 8 1 10 5 14", "", ""))
    table.press(sheet("Right", "7 12 2 15 4 9", "", ""))
    snapshot = table.press("Enter")
    assert (snapshot.phase, snapshot.server_team) == ("dead_ball", "B")


def due(table: TableCrew) -> None:
    """Toss and both sheets by keys: the positions are due to be checked."""
    table.press("Enter Left Enter Left Enter")
    table.press(sheet("Left", "7 12 2 15 4 9", "", ""))
    table.press(sheet("Right", "3 8 1 10 5 14", "", ""))
    table.wait(7.0)


def checks(table: TableCrew) -> dict[str, str]:
    """What stands under the court: who has checked."""
    return {row.who: row.words for row in table.stage.court.duties.checks.rows}


def test_who_has_checked_the_positions_is_said_in_words(crew: OpenCrew) -> None:
    """R2 has not yet; R2 has; the table ticks its own with Down; then Enter begins the set."""
    table = crew()
    due(table)
    assert table.desk.line.hint == "R2 has not checked yet"
    table.press("Down Enter")
    assert checks(table) == {"Table": "checked", "R2": "not checked yet"}
    table.do(Post.R2, TickDuty("positions"))
    table.wait(7.0)
    assert table.desk.line.hint == "R2 has checked"
    assert checks(table) == {"Table": "checked", "R2": "checked"}
    assert table.press("Enter").phase == "dead_ball"
    assert table.snapshot().ready.state == "clear"


def test_a_difference_found_by_r2_holds_the_set(crew: OpenCrew) -> None:
    """Enter does nothing until R2 ticks it as right."""
    table = crew()
    due(table)
    table.do(Post.R2, TickDuty("positions", "A", "12 stands where 2 should"))
    assert (verb(table), table.desk.line.hint) == ("Positions differ", "R2, team A: 12 stands where 2 should")
    assert table.press("Enter").phase == "check"
    table.do(Post.R2, TickDuty("positions", "A"))
    assert table.press("Enter").phase == "dead_ball"
    table.wait(7.0)
    assert table.desk.line.prompt == "R2 has not checked yet"


def test_the_table_tells_of_a_difference_by_keys(crew: OpenCrew) -> None:
    """11 stands at position 2; the table takes it back with a tick when it is right."""
    table = crew()
    due(table)
    table.press("Down Down Down Left 11 Tab Down Enter")
    assert checks(table)["Table"] == "team A: 11 stands at position 2"
    assert verb(table) == "Positions differ"
    table.press("Down Enter")
    assert checks(table)["Table"] == "not checked yet"
    assert table.press("Enter").phase == "dead_ball"


def test_an_old_line_waits_for_r2_and_play_goes_on(crew: OpenCrew) -> None:
    """Three rallies later the first point is crossed out: R2 is asked, points are written meanwhile."""
    table = crew()
    begun(table)
    for arrow in ("Left", "Right", "Left"):
        table.rally(arrow)
    table.wait(7.0)
    table.press("Tab Tab Tab Down Down Enter Enter")
    assert table.desk.line.message == "Enter again: an official is asked"
    snapshot = table.press("Enter")
    assert (snapshot.a.points, snapshot.b.points) == (2, 1)
    assert table.desk.panel.kind == "older"
    snapshot = table.rally("Right")
    assert (snapshot.a.points, snapshot.b.points) == (2, 2)
    [asked] = snapshot.proposals
    assert (asked.before, asked.after) == ("2:2", "1:2")
    snapshot = table.do(Post.R2, Consent(asked.id, True))
    assert (snapshot.a.points, snapshot.b.points) == (1, 2)
    assert table.desk.panel.kind == "history"


def test_the_table_agrees_to_what_r1_asks_for(crew: OpenCrew) -> None:
    """Without R2 the table is the other official; it says so by keys."""
    table = crew(None, Post.SCORER, Post.R1)
    begun(table)
    for arrow in ("Left", "Right", "Left"):
        table.rally(arrow)
    old = table.snapshot().history[2].entry
    table.do(Post.R1, Strike(bytes.fromhex(old), "wrong team"))
    table.wait(7.0)
    assert table.desk.line.prompt == "Enter: agree to the old line or not"
    snapshot = table.press("Enter Enter Down Enter")
    assert (snapshot.a.points, snapshot.b.points) == (1, 1)
