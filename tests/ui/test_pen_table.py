"""At the table: who writes, lost devices, records that went apart, by keys and clicks, on whole stations."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from msgspec.structs import replace

from crewlink.crew.commands import (
    CloseNotice,
    GiveJob,
    HandWriting,
    StopAsking,
    TakeOut,
    TakeWriting,
    WriteAlone,
)
from crewlink.crew.posts import Post
from crewlink.match.commands import Point
from crewlink.match.teams import Team
from crewlink.snapshot import Saved
from tests.crew.hall import Hall
from tests.gallery.states import DISK_FULL, dead_ball, disk_full, joining
from tests.gallery.table_states import SCENES
from tests.ui.conftest import OpenFace
from tests.ui.pen_rig import FULL, LOST_S, HallRig, in_set
from ui.face import Face

Table = Callable[..., HallRig]


@pytest.fixture
def table(application: object) -> Iterator[Table]:
    """`table(hall)` opens the table's face on the scorer's station, or on another post's."""
    opened: list[HallRig] = []

    def open_table(hall: Hall, post: Post = Post.SCORER) -> HallRig:
        opened.append(HallRig(hall, post, Face.TABLE))
        return opened[-1]

    yield open_table
    assert [warning for rig in opened for warning in rig.close()] == []


def out_of_crew(hall: Hall, post: Post) -> bool:
    device = hall.boxes[post].identity.device
    return all(
        device in box.station.peer.roster.revoked
        for box in hall.boxes.values()
        if box.up and box.post != post
    )


# -- a lost device


def test_a_lost_device_is_out_in_three_clicks_and_the_rest_goes_on(table: Table) -> None:
    hall = in_set()
    rig = table(hall)
    hall.kill(Post.R2)
    rig.pass_time(LOST_S)
    rig.tap("table.rail.crew")
    rig.tap("table.crew.device.R2")
    assert not rig.sent and rig.reads("can't come back by itself")
    rig.tap("table.keys.enter")
    assert rig.taps == 3
    assert rig.sent == [TakeOut(hall.boxes[Post.R2].identity.device.hex())]
    rig.pass_time(3.0)
    assert out_of_crew(hall, Post.R2)
    rig.type("Right")
    assert hall.court(Post.R1).match.score == (1, 1)
    assert rig.look().saved == Saved(True, 3, 3)


def test_a_lost_device_is_out_by_keys_alone(table: Table) -> None:
    hall = in_set()
    rig = table(hall)
    hall.kill(Post.R2)
    rig.pass_time(LOST_S)
    rig.type("Back Down Enter")
    assert rig.reads("R2's device") and not rig.sent
    rig.type("Enter")
    assert [type(one) for one in rig.sent] == [TakeOut]
    rig.pass_time(1.0)
    assert out_of_crew(hall, Post.R2)
    assert not rig.reads("Devices of this court")


def test_esc_leaves_everything_as_it_is(table: Table) -> None:
    hall = in_set()
    rig = table(hall)
    hall.kill(Post.R2)
    rig.pass_time(LOST_S)
    rig.type("Back Down Enter Esc")
    assert not rig.sent and rig.seen("table.court")
    rig.tap("table.rail.crew")
    assert rig.reads("Devices of this court")
    rig.tap("table.rail.crew")
    assert rig.seen("table.court")


def test_a_device_that_is_heard_is_not_taken_out_by_the_first_keys(table: Table) -> None:
    """Its first offer is to let it write; taking it out must be chosen, and confirmed twice."""
    hall = in_set()
    rig = table(hall)
    rig.type("Back Down Enter Down")
    assert rig.reads("lost: take it out")
    rig.type("Enter")
    assert not rig.sent and rig.reads("Enter again")
    rig.type("Enter")
    assert [type(one) for one in rig.sent] == [TakeOut]


def test_the_table_lets_r2_write_and_asks_for_its_points_then(table: Table) -> None:
    hall = in_set()
    rig = table(hall)
    rig.type("Back Down Enter Enter")
    assert rig.sent == [HandWriting("R2")]
    look = rig.pass_time(1.0)
    assert (look.writing.word, look.writing.here) == ("R2", False)
    assert rig.reads("R2 writes") and rig.reads("ask for A")
    rig.type("Left")
    rig.pass_time(1.0)
    assert hall.court(Post.R1).match.score == (2, 0)


def test_a_device_gets_another_job(table: Table) -> None:
    hall = in_set()
    rig = table(hall)
    rig.type("Back Enter Down Down")
    assert rig.reads("make it R2, swap with R2")
    rig.type("Enter")
    assert rig.sent == [GiveJob(hall.boxes[Post.R1].identity.device.hex(), "R2")]
    rig.pass_time(1.0)
    assert hall.look(Post.R1).post == "R2"


def test_the_act_is_in_the_list_of_other_acts(table: Table) -> None:
    rig = table(in_set())
    while not rig.reads("also what to do about a lost device"):
        rig.type("Down")
    rig.type("Enter")
    assert rig.reads("Devices of this court")


# -- the one who writes is lost


def lost_writer(table: Table, posts: tuple[Post, ...] = FULL) -> HallRig:
    """The assistant's table face, with the scorer's device gone."""
    hall = in_set(posts)
    rig = table(hall, Post.ASSISTANT)
    hall.kill(Post.SCORER)
    rig.pass_time(LOST_S)
    return rig


