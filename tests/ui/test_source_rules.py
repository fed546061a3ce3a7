"""Rules that the QML and bridge sources keep; each is read off the files."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from ui.stage import MODULES

UI = Path(__file__).resolve().parents[2] / "ui"
FILES = sorted(UI.rglob("*.qml"))
SHARED = sorted(path for folder in ("theme", "icons", "parts") for path in (UI / folder).glob("*.qml"))
SIZE = re.compile(r"\b(?:pixelSize|pointSize|\w*[sS]ize):\s*\d")
COLOUR = re.compile(r"\"#[0-9A-Fa-f]{3,8}\"|\bcolor\w*:\s*\"\w+\"|Qt\.rgba|Qt\.hsla")


def words(path: Path) -> str:
    """The file without its comments."""
    return re.sub(r"//[^\n]*|/\*.*?\*/", "", path.read_text(), flags=re.DOTALL)


def named(path: Path) -> str:
    """The path inside ui/, for messages."""
    return str(path.relative_to(UI))


@pytest.mark.parametrize("path", FILES, ids=named)
def test_a_qml_file_is_short_bound_and_named(path: Path) -> None:
    """Under 150 lines, `pragma ComponentBehavior: Bound`, a comment that says what it is, a root id."""
    text = path.read_text()
    assert len(text.splitlines()) < 150
    assert "pragma ComponentBehavior: Bound" in text
    assert re.search(r"^// \S.*\n(//.*\n)*(pragma|import|[A-Z][\w.]* \{)", text, flags=re.MULTILINE)
    assert re.search(r"^[A-Z][\w.]* \{\n    id: \w+", text, flags=re.MULTILINE)


@pytest.mark.parametrize("path", FILES, ids=named)
def test_no_property_looks_like_a_handler(path: Path) -> None:
    """`onNow` beside `now` would be taken for a signal handler, in silence."""
    assert re.findall(r"property\s+\S+\s+(on[A-Z]\w*)", words(path)) == []


@pytest.mark.parametrize("path", [path for path in FILES if path.parent.name != "theme"], ids=named)
def test_colours_and_sizes_are_tokens(path: Path) -> None:
    """No colour and no type size is written outside theme/; the size of an icon is no type size."""
    text = words(path)
    assert COLOUR.findall(text) == []
    assert SIZE.findall(re.sub(r"\bIcon \{[^{}]*\}|\bmarkSize:\s*\d+", "", text)) == []


@pytest.mark.parametrize("path", FILES, ids=named)
def test_text_is_drawn_by_words_alone(path: Path) -> None:
    """One type sets all text: tokens, baselines and tabular figures are kept in one place."""
    if path.name != "Words.qml":
        assert re.findall(r"\b(Text|Label|TextEdit|TextInput) \{", words(path)) == []


@pytest.mark.parametrize("path", FILES, ids=named)
def test_only_three_words_stand_in_capitals(path: Path) -> None:
    """No all-capitals but NOW, SOON, NOTE, and WITHDRAWN on a plate that was taken back."""
    found = set(re.findall(r"\"([^\"\n]*)\"", words(path)))
    shouted = {word for text in found for word in re.findall(r"(?<!#)\b[A-Z]{3,}\b", text)}
    assert shouted <= {"NOW", "SOON", "NOTE", "WITHDRAWN"}


@pytest.mark.parametrize("path", FILES, ids=named)
def test_nothing_the_software_scene_cannot_draw(path: Path) -> None:
    """No shadow, blur, gradient, shader; no transparency."""
    assert re.findall(r"Gradient|MultiEffect|ShaderEffect|DropShadow|Particle|opacity:", words(path)) == []


def test_the_module_lists_every_shared_file() -> None:
    """What lies in theme/, icons/ and parts/ can be used by every face; each built face is listed too."""
    home = MODULES / "Crewlink" / "Ui"
    listed = {
        (home / line.split()[-1]).resolve()
        for line in (home / "qmldir").read_text().splitlines()
        if line.endswith(".qml")
    }
    faces = set((UI / "faces").glob("*/*Face.qml"))
    assert listed == set(SHARED) | faces


def test_a_file_is_called_as_its_type_in_the_module() -> None:
    """The type name and the file name are one word."""
    for line in (MODULES / "Crewlink" / "Ui" / "qmldir").read_text().splitlines():
        if line.endswith(".qml"):
            *_, name, version, path = line.split()
            assert (name, version) == (Path(path).stem, "1.0")


def _is_property(mark: ast.expr) -> bool:
    return isinstance(mark, ast.Call) and isinstance(mark.func, ast.Name) and mark.func.id == "Property"


def _properties(path: Path) -> list[tuple[str, ast.Call]]:
    functions = [node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.FunctionDef)]
    return [
        (one.name, mark)
        for one in functions
        for mark in one.decorator_list
        if isinstance(mark, ast.Call) and _is_property(mark)
    ]


@pytest.mark.parametrize("path", sorted((UI / "bridge").glob("*.py")), ids=named)
def test_every_property_says_when_it_changes(path: Path) -> None:
    """`notify=` or `constant=True`, and no setter: faces change nothing."""
    for name, mark in _properties(path):
        marks = {word.arg for word in mark.keywords}
        assert marks in ({"notify"}, {"constant"}), name
    assert ".setter" not in path.read_text()


def test_qt_types_stay_in_the_bridge_and_the_shell() -> None:
    """Of the Python files under ui/, only bridge/, app.py and stage.py import Qt."""
    allowed = {UI / "app.py", UI / "stage.py"}
    for path in UI.rglob("*.py"):
        if "PySide6" in path.read_text() and path not in allowed:
            assert path.parent == UI / "bridge", path
