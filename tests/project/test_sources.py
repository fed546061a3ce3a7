"""Rules that every source file keeps. Each rule is first shown to catch what it is for."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from tests.project.checkout import (
    ROOT,
    colour_literals,
    literal_sizes,
    local_links,
    signal_like_properties,
    text_of,
    tracked,
)

TOP_LEVEL = {
    *("crewlink", "ui", "protocol", "demo_session", "tests", ".ci"),
    *("pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", ".gitignore"),
}


def test_rules_catch_what_they_are_for() -> None:
    assert signal_like_properties("  required property color onNow\n property int now") == ["onNow"]
    assert colour_literals('a: "#ff00aa"; b: Qt.rgba(1,1,1,1); c: Tokens.now') == ['"#ff00aa"', "Qt.rgba("]
    assert literal_sizes("font.pixelSize: 12\nfont.pixelSize: Tokens.big") == ["pixelSize: 12"]
    assert local_links("[a](b/c.md#d) ![p](x.png) [w](https://example.org) [h](#here)") == ["b/c.md", "x.png"]


def test_top_level_holds_only_what_the_design_names() -> None:
    assert {path.parts[0] for path in tracked()} - TOP_LEVEL == set()


@pytest.mark.parametrize("package", ["crewlink", "protocol", "ui", "demo_session", "tests"])
def test_every_folder_with_modules_is_a_package(package: str) -> None:
    folders = {path.parent for path in tracked(package) if path.suffix == ".py"}
    folders |= {parent for folder in folders for parent in folder.parents if parent.parts}
    assert [folder for folder in folders if not (ROOT / folder / "__init__.py").exists()] == []


def test_no_property_looks_like_a_signal_handler() -> None:
    found = {str(path): signal_like_properties(text_of(path)) for path in tracked("*.qml")}
    assert {path: names for path, names in found.items() if names} == {}


def test_colours_and_sizes_come_from_the_tokens() -> None:
    sources = [path for path in tracked("ui/*.qml", "ui/*.py") if path.parts[1] != "theme"]
    found = {str(path): colour_literals(text_of(path)) + literal_sizes(text_of(path)) for path in sources}
    assert {path: literals for path, literals in found.items() if literals} == {}


def test_links_in_documents_lead_somewhere() -> None:
    links = [(page, target) for page in tracked("*.md") for target in local_links(text_of(page))]
    dead = [f"{page}: {target}" for page, target in links if not (ROOT / page.parent / target).exists()]
    assert dead == []


def test_readme_names_the_two_commands_alone_on_their_lines() -> None:
    lines = text_of(Path("README.md")).splitlines()
    assert "python3 demo_session/run.py" in lines
    assert "python3 tests/run.py" in lines


def test_changes_are_told_for_this_version() -> None:
    told = re.search(r"^## (\S+)", text_of(Path("CHANGELOG.md")), re.M)
    package = ast.parse(text_of(Path("crewlink/__init__.py")))
    values = [
        ast.literal_eval(node.value)
        for node in package.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__version__"
    ]
    assert told is not None
    assert [told[1]] == values


@pytest.mark.parametrize("runner", ["demo_session/run.py", "tests/run.py"])
def test_an_old_python_can_read_the_runner(runner: str) -> None:
    """So that it can say which Python is needed. (The annotations of a newer one would stop it.)"""
    tree = ast.parse(text_of(Path(runner)), feature_version=(3, 4))
    assert not [node for node in ast.walk(tree) if isinstance(node, (ast.JoinedStr, ast.AnnAssign))]
