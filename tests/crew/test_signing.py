"""The end of a match: the audit, signatures in the profile's order, the lock, and what comes too late."""

from __future__ import annotations

import json
from collections.abc import Mapping
from types import MappingProxyType

import pytest
from msgspec import structs

from crewlink.charter import Settings
from crewlink.crew.commands import (
    AnswerNotice,
    CloseNotice,
    Consent,
    EnterAgain,
    Hold,
    Raise,
    Ready,
    Sign,
    TickDuty,
)
from crewlink.crew.posts import CREW, Post
from crewlink.match.commands import Command, Pair, Point, Strike, Substitute, TimeOut
from crewlink.match.setup import OverrideValue
from crewlink.match.teams import Team
from crewlink.record.export import record_json
from crewlink.rules.format import FormatOptions
from crewlink.signing import places
from tests.crew.hall import ALL, SETUP, Hall

ORDER = ("scorer", "captain_a", "captain_b", "R2", "R1")
FULL = (*CREW, Post.SITE)
SHORT = FormatOptions(best_of=1, points=3)


def ended(
    posts: tuple[Post, ...] = ALL,
    *,
    profile: str = "INT",
    worn: bool = True,
    before: tuple[Command, ...] = (Point(Team.B),),
    overrides: Mapping[str, OverrideValue] = MappingProxyType({}),
) -> Hall:
    """A match in one set of three points, which is over."""
    setup = structs.replace(SETUP, profile=profile, format=SHORT, overrides=dict(overrides))
    hall = Hall(posts, setup=setup, settings=Settings(worn=worn), voters=posts)
    hall.begin()
    for command in before:
        assert hall.do(Post.SCORER, command).done
    for _ in range(3):
        hall.do(Post.SCORER, Point(Team.A))
    assert hall.court(Post.SCORER).match.finished
    return hall


def signed(hall: Hall, post: Post = Post.SITE) -> list[str]:
    """Who has signed, with the post that entered it where it was not the signer's own."""
    filled = hall.boxes[post].station.filled()
    return [
        p.signer if p.signed.by == p.signer else f"{p.signer} by {p.signed.by}"
        for p in places(hall.court(post), filled)
        if p.signed is not None
    ]


def locked(hall: Hall, post: Post) -> bool:
    return hall.look(post).phase == "sealed"


def sign_all(hall: Hall) -> None:
    for post in (Post.SCORER, Post.SCORER, Post.SCORER, Post.R2, Post.R1):
        assert hall.do(post, Sign()).done


def test_all_sign_in_the_profiles_order_and_the_writer_locks_it() -> None:
    hall = ended()
    assert hall.do(Post.R1, Sign("R1")).code == "not_their_turn"
    assert hall.do(Post.SCORER, Sign()).done
    assert hall.do(Post.SCORER, Sign("captain_b")).sentence == "Captain A signs first."
    assert hall.do(Post.SCORER, Sign("captain_a")).done and hall.do(Post.SCORER, Sign("captain_b")).done
    assert hall.do(Post.R1, Sign()).code == "not_your_job", "it is R2's turn, and R1 enters nobody's sign"
    assert hall.do(Post.R2, Sign()).done
    assert not any(locked(hall, post) for post in ALL)
    assert hall.do(Post.R1, Sign()).done
    hall.pass_time(3.0)
    assert all(locked(hall, post) for post in ALL)
    assert signed(hall) == ["scorer", "captain_a by scorer", "captain_b by scorer", "R2", "R1"]
    assert len(hall.digests()) == 1


def test_another_profile_has_other_signers() -> None:
    hall = ended(profile="USJ")
    assert hall.do(Post.SCORER, Sign()).done and hall.do(Post.SCORER, Sign("coach_b")).done
    assert hall.do(Post.SCORER, Sign("R2")).code == "no_such_signer"
    assert hall.do(Post.R1, Sign()).done
    hall.pass_time(3.0)
    assert signed(hall) == ["coach_a by scorer", "coach_b by scorer", "R1"] and locked(hall, Post.SITE)


