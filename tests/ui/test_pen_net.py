"""At the net, the wrist and the board: who writes, lost devices, records that went apart."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from msgspec.structs import replace

from crewlink.crew.commands import (
    ChooseRecord,
    GiveJob,
    HandWriting,
    Raise,
    StopAsking,
    TakeOut,
    TakeWriting,
    WriteAlone,
)
from crewlink.crew.posts import Post
from crewlink.crew_view import WriterView
from crewlink.match.commands import Point
from crewlink.match.teams import Team
from tests.crew.hall import Hall
from tests.gallery.board_states import hall as board_hall
from tests.gallery.states import DISK_FULL, TAKE, dead_ball, disk_full, joining, table_lost
from tests.ui.conftest import OpenFace
from tests.ui.pen_rig import FULL, LOST_S, HallRig, in_set
from ui.face import Face

Net = Callable[..., HallRig]
TABLET, UPRIGHT, PHONE = (1280, 800), (800, 1280), (360, 760)
SIZES = [TABLET, UPRIGHT, PHONE]


@pytest.fixture
def net(application: object) -> Iterator[Net]:
    """`net(hall, size)` opens R2's face on R2's station; `net(hall, size, post, face)` another one."""
    opened: list[HallRig] = []

    def open_net(
        hall: Hall, size: tuple[int, int] = TABLET, post: Post = Post.R2, face: Face = Face.NET
    ) -> HallRig:
        opened.append(HallRig(hall, post, face, size))
        return opened[-1]

    yield open_net
    assert [warning for rig in opened for warning in rig.close()] == []


# -- a lost device


@pytest.mark.parametrize("size", SIZES)
def test_a_lost_device_is_out_in_three_taps_and_the_rest_goes_on(net: Net, size: tuple[int, int]) -> None:
    hall = in_set()
    rig = net(hall, size)
    hall.kill(Post.R1)
    rig.pass_time(LOST_S)
    rig.tap("net.rail.crew")
    rig.tap("net.crew.device.R1")
    rig.hold("net.crew.take_out")
    assert rig.taps == 3
    assert rig.sent == [TakeOut(hall.boxes[Post.R1].identity.device.hex())]
    rig.pass_time(3.0)
    assert {one.post for one in hall.look(Post.SCORER).devices} == {"R2", "scorer", "assistant"}
    assert hall.do(Post.SCORER, Point(Team.B)).done
    assert (rig.look().saved.on, rig.look().saved.of) == (3, 3)
    assert not rig.seen("net.crew.device.R1")


def test_a_short_tap_takes_nobody_out(net: Net) -> None:
    rig = net(in_set())
    rig.tap("net.rail.crew")
    rig.tap("net.crew.device.R1")
    rig.slow("holding")
    rig.tap("net.crew.take_out")
    assert not rig.sent
    rig.tap("net.crew.close")
    assert not rig.seen("net.crew.close") and not rig.sent


def test_a_notice_that_stops_play_takes_the_face_back(net: Net) -> None:
    rig = net(in_set())
    rig.tap("net.rail.crew")
    rig.hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    rig.look()
    assert not rig.seen("net.crew.close") and rig.seen("net.answer.pad")


def test_devices_that_were_mixed_up_swap_their_jobs(net: Net) -> None:
    hall = in_set()
    rig = net(hall)
    rig.tap("net.rail.crew")
    rig.tap("net.crew.device.R1")
    rig.tap("net.crew.job.R2")
    assert rig.sent == [GiveJob(hall.boxes[Post.R1].identity.device.hex(), "R2")]
    rig.pass_time(1.0)
    assert (hall.look(Post.R1).post, hall.look(Post.R2).post) == ("R2", "R1")


# -- the one who writes is lost


@pytest.mark.parametrize("size", SIZES)
def test_r2_writes_on_with_one_tap(net: Net, size: tuple[int, int]) -> None:
    hall = in_set()
    rig = net(hall, size)
    hall.kill(Post.SCORER)
    rig.pass_time(LOST_S)
    rig.tap("net.trouble.act")
    assert (rig.taps, rig.sent) == (1, [TakeWriting()])
    look = rig.pass_time(1.0)
    assert look.writing.here and not look.writing.alone
    assert not rig.seen("net.trouble.act")
    assert hall.look(Post.R1).writing.word == "R2"


def test_how_many_have_agreed_is_shown_and_asking_can_be_stopped(net: Net) -> None:
    hall = in_set()
    rig = net(hall)
    hall.kill(Post.SCORER)
    rig.pass_time(LOST_S)
    for post in (Post.R1, Post.ASSISTANT):  # they have only just woken up and count nobody as silent yet
        box = hall.boxes[post]
        box.station.peer._hearing._listening = box.now + 100
    rig.tap("net.trouble.act")
    assert rig.reads("You ask to write") and rig.reads("1 of 4 has agreed, 3 are enough")
    rig.tap("net.trouble.act")
    assert rig.sent == [TakeWriting(), StopAsking()]


@pytest.mark.parametrize("size", SIZES)
def test_writing_without_the_others_is_warned_of_and_held(net: Net, size: tuple[int, int]) -> None:
    hall = in_set((Post.SCORER, Post.R2))
    rig = net(hall, size)
    hall.kill(Post.SCORER)
    rig.pass_time(LOST_S)
    rig.tap("net.trouble.act")
    assert not rig.sent and rig.reads("only one of the two will count")
    rig.hold("net.crew.alone")
    assert rig.sent == [WriteAlone()]
    assert rig.reads("You write, taken without the others")


def test_a_phone_in_a_rally_offers_it_as_well(face: OpenFace) -> None:
    """Nobody is there to end the rally: the face would wait for ever."""
    rig = face("net", replace(table_lost("R2", TAKE), phase="rally", phase_word="Rally"), size=PHONE)
    assert rig.seen("net.trouble.act") and rig.seen("net.well.call")


# -- handing on, choosing


@pytest.mark.parametrize("size", SIZES)
def test_r2_who_opened_the_court_lets_the_table_write(net: Net, size: tuple[int, int]) -> None:
    hall = Hall((Post.R2, Post.SCORER, Post.R1))
    rig = net(hall, size)
    rig.tap("net.rail.crew")
    assert rig.reads("You write")
    rig.tap("net.crew.hand.scorer")
    assert (rig.taps, rig.sent) == (2, [HandWriting("scorer")])
    rig.pass_time(1.0)
    assert hall.look(Post.SCORER).writing.here and rig.reads("Table writes")


def apart(hall: Hall) -> None:
    hall.part([Post.SCORER, Post.R1], [Post.R2])
    hall.pass_time(LOST_S)
    assert hall.do(Post.R2, WriteAlone()).done
    for _ in range(2):
        assert hall.do(Post.R2, Point(Team.B)).done
    assert hall.do(Post.SCORER, Point(Team.A)).done
    hall.heal()
    hall.pass_time(3.0)


@pytest.mark.parametrize("size", SIZES)
def test_r2_chooses_the_record_that_goes_on(net: Net, size: tuple[int, int]) -> None:
    hall = in_set((Post.SCORER, Post.R2, Post.R1))
    apart(hall)
    rig = net(hall, size)
    while rig.look().notices and rig.seen("net.answer.pad"):
        rig.stage.theme.setProperty("arming", 0)
        rig.tap("net.answer.pad")
    rig.tap("net.rail.crew")
    assert rig.reads("Counts: Set 1, 2:0") and rig.reads("Not counted: Set 1, 1:2")
    rig.hold("net.crew.choose")
    assert [type(one) for one in rig.sent if isinstance(one, ChooseRecord)] == [ChooseRecord]
    rig.pass_time(3.0)
    assert hall.court(Post.SCORER).match.score == (1, 2)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("pad", "score"), [(0, (2, 2)), (1, (2, 0))])
def test_r2_has_lines_that_are_not_counted_entered_again_or_left_out(
    net: Net, size: tuple[int, int], pad: int, score: tuple[int, int]
) -> None:
    hall = in_set((Post.SCORER, Post.R2, Post.R1))
    apart(hall)
    rig = net(hall, size)
    rig.stage.theme.setProperty("arming", 0)
    assert rig.reads("Entries not counted")
    rig.tap("net.answer.pad")
    rig.tap("net.tray.ends")
    rig.tap(f"net.ends.{pad}")
    rig.pass_time(3.0)
    assert hall.court(Post.SCORER).match.score == score
    assert hall.plates(Post.SCORER, "set_aside") == []


# -- taken out, catching up, disk


@pytest.mark.parametrize("size", SIZES)
def test_a_device_that_was_taken_out_says_so(net: Net, size: tuple[int, int]) -> None:
    hall = in_set()
    rig = net(hall, size)
    hall.do(Post.SCORER, TakeOut(hall.boxes[Post.R2].identity.device.hex()))
    rig.pass_time(1.0)
    assert rig.reads("Table took this device out of the crew. Nobody is R2 now.")


@pytest.mark.parametrize("size", SIZES)
def test_a_device_that_joins_shows_how_far_it_is(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("net", joining("R2"), size=size)
    assert "Getting the match" in rig.texts() and "catching up 1,200 of 3,400" in rig.texts()
    rig.stage.court.update(dead_ball("R2"))
    rig.settle()
    assert "Getting the match" not in rig.texts()


@pytest.mark.parametrize("size", SIZES)
def test_a_full_disk_is_told(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("net", disk_full("R2"), size=size)
    short = "The disk is full. Free some space on this device."
    assert "Nothing new is saved here" in rig.texts()
    assert (short if size == PHONE else DISK_FULL) in rig.texts()
    assert not [text for text in rig.texts() if text in ("saved", "saved here")]


# -- wrist


WATCHES = [(396, 484), (450, 450)]


@pytest.mark.parametrize("size", WATCHES)
def test_the_wrist_only_shows_who_writes(net: Net, size: tuple[int, int]) -> None:
    hall = in_set((Post.SCORER, Post.R2, Post.R1))
    rig = net(hall, size, Post.R1, Face.WRIST)
    assert not rig.reads("write")
    hall.do(Post.SCORER, HandWriting("R2"))
    rig.pass_time(1.0)
    assert "R2 writes" in " ".join(rig.texts())
    assert {name for name in rig.names() if name.startswith("wrist.writer")} == set()


@pytest.mark.parametrize("size", WATCHES)
def test_r1_who_opened_the_court_on_the_wrist_lets_the_table_write(net: Net, size: tuple[int, int]) -> None:
    hall = Hall((Post.R1, Post.SCORER, Post.R2))
    rig = net(hall, size, Post.R1, Face.WRIST)
    rig.tap("wrist.writer.hand")
    assert (rig.taps, rig.sent) == (1, [HandWriting("scorer")])
    rig.pass_time(1.0)
    assert hall.look(Post.SCORER).writing.here and not rig.seen("wrist.writer.hand")


@pytest.mark.parametrize("size", WATCHES)
def test_the_wrist_tells_of_a_full_disk_once_and_then_on_its_rail(
    face: OpenFace, size: tuple[int, int]
) -> None:
    rig = face("wrist", disk_full("R1"), size=size)
    assert "Not saved here" in rig.texts()
    assert "The disk is full. Free some space on this device." in rig.texts()
    rig.tap("wrist.writer.seen")
    assert "Not saved here" not in rig.texts() and "not saved" in " ".join(rig.texts())


@pytest.mark.parametrize("size", WATCHES)
def test_the_wrist_shows_how_far_it_is(face: OpenFace, size: tuple[int, int]) -> None:
    rig = face("wrist", joining("R1"), size=size)
    assert {"Catching up", "1,200 of 3,400"} <= set(rig.texts())
    rig.stage.court.update(dead_ball("R1"))
    rig.settle()
    assert "Catching up" not in rig.texts()


# -- board


def test_the_board_says_who_writes_in_an_open_court(face: OpenFace) -> None:
    rig = face("board", "open_court")
    assert "Table writes" in rig.texts()
    seven = next(one for one in board_hall().sights if one.court == 7)
    alone = replace(seven.snapshot, writing=WriterView("R2", "R2", since=30.0, alone=True))
    rig.stage.court.update(alone)
    rig.settle()
    assert "R2 writes, taken without the others" in rig.texts()


def test_a_crew_of_four_is_what_these_halls_have() -> None:
    assert {str(post) for post in FULL} == {one.post for one in in_set().look(Post.R2).devices}
