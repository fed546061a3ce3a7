"""Driving a station by lines: one JSON object a line in, one out. For rehearsals, tests and scripts.

in   {"id": 1, "do": ["point", {"team": "A"}]}       out  {"id": 1, "answer": {...}}
     {"id": 2, "look": true}                         out  {"id": 2, "look": {"snapshot": ..., "seen": ...}}
     {"id": 5, "ask": ["wrong_server", {...}]}        out  {"id": 5, "decision": {"ruling": ...,
     "proposal": ...}}
     {"id": 3, "record": "record.json"}              out  {"id": 3, "written": "record.json"}
     {"id": 4, "stop": true}                         out  {"id": 4, "stopped": true}
and, whenever the station's court or links changed,  out  {"changed": 17}
A line that cannot be carried out gets {"id": ..., "error": "what, and what to do"}.
Ids of notices and proposals are hex text; bytes inside commands are base64 (RFC 4648, section 4).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Protocol

import msgspec

from crewlink.acts import AnyCommand
from crewlink.match.commands import UnknownCommand
from crewlink.match.ruling import Decision
from crewlink.script.seen import Seen
from crewlink.snapshot import Snapshot
from crewlink.station import Answer
from crewlink.wire import from_wire


class Driven(Protocol):
    """What a control line can ask of a running station; every call waits for its answer."""

    def submit(self, command: AnyCommand) -> Answer: ...

    def ask(self, command: AnyCommand) -> Decision | None: ...

    def look(self) -> Look: ...

    def record(self) -> str: ...


class Look(msgspec.Struct, frozen=True):
    """One look at a station: what its person sees, the match as scripts read it, and how much it holds."""

    snapshot: Snapshot
    seen: Seen | None
    digest: str
    held: int
    saved: bool


def obey(driven: Driven, line: str) -> dict[str, Any]:
    """The answer to one control line; never raises for a bad line."""
    try:
        asked = json.loads(line)
        json.dumps(asked, ensure_ascii=False).encode()  # JSON lets half a letter be written, as in "\ud83c"
    except (ValueError, RecursionError) as error:
        return {"error": f"Not a JSON line: {error}"}
    if not isinstance(asked, dict):
        return {"error": "A control line is an object with an id and one act."}
    answer = _act(driven, asked)
    return {"id": asked.get("id"), **answer}


def _act(driven: Driven, asked: dict[str, Any]) -> dict[str, Any]:
    if "do" in asked:
        try:
            command = from_wire(asked["do"])
        except UnknownCommand as error:
            return {"error": f"That command cannot be read. {error}"}
        return {"answer": msgspec.to_builtins(driven.submit(command))}
    if "ask" in asked:
        return _ask(driven, asked["ask"])
    if "look" in asked:
        return {"look": msgspec.to_builtins(driven.look(), str_keys=True)}
    if "record" in asked:
        path = Path(str(asked["record"]))
        try:
            path.write_text(driven.record(), encoding="utf-8")
        except (OSError, ValueError) as error:  # no path at all: a NUL in it, or half a letter
            why = error.strerror if isinstance(error, OSError) else error
            return {"error": f"{path}: cannot be written ({why}). Choose another folder."}
        return {"written": str(path)}
    if "stop" in asked:
        return {"stopped": True}
    return {"error": "One of: do, ask, look, record, stop."}


def _ask(driven: Driven, wire: object) -> dict[str, Any]:
    try:
        decision = driven.ask(from_wire(wire))
    except UnknownCommand as error:
        return {"error": f"That question cannot be read. {error}"}
    return {"decision": None if decision is None else msgspec.to_builtins(decision, str_keys=True)}