def test_an_event_may_set_the_order() -> None:
    hall = ended(overrides={"sign_off.order": ["R1", "captain_b"]})
    assert hall.do(Post.R1, Sign()).done
    hall.pass_time(3.0)
    assert not locked(hall, Post.R1), "captain B has still to sign"
    hall.do(Post.SCORER, Sign())
    hall.pass_time(3.0)
    assert signed(hall) == ["R1", "captain_b by scorer"] and locked(hall, Post.R1)


def test_without_worn_devices_r1_signs_by_a_sign_that_r2_enters() -> None:
    hall = ended((Post.SCORER, Post.R2, Post.SITE), worn=False)
    for post in (Post.SCORER, Post.SCORER, Post.SCORER, Post.R2, Post.R2):
        assert hall.do(post, Sign()).done
    hall.pass_time(3.0)
    assert signed(hall)[-2:] == ["R2", "R1 by R2"] and locked(hall, Post.SITE)


def test_a_crew_without_r2_leaves_that_signature_out() -> None:
    hall = ended((Post.SCORER, Post.R1, Post.SITE))
    for post in (Post.SCORER, Post.SCORER, Post.SCORER, Post.R1):
        assert hall.do(post, Sign()).done
    hall.pass_time(3.0)
    assert signed(hall) == ["scorer", "captain_a by scorer", "captain_b by scorer", "R1"]
    assert locked(hall, Post.SITE)


def test_the_scorer_alone_enters_all_and_locks_it() -> None:
    hall = ended((Post.SCORER,), worn=False)
    for _ in range(4):
        assert hall.do(Post.SCORER, Sign()).done
    hall.pass_time(1.0)
    assert signed(hall, Post.SCORER)[-1] == "R1 by scorer" and locked(hall, Post.SCORER)


def test_nobody_signs_before_the_end() -> None:
    hall = Hall()
    hall.begin()
    answer = hall.do(Post.SCORER, Sign())
    assert (answer.code, answer.sentence) == ("not_to_sign_yet", "The match is not over.")


def test_the_supervisor_signs_nothing() -> None:
    hall = ended()
    assert hall.do(Post.SITE, Sign()).code == "not_your_job"


def test_nobody_signs_while_something_urgent_is_open() -> None:
    hall = ended()
    hall.do(Post.R2, Raise("medical", "A", 4))
    id_ = hall.plate(Post.R1, "medical").id
    assert hall.do(Post.SCORER, Sign()).sentence == "First deal with this: Injury."
    for post in (Post.R1, Post.SITE):
        hall.do(post, AnswerNotice(id_))
    assert hall.do(Post.SCORER, Sign()).code == "not_to_sign_yet", "answered is not dealt with"
    hall.do(Post.R1, CloseNotice(id_, "walks off by itself"))
    assert hall.do(Post.SCORER, Sign()).done


def test_nobody_signs_while_an_old_line_waits_for_another_official() -> None:
    hall = ended()
    first = hall.court(Post.SCORER).lines[4].id
    assert hall.do(Post.SCORER, Strike(first, "not played")).kind == "requested"
    assert "another official" in hall.do(Post.SCORER, Sign()).sentence
    (asked,) = (one for one in hall.look(Post.R2).proposals if one.kind == "older")
    hall.do(Post.R2, Consent(asked.id, False))
    assert hall.do(Post.SCORER, Sign()).done


