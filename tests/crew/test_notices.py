"""Every kind of notice by the table of kinds: whom it asks, when it reaches whom, what ends it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewlink.charter import Settings
from crewlink.crew.commands import (
    AnswerNotice,
    CloseNotice,
    Consent,
    HoldNotice,
    Raise,
    Release,
    SettleNotice,
    Shown,
    WithdrawNotice,
)
from crewlink.crew.kinds import KindsError, all_kinds, parse
from crewlink.crew.posts import CREW, Post
from crewlink.match.commands import EndTimeOut, Point, Replay, Sanction, Strike, TimeOut
from crewlink.match.setup import MatchSetup
from crewlink.match.teams import Person, Role, Team
from crewlink.match.terms import Card, ReplayCause
from crewlink.snapshot import NoticeView
from crewlink.views.notices import flooded
from tests.crew.hall import ALL, SETUP, Hall

FULL = (*CREW, Post.SITE)
COACH = Person(Role.COACH)


def in_set(hall: Hall) -> Hall:
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    return hall


@pytest.fixture
def hall() -> Hall:
    return in_set(Hall())


def rally(hall: Hall) -> None:
    """Let the ball be put in play."""
    hall.pass_time(9.0)
    assert hall.look(Post.R1).phase == "rally"


def state(hall: Hall, post: Post, kind: str) -> str:
    found = hall.plates(post, kind)
    return found[0].state if found else "gone"


def receipt(plate: NoticeView, post: Post) -> tuple[str, str]:
    return next((one.state, one.by) for one in plate.receipts if one.post == post)


EVERY_KIND = {  # level, and who must answer when the scorer of a full crew raises it
    "wrong_server": ("now", {"R1", "R2", "assistant"}),
    "check_server": ("soon", {"R2"}),
    "hold_service": ("now", {"R1"}),
    "stop_play": ("now", {"R1"}),
    "medical": ("now", {"R1", "R2", "site"}),
    "conduct": ("soon", {"R1", "R2", "assistant"}),
    "check_sheet": ("soon", {"R1", "R2"}),
    "help": ("soon", {"site"}),
}


@pytest.mark.parametrize("kind", EVERY_KIND)
def test_each_kind_asks_whom_the_table_of_kinds_says(kind: str) -> None:
    hall = in_set(Hall(FULL))
    assert hall.do(Post.SCORER, Raise(kind, "A", 4)).done
    (notice,) = hall.notices(Post.SITE, kind)
    level, asks = EVERY_KIND[kind]
    assert notice.raised is not None
    assert (notice.raised.urgency, set(notice.asks)) == (level, asks)
    for post in map(Post, asks):
        assert hall.plate(post, kind).asked


def test_the_table_holds_every_kind_and_no_stranger() -> None:
    made_by_program = {"count_near_limit", "late", "set_aside"}
    others = {"set_point", "match_point", "site_message"}
    assert set(all_kinds()) == set(EVERY_KIND) | made_by_program | others
    assert {code for code, kind in all_kinds().items() if kind.by_program} == made_by_program


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('[x]\ntitle="X"\nlevel="loud"\nraised_by=["any"]\nasks=[]\nin_rally=[]\nends="closed"', "level"),
        ('[x]\ntitle="X"\nlevel="now"\nraised_by=["coach"]\nasks=[]\nin_rally=[]\nends="closed"', "coach"),
        (
            '[x]\ntitle="X"\nlevel="now"\nraised_by=[]\nasks=[]\nin_rally=[]\nends="closed"\nwhen="a.b"',
            "when",
        ),
    ],
)
def test_a_faulty_table_of_kinds_says_where(text: str, fault: str) -> None:
    with pytest.raises(KindsError, match=fault):
        parse(text)


@pytest.mark.parametrize(("stop_at_hit", "reached"), [(True, {"R1", "R2"}), (False, {"R2"})])
def test_a_wrong_server_reaches_in_the_rally_whom_the_profile_says(
    stop_at_hit: bool, reached: set[str]
) -> None:
    setup = MatchSetup(
        team_a=SETUP.team_a, team_b=SETUP.team_b, overrides={"wrong_server.stop_at_hit": stop_at_hit}
    )
    hall = in_set(Hall(setup=setup))
    rally(hall)
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4), wait=0.3)
    kind, profile = all_kinds()["wrong_server"], hall.court(Post.R1).match.profile
    assert profile.wrong_server.stop_at_hit is stop_at_hit
    assert {p for p in ("R1", "R2") if kind.reaches_in_rally(p, profile)} == reached


def test_what_is_soon_is_held_in_the_rally_and_comes_at_the_dead_ball(hall: Hall) -> None:
    rally(hall)
    for kind in ("conduct", "check_sheet"):
        hall.do(Post.R2, Raise(kind, "B"))
        assert hall.plate(Post.R1, kind).held
    hall.do(Post.SCORER, Point(Team.A))
    assert not hall.plate(Post.R1, "conduct").held
    assert not hall.plate(Post.R1, "check_sheet").held


def test_a_post_that_is_asked_holds_a_soon_to_the_next_dead_ball_and_all_see_it(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("conduct", "B", detail="coach"))
    id_ = hall.plate(Post.R1, "conduct").id
    assert hall.do(Post.R1, HoldNotice(id_)).done
    assert hall.plate(Post.R1, "conduct").held
    assert not hall.plate(Post.R2, "conduct").held, "R2 did not hold it"
    assert hall.plate(Post.SCORER, "conduct").waits == ("R1",)
    hall.do(Post.R2, AnswerNotice(id_))
    hall.pass_time(40.0)
    assert hall.plate(Post.SCORER, "conduct").told == "", "the only one who must answer holds it"
    hall.do(Post.SCORER, Point(Team.B))
    assert not hall.plate(Post.R1, "conduct").held
    hall.pass_time(31.0)
    assert hall.plate(Post.SCORER, "conduct").told == "R1 not answered: use the whistle"


def test_timers_start_at_the_dead_ball_and_later_lines_do_not_put_them_off(hall: Hall) -> None:
    rally(hall)
    hall.do(Post.R2, Raise("conduct", "B", detail="coach"))
    hall.pass_time(20.0)
    hall.do(Post.SCORER, Point(Team.A), wait=8.0)
    hall.do(Post.SCORER, TimeOut(Team.A), wait=1.0)
    assert hall.plate(Post.R1, "conduct").repeated == 0
    hall.pass_time(1.5)
    assert hall.plate(Post.R1, "conduct").repeated == 1, "10 s after the point, whatever was written since"


def test_a_wrong_server_that_waits_for_the_end_of_the_rally_presses_nobody_before(hall: Hall) -> None:
    later: dict[str, bool | int | str | list[int | str] | None] = {"wrong_server.stop_at_hit": False}
    hall = in_set(Hall(setup=MatchSetup(team_a=SETUP.team_a, team_b=SETUP.team_b, overrides=later)))
    rally(hall)
    hall.do(Post.R2, Raise("wrong_server", "A", 4))
    hall.pass_time(15.0)
    plate = hall.plate(Post.R2, "wrong_server")
    assert (plate.told, plate.repeated) == ("", 0), "R1's device is silent until the stop"
    hall.do(Post.SCORER, Point(Team.A))
    hall.pass_time(10.5)
    assert hall.plate(Post.R2, "wrong_server").told == "R1, Table not answered: use the whistle"


def test_now_does_not_wait_and_only_who_is_asked_may_hold(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    assert hall.do(Post.R1, HoldNotice(hall.plate(Post.R1, "wrong_server").id)).code == "may_not_wait"
    hall.do(Post.SCORER, Raise("check_server", "A"))
    assert hall.do(Post.R1, HoldNotice(hall.plate(Post.R2, "check_server").id)).code == "not_asked"


def test_a_similar_one_is_joined_on_purpose_and_the_plate_counts(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("conduct", "B", detail="coach"))
    first = hall.plate(Post.R1, "conduct").id
    assert hall.do(Post.R2, Raise("conduct", "B", joins=first)).done
    (plate,) = hall.plates(Post.R1, "conduct")
    assert (plate.id, plate.count) == (first, 2)
    assert not hall.plate(Post.R2, "conduct").asked, "who joined it knows"
    hall.do(Post.R1, AnswerNotice(first))
    assert "site" in hall.notices(Post.R1, "conduct")[0].asks, "the second one is the supervisor's, too"
    hall.do(Post.SITE, AnswerNotice(first))
    assert hall.plate(Post.R2, "conduct").state == "answered"


def test_only_an_open_one_of_the_same_kind_is_joined(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("check_sheet", "B"))
    other = hall.plate(Post.R1, "check_sheet").id
    assert hall.do(Post.R2, Raise("conduct", "B", joins=other)).code == "nothing_to_join"
    hall.do(Post.R1, CloseNotice(other, "looked at"))
    assert hall.do(Post.R2, Raise("check_sheet", joins=other)).code == "nothing_to_join"


def test_a_serious_report_asks_the_supervisor_at_once(hall: Hall) -> None:
    hall.do(Post.R2, Raise("conduct", "A", detail="threat"))
    assert hall.plate(Post.SITE, "conduct").asked


def test_conduct_ends_with_the_card_that_r1_gave_for_it(hall: Hall) -> None:
    hall.do(Post.R2, Raise("conduct", "B", detail="coach"))
    id_ = hall.plate(Post.R1, "conduct").id
    card = Sanction(Team.B, COACH, Card.PENALTY)
    assert hall.do(Post.SCORER, SettleNotice(id_, card)).code == "not_your_job"
    assert hall.do(Post.R1, SettleNotice(id_, card)).kind == "requested"
    assert state(hall, Post.R2, "conduct") == "gone"
    court = hall.court(Post.SITE)
    line = court.settling(bytes.fromhex(id_))
    assert line == court.lines[-1].id and court.lines[-1].fact[0] == "sanctioned"
    over = next(one for one in hall.look(Post.SITE).past if one.id == id_)
    assert (over.state, over.outcome, over.line) == ("closed", "Red card B coach, point A", line.hex())


def test_a_card_by_sign_keeps_who_entered_it(hall: Hall) -> None:
    hall.do(Post.R2, Raise("conduct", "B", detail="coach"))
    id_ = hall.plate(Post.R1, "conduct").id
    command = SettleNotice(id_, Sanction(Team.B, COACH, Card.WARNING), on_behalf="R1")
    assert hall.do(Post.SCORER, command).kind == "requested"
    court = hall.court(Post.R1)
    assert court.lines[-1].fact[0] == "sanctioned"
    (request,) = (r for r in court.crew.requests.values() if r.cause == bytes.fromhex(id_))
    assert (request.post, request.on_behalf) == ("scorer", "R1")


def test_a_decision_that_is_crossed_out_opens_the_notice_again(hall: Hall) -> None:
    hall.do(Post.R2, Raise("conduct", "B", detail="coach"))
    id_ = hall.plate(Post.R1, "conduct").id
    hall.do(Post.R1, SettleNotice(id_, Sanction(Team.B, COACH, Card.WARNING)))
    hall.do(Post.SCORER, Strike(hall.court(Post.R1).lines[-1].id, "wrong team"))
    assert state(hall, Post.R1, "conduct") == "open"


def test_a_ball_on_court_ends_with_the_replay(hall: Hall) -> None:
    rally(hall)
    hall.do(Post.R2, Raise("stop_play", detail="ball"))
    assert state(hall, Post.R1, "stop_play") == "open"
    hall.do(Post.SCORER, Replay(ReplayCause.INTERFERENCE))
    assert state(hall, Post.R1, "stop_play") == "gone"


def test_a_hold_names_who_holds_and_is_let_go_by_r1(hall: Hall) -> None:
    hall.do(Post.R2, Raise("hold_service", detail="line-up check"))
    assert hall.plate(Post.R1, "hold_service").detail == "line-up check"
    assert hall.do(Post.SCORER, Release("R2")).code == "not_your_job"
    hall.do(Post.R1, Release("R2"))
    assert state(hall, Post.SCORER, "hold_service") == "gone"


def test_a_wrong_server_links_its_correction(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    (proposal,) = hall.look(Post.R1).proposals
    hall.do(Post.R1, Consent(proposal.id, True))
    (notice,) = hall.notices(Post.SITE, "wrong_server")
    court = hall.court(Post.SITE)
    assert court.settling(notice.id) == court.lines[-1].id
    assert court.lines[-1].fact[0] == "corrected"
    past = next(one for one in hall.look(Post.SITE).past if one.kind == "wrong_server")
    assert past.line == court.lines[-1].id.hex() and past.outcome.startswith("Wrong server A 4")


def test_the_tables_own_mistake_is_withdrawn_and_reaches_all_who_saw_it(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    id_ = hall.plate(Post.SCORER, "wrong_server").id
    hall.do(Post.SITE, Shown(id_))
    hall.do(Post.SCORER, WithdrawNotice(id_, "6 read as 9"))
    for post in ALL:
        assert (hall.plate(post, "wrong_server").state, hall.plate(post, "wrong_server").reason) == (
            "withdrawn",
            "6 read as 9",
        )
    hall.pass_time(5.5)
    assert all(state(hall, post, "wrong_server") == "gone" for post in ALL)


def test_a_withdrawal_reaches_one_who_was_not_asked_but_saw_it(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("check_server", "A"))
    id_ = hall.plate(Post.R2, "check_server").id
    assert hall.plates(Post.R1, "check_server") == []
    hall.do(Post.R1, Shown(id_))
    hall.do(Post.SCORER, WithdrawNotice(id_, "it is 4"))
    assert hall.plate(Post.R1, "check_server").state == "withdrawn"


def test_a_call_for_medical_help_says_send_a_person_after_fifteen_seconds(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("medical", "B", 5))
    hall.pass_time(14.0)
    assert "phone" not in hall.plate(Post.SCORER, "medical").told
    hall.pass_time(1.5)
    for post in (Post.SCORER, Post.R1, Post.R2):
        assert hall.plate(post, "medical").told.endswith("not answered: send a person, phone")


def test_an_injury_is_closed_by_r1_a_head_injury_by_the_medical_post_alone(hall: Hall) -> None:
    hall.do(Post.R2, Raise("medical", "B", 5))
    id_ = hall.plate(Post.R1, "medical").id
    assert hall.do(Post.SCORER, CloseNotice(id_, "plays on")).code == "not_your_job"
    hall.do(Post.R1, CloseNotice(id_, "plays on"))
    assert state(hall, Post.R2, "medical") == "gone"
    hall.do(Post.R2, Raise("medical", "B", 6, detail="head"))
    head = hall.plate(Post.R1, "medical").id
    assert hall.do(Post.R1, CloseNotice(head, "plays on")).code == "medical_post_only"
    hall.do(Post.SITE, CloseNotice(head, "to hospital"))
    assert state(hall, Post.R1, "medical") == "gone"


def test_set_point_is_never_the_supervisors(hall: Hall) -> None:
    for _ in range(23):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    hall.do(Post.R2, Raise("set_point", "A"))
    hall.pass_time(120.0)
    assert hall.plates(Post.SITE, "set_point") == []
    assert hall.plate(Post.R1, "set_point").repeated == 0


def test_the_count_told_to_r2_is_over_at_the_next_rally(hall: Hall) -> None:
    for _ in range(2):
        hall.do(Post.SCORER, TimeOut(Team.B))
        hall.do(Post.SCORER, EndTimeOut())
    assert hall.plate(Post.R2, "count_near_limit").detail.endswith("2nd time-out of 2 used")
    hall.do(Post.SCORER, Point(Team.A))
    assert state(hall, Post.R2, "count_near_limit") == "gone"


@pytest.mark.parametrize(("level", "in_rally"), [("now", False), ("soon", True), ("note", True)])
def test_a_message_of_the_supervisor_is_as_it_was_sent(hall: Hall, level: str, in_rally: bool) -> None:
    rally(hall)
    assert hall.do(Post.SITE, Raise("site_message", detail="next match waits", level=level)).done
    plate = hall.plate(Post.R2, "site_message")
    assert (plate.level, plate.held) == (level, in_rally)


def test_a_message_goes_to_whom_it_names(hall: Hall) -> None:
    hall.do(Post.SITE, Raise("site_message", detail="come to the desk", to=("R1",)))
    assert hall.plate(Post.R1, "site_message").asked
    assert hall.plates(Post.SCORER, "site_message") == []
    assert hall.do(Post.R1, Raise("site_message")).code == "not_your_job"


def test_help_without_a_supervisor_says_to_send_somebody() -> None:
    hall = in_set(Hall((Post.SCORER, Post.R2, Post.R1)))
    assert hall.do(Post.SCORER, Raise("help", detail="ball")).code == "nobody_there"


def test_free_words_reach_those_who_may_read_them_and_no_bench(hall: Hall) -> None:
    hall.do(Post.R2, Raise("conduct", "B", 7, text="swore at a line judge"))
    assert hall.plate(Post.R1, "conduct").text == "swore at a line judge"
    assert hall.plate(Post.SITE, "conduct").text == "swore at a line judge"
    assert hall.plate(Post.SCORER, "conduct").text == ""
    held = b"".join(row.body for row in hall.boxes[Post.SCORER].disk.values())
    private = [row.private for row in hall.boxes[Post.SCORER].disk.values() if row.private]
    assert b"swore" not in held and not any(b"swore" in one for one in private)
    assert hall.do(Post.R2, Raise("conduct", "B", text="x" * 141)).code == "text_too_long"


def test_a_report_by_sign_is_r1s_and_says_who_entered_it(hall: Hall) -> None:
    hall.do(Post.SCORER, Raise("conduct", "A", detail="coach", on_behalf="R1"))
    plate = hall.plate(Post.R2, "conduct")
    assert (plate.raised_by, plate.entered_by) == ("R1", "Table")
    assert receipt(plate, Post.R1) == ("raised", "Table")
    assert not hall.plate(Post.R1, "conduct").asked
    assert hall.do(Post.SITE, Raise("conduct", on_behalf="R1")).code == "not_your_job"


def test_without_worn_devices_r1_answers_by_signs() -> None:
    hall = in_set(Hall((Post.SCORER, Post.R2), settings=Settings(worn=False), voters=(Post.SCORER, Post.R2)))
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    id_ = hall.plate(Post.R2, "wrong_server").id
    hall.do(Post.R2, AnswerNotice(id_))
    assert hall.plate(Post.R2, "wrong_server").state == "open"
    hall.do(Post.R2, AnswerNotice(id_, on_behalf="R1"))
    plate = hall.plate(Post.SCORER, "wrong_server")
    assert plate.state == "answered" and receipt(plate, Post.R1) == ("relayed", "R2")


def test_more_than_ten_in_ten_minutes_fold_the_notes(hall: Hall) -> None:
    for number in range(11):
        hall.do(Post.SITE, Raise("site_message", detail=f"m{number}", level="note"))
    look = hall.look(Post.R2)
    assert look.flood and look.folded == 11
    assert not [one for one in look.notices if one.level == "note"]
    hall.do(Post.SCORER, Raise("conduct", "A"))
    assert hall.plate(Post.R2, "conduct").state == "open", "what is more than a note stays"


@given(st.lists(st.floats(0, 3000), max_size=60), st.floats(0, 4000))
def test_a_flood_begins_above_ten_and_ends_below_five(raised: list[float], now: float) -> None:
    young = sum(1 for at in raised if now - 600.0 < at <= now)
    if young > 10:
        assert flooded(raised, now)
    if young < 5:
        assert not flooded(raised, now)


def test_a_flood_ends_only_below_five() -> None:
    raised = [0.0, *(300.0 + n for n in range(10))]
    assert flooded(raised, 311.0)
    assert flooded(raised, 904.0), "six are still young"
    assert not flooded(raised, 906.5), "three are"
    assert not flooded(raised[1:], 311.0), "ten are no flood"


def test_what_nobody_answered_is_over_with_the_set_and_its_raiser_is_told(hall: Hall) -> None:
    hall.do(Post.R2, Raise("check_sheet", detail="score"))
    for _ in range(24):
        hall.do(Post.SCORER, Point(Team.A), wait=0.02)
    plate = hall.plate(Post.R2, "check_sheet")
    assert (plate.state, plate.level, plate.detail) == ("lapsed", "note", "Over, not answered by R1")
    assert state(hall, Post.R1, "check_sheet") == "gone"


def test_a_late_comer_gets_open_notices_with_their_true_age(hall: Hall) -> None:
    hall.part([Post.SCORER, Post.R2, Post.SITE], [Post.R1])
    hall.do(Post.SCORER, Raise("conduct", "B", detail="coach"))
    hall.pass_time(20.0)
    hall.do(Post.SCORER, Raise("wrong_server", "A", 4))
    hall.pass_time(28.0)
    hall.heal()
    hall.pass_time(3.0)
    first, second = (one for one in hall.look(Post.R1).notices if one.asked)
    assert (first.kind, second.kind) == ("wrong_server", "conduct"), "most urgent first"
    assert second.age == pytest.approx(51.2, abs=0.5)
    assert second.late == pytest.approx(48.2, abs=0.5), "raised 48 s before it came here"


def test_a_number_on_no_list_is_refused_but_for_a_wrong_server(hall: Hall) -> None:
    for kind in ("medical", "conduct"):
        answer = hall.do(Post.R2, Raise(kind, "A", 77))
        assert (answer.kind, answer.code) == ("refused", "not_on_list")
        assert answer.sentence == "77 is not on the list of team A: another number, or none."
    assert hall.do(Post.R2, Raise("medical", "A")).kind != "refused"
    assert hall.do(Post.SCORER, Raise("wrong_server", "A", 77)).kind != "refused"