def test_the_assistant_writes_on_with_one_key(table: Table) -> None:
    rig = lost_writer(table)
    assert rig.reads("Table writes and is out of reach") and rig.reads("Enter: write here")
    rig.type("Enter")
    assert rig.sent == [TakeWriting()]
    look = rig.pass_time(1.0)
    assert look.writing.here and not look.writing.alone
    rig.type("Right")
    assert rig.hall.court(Post.R1).match.score == (1, 1)


def test_without_enough_of_the_others_it_takes_a_warning_and_a_second_key(table: Table) -> None:
    rig = lost_writer(table, (Post.SCORER, Post.ASSISTANT))
    assert rig.reads("Enter twice: write without the others")
    rig.type("Enter")
    assert not rig.sent and rig.reads("only one of the two will count")
    rig.type("Esc")
    assert rig.look().writing.here is False
    rig.type("Enter Enter")
    assert rig.sent == [WriteAlone()]
    assert rig.look().writing.alone
    rig.type("Back")
    assert rig.reads("You write, taken without the others")


def test_it_is_told_how_many_have_agreed_and_asking_can_be_stopped(table: Table) -> None:
    rig = lost_writer(table)
    for post in (Post.R1, Post.R2):  # they have only just woken up and count nobody as silent yet
        box = rig.hall.boxes[post]
        box.station.peer._hearing._listening = box.now + 100
    rig.type("Enter")
    assert rig.reads("You ask to write") and rig.reads("1 of 4 has agreed, 3 are enough")
    rig.type("Enter")
    assert rig.sent == [TakeWriting(), StopAsking()]
    assert rig.reads("Enter: write here")


def test_a_table_that_may_not_decide_says_what_to_do(face: OpenFace) -> None:
    rig = face("table", "writer_lost")
    assert any("use paper until it is back" in text for text in rig.texts())


# -- records that went apart


def apart(table: Table) -> HallRig:
    hall = in_set((Post.SCORER, Post.R2, Post.R1))
    hall.part([Post.SCORER, Post.R1], [Post.R2])
    hall.pass_time(LOST_S)
    assert hall.do(Post.R2, WriteAlone()).done
    for _ in range(2):
        assert hall.do(Post.R2, Point(Team.B)).done
    assert hall.do(Post.SCORER, Point(Team.A)).done
    rig = table(hall)
    hall.heal()
    rig.pass_time(3.0)
    return rig


@pytest.mark.parametrize(("choice", "score"), [("", (2, 2)), ("Down", (2, 0))])
def test_lines_that_are_not_counted_are_entered_again_or_left_out(
    table: Table, choice: str, score: tuple[int, int]
) -> None:
    rig = apart(table)
    assert rig.reads("Entries not counted")
    rig.type(f"Tab Enter {choice} Enter")
    (sent,) = [one for one in rig.sent if isinstance(one, CloseNotice)]
    assert sent.outcome == ("leave out" if choice else "enter again")
    rig.pass_time(3.0)
    assert rig.hall.court(Post.R1).match.score == score
    assert not rig.reads("Entries not counted")


def test_the_crew_page_shows_both_records(table: Table) -> None:
    rig = apart(table)
    rig.tap("table.rail.crew")
    assert rig.reads("Counts: Set 1, 2:0") and rig.reads("Not counted: Set 1, 1:2")
    assert rig.reads("1 line since they went apart") and rig.reads("2 lines since they went apart")


# -- taken out, catching up, disk


def test_a_device_that_was_taken_out_says_so(table: Table) -> None:
    hall = in_set()
    rig = table(hall)
    hall.do(Post.R1, TakeOut(hall.boxes[Post.SCORER].identity.device.hex()))
    rig.pass_time(1.0)
    assert rig.reads("No job here") and rig.reads("R1 took this device out of the crew. Nobody is Table now.")


def test_a_device_that_joins_shows_how_far_it_is_and_no_empty_court(face: OpenFace) -> None:
    rig = face("table", joining("scorer"))
    assert "Getting the match" in rig.texts() and "catching up 1,200 of 3,400" in rig.texts()
    assert not rig.seen("table.court")
    rig.stage.court.update(dead_ball("scorer"))
    rig.settle()
    assert rig.seen("table.court") and "Getting the match" not in rig.texts()


def test_catching_up_stands_on_the_rail_while_it_matters(face: OpenFace) -> None:
    rig = face("table", "catching_up")
    assert "catching up 1,200 of 3,400" in rig.texts() and rig.seen("table.court")
    rig.stage.court.update(dead_ball("scorer"))
    rig.settle()
    assert "saved" in rig.texts()


def test_a_full_disk_is_told_and_nothing_is_said_to_be_saved(face: OpenFace) -> None:
    rig = face("table", replace(dead_ball("scorer"), history=()))
    rig.stage.court.update(disk_full("scorer"))
    rig.settle()
    texts = rig.texts()
    assert "not saved" in texts and "Nothing new is saved here" in texts and DISK_FULL in texts
    assert "not saved yet" in texts  # of the line that was just written
    assert not [
        text for text in texts if text in ("saved", "saved here") or text.startswith(("saved here", "on "))
    ]
    rig.stage.court.update(dead_ball("scorer"))
    rig.settle()
    assert "saved" in rig.texts() and DISK_FULL not in rig.texts()


def test_no_word_of_the_code_stands_on_a_crew_page(face: OpenFace) -> None:
    for name in ("crew", "crew_lost", "crew_apart", "write_here", "write_alone", "asking", "writes_alone"):
        rig = face("table", SCENES[name])
        words = " ".join(rig.texts()).lower().replace(",", " ").split()
        assert not {"pen", "roster", "revoked", "revoke", "voters", "epoch", "branch", "forced"} & set(words)
