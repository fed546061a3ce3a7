"""The QML linter: the sources are clean, and it sees what it is there to see."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests import lint_qml

GOOD = """pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

Face {
    id: face

    Words {
        size: Theme.wrist.body
        text: String(face.court.setNumber)
    }

    Pad {
        sizes: Theme.wrist
        onActed: face.court.tell.answer("n1")
    }
}
"""
FAULTS = {
    "a misspelt property": ("court.setNumber", "court.setNumbr"),
    "an unknown token": ("Theme.wrist.body", "Theme.wrist.bdy"),
    "an unknown mark": ("String(face.court.setNumber)", "Marks.sparkle"),
    "an unknown property of a part": (
        "sizes: Theme.wrist\n        onActed",
        "sizes: Theme.wrist\n        lable: 3\n        onActed",
    ),
    "a name without its owner": ("face.court.setNumber", "court.setNumber"),
    "an unknown intent": ("tell.answer", "tell.answr"),
    "too many arguments": ('answer("n1")', 'answer("n1", 3)'),
    "too few arguments": ('answer("n1")', "answer()"),
}


Lint = Callable[[str], int]


@pytest.fixture(scope="module")
def lint() -> Lint:
    """Lints a text as if it were a face's file; it lies in the copy only."""
    lint_qml.write_types()
    lint_qml.write_module()
    return lint_qml.check_text


def test_the_sources_are_clean(capsys: pytest.CaptureFixture[str]) -> None:
    """No warning in any QML file."""
    assert lint_qml.main([]) == 0, capsys.readouterr().out


def test_a_good_file_passes(lint: Lint) -> None:
    """The file that the faults are put into is clean itself."""
    assert lint(GOOD) == 0


@pytest.mark.parametrize("fault", list(FAULTS))
def test_a_fault_is_seen(lint: Lint, fault: str) -> None:
    """Each kind of slip is found."""
    before, after = FAULTS[fault]
    assert before in GOOD
    assert lint(GOOD.replace(before, after)) != 0


def test_generated_files_stay_in_build(lint: Lint) -> None:
    """Nothing is written beside the sources."""
    lint(GOOD)
    assert not list(lint_qml.UI.rglob("*.qmltypes"))
    assert Path(lint_qml.VIEWS / "views.qmltypes").is_file()
