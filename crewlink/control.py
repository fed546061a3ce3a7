"""Driving a station by lines: one JSON object a line in, one out. For rehearsals, tests and scripts.

in   {"id": 1, "do": ["point", {"team": "A"}]}       out  {"id": 1, "answer": {...}}
     {"id": 2, "look": true}                         out  {"id": 2, "look": {"snapshot": ..., "seen": ...}}
     {"id": 5, "ask": ["wrong_server", {...}]}        out  {"id": 5, "decision": {"ruling": ...,
     "proposal": ...}}
     {"id": 3, "record": "record.json"}              out  {"id": 3, "written": "record.json"}
     {"id": 6, "admit": {"device": "...", ...}, "post": "R1", "into": "court.json"}
                                                     out  {"id": 6, "written": "court.json"}
     {"id": 4, "stop": true}                         out  {"id": 4, "stopped": true}
and, whenever the station's court or links changed,  out  {"changed": 17}
A line that cannot be carried out gets {"id": ..., "error": "what, and what to do"}.
Ids of notices and proposals are hex text; bytes inside commands are base64 (RFC 4648, section 4).
"""

from __future__ import annotations

import json
from concurrent.futures import Future
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
from protocol.pairing import Candidate, PairingRefused
from protocol.pairing_shell import invitation_of
from protocol.pairing_wire import Admission
from protocol.roster import InvitationError
from protocol.write_error import WriteError

ADMIT_S = 10.0


class Driven(Protocol):
    """What a control line can ask of a running station; every call waits for its answer."""

    def submit(self, command: AnyCommand) -> Answer: ...

    def ask(self, command: AnyCommand) -> Decision | None: ...

    def look(self) -> Look: ...

    def record(self) -> str: ...

    def admit(self, candidate: Candidate, post: str) -> Future[Admission]: ...


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
    if "admit" in asked:
        return _admit(driven, asked)
    if "stop" in asked:
        return {"stopped": True}
    return {"error": "One of: do, ask, look, record, admit, stop."}


class _Guest(msgspec.Struct, frozen=True):
    """A device that is let in for a job, its keys in hex; what a code proves in a gym is taken as proved."""

    device: str
    sign_key: str
    tls_cert: str
    binding: str

    def candidate(self) -> Candidate:
        """As pairing hands it over. Errors: ValueError."""
        given = (self.device, self.sign_key, self.tls_cert, self.binding)
        device, sign_key, tls_cert, binding = (bytes.fromhex(one) for one in given)
        return Candidate(device, sign_key, tls_cert, binding, "")


def _admit(driven: Driven, asked: dict[str, Any]) -> dict[str, Any]:
    """Let a device in, and write the invitation that it comes in with."""
    path = Path(str(asked.get("into", "court.json")))
    try:
        guest = msgspec.convert(asked["admit"], _Guest).candidate()
        admission = driven.admit(guest, str(asked.get("post", ""))).result(ADMIT_S)
        invitation_of(admission).save(path)
    except (ValueError, msgspec.ValidationError, WriteError, PairingRefused, InvitationError) as error:
        return {"error": f"That device cannot be let in. {error}"}
    return {"written": str(path)}


def _ask(driven: Driven, wire: object) -> dict[str, Any]:
    try:
        decision = driven.ask(from_wire(wire))
    except UnknownCommand as error:
        return {"error": f"That question cannot be read. {error}"}
    return {"decision": None if decision is None else msgspec.to_builtins(decision, str_keys=True)}