def test_what_the_audit_finds_is_looked_at_first() -> None:
    hall = ended()
    assert hall.look(Post.SCORER).audit == ()
    hall = ended(before=(Substitute(Team.A, (Pair(9, 3),)), Point(Team.B), Substitute(Team.A, (Pair(3, 9),))))
    hall.do(Post.SCORER, Strike(hall.court(Post.SCORER).lines[4].id, "wrong number"))
    (asked,) = (one for one in hall.look(Post.R2).proposals if one.kind == "older")
    hall.do(Post.R2, Consent(asked.id, True))
    for post in (Post.SCORER, Post.R1):
        (found,) = hall.look(post).audit
        assert found.code == "does_not_fit" and found.entry == hall.court(post).lines[6].id.hex()
    assert "what the check of the score sheet found" in hall.do(Post.SCORER, Sign()).sentence
    assert hall.do(Post.SCORER, TickDuty("audit")).done
    sign_all(hall)
    hall.pass_time(3.0)
    assert locked(hall, Post.R1), "people decide what a finding is worth"


def test_a_correction_after_signatures_has_everybody_sign_again() -> None:
    hall = ended()
    for _ in range(3):
        hall.do(Post.SCORER, Sign())
    last = hall.court(Post.SCORER).lines[-1].id
    hall.do(Post.SCORER, Strike(last, "not played"))
    assert hall.do(Post.R2, Sign()).sentence == "The match is not over."
    hall.do(Post.SCORER, Point(Team.A))
    assert signed(hall) == []
    states = [(one.signer, one.state) for one in hall.look(Post.R2).signing]
    assert states == [*((one, "again") for one in ORDER[:3]), ("R2", "waits"), ("R1", "waits")]
    sign_all(hall)
    hall.pass_time(3.0)
    assert locked(hall, Post.R1)


def test_after_the_lock_commands_are_refused_in_one_sentence_and_talk_goes_on() -> None:
    hall = ended()
    sign_all(hall)
    hall.pass_time(3.0)
    lines = len(hall.court(Post.SCORER).lines)
    for post, command in (
        (Post.SCORER, Point(Team.A)),
        (Post.R2, TimeOut(Team.A)),
        (Post.SCORER, Strike(hall.court(Post.SCORER).lines[-1].id, "wrong")),
        (Post.R1, Ready()),
        (Post.R1, Hold("still writing")),
        (Post.R1, Sign()),
    ):
        answer = hall.do(post, command)
        assert (answer.kind, answer.sentence) == ("refused", "This match is finished and locked."), command
    assert hall.do(Post.R2, Raise("medical", "A", 4)).done
    assert hall.do(Post.R1, AnswerNotice(hall.plate(Post.R1, "medical").id)).done
    assert hall.do(Post.SCORER, TickDuty("cleared")).done
    assert all(len(hall.court(post).lines) == lines for post in ALL)
    assert hall.look(Post.SITE).phase_word == "Finished and locked"


def test_it_is_not_locked_before_it_is_safe_on_another_device() -> None:
    hall = ended()
    for post in (Post.SCORER, Post.SCORER, Post.SCORER, Post.R2):
        hall.do(post, Sign())
    hall.part([Post.SCORER], [Post.R2], [Post.R1], [Post.SITE])
    hall.do(Post.R1, Sign())
    hall.pass_time(5.0)
    assert not locked(hall, Post.SCORER) and not locked(hall, Post.R1)
    hall.heal()
    hall.pass_time(6.0)
    assert all(locked(hall, post) for post in ALL)


def test_a_writer_that_restarts_after_the_last_point_locks_it_once_the_others_confirm_it() -> None:
    hall = ended()
    hall.kill(Post.SCORER)
    hall.pass_time(1.0)
    hall.restart(Post.SCORER)
    hall.pass_time(3.0)
    sign_all(hall)
    hall.pass_time(20.0)
    assert all(locked(hall, post) for post in ALL)


def test_another_writer_locks_it_when_the_scorers_device_is_gone() -> None:
    hall = ended()
    for post in (Post.SCORER, Post.SCORER, Post.SCORER):
        hall.do(post, Sign())
    hall.kill(Post.SCORER)
    hall.pass_time(12.0)
    r2 = hall.boxes[Post.R2]
    r2.station.peer.take_pen(r2.now, r2.wall)
    hall.pass_time(8.0)
    hall.do(Post.R2, Sign())
    hall.do(Post.R1, Sign())
    hall.pass_time(5.0)
    assert locked(hall, Post.R2) and locked(hall, Post.SITE)


