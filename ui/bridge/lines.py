"""Lines of the rail and of the match history in words. Knows nothing of Qt."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from crewlink.snapshot import HistoryLine, PostLink, Saved
from ui.bridge.reading import clock_text

_BOLD_SILENCE = 10.0


@dataclass(frozen=True, slots=True)
class LinkRow:
    """A post on the rail; `silent_text` is its age once it is lost for 10 s; `writes`: it is the one."""

    post: str
    word: str
    reach: str
    silent_text: str
    writes: bool = False


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """A line of the match history with its time as "14:31"."""

    entry: str
    time: str
    score: str
    words: str
    remark: str
    lane: str
    struck: bool
    restricted: bool


def link_row(link: PostLink, elapsed: float, writes: str = "") -> LinkRow:
    """The words for one post link after `elapsed` more seconds; `writes`: the post that does."""
    silent = link.silent + elapsed
    lost = link.state == "lost" or (link.state == "late" and silent >= _BOLD_SILENCE)
    told = clock_text(silent) if lost else ""
    return LinkRow(link.post, link.word, "lost" if lost else link.state, told, link.post == writes)


def history_row(line: HistoryLine) -> HistoryRow:
    """The words for one line; `time` in milliseconds of the wall clock becomes hours and minutes."""
    time = datetime.fromtimestamp(line.time / 1000, UTC).astimezone().strftime("%H:%M")
    return HistoryRow(
        line.entry, time, line.score, line.text, line.detail, line.lane, line.struck, line.restricted
    )


def saved_text(saved: Saved, storage: str = "") -> str:
    """How safe the newest line is: "saved", "saved here", "on 2 of 3"; "not saved" if the disk fails."""
    if storage:
        return "not saved"
    if not saved.here:
        return "saving"
    if saved.of <= 1:
        return "saved here"
    return "saved" if saved.on >= saved.of else f"on {saved.on} of {saved.of}"
