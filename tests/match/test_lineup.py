"""Line-up sheets: every defect named with its box; changed after hand-in only where the book allows."""

import pytest

from crewlink.match.commands import BeginSet, LineUp, ListTeam, NameCaptain, Overrule, Pair, Substitute, Toss
from crewlink.match.sheet_check import defects
from crewlink.match.standing import standing
from crewlink.match.teams import TeamSheet
from crewlink.match.terms import Phase
from tests.match.playing import BASE_A, BASE_B, A, B, Table, from_start, line_ups, setup


def boxes(sheet: LineUp, profile: str = "USJ") -> list[tuple[str, str]]:
    return [(d.box, d.code) for d in defects(Table(setup(profile)).match, sheet)]


def sheet(*numbers: int | None, liberos: tuple[int | str | None, ...] = (20, "X"), **more: object) -> LineUp:
    one, two, three, four, five, six = numbers or BASE_A
    captain = more.pop("captain", 4)
    return LineUp(A, (one, two, three, four, five, six), liberos, captain, **more)  # type: ignore[arg-type]


def test_a_complete_sheet_has_no_defect() -> None:
    assert boxes(sheet()) == []


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        (sheet(4, 9, None, 12, 2, 15), [("3", "blank")]),
        (sheet(4, 9, 9, 12, 2, 15), [("3", "twice")]),
        (sheet(4, 9, 7, 12, 2, 99), [("6", "not_on_list")]),
        (sheet(4, 20, 7, 12, 2, 15), [("2", "libero")]),
        (sheet(liberos=(20, None)), [("libero 2", "blank")]),
        (sheet(liberos=(20,)), [("libero 2", "blank")]),
        (sheet(liberos=()), [("libero 1", "blank"), ("libero 2", "blank")]),
        (sheet(liberos=(20, 20)), [("libero 2", "twice")]),
        (sheet(liberos=(20, 98)), [("libero 2", "not_on_list")]),
        (sheet(liberos=(20, "?")), [("libero 2", "not_a_number")]),
        (sheet(liberos=(20, 21, 16)), [("libero 3", "too_many")]),
        (sheet(captain=None), [("captain", "blank")]),
        (sheet(captain=6), [("captain", "not_playing")]),
        (sheet(signed=False), [("signature", "unsigned")]),
        (
            sheet(None, 9, 7, 12, 2, 15, liberos=(None, "X"), captain=None, signed=False),
            [("1", "blank"), ("libero 1", "blank"), ("captain", "blank"), ("signature", "unsigned")],
        ),
    ],
)
def test_each_defect_is_named_with_its_box(wrong: LineUp, named: list[tuple[str, str]]) -> None:
    assert boxes(wrong) == named
    table = Table(setup("USJ"))
    decision = table.ask(wrong)
    assert decision.facts == ()
    assert [(d.box, d.code) for d in decision.ruling.defects] == named
    assert decision.ruling.sentence.startswith("Send the sheet back: ")


def test_libero_captain_by_profile() -> None:
    marked = LineUp(A, BASE_A, (), 20)
    assert boxes(marked, "INT") == []
    assert boxes(marked, "OLD") == [("captain", "libero_captain")]


def test_liberos_of_the_score_sheet_stand_where_they_are_named_there() -> None:
    assert boxes(LineUp(A, BASE_A, (), 4), "INT") == []
    assert boxes(LineUp(A, BASE_A, (16,), 4), "INT") == [("libero 1", "not_libero")]


def test_a_crossed_box_means_no_libero_in_that_set() -> None:
    table = Table(setup("USJ"))
    table.do(Toss(A, A), LineUp(A, BASE_A, ("X", "X"), 4))
    assert table.match.a.liberos == ()