def test_what_a_lost_device_wrote_beside_a_locked_record_is_set_aside_and_shown() -> None:
    hall = ended(FULL)
    hall.part([Post.SCORER, Post.R1, Post.ASSISTANT, Post.SITE], [Post.R2])
    r2 = hall.boxes[Post.R2]
    r2.station.peer.force_pen(r2.now, r2.wall)
    hall.pass_time(0.5)
    last = hall.court(Post.R2).lines[-1].id
    assert hall.do(Post.R2, Strike(last, "not played")).kind in ("accepted", "requested")
    assert hall.do(Post.R2, Point(Team.B)).kind == "accepted"
    for post in (Post.SCORER, Post.SCORER, Post.SCORER, Post.SCORER, Post.R1):
        assert hall.do(post, Sign()).done, "R2 is out of reach: the scorer enters the sign"
    hall.pass_time(3.0)
    assert locked(hall, Post.R1) and not locked(hall, Post.R2)
    hall.heal()
    hall.pass_time(10.0)
    assert all(locked(hall, post) for post in FULL) and len(hall.digests()) == 1
    assert "R2 by scorer" in signed(hall)
    plate = hall.plate(Post.R1, "set_aside")
    assert "written" in plate.detail
    assert hall.do(Post.R1, EnterAgain(plate.id)).sentence.startswith("This match is finished and locked.")
    assert hall.do(Post.R1, CloseNotice(plate.id, "left out")).done
    assert hall.court(Post.R2).match.finished


def test_the_record_as_json_says_who_signed_what_and_who_entered_it() -> None:
    hall = ended()
    hall.do(Post.SCORER, Sign())
    last = hall.court(Post.SCORER).lines[-1].id
    hall.do(Post.SCORER, Strike(last, "not played"))
    hall.do(Post.SCORER, Point(Team.A))
    for _ in range(4):
        hall.do(Post.SCORER, Sign())
    told = json.loads(record_json(hall.court(Post.R1)))
    assert [(one["signer"], one["entered_by"], one["counts"]) for one in told["signed"]] == [
        ("scorer", "scorer", False),
        ("scorer", "scorer", True),
        ("captain_a", "scorer", True),
        ("captain_b", "scorer", True),
        ("R2", "scorer", True),
    ]
    assert told["locked"] is False


@pytest.mark.parametrize("seed", range(6))
def test_signatures_that_cross_lock_one_record(seed: int) -> None:
    """R1 and R2 sign while links come and go: one record is locked, the same everywhere."""
    hall = ended()
    hall.random.seed(seed)
    for _ in range(3):
        hall.do(Post.SCORER, Sign())
    for step in range(30):
        if hall.random.random() < 0.4:
            posts = list(ALL)
            hall.random.shuffle(posts)
            cut = hall.random.randrange(1, 4)
            hall.part(posts[:cut], posts[cut:])
        elif hall.random.random() < 0.5:
            hall.heal()
        post = hall.random.choice([Post.R1, Post.R2, Post.SCORER])
        hall.do(post, Sign("R1" if post is Post.R1 else "R2"), wait=hall.random.uniform(0.0, 2.0))
        if step == 10:
            hall.do(Post.SCORER, Strike(hall.court(Post.SCORER).lines[-1].id, "not played"))
            hall.do(Post.SCORER, Point(Team.A))
            for _ in range(3):
                hall.do(Post.SCORER, Sign())
    hall.heal()
    hall.pass_time(8.0)
    for _ in range(3):
        hall.do(Post.SCORER, Sign(), wait=1.0)
    hall.do(Post.R2, Sign(), wait=1.0)
    hall.do(Post.R1, Sign(), wait=5.0)
    assert all(locked(hall, post) for post in ALL)
    assert len(hall.digests()) == 1
    heads = {box.station.peer.standing().head for box in hall.boxes.values()}
    assert len(heads) == 1
