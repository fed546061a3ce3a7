"""A court's plan: what is wrong with it is named with its place; what is right can be played."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from msgspec.structs import replace

from crewlink.charter import from_map, to_map
from crewlink.folder import FolderError, StationFolder
from crewlink.home import Called, Choices, Hand, Home, home_folder
from crewlink.match.beginning import begin
from crewlink.opening import (
    CourtPlan,
    TeamPlan,
    charter_of,
    defects,
    format_of,
    names_of,
    suggested_short,
)
from crewlink.rules.format import FormatOptions
from protocol.identity import Identity
from protocol.roster import Invitation

KITES = TeamPlan("Harbour Kites", "Kites", "", (2, 4, 6, 7, 9, 11, 12, 20), (20,), 9)
LYNX = TeamPlan("Northfield Lynx", "Lynx", "", (1, 2, 3, 5, 8, 10, 14, 18), (18,), 10)
PLAN = CourtPlan("7", "Girls U16", a=KITES, b=LYNX)


def narrow(text: str, size: int) -> float:
    return 0.5 * size * len(text)


def places(plan: CourtPlan) -> list[str]:
    return [defect.place for defect in defects(plan, narrow)]


def test_what_the_event_decides_goes_into_the_charter_and_the_person_beside_it() -> None:
    plan = replace(
        PLAN, worn=False, names=False, retention_days=14, medical_post="R2", responsible=" The desk, hall 2 "
    )
    settings = charter_of(plan).settings
    assert (settings.worn, settings.names, settings.retention_days, settings.medical_post) == (
        False, False, 14, "R2",
    )  # fmt: skip
    assert names_of(plan).responsible == "The desk, hall 2"


def test_an_event_without_names_asks_for_none_and_keeps_none() -> None:
    plan = replace(PLAN, names=False, b=replace(LYNX, name="", short=""))
    assert defects(plan, narrow) == ()
    kept = names_of(plan)
    assert (kept.a.name, kept.a.short, kept.b.name) == ("Team A", "Team A", "Team B")
    assert "Kites" not in kept.to_text()


def test_a_good_plan_has_no_defect_and_can_be_played() -> None:
    assert defects(PLAN, narrow) == ()
    match = begin(charter_of(PLAN).setup)
    assert match.a.sheet.captain == 9
    assert match.b.liberos == (18,)


@pytest.mark.parametrize(
    ("plan", "place"),
    [
        (replace(PLAN, court=" "), "court"),
        (replace(PLAN, court="The court at the far end"), "court"),
        (replace(PLAN, event="x" * 33), "event"),
        (replace(PLAN, post="site"), "post"),
        (replace(PLAN, responsible="x" * 41), "responsible"),
        (replace(PLAN, retention_days=-1), "retention_days"),
        (replace(PLAN, medical_post="coach"), "medical_post"),
        (replace(PLAN, format=FormatOptions(points=25, cap=20)), "format"),
        (replace(PLAN, a=replace(KITES, name="")), "a.name"),
        (replace(PLAN, a=replace(KITES, name="Harbour Kites of 1904")), "a.name"),
        (replace(PLAN, b=replace(LYNX, short="Northfield")), "b.short"),
        (replace(PLAN, b=replace(LYNX, name="harbour kites")), "a.name"),
        (replace(PLAN, a=replace(KITES, numbers=(1, 2, 3, 20))), "a.numbers"),
        (replace(PLAN, a=replace(KITES, numbers=(*KITES.numbers, 100))), "a.numbers"),
        (replace(PLAN, a=replace(KITES, unread=("x7",))), "a.numbers"),
        (replace(PLAN, a=replace(KITES, doubled=(4,))), "a.numbers"),
        (replace(PLAN, a=replace(KITES, numbers=tuple(range(1, 25)))), "a.numbers"),
        (replace(PLAN, a=replace(KITES, liberos=(20, 21))), "a.liberos"),
        (replace(PLAN, a=replace(KITES, liberos=(20, 2, 4))), "a.liberos"),
        (replace(PLAN, b=replace(LYNX, captain=99)), "b.captain"),
        (replace(PLAN, profile="OLD", b=replace(LYNX, captain=18)), "b.captain"),
    ],
)
def test_a_defect_is_named_with_its_place(plan: CourtPlan, place: str) -> None:
    assert place in places(plan)


def test_a_name_is_measured_not_only_counted() -> None:
    wide = replace(PLAN, a=replace(KITES, name="WWWWWWWWWWWWWWW"))
    assert places(wide) == []
    assert [one.place for one in defects(wide, lambda text, size: size * len(text))] != []


def test_no_list_is_no_defect() -> None:
    assert defects(replace(PLAN, a=TeamPlan("Harbour Kites")), narrow) == ()


def test_a_sentence_says_what_is_wrong() -> None:
    assert defects(replace(PLAN, a=replace(KITES, captain=99)), narrow)[0].sentence == (
        "Captain 99 is not on the list."
    )


@pytest.mark.parametrize(
    ("name", "short"),
    [("Harbour Kites", "Kites"), ("Voles", "Voles"), ("Rotterdamsestudenten", "Rotterdam"), ("", "")],
)
def test_a_short_name_is_suggested(name: str, short: str) -> None:
    assert suggested_short(name) == short


def test_the_format_says_what_differs() -> None:
    plan = replace(PLAN, format=FormatOptions(best_of=3, points=21, cap=23))
    made = format_of(plan)
    assert (made.max_sets, made.sets_to_win, made.points, made.cap) == (3, 2, 21, 23)


def test_names_are_not_in_the_charter() -> None:
    signed = msgspec.json.encode(to_map(charter_of(PLAN)))
    for word in ("Harbour", "Kites", "Northfield", "Girls", "Court 7"):
        assert word.encode() not in signed
    assert names_of(PLAN).court == "Court 7"
    assert from_map(to_map(charter_of(PLAN)), 1) == charter_of(PLAN)


def test_a_court_is_made_once_and_known_afterwards(tmp_path: Path) -> None:
    home = Home(tmp_path)
    assert home.courts() == ()
    first, second = home.open_court(PLAN), home.open_court(replace(PLAN, post="R2"))
    assert first != second
    folder = StationFolder(first)
    identity = Identity.load(folder.identity)
    invitation = Invitation.load(folder.invitation)
    assert invitation.opener == identity.device
    assert [member.post for member in invitation.members] == ["scorer"]
    assert folder.read().charter == charter_of(PLAN)
    assert {(known.court, known.teams, known.post) for known in home.courts()} == {
        ("Court 7", "Harbour Kites, Northfield Lynx", "scorer"),
        ("Court 7", "Harbour Kites, Northfield Lynx", "R2"),
    }


def test_a_folder_that_cannot_be_read_is_passed_over(tmp_path: Path) -> None:
    home = Home(tmp_path)
    path = home.open_court(PLAN)
    StationFolder(path).station.write_text("{")
    assert home.courts() == ()


def test_choices_are_kept(tmp_path: Path) -> None:
    home = Home(tmp_path / "new")
    assert home.choices() == Choices()
    home.keep(Choices(Hand.RIGHT, bright=True, calm=True))
    assert Home(tmp_path / "new").choices() == Choices(Hand.RIGHT, bright=True, calm=True)
    (tmp_path / "new" / "choices.json").write_text("?")
    assert home.choices() == Choices()


def test_a_folder_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(FolderError, match="Cannot be written"):
        Home(tmp_path / "file").keep(Choices())


def test_where_the_data_lies(tmp_path: Path) -> None:
    assert home_folder(tmp_path, {"CREWLINK_HOME": "/else"}) == tmp_path
    assert home_folder(None, {"CREWLINK_HOME": str(tmp_path)}) == tmp_path
    assert home_folder(None, {}).name == "crewlink-officials"


def test_a_folder_forgets_the_names_and_nothing_else(tmp_path: Path) -> None:
    home = Home(tmp_path)
    folder = StationFolder(home.open_court(PLAN))
    home.note(folder.path, Called("Court 7", "Harbour Kites, Northfield Lynx"))
    before = folder.read()
    folder.forget_names()
    folder.forget_names()
    assert folder.read() == replace(before, names=None)
    assert not any("Kites" in path.read_text("utf-8", "replace") for path in folder.path.glob("*.json"))
