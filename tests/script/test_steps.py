"""Every act of the match can be written as a step."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import crewlink.script
from crewlink.match.commands import Command

SOURCES = "".join(path.read_text("utf-8") for path in Path(crewlink.script.__file__).parent.rglob("*.py"))
NOT_A_STEP = {"Amend", "Insert"}  # a script strikes the line and writes the right one


def test_every_command_has_its_step() -> None:
    made = set(re.findall(r"return commands\.(\w+)\(", SOURCES))
    made |= set(re.findall(r"commands\.(Point)\(", SOURCES))
    assert {kind.__name__ for kind in get_args(Command)} - made == NOT_A_STEP
