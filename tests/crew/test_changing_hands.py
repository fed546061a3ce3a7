"""A crew that changes in mid-match: posts that nobody holds, merged and split, a device that is replaced."""

from __future__ import annotations

from itertools import combinations

import pytest

from crewlink.crew.commands import AnswerNotice, CloseNotice, GiveJob, Raise, Ready, Shown, TakeOut, TickDuty
from crewlink.crew.duties import all_duties
from crewlink.crew.kinds import all_kinds, asked
from crewlink.crew.posts import CREW, Post, acting_for
from crewlink.match.commands import Point, TimeOut
from crewlink.match.teams import Team
from tests.crew.hall import Hall

FULL = (*CREW, Post.SITE)
CREWS = [crew for size in range(1, 5) for crew in combinations(CREW, size)]


def in_set(posts: tuple[Post, ...] = FULL) -> Hall:
    hall = Hall(posts)
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    return hall


def device(hall: Hall, post: Post) -> str:
    return hall.boxes[post].identity.device.hex()


def gone(hall: Hall, post: Post, by: Post = Post.R2) -> None:
    """The device of a post dies and is taken out."""
    hall.kill(post)
    hall.pass_time(6.0)
    assert hall.do(by, TakeOut(device(hall, post))).done
    hall.pass_time(1.0)


def receipt(hall: Hall, seen_by: Post, kind: str, post: str) -> str:
    return next(one.state for one in hall.plate(seen_by, kind).receipts if one.post == post)


# -- who does what in a crew that is not whole


@pytest.mark.parametrize("crew", CREWS, ids=lambda crew: "+".join(crew))
def test_every_duty_has_somebody_in_any_crew_with_a_table_and_an_official(crew: tuple[Post, ...]) -> None:
    table, official = {Post.SCORER, Post.ASSISTANT} & set(crew), {Post.R1, Post.R2} & set(crew)
    for code, duty in all_duties().items():
        doers = duty.done_by(map(str, crew))
        assert set(doers) <= set(map(str, crew))
        assert doers or not (table and official), code


@pytest.mark.parametrize("crew", CREWS, ids=lambda crew: "+".join(crew))
def test_every_notice_asks_somebody_or_nobody_else_is_there(crew: tuple[Post, ...]) -> None:
    for code, kind in all_kinds().items():
        for raiser in crew:
            others = {str(post) for post in crew if post != raiser}
            whom = asked(kind, (*map(str, crew), "site"), (raiser,))
            officials = others & {"R1", "R2"}
            named = {"R1", "R2"} & set(kind.asks)
            assert str(raiser) not in whom.asks
            if kind.may_raise(raiser) and raiser not in named:
                assert not (named and officials) or whom.asks, (code, raiser)


def test_who_acts_for_whom() -> None:
    assert acting_for("R2", ["R1", "scorer"]) == "R1"
    assert acting_for("R1", ["R2", "scorer"]) == "R2"
    assert acting_for("assistant", ["R1", "scorer"]) == "scorer"
    assert acting_for("scorer", ["R1"]) == "R1"
    assert acting_for("R1", ["scorer"]) == "", "a table decides nothing"
    assert acting_for("site", ["R1", "scorer"]) == ""


def test_with_r1_alone_the_tables_question_and_the_counts_go_to_r1() -> None:
    hall = in_set((Post.SCORER, Post.R1, Post.SITE))
    assert hall.do(Post.SCORER, Raise("check_server", "A")).done
    assert hall.plate(Post.R1, "check_server").asked
    for _ in range(2):
        hall.do(Post.SCORER, TimeOut(Team.A))
        hall.do(Post.SCORER, Point(Team.A)) if hall.court(Post.R1).match.phase == "play" else None
    hall.pass_time(3.0)
    assert hall.plates(Post.R1, "count_near_limit")


# -- a post that nobody holds any more


def test_a_post_that_left_is_waited_for_no_longer() -> None:
    hall = in_set()
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    id_ = hall.plate(Post.R1, "wrong_server").id
    for post in (Post.R1, Post.ASSISTANT):
        hall.do(post, AnswerNotice(id_))
    assert hall.plate(Post.SCORER, "wrong_server").state == "open", "R2 has not answered"
    gone(hall, Post.R2, by=Post.R1)
    assert hall.plate(Post.SCORER, "wrong_server").state == "answered"
    assert receipt(hall, Post.SCORER, "wrong_server", "R2") == "unfilled", "nobody is credited with it"


def test_with_nobody_left_who_was_asked_it_stays_open() -> None:
    hall = in_set((Post.SCORER, Post.R2, Post.SITE))
    hall.do(Post.SCORER, Raise("check_sheet"))
    gone(hall, Post.R2, by=Post.SCORER)
    hall.pass_time(40.0)
    (notice,) = hall.notices(Post.SITE, "check_sheet")
    assert not notice.all_answered and hall.plate(Post.SCORER, "check_sheet").state == "open"
    assert "use the whistle" in hall.plate(Post.SCORER, "check_sheet").told


