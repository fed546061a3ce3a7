"""The record as JSON: every counted line in order, every notice as they were raised, with its answers, the
result.

Bytes are written as hex, times as milliseconds of the writing device's own clock. Names are left out unless
they are given: a record can be shown without them.
"""

from __future__ import annotations

import json
from typing import Any

import msgspec

from crewlink.charter import Names, shown_names
from crewlink.court import Court
from crewlink.crew.notice import Mark, Notice, Raised
from crewlink.signing import head_of
from crewlink.views.history import text_of

FORMAT = "crewlink record 1"


def record_json(court: Court, names: Names | None = None, *, locked: bool = False) -> str:
    """The record as indented JSON text; `locked`: it is signed and sealed."""
    head = head_of(court)
    match = court.match
    a, b = match.sets_won
    raises = [(one.raised, one) for one in court.crew.notices.values() if one.raised is not None]
    document = {
        "format": FORMAT,
        "opening": court.opening.hex(),
        "names": None if names is None else _plain(shown_names(names, court.charter.settings)),
        "setup": _plain(court.charter.setup),
        "result": {
            "finished": match.finished,
            "winner": None if match.winner is None else str(match.winner),
            "sets": [a, b],
            "set_scores": [list(done.score) for done in match.sets],
            "score": list(match.score),
            "server_due": None if match.server is None else f"{match.serving} {match.server}",
        },
        "lines": [
            {
                "entry": line.entry_id.hex(),
                "fact": _plain(list(told.fact)),
                "because": None if told.because is None else told.because.hex(),
                "device": told.device.hex(),
                "time": told.time,
                "score": list(line.match.score),
                "struck": line.struck,
                "words": text_of(line.fact),
            }
            for line, told in zip(court.chain.lines, court.lines, strict=True)
        ],
        "notices": [
            _notice(notice, raised, court.settling(notice.id))
            for raised, notice in sorted(raises, key=lambda one: one[0])
        ],
        "signed": [
            {
                "signer": one.signer,
                "entered_by": one.by,
                "time": one.time,
                "line": one.anchor.hex(),
                "counts": one.anchor == head,
            }
            for one in court.crew.signed
        ],
        "locked": locked,
        "findings": [finding.sentence for finding in match.findings],
    }
    return json.dumps(document, indent=1, ensure_ascii=False)


def _end(notice: Notice) -> dict[str, Any] | None:
    """How it was ended by an act: a sign that somebody else entered stays apart from a post's own act."""
    end = notice.end
    return None if end is None else {"by": end.post, "entered_by": end.by, "reason": end.reason}


def _notice(notice: Notice, raised: Raised, line: bytes | None) -> dict[str, Any]:
    def marks(found: dict[str, Mark]) -> dict[str, Any]:
        return {post: {"time": mark.time, "entered_by": mark.by} for post, mark in sorted(found.items())}

    return {
        "id": notice.id.hex(),
        "kind": raised.kind,
        "raised_by": raised.behind[0] if raised.behind else "program",
        "entered_by": raised.post,
        "joined_by": [one.post for one in notice.joined],
        "time": raised.time,
        "team": raised.team,
        "number": None if raised.number < 0 else raised.number,
        "asked": list(notice.asks),
        "left_out": list(raised.left_out),
        "shown": marks(notice.shown),
        "answers": marks(notice.answers),
        "relayed": marks(notice.relayed),
        "steps": sorted(notice.steps),
        "decided_in": None if line is None else line.hex(),
        "ended": _end(notice),
    }


def _plain(value: object) -> Any:
    """Plain JSON values; bytes as hex."""
    return _hexed(msgspec.to_builtins(value, builtin_types=(bytes,), str_keys=False))


def _hexed(value: Any) -> Any:
    if isinstance(value, bytes):
        return value.hex()
    if isinstance(value, dict):
        return {str(_hexed(key)): _hexed(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_hexed(item) for item in value]
    return value
