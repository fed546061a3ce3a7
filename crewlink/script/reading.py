"""Reads script files, strictly; a fault is named by file, place and reason, with what is allowed there."""

from __future__ import annotations

import json
import re
from collections import Counter, deque
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import get_args

import msgspec
from msgspec import inspect

from crewlink.script.format import Script
from crewlink.script.playable import problems
from crewlink.script.steps import AnyStep
from protocol.small_file import read_small

STEPS = {kind.__struct_config__.tag: kind for kind in get_args(AnyStep)}
"""The kinds of steps by what stands in `do`."""


KINDS = {
    "array": "a list",
    "object": "an object",
    "str": "a text",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
}
PATTERNS = {
    "^[AB]+$": " of the letters A and B",
    "^X$": ' "X"',
    r"^L[0-9]{1,2}$": ' like "L20" (libero number 20), or a number',
    r"^[a-z][a-z0-9_-]*$": " of small letters, digits, - and _",
}


JSON_FAULTS = {
    "Expecting ',' delimiter": "a comma or a closing bracket is missing",
    "Expecting ':' delimiter": "a colon is missing after the name of a field",
    "Expecting property name": 'the name of a field in double quotes is expected, such as "team"; '
    "or a comma too many stands before this",
    "Expecting value": "a value is missing; or a comma too many stands before this",
    "Illegal trailing comma": "take out this comma, nothing follows it",
    "Unterminated string": "the text that begins here has no closing double quote",
    "Invalid control character": "a text may not go over the end of a line or hold a tab",
    "Invalid \\\\": "a backslash in a text is written twice",
    "Extra data": "the script has ended before this; take out what follows, or a bracket too many",
}
"""What the JSON reader says, and what we say."""
WRITTEN = {
    "score": "two numbers in the order A, B: [5, 5]",
    "sets": "two numbers in the order A, B: [1, 0]",
    "set_scores": "a list of results in the order A, B: [[25, 20], [19, 25]]",
    "start_score": "two numbers in the order A, B: [4, 4]",
    "deciding_start_score": "two numbers in the order A, B: [4, 4]",
    "positions": "the six who stand in 1 to 6: [4, 9, 7, 12, 2, 15]",
    "pairs": 'a list of pairs: [{"in": 11, "out": 7}]',
    "cards": 'a list of cards: [{"player": 9, "card": "penalty"}]',
    "players": "a list of numbers: [2, 4, 6]",
}
"""How the value of a field is written, by its name."""


class ScriptError(ValueError):
    """A script that can't be read: `file`, `place` in it ("run 1, step 3, expect, score"), the `reason`."""

    def __init__(self, file: str, place: str, reason: str) -> None:
        super().__init__(f"{file}: {place}: {reason}" if place else f"{file}: {reason}")
        self.file = file
        self.place = place
        self.reason = reason


def load(path: Path) -> Script:
    """Read a script file.

    Errors: `ScriptError`.
    """
    try:
        text = read_small(path).decode()
    except OSError as error:
        raise ScriptError(str(path), "", f"can't be read ({error.strerror or error})") from error
    except UnicodeDecodeError as error:
        raise ScriptError(
            path.name, f"byte {error.start}", "is not UTF-8 text; save the file as UTF-8"
        ) from error
    return parse(text, path.name)


def parse(text: str, file: str = "script") -> Script:
    """Read a script out of its JSON text; `file` names it in errors.

    Errors: `ScriptError`.
    """
    if not text.strip():
        raise ScriptError(file, "", "is empty; a script is a JSON object, see README.md")
    try:
        plain = json.loads(text, object_pairs_hook=_Object)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise ScriptError(file, place, f"is not JSON here: {_json_fault(error.msg)}") from error
    except RecursionError as error:
        raise ScriptError(file, "", "is nested too deeply") from error
    except ValueError as error:  # Python reads no longer number
        raise ScriptError(file, "", "holds a number of thousands of digits; write a shorter one") from error
    _check_letters(file, plain)
    for steps, field in _doubled(plain):
        shown = _walk(plain, steps)[1]
        raise ScriptError(file, shown, f"the field `{field}` is written twice here; write it once")
    try:
        script = msgspec.convert(plain, Script)
    except msgspec.ValidationError as error:
        raise _explained(file, plain, str(error)) from error
    _check_names(file, script)
    for problem in problems(script):
        raise ScriptError(file, problem.place, problem.reason)
    return script


