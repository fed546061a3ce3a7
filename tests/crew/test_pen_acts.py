"""Who writes, and what a person can do about it: over whole stations, their links and their disks."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewlink.acts import AnyCommand
from crewlink.charter import Settings
from crewlink.crew.commands import (
    ChooseRecord,
    Consent,
    EnterAgain,
    GiveJob,
    HandWriting,
    StopAsking,
    TakeOut,
    TakeWriting,
    WriteAlone,
)
from crewlink.crew.permissions import WRITING, may
from crewlink.crew.posts import Post
from crewlink.crew_view import Do, WriterView
from crewlink.match.commands import Point, Strike, TimeOut
from crewlink.match.teams import Team
from crewlink.running import stalled
from crewlink.wire import from_wire, to_wire
from protocol.roster import CREW_POSTS, Right
from tests.crew.hall import ALL, CREW_OF_THREE, Hall

FULL = (Post.SCORER, Post.R2, Post.R1, Post.ASSISTANT)
TWO = (Post.SCORER, Post.R2)
GONE_S = 6.0


def in_set(posts: tuple[Post, ...] = CREW_OF_THREE, **more: object) -> Hall:
    hall = Hall(posts, **more)  # type: ignore[arg-type]
    hall.begin()
    assert hall.do(Post.SCORER, Point(Team.A)).done
    return hall


def writing(hall: Hall, post: Post) -> WriterView:
    return hall.look(post).writing


def offers(hall: Hall, post: Post) -> list[Do]:
    return [one.do for one in writing(hall, post).offers]


def device(hall: Hall, post: Post) -> str:
    return hall.boxes[post].identity.device.hex()


def lost(hall: Hall, post: Post) -> None:
    hall.kill(post)
    hall.pass_time(GONE_S)


def one_truth(hall: Hall) -> None:
    """After a heal all stations agree, and nothing is asked about that was not asked before."""
    hall.heal()
    hall.pass_time(8.0)
    assert len(hall.digests()) == 1


# -- one table


RIGHTS = {
    "take_writing": Right.TAKE,
    "stop_asking": Right.TAKE,
    "write_alone": Right.TAKE,
    "hand_writing": Right.TAKE,
    "choose_record": Right.CHOOSE,
    "take_out": Right.REVOKE,
    "give_job": Right.ADMIT,
}
COMMANDS: dict[str, AnyCommand] = {
    "take_writing": TakeWriting(),
    "stop_asking": StopAsking(),
    "write_alone": WriteAlone(),
    "hand_writing": HandWriting("R1"),
    "choose_record": ChooseRecord("00"),
    "take_out": TakeOut("00"),
    "give_job": GiveJob("00", "R1"),
}


def test_the_table_is_the_one_that_the_link_folds_with() -> None:
    rights = {post.label: post.rights for post in CREW_POSTS}
    assert set(RIGHTS) == set(COMMANDS) == set(WRITING)
    for name, posts in WRITING.items():
        assert posts == {post for post, held in rights.items() if RIGHTS[name] in held}, name


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_each_can_be_driven_by_a_line(name: str) -> None:
    wire = to_wire(COMMANDS[name])
    assert wire[0] == name and from_wire(list(wire)) == COMMANDS[name]


@pytest.mark.parametrize("post", [*FULL, Post.SITE])
@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_a_station_refuses_what_its_post_may_not_do(post: Post, name: str) -> None:
    hall = Hall((*FULL, Post.SITE))
    answer = hall.do(post, COMMANDS[name])
    assert (answer.code == "not_your_job") is not may(str(post), name)
    if answer.code == "not_your_job":
        assert answer.kind == "refused" and answer.sentence.endswith(".")


def test_nothing_that_is_said_names_what_screens_do_not_name() -> None:
    hall = in_set()
    said = [hall.do(post, command).sentence for post in CREW_OF_THREE for command in COMMANDS.values()]
    lost(hall, Post.SCORER)
    said += [hall.do(post, command).sentence for post in (Post.R2, Post.R1) for command in COMMANDS.values()]
    words = " ".join(said).lower()
    assert not [
        word for word in ("pen ", "pen.", "roster", "revoke", "epoch", "voter", "branch") if word in words
    ]


# -- the usual state


def test_the_scorer_writes_and_everyone_sees_it() -> None:
    hall = in_set()
    for post in CREW_OF_THREE:
        seen = writing(hall, post)
        assert (seen.post, seen.word, seen.reached, seen.alone, seen.gone) == (
            "scorer",
            "Table",
            True,
            False,
            False,
        )
        assert seen.here is (post == Post.SCORER)
        assert seen.since is not None and seen.since == pytest.approx(hall.time, abs=0.5)
        assert hall.look(post).saved.on == hall.look(post).saved.of == 3
    assert offers(hall, Post.R2) == offers(hall, Post.R1) == []
    assert [(one.do, one.to) for one in writing(hall, Post.SCORER).offers] == [
        (Do.HAND, "R2"),
        (Do.HAND, "R1"),
    ]


def test_who_is_heard_over_another_station_counts_as_heard() -> None:
    hall = in_set()
    links = hall.boxes[Post.SCORER].links
    link = next(number for number, box in links.items() if box.post == Post.R2)
    hall._cut(hall.boxes[Post.SCORER], link)
    hall.pass_time(12.0)
    assert writing(hall, Post.R2).reached and offers(hall, Post.R2) == []


def test_as_long_as_the_writer_is_heard_nobody_can_write_for_it() -> None:
    hall = in_set()
    for command in (TakeWriting(), WriteAlone()):
        answer = hall.do(Post.R2, command)
        assert (answer.kind, answer.code) == ("refused", "writer_here")
        assert answer.sentence == "Table writes and can be heard. It can let you write."
    assert hall.do(Post.SCORER, TakeWriting()).sentence == "You write already."


# -- the one who writes is lost


def test_r2_writes_when_the_table_is_lost() -> None:
    hall = in_set()
    hall.kill(Post.SCORER)
    hall.pass_time(2.0)
    assert offers(hall, Post.R2) == []
    hall.pass_time(GONE_S)
    seen = writing(hall, Post.R2)
    assert (seen.reached, [one.words for one in seen.offers]) == (False, ["Write here"])
    assert seen.silent > 5.0
    assert hall.do(Post.R2, TakeWriting()).kind == "requested"
    for post in (Post.R2, Post.R1):
        seen = writing(hall, post)
        assert (seen.post, seen.here, seen.alone, seen.voters) == ("R2", post == Post.R2, False, 0)
        assert seen.since is not None and seen.since < 1.0
    assert hall.do(Post.R2, Point(Team.B)).kind == "accepted"
    hall.restart(Post.SCORER)
    one_truth(hall)
    assert writing(hall, Post.SCORER).post == "R2"
    assert hall.court(Post.SCORER).match.score == (1, 1)
    assert hall.do(Post.R2, HandWriting("scorer")).done
    assert hall.do(Post.SCORER, Point(Team.A)).kind == "accepted"


def test_it_is_shown_how_many_have_agreed_and_asking_can_be_stopped() -> None:
    hall = in_set(FULL)
    lost(hall, Post.SCORER)
    hall.part([Post.R1], [Post.ASSISTANT], [Post.R2])
    hall.heal()
    hall.boxes[Post.R1].station.peer._hearing._listening = (
        hall.boxes[Post.R1].now + 100
    )  # hears nobody fall silent
    hall.boxes[Post.ASSISTANT].station.peer._hearing._listening = hall.boxes[Post.ASSISTANT].now + 100
    assert hall.do(Post.R2, TakeWriting()).kind == "requested"
    seen = writing(hall, Post.R2)
    assert (seen.agreed, seen.needed, seen.voters) == (1, 3, 4)
    assert offers(hall, Post.R2) == [Do.STOP]
    hall.pass_time(10.5)
    assert offers(hall, Post.R2) == [Do.STOP, Do.ALONE]
    assert hall.do(Post.R2, StopAsking()).done
    assert writing(hall, Post.R2).voters == 0
    assert offers(hall, Post.R2) == [Do.TAKE]


def test_with_too_few_in_reach_one_may_write_without_the_others() -> None:
    hall = in_set()
    hall.part([Post.SCORER, Post.R1], [Post.R2])
    hall.pass_time(GONE_S)
    assert hall.do(Post.R2, TakeWriting()).sentence == "Only 1 of the 2 devices needed can be heard."
    (offer,) = writing(hall, Post.R2).offers
    assert (offer.do, offer.words) == (Do.ALONE, "Write without the others")
    assert "only one of the two will count" in offer.warning
    assert hall.do(Post.R2, WriteAlone()).done
    assert writing(hall, Post.R2).alone and writing(hall, Post.R2).here
    assert hall.do(Post.R2, Point(Team.B)).kind == "accepted"
    saved = hall.look(Post.R2).saved
    assert saved.here and saved.on < 2


def test_with_the_others_in_reach_they_are_asked_first() -> None:
    hall = in_set()
    lost(hall, Post.SCORER)
    answer = hall.do(Post.R2, WriteAlone())
    assert (answer.kind, answer.code) == ("refused", "ask_first")


# -- asked before, answered after


def test_a_request_asked_of_a_lost_writer_is_answered_by_the_next_one() -> None:
    hall = in_set()
    lost(hall, Post.SCORER)
    assert hall.do(Post.R1, TimeOut(Team.B)).kind == "requested"
    assert hall.look(Post.R1).waiting_requests == 1
    assert hall.do(Post.R2, TakeWriting()).done
    hall.pass_time(1.0)
    assert hall.court(Post.R1).match.court(Team.B).time_outs == 1
    assert hall.look(Post.R1).waiting_requests == 0
    hall.restart(Post.SCORER)
    one_truth(hall)
    assert hall.court(Post.SCORER).match.court(Team.B).time_outs == 1


def test_a_consent_given_to_a_lost_writer_is_written_by_the_next_one() -> None:
    hall = in_set()
    target = hall.court(Post.SCORER).lines[-1].id
    assert hall.do(Post.SCORER, Point(Team.A)).done
    assert hall.do(Post.SCORER, Strike(target, "written twice")).kind == "requested"
    proposal = next(one for one in hall.look(Post.R1).proposals if one.kind == "older")
    hall.kill(Post.SCORER)
    hall.do(Post.R2, Consent(proposal.id, True))
    hall.pass_time(GONE_S)
    assert hall.court(Post.R2).match.score == (2, 0)
    assert hall.do(Post.R1, TakeWriting()).done
    hall.pass_time(1.0)
    assert hall.court(Post.R2).match.score == hall.court(Post.R1).match.score == (1, 0)
    assert not hall.look(Post.R1).proposals


def test_an_own_request_is_written_by_the_one_who_goes_on_alone() -> None:
    hall = in_set()
    hall.part([Post.SCORER, Post.R1], [Post.R2])
    hall.pass_time(GONE_S)
    assert hall.do(Post.R2, TimeOut(Team.A)).kind == "requested"
    assert hall.do(Post.R2, WriteAlone()).done
    hall.pass_time(1.0)
    assert hall.court(Post.R2).match.court(Team.A).time_outs == 1
    one_truth(hall)
    assert hall.court(Post.SCORER).match.court(Team.A).time_outs == 1


def test_a_request_written_on_a_record_that_does_not_go_on_is_written_on_the_one_that_does() -> None:
    """R1 asks the table while R2 is cut off; R2's record is chosen: R1's time-out is in it, once."""
    hall = in_set()
    hall.part([Post.SCORER, Post.R1], [Post.R2])
    hall.pass_time(GONE_S)
    assert hall.do(Post.R1, TimeOut(Team.B)).kind == "requested"
    hall.do(Post.R2, WriteAlone())
    assert hall.do(Post.R2, Point(Team.B)).done
    hall.heal()
    hall.pass_time(3.0)
    assert hall.court(Post.R2).match.court(Team.B).time_outs == 1
    other = next(one for one in writing(hall, Post.R2).records if not one.counts)
    assert hall.do(Post.R2, ChooseRecord(other.head)).done
    hall.pass_time(3.0)
    for post in CREW_OF_THREE:
        assert hall.court(post).match.score == (1, 1)
        assert hall.court(post).match.court(Team.B).time_outs == 1
    assert hall.court(Post.R1).twice == ()
    assert len(hall.digests()) == 1


# -- records that went apart


def apart(hall: Hall) -> None:
    hall.part([Post.SCORER, Post.R1, Post.SITE], [Post.R2])
    hall.pass_time(GONE_S)
    hall.do(Post.R2, WriteAlone())
    hall.do(Post.R2, Point(Team.B))
    hall.do(Post.R2, Point(Team.B))
    hall.do(Post.SCORER, Point(Team.A))
    hall.heal()
    hall.pass_time(3.0)


def test_of_two_records_each_is_shown_with_its_score_and_its_lines() -> None:
    hall = in_set(ALL)
    apart(hall)
    for post in ALL:
        counted, other = writing(hall, post).records
        assert (counted.counts, counted.score, counted.entries, counted.by) == (True, "2:0", 1, "Table")
        assert (other.counts, other.score, other.entries, other.by) == (False, "1:2", 2, "R2")
        assert other.ago is not None and other.ago > 0
    chosen = {post: Do.CHOOSE in offers(hall, post) for post in ALL}
    assert chosen == {Post.SCORER: False, Post.R2: True, Post.R1: True, Post.SITE: False}


def test_r1_lets_the_other_record_go_on_and_nothing_is_lost() -> None:
    hall = in_set(ALL)
    apart(hall)
    other = writing(hall, Post.R1).records[1]
    assert hall.do(Post.R1, ChooseRecord(other.head)).done
    hall.pass_time(3.0)
    assert hall.court(Post.SCORER).match.score == (1, 2)
    assert writing(hall, Post.SCORER).here
    (plate,) = hall.plates(Post.SCORER, "set_aside")
    assert hall.do(Post.SCORER, EnterAgain(plate.id)).done
    hall.pass_time(3.0)
    assert hall.court(Post.R2).match.score == (2, 2)
    assert [writing(hall, post).records for post in ALL] == [()] * 4
    assert len(hall.digests()) == 1


def test_what_counts_already_is_not_chosen_and_what_is_unknown_neither() -> None:
    hall = in_set(ALL)
    apart(hall)
    head = hall.boxes[Post.R1].station.peer.standing().head.hex()
    assert hall.do(Post.R1, ChooseRecord(head)).code == "counts_already"
    assert hall.do(Post.R1, ChooseRecord("ff" * 32)).sentence == "That is not a line of the record."
    assert hall.do(Post.R1, ChooseRecord("no hex")).code == "counts_already"


# -- handing on


def test_the_referee_who_opened_the_court_lets_the_table_write() -> None:
    hall = Hall((Post.R2, Post.SCORER, Post.R1))
    first = writing(hall, Post.R2).offers[0]
    assert (first.do, first.words, first.to) == (Do.HAND, "Let the table write", "scorer")
    assert hall.do(Post.SCORER, HandWriting("R1")).code == "not_writer"
    assert hall.do(Post.R2, HandWriting("scorer")).done
    hall.begin()
    assert all(writing(hall, post).post == "scorer" for post in CREW_OF_THREE)
    assert hall.look(Post.R1).saved.on == 3


def test_writing_is_not_handed_to_one_who_is_not_there() -> None:
    hall = in_set()
    lost(hall, Post.R2)
    assert hall.do(Post.SCORER, HandWriting("R2")).sentence == "R2 can't be heard now."
    assert hall.do(Post.SCORER, HandWriting("assistant")).code == "out_of_reach"
    assert hall.do(Post.SCORER, HandWriting("scorer")).code == "writes_already"
    assert [one.to for one in writing(hall, Post.SCORER).offers] == ["R1"]


def test_a_writer_that_was_started_again_can_hand_on_at_once() -> None:
    hall = in_set()
    hall.kill(Post.SCORER)
    hall.restart(Post.SCORER)
    hall.pass_time(0.2)
    assert hall.do(Post.SCORER, HandWriting("R2")).done
    assert hall.do(Post.R2, Point(Team.A)).kind == "accepted"
    hall.pass_time(3.0)
    assert len(hall.digests()) == 1 and hall.boxes[Post.R2].station.peer.standing().firm


# -- a device is lost


def test_a_lost_device_is_taken_out_and_the_rest_goes_on() -> None:
    hall = in_set(FULL)
    lost(hall, Post.R2)
    row = next(one for one in hall.look(Post.SCORER).devices if one.post == "R2")
    assert row.state == "late" or row.state == "lost"
    offer = next(one for one in row.offers if one.do is Do.TAKE_OUT)
    assert (offer.words, offer.device) == ("Lost: take it out", device(hall, Post.R2))
    assert hall.do(Post.SCORER, TakeOut(row.device)).done
    hall.pass_time(3.0)
    assert hall.do(Post.SCORER, Point(Team.B)).done
    left = {"R1", "scorer", "assistant"}
    for post in (Post.SCORER, Post.R1, Post.ASSISTANT):
        assert {one.post for one in hall.look(post).devices} == left
        saved = hall.look(post).saved
        assert (saved.on, saved.of) == (3, 3)  # the lost one is asked no more
    assert hall.court(Post.R1).match.score == (1, 1)


def test_the_writers_device_is_taken_out_and_another_one_writes() -> None:
    hall = in_set()
    lost(hall, Post.SCORER)
    assert hall.do(Post.R2, TakeOut(device(hall, Post.SCORER))).done
    hall.pass_time(0.5)
    seen = writing(hall, Post.R1)
    assert (seen.gone, seen.post, seen.reached) == (True, "", False)
    assert [one.words for one in seen.offers] == ["Write here"]
    assert hall.do(Post.R2, TakeWriting()).done
    assert hall.do(Post.R2, Point(Team.B)).kind == "accepted"
    hall.pass_time(1.0)
    saved = hall.look(Post.R1).saved
    assert (saved.on, saved.of) == (2, 2)


def test_a_device_that_was_taken_out_is_told_and_says_so() -> None:
    hall = in_set()
    assert hall.do(Post.R1, TakeOut(device(hall, Post.R2)), wait=1.0).done
    look = hall.look(Post.R2)
    assert look.lost == "R1 took this device out of the crew. Nobody is R2 now."
    assert hall.do(Post.R2, Point(Team.A)).sentence == look.lost
    assert not hall.boxes[Post.R2].links
    hall.pass_time(GONE_S)
    look = hall.look(Post.R2)
    assert look.writing.offers == () and not any(one.offers for one in look.devices)


def test_a_lost_device_that_comes_back_is_told_too() -> None:
    hall = in_set()
    lost(hall, Post.R2)
    assert hall.do(Post.SCORER, TakeOut(device(hall, Post.R2))).done
    hall.restart(Post.R2)
    hall.pass_time(2.0)
    assert hall.look(Post.R2).lost.startswith("Table took this device out of the crew.")
    assert not hall.boxes[Post.R2].links


def test_nobody_takes_out_the_own_device_or_one_that_is_not_there() -> None:
    hall = in_set()
    assert hall.do(Post.R2, TakeOut(device(hall, Post.R2))).code == "own_device"
    assert hall.do(Post.R2, TakeOut("ab" * 32)).sentence == "That device is not in the crew."
    assert hall.do(Post.R2, TakeOut("xyz")).code == "no_such_device"


# -- another job


def test_two_devices_swap_their_jobs() -> None:
    hall = in_set()
    assert hall.do(Post.R1, GiveJob(device(hall, Post.R1), "R2")).done
    hall.pass_time(2.0)
    assert hall.look(Post.R1).post == "R2" and hall.look(Post.R2).post == "R1"
    assert hall.do(Post.SCORER, Point(Team.A)).done
    assert len(hall.digests()) == 1


@pytest.mark.parametrize("by", [Post.SCORER, Post.R2])
def test_the_writers_device_gets_another_job_and_goes_on_writing(by: Post) -> None:
    hall = in_set()
    assert hall.do(by, GiveJob(device(hall, Post.SCORER), "R2")).done
    hall.pass_time(4.0)
    look = hall.look(Post.SCORER)
    assert (look.post, look.writing.here, look.writing.word) == ("R2", True, "R2")
    assert hall.look(Post.R2).post == "scorer"
    assert hall.do(Post.SCORER, Point(Team.A)).kind == "accepted"
    assert hall.do(Post.SCORER, HandWriting("scorer")).done
    assert hall.do(Post.R2, Point(Team.A)).kind == "accepted"
    hall.pass_time(3.0)
    assert hall.look(Post.R1).saved.on == 3 and len(hall.digests()) == 1


def test_a_post_is_left_empty_and_filled_again() -> None:
    hall = in_set(FULL)
    assert hall.do(Post.R1, GiveJob(device(hall, Post.ASSISTANT), "scorer")).done
    hall.pass_time(2.0)
    assert hall.do(Post.R1, TakeOut(device(hall, Post.SCORER))).done
    hall.pass_time(2.0)
    assert hall.boxes[Post.R1].station.filled() == ("R1", "R2", "scorer")
    assert hall.do(Post.ASSISTANT, TakeWriting()).done
    hall.pass_time(1.0)
    look = hall.look(Post.ASSISTANT)
    assert (look.post, look.writing.here) == ("scorer", True)
    assert hall.do(Post.ASSISTANT, Point(Team.B)).kind == "accepted"
    assert (hall.look(Post.R2).saved.on, hall.look(Post.R2).saved.of) == (3, 3)


def test_jobs_that_can_not_be_given_are_refused_in_words() -> None:
    hall = in_set(ALL)
    assert hall.do(Post.R1, GiveJob(device(hall, Post.R2), "R2")).sentence == "That device is R2 already."
    assert hall.do(Post.R1, GiveJob(device(hall, Post.R2), "coach")).code == "no_such_job"
    assert hall.do(Post.R1, GiveJob(device(hall, Post.R2), "site")).code == "supervisor"
    assert hall.do(Post.R1, GiveJob("00", "R2")).code == "no_such_device"


# -- crews of two and one


def test_in_a_crew_of_two_one_goes_on_alone_and_both_agree_afterwards() -> None:
    hall = in_set(TWO)
    assert (hall.look(Post.R2).saved.on, hall.look(Post.R2).saved.of) == (2, 2)
    lost(hall, Post.SCORER)
    assert offers(hall, Post.R2) == [Do.ALONE]
    assert hall.do(Post.R2, WriteAlone()).done
    assert hall.do(Post.R2, Point(Team.B)).kind == "accepted"
    assert writing(hall, Post.R2).alone
    hall.restart(Post.SCORER)
    one_truth(hall)
    seen = writing(hall, Post.SCORER)
    assert (seen.post, seen.alone) == ("R2", False)  # confirmed as soon as both were there
    assert (hall.look(Post.R2).saved.on, hall.look(Post.R2).saved.of) == (2, 2)


def test_in_a_crew_of_two_a_linked_supervisor_decides_too() -> None:
    hall = in_set((*TWO, Post.SITE))
    hall.pass_time(2.0)
    assert hall.look(Post.R2).saved.of == 3
    lost(hall, Post.SCORER)
    assert offers(hall, Post.R2) == [Do.TAKE]
    assert hall.do(Post.R2, TakeWriting()).done
    assert writing(hall, Post.R2).here and not writing(hall, Post.R2).alone


def test_in_a_crew_of_three_a_supervisor_does_not_decide() -> None:
    hall = in_set(ALL)
    hall.pass_time(3.0)
    assert hall.look(Post.R2).saved.of == 3
    site = hall.boxes[Post.SITE].identity.device
    assert site not in hall.boxes[Post.R2].station.peer.standing().voters


def test_alone_from_the_start_one_writes_and_nothing_is_asked() -> None:
    hall = in_set((Post.SCORER,), settings=Settings(worn=False))
    assert offers(hall, Post.SCORER) == []
    assert hall.do(Post.SCORER, Point(Team.B)).kind == "accepted"
    assert (hall.look(Post.SCORER).saved.on, hall.look(Post.SCORER).saved.of) == (1, 1)


# -- catching up


def test_a_station_says_how_far_it_has_caught_up() -> None:
    hall = in_set()
    hall.kill(Post.R1)
    hall.boxes[Post.R1].disk.clear()
    scorer = hall.boxes[Post.SCORER]
    for _ in range(200):
        scorer.station.author("free", ("shown", {"notice": b"n" * 32}), scorer.now, scorer.wall)
    hall.pass_time(1.0)
    box = hall.boxes[Post.R1]
    box.start()
    empty = hall.look(Post.R1)
    assert (empty.here, empty.catching_up) == (False, None)
    hall.delay = (0.5, 0.5)
    hall.heal()
    seen = []
    for _ in range(40):
        hall.pass_time(0.25)
        look = hall.look(Post.R1)
        seen.append((look.here, look.catching_up))
    told = [one for here, one in seen if one is not None]
    assert told and told[0].had < told[0].total and told[0].total > 200
    assert any(not here and one is not None for here, one in seen)
    assert seen[-1] == (True, None)


# -- a disk that does not answer


def test_nothing_is_said_to_be_saved_while_the_disk_does_not_answer(tmp_path: Path) -> None:
    hall = in_set()
    box = hall.boxes[Post.SCORER]
    committed, waiting = box.station.committed, []
    box.station.committed = lambda *batch: waiting.append(batch)  # type: ignore[method-assign]
    assert hall.do(Post.SCORER, Point(Team.B)).done
    hall.pass_time(4.0)
    saved = hall.look(Post.SCORER).saved
    assert (saved.here, saved.waiting) == (False, 1) and saved.waited == pytest.approx(4.1, abs=0.3)
    told = stalled(tmp_path / "match.sqlite", saved)
    assert told.startswith(f"{tmp_path}/match.sqlite: The disk has not answered for 4 s") and told.endswith(
        "disk."
    )
    assert hall.court(Post.R1).match.score == (1, 0)  # nothing leaves before it is saved
    box.station.committed = committed  # type: ignore[method-assign]
    for batch in waiting:
        committed(*batch)
    hall.pass_time(1.0)
    saved = hall.look(Post.SCORER).saved
    assert (saved.here, saved.on, saved.waited) == (True, 3, 0.0)
    assert stalled(tmp_path, saved) == ""
    assert hall.court(Post.R1).match.score == (1, 1)
