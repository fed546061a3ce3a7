"""From one match to the next with the same devices: who may open it, what goes along, what starts anew."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec import structs

from crewlink.charter import Charter, Names, Settings, TeamNames
from crewlink.crew.commands import GiveJob, NextMatch, Sign
from crewlink.crew.posts import CREW, Post
from crewlink.folder import FORMAT, StationFile, StationFolder
from crewlink.going_on import CARRIED, folder_after
from crewlink.match.commands import BeginSet, LineUp, Point, Toss
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Team
from crewlink.next_match import Handover, charter_after, match_id, names_after
from crewlink.rules.format import FormatOptions
from crewlink.script.crew_stage import CrewStage
from protocol.identity import Identity
from protocol.roster import Invitation
from tests.crew.hall import SETUP, SIX_A, SIX_B

FULL = (Post.SCORER, Post.R2, Post.R1, Post.ASSISTANT, Post.SITE)
FORM = FormatOptions(best_of=1, points=3)


def over(posts: tuple[Post, ...] = FULL, *, sign: bool = True) -> CrewStage:
    """A match of three points that is over, signed unless `sign` is False."""
    stage = CrewStage(structs.replace(SETUP, format=FORM), posts, settings=Settings(starts=1, warm_up=300))
    for command in (
        Toss(Team.A, Team.A),
        LineUp(Team.A, SIX_A, liberos=("X", "X"), captain=1),
        LineUp(Team.B, SIX_B, liberos=("X", "X"), captain=2),
        BeginSet(),
        *(Point(Team.A) for _ in range(3)),
    ):
        assert fine(stage, Post.SCORER, command)
    if sign:
        for post in (Post.SCORER, Post.SCORER, Post.SCORER, Post.R2, Post.R1):
            assert fine(stage, post, Sign())
        stage.pass_time(2.0)
        assert stage.look(Post.SITE).locked
    return stage


def fine(stage: CrewStage, post: Post, command: object) -> bool:
    ruling = stage.act(post, command).ruling  # type: ignore[arg-type]
    return ruling is not None and ruling.fine


def code(stage: CrewStage, post: Post, command: object) -> str:
    ruling = stage.act(post, command).ruling  # type: ignore[arg-type]
    return "" if ruling is None else ruling.code


def test_one_act_brings_every_device_to_the_next_match_with_its_job() -> None:
    stage = over()
    devices = {post: station.peer.device for post, station in stage.stations.items()}
    old = stage.stations[Post.SCORER].court
    assert fine(stage, Post.SCORER, NextMatch())
    assert {post: station.peer.device for post, station in stage.stations.items()} == devices
    courts = [station.court for station in stage.stations.values()]
    assert all(court is not None and court.opening != old.opening for court in courts if old is not None)
    assert len({court.digest() for court in courts if court is not None}) == 1
    seen = stage.look(Post.R1)
    assert (seen.phase, seen.notices, seen.locked, seen.writes) == ("before_match", (), False, Post.SCORER)


def test_the_next_match_is_played_and_signed_like_the_first() -> None:
    stage = over()
    fine(stage, Post.SCORER, NextMatch())
    for command in (
        Toss(Team.B, Team.A),
        LineUp(Team.A, SIX_A, liberos=("X", "X"), captain=1),
        LineUp(Team.B, SIX_B, liberos=("X", "X"), captain=2),
        BeginSet(),
        *(Point(Team.B) for _ in range(3)),
    ):
        assert fine(stage, Post.SCORER, command)
    for post in (Post.SCORER, Post.SCORER, Post.SCORER, Post.R2, Post.R1):
        assert fine(stage, post, Sign())
    stage.pass_time(2.0)
    assert stage.look(Post.R1).locked and stage.look(Post.R1).winner is Team.B


def test_jobs_can_be_given_anew_there() -> None:
    stage = over()
    fine(stage, Post.SCORER, NextMatch())
    was = stage.device(Post.ASSISTANT)
    assert fine(stage, Post.R2, GiveJob(was, "R1"))
    assert stage.device(Post.R1) == was


def test_it_is_not_opened_before_the_end_nor_unsigned() -> None:
    stage = CrewStage(SETUP, FULL)
    assert code(stage, Post.SCORER, NextMatch()) == "not_over"
    stage = over(sign=False)
    assert code(stage, Post.SCORER, NextMatch()) == "sign_first"


@pytest.mark.parametrize("post", FULL)
def test_officials_and_the_table_open_it(post: Post) -> None:
    allowed = post in (Post.R1, Post.R2, Post.SCORER)
    assert fine(over(), post, NextMatch()) is allowed
    assert set(CREW) < set(FULL)


def test_rules_format_and_settings_stay_and_teams_go() -> None:
    old = Charter(
        structs.replace(SETUP, format=FORM, profile="USJ"), Settings(worn=False, starts=99, warm_up=5)
    )
    new = charter_after(old)
    assert (new.setup.profile, new.setup.format) == ("USJ", FORM)
    assert (new.settings.worn, new.settings.warm_up, new.settings.starts) == (False, 5, 0)
    assert new.setup.team_a == MatchSetup().team_a and new.setup.team_a != SETUP.team_a


def test_names_of_the_next_teams() -> None:
    old = Names("Court 7", "Cup", TeamNames("Copper Kites"), TeamNames("Night Ferry"), "Ms Example")
    new = names_after(old, '["Harbour Lights", "Mill Lane"]')
    assert (new.court, new.event, new.responsible) == ("Court 7", "Cup", "Ms Example")
    assert (new.a, new.b) == (TeamNames("Harbour Lights", "Lights"), TeamNames("Mill Lane", "Lane"))
    for text in ("", "{", "[1]", '["x"]'):
        assert names_after(old, text).a == Names().a


def test_a_match_is_named_by_the_entry_that_opens_it() -> None:
    assert match_id(b"a" * 32) != match_id(b"b" * 32) and len(match_id(b"a" * 32)) == 16


def test_the_folder_of_the_next_match_has_the_same_keys_and_another_match(tmp_path: Path) -> None:
    def random(size: int) -> bytes:
        return bytes(range(size))

    identity = Identity.create(random)
    old = StationFolder(tmp_path / "court-7")
    identity.save(old.identity)
    old.write(StationFile(FORMAT, "scorer", event="hall", quiet=True, addresses=("10.0.0.1:4000",)))
    for name in CARRIED:
        (old.path / name).write_text(name)
    for number in (2, 3):
        charter = Charter(SETUP)
        handed = Handover(Invitation(bytes([number]) * 16, identity.device, ()), "R2", charter, Names())
        new = folder_after(old, handed)
        assert new.path == tmp_path / f"court-7-match-{number}"
        assert Identity.load(new.identity).device == identity.device
        assert [(new.path / name).read_text() for name in CARRIED] == list(CARRIED)
        file = new.read()
        assert file.quiet
        assert (file.post, file.event, file.addresses, file.charter) == (
            "R2",
            "hall",
            ("10.0.0.1:4000",),
            charter,
        )
        old = new