def _check_letters(file: str, plain: object) -> None:
    """Every text can be shown and saved: JSON lets half a letter be written, as in "\\ud83c"."""
    try:
        json.dumps(plain, ensure_ascii=False).encode()
    except UnicodeEncodeError as error:
        half = json.dumps(error.object[error.start : error.end])
        raise ScriptError(file, "", f"{half} is half a letter; write the whole one") from error


class _Object(dict[str, object]):
    """A JSON object that keeps which field was written twice in it ("" for none)."""

    def __init__(self, pairs: list[tuple[str, object]]) -> None:
        super().__init__(pairs)
        times = Counter(key for key, _ in pairs)
        self.twice = next((key for key, count in times.items() if count > 1), "")


def _doubled(plain: object) -> Iterator[tuple[list[str | int], str]]:
    """The way to each object with a field that was written twice, and the field."""
    waiting: deque[tuple[list[str | int], object]] = deque([([], plain)])
    while waiting:
        steps, one = waiting.popleft()
        if isinstance(one, _Object):
            if one.twice:
                yield steps, one.twice
            waiting += [([*steps, key], inner) for key, inner in one.items()]
        elif isinstance(one, list):
            waiting += [([*steps, index], inner) for index, inner in enumerate(one)]


def _json_fault(said: str) -> str:
    """What the JSON reader complains of, in plain words with what to do."""
    return next((plain for start, plain in JSON_FAULTS.items() if said.startswith(start)), said)


def _check_names(file: str, script: Script) -> None:
    """Steps may only point at named steps before them, and a name is given once in a run."""
    for number, run in enumerate(script.runs, 1):
        named: set[str] = set()
        for place, step in enumerate(run.steps, 1):
            where = f"run {number}, step {place}"
            for field in ("to", "of", "line", "back_to", "joins"):
                wanted = getattr(step, field, None)
                if wanted and wanted not in named:
                    known = ", ".join(sorted(named)) or "none"
                    raise ScriptError(
                        file, f"{where}, {field}", f"no step before is named `{wanted}` (named: {known})"
                    )
            if step.name in named:
                raise ScriptError(
                    file, f"{where}, name", f"`{step.name}` is already the name of an earlier step"
                )
            if step.name is not None:
                named.add(step.name)


def _explained(file: str, plain: object, message: str) -> ScriptError:
    """The error in words of the file: where it is, and what is allowed there."""
    reason, _, path = message.partition(" - at `")
    keys = re.findall(r"\.([^.\[\]`]+)|\[(\d+|\.\.\.)\]", path.rstrip("`"))
    steps = [name or int(index) for name, index in keys if name or index.isdigit()]
    struct, shown = _walk(plain, steps)
    unknown = re.match(r"Object contains unknown field `(.+)`", reason)
    if unknown:
        fields = ", ".join(_fields(struct))
        return ScriptError(file, shown, f"unknown field `{unknown[1]}`; allowed here: {fields}")
    missing = re.match(r"Object missing required field `(.+)`", reason)
    if missing:
        return ScriptError(file, shown, f"the field `{missing[1]}` is missing")
    value = _value(plain, steps)
    if reason.startswith("Invalid value") and steps and steps[-1] == "do":
        return ScriptError(file, shown, f"no such step: {json.dumps(value)}; steps are {', '.join(STEPS)}")
    says = _plainer(reason)
    if steps and not isinstance(value, (dict, list)):
        says = f"{json.dumps(value)} {says}" if says.startswith("is ") else f"{json.dumps(value)}: {says}"
    return ScriptError(file, shown, f"{says}{_choices(struct, steps)}{_written(reason, struct, steps)}")


def _written(reason: str, struct: type | None, steps: list[str | int]) -> str:
    """How such a value is written, where its form is wrong."""
    name = next((step for step in reversed(steps) if isinstance(step, str)), "")
    if not reason.startswith("Expected") or not steps:
        return ""
    form, fields = WRITTEN.get(name, ""), _fields(struct)
    if {"A", "B"} <= set(fields) and name not in fields:
        return f'; write it by team: {{"A": ..., "B": ...}}{", each " + form if form else ""}'
    return f"; write {form}" if form else ""


