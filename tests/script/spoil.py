"""Spoils a script: one expected value at a time is changed, to see that it is really compared."""

from __future__ import annotations

import copy
import re
from collections.abc import Collection, Iterator

from crewlink.crew.kinds import all_kinds
from crewlink.script.codes import FINDINGS, OWED, RULINGS


def spoilt(plain: dict[str, object]) -> Iterator[tuple[dict[str, object], str]]:
    """Copies of a script with one expected value changed, and where."""
    for run, step in expectations(plain):
        for place in leaves(plain["runs"][run]["steps"][step]["expect"]):  # type: ignore[index]
            wrong = copy.deepcopy(plain)
            inner = wrong["runs"][run]["steps"][step]["expect"]  # type: ignore[index]
            for key in place[:-1]:
                inner = inner[key]
            inner[place[-1]] = other(place, inner[place[-1]])
            yield wrong, f"run {run + 1}, step {step + 1}, {place}"


def expectations(plain: dict[str, object]) -> Iterator[tuple[int, int]]:
    for number, run in enumerate(plain["runs"]):  # type: ignore[arg-type,var-annotated]
        for place, step in enumerate(run["steps"]):
            if "expect" in step:
                yield number, place


def leaves(value: object, place: tuple[object, ...] = ()) -> Iterator[tuple[object, ...]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*place, key))
    elif isinstance(value, list) and value:
        for index, inner in enumerate(value):
            yield from leaves(inner, (*place, index))
    else:
        yield place


WORDS = {
    "severity": {"fault": "delay", "delay": "improper_request", "improper_request": "refuse"},
    "phase": {
        "play": "stopped",
        "before_match": "play",
        "check": "play",
        "stopped": "play",
        "time_out": "play",
        "finished": "play",
        "between_sets": "check",
    },
    "suggested": {"penalty": "expulsion", "expulsion": "penalty", "disqualification": "penalty"},
    "state": {"open": "lapsed", "answered": "lapsed", "withdrawn": "lapsed"},
    "asked": {"R1": "assistant", "R2": "assistant", "scorer": "assistant", "site": "R1", "assistant": "R1"},
    "answered": {"R1": "assistant", "R2": "assistant", "scorer": "assistant", "assistant": "R1"},
    "by_sign": {"R1": "R2"},
    "duties": {"open": "done", "done": "open", "late": "open"},
    "ready": {"none": "held", "held": "clear", "clear": "held"},
    "card": {"penalty": "warning", "warning": "penalty", "expulsion": "penalty"},
    "member": {"coach": "doctor"},
    "stopped_for": {"protest": "injury", "injury": "protest"},
    "remarks": {"scorer_mistake": "other", "captain_told": "other"},
}
CODES: dict[str, Collection[str]] = {
    "ruling": RULINGS,
    "subject": RULINGS,
    "suggested": RULINGS,
    "findings": FINDINGS,
    "owed": OWED,
    "kind": all_kinds(),
    "open_notices": all_kinds(),
}
"""Fields in which only a known code is read: it is changed to another one."""
IN_PLACE_OF_NULL = {
    "winner": "A",
    "set_point": "A",
    "protest": "A",
    "positions": [1, 2, 3, 4, 5, 6],
    "notices": "A",
}
IN_PLACE_OF_NOTHING: dict[str, list[object]] = {
    "findings": ["point_outside_set"],
    "overlaps": [[1, 2]],
    "cards": [{"player": 1, "card": "warning"}],
    "owed": ["courts"],
    "open_notices": ["medical"],
    "line_ups_due": ["A"],
}


def other(place: tuple[object, ...], value: object) -> object:
    """A value of the same kind that is not `value`."""
    if value is None:
        return IN_PLACE_OF_NULL.get(str(place[0]), 1)
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1 if value < 99 else value - 1
    if value == []:
        return IN_PLACE_OF_NOTHING.get(str(place[0]), [1])
    if value in ("A", "B"):
        return "B" if value == "A" else "A"
    if isinstance(value, str) and re.fullmatch(r"L\d+", value):
        return int(value[1:]) + 1
    for key, words in WORDS.items():
        if key in place and value in words:
            return words[str(value)]
    for key, codes in CODES.items():
        if key in place and value in codes:
            return min(code for code in codes if code != value)
    return f"not {value}"
