"""Devices whose clocks are hours off, drift by 200 ppm, or are set in mid-match: nobody sees anything of it.

The same evening is played in two halls, one with right clocks and one without; every post's whole picture is
compared, but for ids and for times of day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec
import pytest

from crewlink.crew.commands import Raise
from crewlink.crew.posts import Post
from crewlink.match.commands import EndTimeOut, Point, TimeOut
from crewlink.match.teams import Team
from tests.crew.hall import ALL, WALL_MS, Hall

HOUR_S = 3600.0
Off = Mapping[Post, tuple[float, float]]
ALIKE_S = 0.06
PING_S = 1.1  # a silence is counted from the last sign of life, and drifting stations do not ping in step
THREE_DAYS_MS = 3 * 86_400_000


def evening(hall: Hall) -> Iterator[str]:
    """What is done, told step by step; some of it by the device whose clock is wrong."""
    hall.begin()
    yield settled(hall, "begun")
    for team in (Team.A, Team.B, Team.A):
        hall.do(Post.SCORER, Point(team))
    yield settled(hall, "three points")
    assert hall.do(Post.SCORER, Raise("conduct", "B", detail="coach")).done
    assert hall.do(Post.R2, Raise("help", to=("site",))).done
    hall.do(Post.SCORER, TimeOut(Team.A))
    yield settled(hall, "time-out")
    hall.pass_time(12.0)
    yield settled(hall, "in the time-out")
    hall.pass_time(20.0)
    hall.do(Post.SCORER, EndTimeOut())
    for _ in range(24):
        hall.do(Post.SCORER, Point(Team.A), wait=0.05)
    yield settled(hall, "set over")
    hall.pass_time(100.0)
    yield settled(hall, "between sets")


def settled(hall: Hall, step: str) -> str:
    """Receipts wait for their turn, a fifth of a second each."""
    hall.pass_time(0.5)
    return step


def scrubbed(value: object, key: str = "") -> object:
    """A picture without ids and times of day."""
    if isinstance(value, dict):
        return {name: scrubbed(inner, str(name)) for name, inner in value.items()}
    if isinstance(value, list | tuple):
        return [scrubbed(inner, key) for inner in value]
    if isinstance(value, int) and abs(value - WALL_MS) < THREE_DAYS_MS:
        return "a time of day"
    if isinstance(value, str) and len(value) >= 16 and all(sign in "0123456789abcdef" for sign in value):
        return "an id"
    return value


def differences(one: object, other: object, where: str = "") -> Iterator[str]:
    if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        for name in one:
            yield from differences(one[name], other[name], f"{where}.{name}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for place, (left, right) in enumerate(zip(one, other, strict=True)):
            yield from differences(left, right, f"{where}[{place}]")
    elif isinstance(one, float) and isinstance(other, int | float):
        if abs(one - other) > (PING_S if where.endswith(".silent") else ALIKE_S):
            yield f"{where}: {one} and {other}"
    elif one != other:
        yield f"{where}: {one!r} and {other!r}"


def picture(hall: Hall, post: Post) -> object:
    return scrubbed(msgspec.to_builtins(hall.look(post)))


@pytest.mark.parametrize(
    "off",
    [
        {Post.SCORER: (HOUR_S, 0.0)},
        {Post.R2: (-HOUR_S, 0.0)},
        {Post.R1: (0.0, 200.0)},
        {Post.SCORER: (-26 * HOUR_S, 200.0), Post.R1: (5 * HOUR_S, -200.0)},
    ],
    ids=["scorer an hour ahead", "R2 an hour behind", "R1 drifts 200 ppm", "all of it"],
)
def test_nobody_sees_that_a_clock_is_wrong(off: Off) -> None:
    right, wrong = Hall(ALL), Hall(ALL, clocks=off)
    for step, _ in zip(evening(right), evening(wrong), strict=True):
        for post in ALL:
            assert list(differences(picture(right, post), picture(wrong, post))) == [], (step, post)


@pytest.mark.parametrize("post", [Post.SCORER, Post.R2])
@pytest.mark.parametrize("by", [HOUR_S, -HOUR_S])
def test_nobody_sees_that_a_clock_is_set(post: Post, by: float) -> None:
    """The clock of one device is set in the time-out, and set back at the end of the set."""
    right, wrong = Hall(ALL), Hall(ALL)
    for step, _ in zip(evening(right), evening(wrong), strict=True):
        if step == "time-out":
            wrong.boxes[post].off_s += by
        if step == "set over":
            wrong.boxes[post].off_s -= by
        for one in ALL:
            assert list(differences(picture(right, one), picture(wrong, one))) == [], (step, one)