def _plainer(reason: str) -> str:
    """The reason in plain words: kinds of values, patterns, words out of a few."""
    if re.match(r"Invalid (enum )?value", reason):
        return "is not allowed here"
    reason = re.sub(r"`([^`]+)`", _kinds, reason[:1].lower() + reason[1:])
    return re.sub(r" matching regex '(.+)'", lambda found: PATTERNS.get(found[1], found[0]), reason)


def _kinds(found: re.Match[str]) -> str:
    names = found[1].split(" | ")
    return " or ".join(KINDS.get(name, name) for name in names) if set(names) & KINDS.keys() else found[0]


def _walk(plain: object, steps: Iterable[str | int]) -> tuple[type | None, str]:
    """The type of the innermost object on the way, and the way in words."""
    place: list[str] = []
    kind: inspect.Type = _info(Script)
    struct: type | None = Script
    counted = ""
    for step in steps:
        if isinstance(step, int):
            kind = _item(kind, step)
            names = {"runs": "run", "steps": "step"}
            place[-1:] = (
                [f"{names[counted]} {step + 1}"] if counted in names else [f"{place[-1]}[{step + 1}]"]
            )
        else:
            kind = _field(kind, step)
            place.append(step)
            counted = step
        plain = _child(plain, step)
        kind = _chosen(kind, plain)
        if isinstance(kind, inspect.StructType):
            struct = kind.cls
    return struct, ", ".join(place)


def _child(plain: object, step: str | int) -> object:
    if isinstance(plain, dict):
        return plain.get(step)
    if isinstance(plain, list) and isinstance(step, int) and step < len(plain):
        return plain[step]
    return None


def _value(plain: object, steps: Iterable[str | int]) -> object:
    for step in steps:
        plain = _child(plain, step)
    return plain


def _item(kind: inspect.Type, index: int) -> inspect.Type:
    if isinstance(kind, inspect.VarTupleType | inspect.ListType):
        return kind.item_type
    if isinstance(kind, inspect.TupleType) and index < len(kind.item_types):
        return kind.item_types[index]
    return inspect.AnyType()


def _field(kind: inspect.Type, name: str) -> inspect.Type:
    if isinstance(kind, inspect.StructType):
        return next((f.type for f in kind.fields if f.encode_name == name), inspect.AnyType())
    return kind.value_type if isinstance(kind, inspect.DictType) else inspect.AnyType()


def _chosen(kind: inspect.Type, plain: object) -> inspect.Type:
    """Of the types that a value may have, the one meant: by its `do`, or what is an object or a list."""
    if isinstance(kind, inspect.Metadata):
        kind = kind.type
    if not isinstance(kind, inspect.UnionType):
        return kind
    tag = plain.get("do") if isinstance(plain, dict) else None
    options = [one.type if isinstance(one, inspect.Metadata) else one for one in kind.types]
    for one in options:
        if isinstance(one, inspect.StructType) and (tag is None or one.tag == tag):
            return one
    wanted = (
        inspect.EnumType | inspect.VarTupleType | inspect.TupleType | inspect.DictType | inspect.LiteralType
    )
    return next((one for one in options if isinstance(one, wanted)), kind)


@lru_cache(maxsize=128)
def _info(struct: type | None) -> inspect.Type:
    """What msgspec knows of a type; it takes a while, and a script has many faults or none."""
    return inspect.type_info(struct)


def _fields(struct: type | None) -> list[str]:
    info = _info(struct)
    if not isinstance(info, inspect.StructType):
        return []
    tag = [str(info.tag_field)] if info.tag_field else []
    return [*tag, *(field.encode_name for field in info.fields)]


def _choices(struct: type | None, steps: list[str | int]) -> str:
    """The words that may stand in a field that takes one of a few."""
    name = next((step for step in reversed(steps) if isinstance(step, str)), "")
    kind = _chosen(_field(_info(struct), name), None) if struct else inspect.AnyType()
    if isinstance(kind, inspect.VarTupleType):
        kind = _chosen(kind.item_type, None)
    if isinstance(kind, inspect.EnumType):
        return "; allowed: " + ", ".join(json.dumps(member.value) for member in kind.cls)
    if isinstance(kind, inspect.LiteralType):
        return "; allowed: " + ", ".join(json.dumps(value) for value in kind.values)
    return ""
