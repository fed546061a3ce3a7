"""What this table has just told the crew: the line speaks of that, not of the point before it."""

from __future__ import annotations

from crewlink.snapshot import NoticeView
from ui.line.shown import LineShown
from ui.line.state import Line
from ui.line.world import World

TOLD_S = 6.0


def told(line: Line, world: World) -> LineShown | None:
    """The own notice of the last six seconds and how it is taken back; None while there is none."""
    own = world.mine
    if own is None or world.top is not None:
        return None
    raised = world.snapshot.taken - own.age
    newer = line.done is not None and line.done.at > raised
    if newer or world.now - raised >= TOLD_S:
        return None
    return LineShown(f"Told {_whom(own)}", hint=_about(own), message="Esc twice takes it back")


def _whom(notice: NoticeView) -> str:
    words = [one.word for one in notice.receipts if one.state not in ("raised", "unfilled")]
    if notice.level == "now" or notice.quiet or len(words) != 1:
        return "all"
    return words[0]


def _about(notice: NoticeView) -> str:
    title = notice.title[:1].lower() + notice.title[1:]
    if notice.neutral:
        return notice.title
    team = notice.team if notice.team and not title.endswith(f" {notice.team}") else ""
    number = str(notice.number) if notice.number is not None else ""
    return " ".join(part for part in (title, team, number) if part)
