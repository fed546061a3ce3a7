"""A device that comes back with an older copy of its data, or runs twice, is named on every station."""

from __future__ import annotations

from crewlink.crew.posts import Post
from crewlink.match.commands import Point
from crewlink.match.teams import Team
from tests.crew.hall import ALL, Hall


def copied(hall: Hall) -> dict[Post, list[str]]:
    """By post: the devices that are said to be copied."""
    return {post: [one.word for one in hall.look(post).devices if one.copied] for post in ALL}


def test_nobody_is_said_to_be_copied_who_only_crashed() -> None:
    hall = Hall(ALL)
    hall.begin()
    for post in (Post.R2, Post.SCORER, Post.R2):
        hall.do(Post.SCORER, Point(Team.A))
        hall.kill(post)
        hall.restart(post)
        hall.pass_time(3.0)
    assert copied(hall) == {post: [] for post in ALL}


def test_a_device_that_was_set_back_is_named_on_every_station() -> None:
    hall = Hall(ALL)
    hall.begin()
    box = hall.boxes[Post.SCORER]
    older = dict(box.disk)
    hall.do(Post.SCORER, Point(Team.A))
    hall.kill(Post.SCORER)
    box.disk = older
    hall.restart(Post.SCORER)
    hall.pass_time(5.0)
    assert copied(hall) == {post: ["Table, copied"] for post in ALL}
