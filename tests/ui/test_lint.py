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
def bed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of its own for generated files."""
    folder = tmp_path_factory.mktemp("lint")
    lint_qml.write_types(folder)
    lint_qml.write_module(folder)
    return folder


@pytest.fixture(scope="module")
def lint(bed: Path) -> Lint:
    """Lints a text as if it were a face's file; it lies in the copy only."""
    return lambda text: lint_qml.check_text(bed, text)


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


def test_generated_files_stay_where_they_belong(bed: Path) -> None:
    """Nothing is written beside the sources."""
    assert not list(lint_qml.UI.rglob("*.qmltypes"))
    assert (bed / "Crewlink" / "Views" / "views.qmltypes").is_file()
