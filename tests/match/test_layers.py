"""The modules of the engine stand in layers: topics use what lies below, never each other."""

import ast
from pathlib import Path

import crewlink.match

TOPICS = {
    "adjust", "conduct", "courts", "default", "delay", "injury", "interval", "libero", "libero_change",
    "lineup", "position", "protest", "rally", "remark", "service", "substitution", "timeout", "wrong_player",
}  # fmt: skip
BELOW = {
    "answer", "beginning", "cancelling", "commands", "completed", "facts", "pairing", "rotation", "ruling",
    "scoring", "setup", "sheet_check", "start_check", "state", "teams", "terms",
}  # fmt: skip
ABOVE = {"chain", "correction", "engine", "history", "standing"}


def modules() -> dict[str, set[str]]:
    """Each module of the engine and those of the engine that it imports."""
    found: dict[str, set[str]] = {}
    for path in Path(crewlink.match.__file__).parent.glob("*.py"):
        names: set[str] = set()
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module == "crewlink.match":
                names |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("crewlink.match."):
                names.add((node.module or "").split(".")[2])
        found[path.stem] = names
    return found


def test_each_module_has_its_layer() -> None:
    assert set(modules()) - {"__init__"} == TOPICS | BELOW | ABOVE


def test_topics_do_not_import_each_other() -> None:
    assert {name: used & (TOPICS | ABOVE) for name, used in modules().items() if name in TOPICS} == {
        name: set() for name in TOPICS
    }


def test_what_lies_below_knows_no_topic() -> None:
    assert all(not used & (TOPICS | ABOVE) for name, used in modules().items() if name in BELOW)
