"""What a rehearsal came to, in lines that a person reads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from crewlink.control import Look
from crewlink.crew.posts import Post, word
from crewlink.script.player import Played
from crewlink.snapshot import NoticeView, Snapshot


@dataclass(frozen=True, slots=True)
class Told:
    """A rehearsal as it was played: steps, the last look at every station, the notices seen, seconds
    taken.
    """

    played: tuple[Played, ...]
    looks: Mapping[Post, Look]
    notices: Mapping[str, NoticeView]
    seconds: float

    @property
    def differences(self) -> tuple[tuple[int, str], ...]:
        """Step number and what was not as the script expects."""
        return tuple((step.number, str(found)) for step in self.played for found in step.differences)


def summary(told: Told) -> str:
    """The whole summary, with a line end."""
    return "\n".join(_lines(told)) + "\n"


def _lines(told: Told) -> Iterator[str]:
    snapshot = told.looks[Post.SCORER].snapshot
    yield from _score(snapshot)
    yield from _notices(told.notices)
    held = ", ".join(f"{word(post)} {look.held}" for post, look in told.looks.items())
    yield f"Entries held: {held}"
    same = len({look.digest for look in told.looks.values()}) == 1
    yield f"All stations equal: {'yes' if same else 'NO'} ({told.looks[Post.SCORER].digest[:12]})"
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


def _notices(notices: Mapping[str, NoticeView]) -> Iterator[str]:
    for notice in sorted(notices.values(), key=lambda notice: -notice.age):
        answers = ", ".join(
            f"{receipt.word} after {receipt.seconds:.1f} s"
            if receipt.seconds is not None
            else f"{receipt.word} {receipt.state}"
            for receipt in notice.receipts
            if receipt.state not in ("raised", "unfilled")
        )
        about = f" {notice.team}" if notice.team else ""
        about += f" {notice.number}" if notice.number is not None else ""
        told = f"; {notice.told}" if notice.told else ""
        yield f"Notice: {notice.title}{about}, from {notice.raised_by}: {answers} ({notice.state}{told})"