def test_without_r2_the_service_waits_for_the_others_alone() -> None:
    hall = in_set()
    hall.do(Post.SCORER, TimeOut(Team.A))
    gone(hall, Post.R2, by=Post.R1)
    stops = [one.word for one in hall.look(Post.R1).ready.stops]
    assert "R2" not in stops and "Table" in stops


# -- merged and split


def test_without_an_assistant_the_scorer_does_both_and_a_new_one_takes_it_back() -> None:
    hall = in_set()
    hall.do(Post.SCORER, TimeOut(Team.A))
    assert "Assistant" in [one.word for one in hall.look(Post.R1).ready.stops]
    gone(hall, Post.ASSISTANT)
    assert "Assistant" not in [one.word for one in hall.look(Post.R1).ready.stops]
    assert all_duties()["tracking"].done_by(hall.boxes[Post.R1].station.filled()) == ("scorer",)
    assert hall.do(Post.SCORER, Raise("conduct", "B", detail="coach")).done
    assert "assistant" not in hall.notices(Post.R1, "conduct")[0].asks
    hall.enrol(Post.ASSISTANT, by=Post.R2)
    hall.pass_time(3.0)
    assert "Assistant" in [one.word for one in hall.look(Post.R1).ready.stops]
    assert hall.do(Post.R2, Raise("wrong_server", "A", 4)).done
    assert hall.plate(Post.ASSISTANT, "wrong_server").asked
    assert not any(one.asked for one in hall.plates(Post.ASSISTANT, "conduct")), "raised before it was there"


def test_the_assistants_device_takes_the_scorers_job_when_that_one_dies() -> None:
    hall = in_set()
    hall.do(Post.R2, Raise("conduct", "B", detail="coach"))
    id_ = hall.plate(Post.SCORER, "conduct").id
    hall.do(Post.SCORER, Shown(id_))
    hall.kill(Post.SCORER)
    hall.pass_time(12.0)
    helper = device(hall, Post.ASSISTANT)
    assert hall.do(Post.R2, GiveJob(helper, "scorer")).done
    assert hall.do(Post.R2, TakeOut(device(hall, Post.SCORER))).done
    hall.pass_time(2.0)
    look = hall.look(Post.ASSISTANT)
    assert look.post == "scorer" and "This device is Table now, no longer Assistant." in look.findings
    plate = hall.plate(Post.ASSISTANT, "conduct")
    assert plate.asked, "the table has not answered, whoever sits there"
    assert receipt(hall, Post.R2, "conduct", "scorer") in ("sent", "unconfirmed"), "shown on the lost device"
    hall.do(Post.ASSISTANT, AnswerNotice(id_))
    (notice,) = hall.notices(Post.R1, "conduct")
    assert notice.answers["scorer"].device.hex() == helper and "assistant" not in notice.answers


def test_a_new_device_at_the_table_finds_what_is_open_and_nothing_it_did_not_do() -> None:
    hall = in_set()
    hall.do(Post.R2, Raise("check_sheet", detail="score"))
    hall.do(Post.R2, Raise("conduct", "B", detail="coach"))
    hall.do(Post.SCORER, AnswerNotice(hall.plate(Post.SCORER, "conduct").id))
    gone(hall, Post.SCORER)
    hall.enrol(Post.SCORER, by=Post.R2)
    hall.pass_time(4.0)
    (conduct,) = hall.notices(Post.SCORER, "conduct")
    assert conduct.answers["scorer"].device != hall.boxes[Post.SCORER].identity.device
    assert not hall.plate(Post.SCORER, "conduct").asked, "the table has answered"
    assert hall.do(Post.SCORER, TickDuty("written")).done
    assert hall.do(Post.R1, CloseNotice(conduct.id.hex(), "talked to")).done
    hall.pass_time(1.0)
    assert len(hall.digests()) == 1


def test_ready_of_a_post_counts_for_the_post_and_not_for_what_comes_after() -> None:
    hall = in_set()
    hall.do(Post.SCORER, TimeOut(Team.A))
    hall.pass_time(31.0)
    hall.do(Post.R2, Ready())
    gone(hall, Post.R2, by=Post.R1)
    hall.enrol(Post.R2, by=Post.R1)
    hall.pass_time(2.0)
    hall.do(Post.SCORER, Point(Team.A))
    hall.do(Post.SCORER, TimeOut(Team.B))
    states = {one.word: one.state for one in hall.look(Post.R1).ready.stops}
    assert states["R2"] == "waiting"
