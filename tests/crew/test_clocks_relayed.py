"""The clock of a device that is heard only over a third one is known here all the same."""

from __future__ import annotations

import pytest

from crewlink.crew.commands import Raise
from crewlink.crew.posts import Post
from crewlink.match.commands import TimeOut
from crewlink.match.teams import Team
from tests.crew.hall import ALL, Hall

HOUR_S = 3600.0
OFF = {Post.SCORER: (HOUR_S, 200.0), Post.R2: (-500.0, -200.0), Post.R1: (40.0, 0.0)}


def chain() -> Hall:
    """R1 and the scorer never had a link: all that they know of each other came over R2 and the site."""
    return Hall(ALL, clocks=OFF, delay=(0.0, 0.02), apart=((Post.R1, Post.SCORER),))


def test_a_notice_has_the_same_age_where_it_came_over_a_third_station() -> None:
    hall = chain()
    hall.begin()
    hall.do(Post.SCORER, Raise("conduct", "B", detail="coach"))
    hall.pass_time(30.0)
    ages = [hall.plate(post, "conduct").age for post in ALL]
    assert max(ages) - min(ages) < 0.1


def test_a_time_out_shows_the_same_seconds() -> None:
    hall = chain()
    hall.begin()
    hall.do(Post.SCORER, TimeOut(Team.A))
    hall.pass_time(12.0)
    left = [next(one.left for one in hall.look(post).clocks if one.kind == "time_out") for post in ALL]
    assert max(left) - min(left) < 0.1


def test_a_station_that_begins_after_the_writer_died_learns_its_clock_from_the_others() -> None:
    hall = chain()
    hall.begin()
    hall.do(Post.SCORER, Raise("conduct", "B", detail="coach"))
    hall.pass_time(5.0)
    hall.kill(Post.SCORER)
    hall.kill(Post.R2)
    hall.pass_time(1.0)
    hall.restart(Post.R2)
    hall.pass_time(3.0)
    ages = [hall.plate(post, "conduct").age for post in (Post.R2, Post.R1, Post.SITE)]
    assert ages == pytest.approx([ages[1]] * 3, abs=0.1)
