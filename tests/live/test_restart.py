"""A station that is killed in mid-match comes back with everything it said was saved, and all end equal.

Real processes, real sockets, real multicast DNS, real files; the kill is SIGKILL.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from crewlink.charter import Charter, Names
from crewlink.crew.commands import AnswerNotice, Raise
from crewlink.crew.posts import Post
from crewlink.match.commands import BeginSet, LineUp, Point, TimeOut, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team, TeamSheet
from demo_session.event import prepare
from demo_session.live import LiveStage
from demo_session.station_process import StationProcess

POSTS = (Post.SCORER, Post.R2, Post.R1, Post.SITE)
PLAYERS = tuple(range(1, 13))


@pytest.fixture
def stage(tmp_path: Path) -> Iterator[LiveStage]:
    setup = MatchSetup(
        team_a=TeamSheet(players=PLAYERS, captain=1), team_b=TeamSheet(players=PLAYERS, captain=2)
    )
    crew = prepare(tmp_path, list(map(str, POSTS)), Charter(setup), Names())
    stations = {post: StationProcess(str(post), crew.folders[str(post)]) for post in POSTS}
    yield LiveStage(stations, pace=0.01)
    for station in stations.values():
        station.stop()


def begin(stage: LiveStage) -> None:
    stage.settle()
    table = stage.stations[Post.SCORER]
    for command in (
        Toss(Team.A, Team.A),
        LineUp(Team.A, (1, 2, 3, 4, 5, 6), captain=1),
        LineUp(Team.B, (1, 2, 3, 4, 5, 6), captain=2),
        BeginSet(),
    ):
        assert table.submit(command).kind == "accepted"


@pytest.mark.parametrize("victim", POSTS)
def test_a_killed_station_comes_back_with_nothing_lost(stage: LiveStage, victim: Post) -> None:
    begin(stage)
    table, second = stage.stations[Post.SCORER], stage.stations[Post.R2]
    for team in (Team.A, Team.B, Team.A):
        assert table.submit(Point(team)).kind == "accepted"
    second.submit(Raise("wrong_server", "A", 4))
    before = stage.settle(lambda looks: bool(looks[Post.R1].snapshot.notices))
    stage.stations[victim].kill()
    stage.stations[victim].start()
    after = stage.settle(lambda looks: looks[victim].held >= before[victim].held)
    assert after[victim].snapshot.a.points == 2
    notice = after[Post.R1].snapshot.notices[0].id
    assert stage.stations[Post.R1].submit(AnswerNotice(notice)).kind == "accepted"
    assert table.submit(Point(Team.B)).kind == "accepted"
    assert second.submit(TimeOut(Team.A)).kind == "requested"
    looks = stage.settle(lambda looks: looks[Post.SITE].snapshot.phase == "time_out")
    assert {look.snapshot.b.points for look in looks.values()} == {2}
    assert {look.snapshot.a.time_outs for look in looks.values()} == {1}


def test_points_written_while_others_are_gone_arrive_when_they_are_back(stage: LiveStage) -> None:
    begin(stage)
    stage.settle()
    for post in (Post.R2, Post.R1):
        stage.stations[post].kill()
    for team in (Team.A, Team.A, Team.B):
        assert stage.stations[Post.SCORER].submit(Point(team)).kind == "accepted"
    for post in (Post.R2, Post.R1):
        stage.stations[post].start()
    looks = stage.settle()
    assert {(look.snapshot.a.points, look.snapshot.b.points) for look in looks.values()} == {(2, 1)}
