"""Reads rule profiles: TOML in, `Profile` out, the source beside each value; errors with file and line."""

from __future__ import annotations

import re
import tomllib
import types
import typing
from functools import lru_cache
from importlib import resources
from typing import Any

import msgspec
from msgspec import Struct, structs

from crewlink.rules.profile import Profile

SHIPPED = ("INT", "USJ", "USC", "OLD")
NONE = "none"
KINDS = {
    "int": "a whole number",
    "float": "a number",
    "str": "a text",
    "bool": "true or false",
    "array": "a list",
}
Sources = dict[str, str]
"""Where a value comes from, by "section.field"."""


LONGEST_TEXT, LONGEST_LINE = 32_000, 1_000


class ProfileError(ValueError):
    """A profile that cannot be read: `file`, `line` (0: no single line), and what is wrong."""

    def __init__(self, file: str, line: int, problem: str) -> None:
        place = f"{file}, line {line}" if line else file
        super().__init__(f"{place}: {problem}")
        self.file = file
        self.line = line
        self.problem = problem


class SourcedProfile(Struct, frozen=True):
    """A profile and the source of each value."""

    profile: Profile
    sources: Sources


@lru_cache(maxsize=len(SHIPPED))
def shipped(name: str) -> SourcedProfile:
    """A profile that comes with the program.

    Errors: `ProfileError`.
    """
    if name not in SHIPPED:
        raise ProfileError("profile", 0, f'there is no profile "{name}"; there are {", ".join(SHIPPED)}')
    file = resources.files("crewlink.rules") / "profiles" / f"{name}.toml"
    return read(file.read_text("utf-8"), f"{name}.toml")


def read(text: str, file: str = "profile") -> SourcedProfile:
    """Read a profile: every field there, none unknown, each a table {value, source}.

    Errors: `ProfileError` with file and line.
    """
    _check_lengths(text, file)
    try:
        table = tomllib.loads(text)
    except RecursionError as error:
        raise ProfileError(file, 0, "not readable as TOML: nested too deeply") from error
    except ValueError as error:  # TOMLDecodeError; a number of thousands of digits; half a letter
        line = re.search(r"line (\d{1,9})", str(error))
        raise ProfileError(file, int(line[1]) if line else 0, f"not readable as TOML: {error}") from error
    return _Reader(text, file).read(table)


def _check_lengths(text: str, file: str) -> None:
    """A profile may come from another station; the time to read TOML grows with the square of a line."""
    if len(text) > LONGEST_TEXT:
        raise ProfileError(file, 0, f"longer than {LONGEST_TEXT} letters")
    for number, line in enumerate(text.splitlines(), 1):
        if len(line) > LONGEST_LINE:
            raise ProfileError(file, number, f"a line longer than {LONGEST_LINE} letters")


def override(profile: Profile, changes: dict[str, Any]) -> Profile:
    """Put single values of an event over a profile, by "section.field".

    Errors: `ProfileError`.
    """
    for path, value in changes.items():
        section, _, field = path.partition(".")
        part = getattr(profile, section, None) if section in Profile.__struct_fields__ else None
        if not isinstance(part, Struct) or field not in part.__struct_fields__:
            raise ProfileError(
                "event settings", 0, f'"{path}" is no value of a profile; {_known(profile, section, part)}'
            )
        kind = typing.get_type_hints(type(part))[field]
        try:
            made = msgspec.convert(value, kind)
        except msgspec.ValidationError as error:
            raise ProfileError("event settings", 0, f"{path}: {_plain(error)}") from error
        profile = structs.replace(profile, **{section: structs.replace(part, **{field: made})})
    return profile


def _known(profile: Profile, section: str, part: object) -> str:
    """What there is in place of a value that is not there."""
    if isinstance(part, Struct):
        return f"{section} has {', '.join(part.__struct_fields__)}"
    kinds = [n for n in profile.__struct_fields__ if isinstance(getattr(profile, n), Struct)]
    return f'write "section.field"; sections are {", ".join(kinds)}'


class _Reader:
    """One reading of one text; keeps the lines to name the place of an error."""

    def __init__(self, text: str, file: str) -> None:
        self.lines = text.splitlines()
        self.file = file
        self.sources: Sources = {}

    def read(self, table: dict[str, Any]) -> SourcedProfile:
        hints = typing.get_type_hints(Profile)
        self._refuse_strangers("", table, hints)
        made: dict[str, Any] = {}
        for name, kind in hints.items():
            if name not in table:
                raise self._error("", "", f'"{name}" is missing')
            if name == "references":
                made[name] = self._references(table[name])
            elif isinstance(kind, type) and issubclass(kind, Struct):
                made[name] = self._section(name, kind, table[name])
            else:
                made[name] = self._value("", name, kind, table[name])
        return SourcedProfile(Profile(**made), self.sources)

    def _section(self, section: str, kind: type[Struct], table: object) -> Struct:
        if not isinstance(table, dict):
            raise self._error("", section, f'"{section}" must be a section')
        hints = typing.get_type_hints(kind)
        self._refuse_strangers(section, table, hints)
        made: dict[str, Any] = {}
        for name, wanted in hints.items():
            if name not in table:
                raise self._error(section, "", f'"{name}" is missing in [{section}]')
            cell = table[name]
            if not isinstance(cell, dict) or set(cell) != {"value", "source"} or not cell["source"]:
                raise self._error(section, name, f'"{name}" must be {{ value = ..., source = "..." }}')
            self.sources[f"{section}.{name}"] = str(cell["source"])
            made[name] = self._value(section, name, wanted, cell["value"])
        return kind(**made)

    def _references(self, table: object) -> dict[str, str]:
        kind = dict[str, str]
        return typing.cast(kind, self._value("", "references", kind, table))

    def _value(self, section: str, name: str, kind: Any, value: object) -> Any:
        if value == NONE and types.NoneType in typing.get_args(kind):
            value = None
        try:
            return msgspec.convert(value, kind)
        except msgspec.ValidationError as error:
            raise self._error(section, name, f'"{name}": {_plain(error)}') from error

    def _refuse_strangers(self, section: str, table: dict[str, Any], hints: dict[str, Any]) -> None:
        for name in table:
            if name not in hints:
                raise self._error(section, name, f'"{name}" is not known here')

    def _error(self, section: str, name: str, problem: str) -> ProfileError:
        return ProfileError(self.file, self._line(section, name), problem)

    def _line(self, section: str, name: str) -> int:
        """Line of a field, else of its section, else 0."""
        current, of_section = "", 0
        for number, line in enumerate(self.lines, 1):
            header = re.match(r"\s*\[([^\]]+)\]", line)
            if header:
                current = header[1].strip()
                if current in (section, name) and not of_section:
                    of_section = number
            elif name and current == section and re.match(rf'\s*"?{re.escape(name)}"?\s*=', line):
                return number
        return of_section


def _plain(error: msgspec.ValidationError) -> str:
    """A sentence about a value of the wrong kind."""
    said = str(error).removesuffix(" - at `$`").replace("`", "")
    return re.sub(r"\b(int|str|bool|float|array)\b", lambda kind: KINDS[kind[1]], said)