def test_set_begins_only_with_toss_and_both_line_ups() -> None:
    table = Table(setup())
    assert table.match.phase is Phase.BEFORE_MATCH
    assert table.ask(BeginSet()).ruling.code == "toss_missing"
    table.do(Toss(B, A))
    assert table.match.phase is Phase.LINE_UPS_DUE
    table.do(LineUp(A, BASE_A, (), 4))
    assert table.ask(BeginSet()).ruling.code == "line_up_missing"
    assert standing(table.match).line_ups_due == (B,)
    table.do(LineUp(B, BASE_B, (), 8))
    assert table.match.phase is Phase.CHECK
    table.do(BeginSet())
    assert table.match.phase is Phase.PLAY
    assert table.ask(BeginSet()).ruling.code == "set_begun"


def test_line_ups_may_come_before_the_toss() -> None:
    table = Table(setup())
    line_ups(table)
    assert table.match.phase is Phase.BEFORE_MATCH
    table.do(Toss(A, B))
    assert table.match.phase is Phase.CHECK


def test_a_handed_in_sheet_stands_unless_overruled() -> None:
    table = Table(setup())
    table.do(Toss(A, A))
    line_ups(table)
    changed = LineUp(A, (4, 9, 11, 12, 2, 15), (), 4)
    assert table.ask(changed).ruling.code == "line_up_changed"
    table.do(Overrule(changed, "typed wrongly"))
    assert table.match.court_a.order == (4, 9, 11, 12, 2, 15)
    assert table.match.overruled == 1


@pytest.mark.parametrize(("left", "allowed"), [(100, True), (60, True), (59, False), (None, False)])
def test_college_line_up_changes_freely_until_the_one_minute_mark(left: int | None, allowed: bool) -> None:
    table = Table(setup("USC"))
    table.do(Toss(A, A))
    line_ups(table)
    changed = LineUp(A, (4, 9, 11, 12, 2, 15), (20, 21), 4, warm_up_left=left)
    assert table.ask(changed).ruling.fine is allowed


def test_a_new_captain_is_asked_for_when_the_captain_leaves() -> None:
    table = from_start()
    assert standing(table.match).a.captain == 4
    table.do(Substitute(A, (Pair(6, 4),)))
    assert [o.code for o in standing(table.match).owed] == ["captain"]
    assert table.ask(NameCaptain(A, 4)).ruling.code == "not_on_court"
    table.do(NameCaptain(A, 9))
    assert standing(table.match).a.captain == 9
    assert standing(table.match).owed == ()
    table.rallies("B")
    table.do(Substitute(A, (Pair(4, 6),)))
    assert standing(table.match).a.captain == 4


def test_team_list_is_checked() -> None:
    table = Table(setup())
    assert table.ask(ListTeam(A, TeamSheet("A", (1, 2, 2)))).ruling.code == "number_twice"
    assert table.ask(ListTeam(A, TeamSheet("A", (1, 2), liberos=(3,)))).ruling.code == "libero_not_listed"
    table.do(ListTeam(A, TeamSheet("A", (1, 2, 3, 4, 5, 6, 7), 1, (7,))))
    assert table.match.a.liberos == (7,)
    assert from_start().ask(ListTeam(A, TeamSheet("A", (1,)))).ruling.code == "list_closed"


def test_second_set_swaps_sides_and_first_service() -> None:
    table = from_start(first=A)
    table.rallies("A" * 25)
    assert (table.match.set_number, table.match.phase) == (2, Phase.BETWEEN_SETS)
    assert (table.match.serving, table.match.left) == (B, B)
    assert table.ask(Toss(A, A)).ruling.code == "no_toss"


def test_deciding_set_has_a_toss_of_its_own() -> None:
    table = from_start("USJ")
    for winner in "AB":
        table.rallies(winner * 25)
        if table.match.set_number == 2:
            line_ups(table)
            table.do(BeginSet())
    assert standing(table.match).toss_due
    assert standing(table.match).deciding
    table.do(Toss(B, B))
    line_ups(table)
    table.do(BeginSet())
    assert (table.match.serving, table.match.left) == (B, B)
