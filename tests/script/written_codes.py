"""The codes that stand in the program text: of rulings, findings and subjects of proposals."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import crewlink
from crewlink.match.terms import Card, Moment
from crewlink.match.wrong_player import RULES
from crewlink.script.seen import DONE

HOME = Path(crewlink.__file__).parent
CODE = re.compile(r"[a-z][a-z0-9_]*")
ANSWERS = {
    "fine": 1,
    "refuse": 1,
    "Ruling": 0,
    "no": 0,
    "_refused": 0,
    "improper": 2,
    "delay": 2,
    "Objection": 0,
    "option": 0,
}
"""Calls that name the code of an answer, with the place of the code among their values."""


def _texts(node: ast.expr | None) -> Iterator[str]:
    """The codes that a value may be: a text, or one of two texts."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.fullmatch(node.value):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _texts(node.body)
        yield from _texts(node.orelse)


def _called(node: ast.AST, name: str, place: int) -> Iterator[str]:
    if not isinstance(node, ast.Call) or len(node.args) <= place:
        return
    said = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    if said == name:
        yield from _texts(node.args[place])


def _nodes(folder: Path) -> Iterator[ast.AST]:
    for path in sorted(folder.glob("*.py")):
        yield from ast.walk(ast.parse(path.read_text("utf-8")))


def _pairs(node: ast.AST) -> Iterator[str]:
    """A reason given back as a code and a sentence; a code kept under a name."""
    if isinstance(node, ast.Return) and isinstance(node.value, ast.Tuple) and len(node.value.elts) == 2:
        if not isinstance(node.value.elts[1], ast.Name):
            yield from _texts(node.value.elts[0])
    if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") in (
        "code",
        "AS_RULED",
        "NO_SANCTION",
    ):
        yield from _texts(node.value)


def rulings() -> set[str]:
    """Codes of rulings: of the match, of options that were taken, of acts of the crew."""
    found = {str(one) for kind in (Card, Moment) for one in kind} - {str(Moment.DEAD_BALL)}
    found |= {*RULES.values(), "fault", DONE}
    for node in (*_nodes(HOME / "match"), *_nodes(HOME), *_nodes(HOME / "script")):
        for name, place in ANSWERS.items():
            found |= set(_called(node, name, place))
    for node in _nodes(HOME / "match"):
        found |= set(_pairs(node))
    return found


def findings() -> set[str]:
    """Codes of findings: what a line leaves behind that does not fit."""
    return {code for node in _nodes(HOME / "match") for code in _called(node, "found", 1)}


def owed() -> set[str]:
    """Codes of what must happen before the next service."""
    return {code for node in _nodes(HOME / "match") for code in _called(node, "Owed", 0)}
