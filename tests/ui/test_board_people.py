"""What the supervisor does from the board: messages, calls that are done, words to erase, incident lists."""

from __future__ import annotations

import threading
from concurrent.futures import Future
from datetime import datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from crewlink.charter import Charter, Names
from crewlink.crew.commands import CloseNotice, EraseNames, EraseWords, Raise
from crewlink.match.setup import MatchSetup
from crewlink.record.incidents import MatchIncidents
from crewlink.record.taking_out import TakingOutError, write_incidents
from demo_session.event import prepare
from tests.gallery.board_states import calm
from tests.ui.conftest import OpenFace
from tests.ui.rig import Rig
from ui.board_source import BoardSource
from ui.station_source import StationSource


def typed(rig: Rig, words: str) -> None:
    """Type into the box that has the focus."""
    for letter in words:
        QTest.keyClick(rig.stage.view, letter)
    rig.settle()


def messages(rig: Rig) -> list[tuple[int, Raise]]:
    return [(court, command) for court, command in rig.sent_to if isinstance(command, Raise)]


def test_a_message_goes_to_every_court_by_keys_alone(face: OpenFace) -> None:
    rig = face("board", "calm")
    rig.key(Qt.Key.Key_M)
    typed(rig, "Lunch at 12, court 3 first")
    rig.key(Qt.Key.Key_Return)
    told = Raise("site_message", level="soon", text="Lunch at 12, court 3 first")
    assert messages(rig) == [(sight.court, told) for sight in calm().sights]
    assert not rig.seen("board.message.send")


def test_a_message_to_one_court_is_as_urgent_and_to_whom_it_is_chosen(face: OpenFace) -> None:
    rig = face("board", "open_court")
    rig.tap("board.rail.message")
    typed(rig, "Medic is on the way")
    rig.tap("board.message.level.now")
    rig.tap("board.message.post.R2")
    rig.tap("board.message.send")
    assert messages(rig) == [(7, Raise("site_message", level="now", to=("R2",), text="Medic is on the way"))]


def test_nothing_is_sent_without_words_and_escape_leaves(face: OpenFace) -> None:
    rig = face("board", "calm")
    rig.key(Qt.Key.Key_M)
    typed(rig, "   ")
    rig.key(Qt.Key.Key_Return)
    assert messages(rig) == [] and rig.seen("board.message.send")
    rig.key(Qt.Key.Key_Escape)
    assert not rig.seen("board.message.send")


def test_letters_of_a_message_are_no_commands_of_the_board(face: OpenFace) -> None:
    rig = face("board", "calm")
    rig.key(Qt.Key.Key_M)
    typed(rig, "mi")
    rig.key(Qt.Key.Key_Return)
    assert {command.text for _, command in messages(rig)} == {"mi"}


def test_a_message_is_cut_at_what_a_wrist_can_show(face: OpenFace) -> None:
    rig = face("board", "calm")
    rig.key(Qt.Key.Key_M)
    typed(rig, "x" * 90)
    rig.key(Qt.Key.Key_Return)
    assert {len(command.text) for _, command in messages(rig)} == {70}


def test_a_call_is_closed_on_its_plate_and_words_are_erased(face: OpenFace) -> None:
    rig = face("board", "open_words")
    assert "Shouted at the line judge twice, was asked to sit down." in rig.texts()
    rig.tap("board.way.erase")
    assert rig.of_kind(EraseWords) == [EraseWords("n-conduct")]
    done = next(
        name for name in rig.names() if name.startswith("board.notice.answer.") and "conduct" not in name
    )
    rig.tap(done)
    assert [command.outcome for command in rig.of_kind(CloseNotice)] == ["done"]  # type: ignore[attr-defined]


def test_the_names_of_a_match_that_is_over_are_erased_by_holding(face: OpenFace) -> None:
    """A short press does nothing; only a match that is over and has names shows the pad."""
    rig = face("board", "open_ended")
    rig.tap("board.open.erase")
    assert rig.of_kind(EraseNames) == []
    rig.stage.theme.setProperty("holding", 60)
    point = rig.middle("board.open.erase")
    rig.press(point)
    rig.eventually(lambda: float(rig.item("board.open.erase").property("filled")) >= 1)
    rig.lift(point)
    assert rig.of_kind(EraseNames) == [EraseNames()]
    assert "board.open.erase" not in face("board", "open_court").names()


def test_the_names_are_erased_by_enter_twice_too(face: OpenFace) -> None:
    rig = face("board", "open_ended")
    rig.item("board.open.erase").forceActiveFocus()
    rig.key(Qt.Key.Key_Return)
    assert rig.of_kind(EraseNames) == []
    assert "Press again: Erase the names" in rig.texts()
    rig.key(Qt.Key.Key_Return)
    assert rig.of_kind(EraseNames) == [EraseNames()]


def test_the_board_says_what_became_of_the_incident_list(face: OpenFace) -> None:
    rig = face("board", "calm")
    rig.key(Qt.Key.Key_I)
    assert "Writing the incident list ..." in rig.texts()
    rig.saved("Saved for you alone: /somewhere/incidents")
    assert "Saved for you alone: /somewhere/incidents" in rig.texts()


class _Court:
    """A court that has one list, or says why it has none."""

    def __init__(self, error: str = "") -> None:
        self.error = error

    def incidents(self) -> Future[MatchIncidents]:
        made: Future[MatchIncidents] = Future()
        if self.error:
            made.set_exception(TakingOutError(self.error))
        else:
            made.set_result(MatchIncidents("Court 3", "Autumn Cup", ("Kites", "Ferry")))
        return made


@pytest.mark.parametrize("error", ["", "Court 4: not here"])
def test_the_list_of_all_courts_is_written_or_it_says_why_not(tmp_path: Path, error: str) -> None:
    source = BoardSource([_Court(), _Court(error)], folder=tmp_path / "new")  # type: ignore[list-item]
    told: list[str] = []
    done = threading.Event()

    def hear(words: str) -> None:
        told.append(words)
        done.set()

    source.save_incidents(hear)
    assert done.wait(20)
    assert told[0].startswith(error or "Saved for you alone: ")
    assert sorted(path.suffix for path in tmp_path.rglob("incidents*")) == ([] if error else [".csv", ".pdf"])


def test_a_real_supervisors_station_gives_its_incidents(tmp_path: Path) -> None:
    folders = prepare(tmp_path, ["scorer", "site"], Charter(MatchSetup()), Names()).folders
    source = StationSource(folders["site"])
    source.start()
    try:
        with pytest.raises(TakingOutError, match="never came here"):
            source.incidents().result(10)
    finally:
        source.stop()


def test_files_are_named_by_the_minute(tmp_path: Path) -> None:
    at = datetime(2026, 5, 2, 14, 7).astimezone()
    base = write_incidents([], tmp_path, at)
    assert base.name == "incidents 2026-05-02 1407"
