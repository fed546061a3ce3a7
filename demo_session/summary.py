"""What a rehearsal came to, in lines that a person reads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from crewlink.control import Look
from crewlink.crew.kinds import all_kinds
from crewlink.crew.posts import Post, word
from crewlink.script.player import Played
from crewlink.snapshot import Snapshot


@dataclass(frozen=True, slots=True)
class Told:
    """A rehearsal as it was played: steps, the last look at every station, the match when it was signed (or
    at the end), its record, seconds taken.
    """

    played: tuple[Played, ...]
    looks: Mapping[Post, Look]
    ended: Snapshot
    record: Mapping[str, Any]
    seconds: float

    @property
    def differences(self) -> tuple[tuple[int, str], ...]:
        """Step number and what was not as the script expects."""
        return tuple((step.number, str(found)) for step in self.played for found in step.differences)


def summary(told: Told) -> str:
    """The whole summary, with a line end."""
    return "\n".join(_lines(told)) + "\n"


def _lines(told: Told) -> Iterator[str]:
    yield from _score(told.ended)
    yield from _notices(told.record["notices"])
    yield from _signed(told.record)
    held = ", ".join(f"{word(post)} {look.held}" for post, look in told.looks.items())
    yield f"Entries held: {held}"
    same = len({look.digest for look in told.looks.values()}) == 1
    yield f"All stations equal: {'yes' if same else 'NO'} ({next(iter(told.looks.values())).digest[:12]})"
    compared = sum(step.compared for step in told.played)
    yield f"Steps {len(told.played)}, expectations {compared}, differences {len(told.differences)}"
    for number, found in told.differences:
        yield f"  step {number}: {found}"
    yield f"Time: {told.seconds:.1f} s"


def _score(snapshot: Snapshot) -> Iterator[str]:
    a, b = snapshot.a, snapshot.b
    yield f"{a.name} (A) against {b.name} (B)"
    for number, (own, other) in enumerate(zip(a.set_points, b.set_points, strict=True), 1):
        yield f"Set {number}: {own}:{other}"
    if snapshot.result:
        yield snapshot.result
        return
    due = f", server due {snapshot.server_team} {snapshot.server}" if snapshot.server_team else ""
    yield f"Set {snapshot.set_number}: {a.points}:{b.points}{due}"


def _signed(record: Mapping[str, Any]) -> Iterator[str]:
    """Who signed the record, and whether it is locked."""
    given = [one["signer"] + _by(one) for one in record["signed"] if one["counts"]]
    if given:
        yield f"Signed: {', '.join(given)}{'; locked' if record['locked'] else ''}"


def _by(one: Mapping[str, Any]) -> str:
    return "" if one["signer"] == one["entered_by"] else f" (entered by {word(one['entered_by'])})"


def _notices(notices: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """One line a notice, from the record: who answered after how many seconds, how it ended."""
    for notice in notices:
        about = " ".join(str(part) for part in (notice["team"], notice["number"]) if part not in ("", None))
        title = f"{all_kinds()[notice['kind']].title} {about}".strip()
        answers = ", ".join(_answer(notice, post) for post in notice["asked"])
        told = "; shown again, raiser told" if "told" in notice["steps"] else ""
        ended = notice["ended"]
        end = f"; ended by {word(ended['by'])}: {ended['reason']}" if ended else ""
        yield f"Notice: {title}, from {word(notice['raised_by'])}: {answers}{told}{end}"


def _answer(notice: Mapping[str, Any], post: str) -> str:
    own, relayed = notice["answers"].get(post), notice["relayed"].get(post)
    mark = own or relayed
    if mark is None:
        return f"{word(post)} did not answer"
    seconds = (mark["time"] - notice["time"]) / 1000
    by = f" (by sign, entered by {word(mark['entered_by'])})" if own is None else ""
    return f"{word(post)} after {seconds:.1f} s{by}"
