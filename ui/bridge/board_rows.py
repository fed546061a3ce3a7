"""Rows of the supervisor's board in words: tiles, open notices, what comes next. Knows nothing of Qt."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from crewlink.site.board import brief
from crewlink.snapshot import CourtTile, OpenNotice, PlannedMatch, TeamView
from ui.bridge.reading import clock_text

PULSE_SECONDS = 5.0
HALF_PULSE = 0.25
DETAIL_LETTERS = 21
_LEVEL_WORDS = {"now": "NOW", "soon": "SOON", "note": "NOTE"}


@dataclass(frozen=True, slots=True)
class TileRow:
    """A court's tile; `doing` may end with a running clock. No points: "". `sets` won, A first: "sets 1:0",
    "" before one is; `pending`: what is still to come where all have answered.
    """

    court: int
    phase: str
    doing: str
    name_a: str
    name_b: str
    points_a: str
    points_b: str
    linked: bool
    level: str
    age: str
    pulsing: bool
    lit: bool
    spoken: str
    sets: str
    pending: str


@dataclass(frozen=True, slots=True)
class OpenRow:
    """A notice that is not closed; `second` is what it is about, how many have answered, or what is to come.

    `level` "": all have answered, then `pending` is not "".
    """

    key: str
    court: int
    notice: str
    title: str
    second: str
    level: str
    age: str
    pulsing: bool
    lit: bool
    spoken: str
    pending: str


@dataclass(frozen=True, slots=True)
class NextRow:
    """A match that comes next: "14:45", 3, "Ravens, Otters"."""

    key: str
    due: str
    court: int
    teams: str


def wall_text(milliseconds: int) -> str:
    """Hours and minutes of this device's clock."""
    return datetime.fromtimestamp(milliseconds / 1000, UTC).astimezone().strftime("%H:%M")


def pulse(level: str, asked: bool, age: float) -> tuple[bool, bool]:
    """Whether a plate's frame pulses (a NOW that this post must answer, for 5 s), and is in its ink half."""
    pulsing = level == "now" and asked and age < PULSE_SECONDS
    return pulsing, pulsing and int(age / HALF_PULSE) % 2 == 0


def tile_row(tile: CourtTile, elapsed: float) -> TileRow:
    """The words of a tile `elapsed` seconds after it was taken."""
    notice = tile.notice
    age = 0.0 if notice is None else notice.age + elapsed
    state = tile.state
    if tile.clock is not None:
        state = f"{state}, {clock_text(max(0.0, tile.clock.left - elapsed) + 0.999)}"
    if not tile.linked:
        state = f"as of {wall_text(tile.as_of)}"
    points_a, points_b = (
        str(team.points) if team is not None and tile.scored else "" for team in (tile.a, tile.b)
    )
    name_a, name_b = (team.short if team is not None else "" for team in (tile.a, tile.b))
    pulsing, lit = pulse(tile.level, notice is not None and notice.asked, age)
    return TileRow(
        court=tile.court,
        phase=tile.phase or (wall_text(tile.due) if tile.due else ""),
        doing=state,
        name_a=name_a,
        name_b=name_b,
        points_a=points_a,
        points_b=points_b,
        linked=tile.linked,
        level=tile.level,
        age=clock_text(age) if notice is not None else "",
        pulsing=pulsing,
        lit=lit,
        spoken=_spoken(tile, state),
        sets=sets_text(tile),
        pending=tile.pending,
    )


def sets_text(tile: CourtTile) -> str:
    """Sets won, A first; "" before one is won, and at the end, where the figures are the sets."""
    if tile.a is None or tile.b is None or tile.phase == "End" or not tile.a.sets + tile.b.sets:
        return ""
    return f"sets {tile.a.sets}:{tile.b.sets}"


def _spoken(tile: CourtTile, state: str) -> str:
    parts = [f"Court {tile.court}", _LEVEL_WORDS.get(tile.level, "")]
    parts += [_team_words(team, tile.scored) for team in (tile.a, tile.b)]
    parts += [tile.phase, sets_text(tile), state]
    parts += [f"answered, {tile.pending}" if tile.pending else "", "" if tile.linked else "out of reach"]
    return ", ".join(part for part in parts if part)


def _team_words(team: TeamView | None, scored: bool) -> str:
    if team is None:
        return ""
    return f"{team.short} {team.points}" if scored else team.short


def open_row(one: OpenNotice, elapsed: float) -> OpenRow:
    """The words of an open notice `elapsed` seconds after it was taken."""
    notice = one.notice
    answered = f"{one.answered} of {one.asked} answered" if one.asked else ""
    short = bool(notice.detail) and len(notice.detail) <= DETAIL_LETTERS
    second = one.pending or (notice.detail if short and notice.level != "now" else answered)
    age = notice.age + elapsed
    level = "" if one.pending else notice.level
    pulsing, lit = pulse(level, notice.asked, age)
    return OpenRow(
        key=f"{one.court} {notice.id}",
        court=one.court,
        notice=notice.id,
        title=brief(notice),
        second=second,
        level=level,
        age=clock_text(age),
        pulsing=pulsing,
        lit=lit,
        spoken=_spoken_open(one, answered),
        pending=one.pending,
    )


def _spoken_open(one: OpenNotice, answered: str) -> str:
    said = f"answered, {one.pending}" if one.pending else answered
    level = "" if one.pending else _LEVEL_WORDS.get(one.notice.level, "")
    parts = [f"Court {one.court}", level, one.notice.title, said]
    return "".join(f"{part}. " for part in parts if part).rstrip()


def next_row(match: PlannedMatch) -> NextRow:
    """The words of a planned match."""
    return NextRow(f"{match.due} {match.court}", wall_text(match.due), match.court, f"{match.a}, {match.b}")
