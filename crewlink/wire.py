"""Commands as plain `[name, {fields}]` pairs, crew and match alike, for control lines (JSON)."""

from __future__ import annotations

from typing import Any, cast

import msgspec

from crewlink.acts import AnyCommand
from crewlink.match.commands import UnknownCommand


def to_wire(command: AnyCommand) -> tuple[str, dict[str, Any]]:
    """`[name, {fields}]` of values that JSON knows; bytes become base64 text."""
    fields = msgspec.to_builtins(command)
    return fields.pop("type"), fields


def from_wire(wire: object) -> AnyCommand:
    """Read `[name, {fields}]`. Errors: UnknownCommand."""
    match wire:
        case [str(name), dict(fields)]:
            pass
        case _:
            raise UnknownCommand(str(wire)[:40], "a command is a name and its fields")
    try:
        return cast(AnyCommand, msgspec.convert({**fields, "type": name}, _ALL))
    except (msgspec.ValidationError, UnicodeEncodeError) as error:
        raise UnknownCommand(name, str(error)) from error


_ALL: Any = AnyCommand
