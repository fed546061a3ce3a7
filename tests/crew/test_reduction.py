"""The crew is a set of acts: any order and any partial delivery gives the same notices."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from crewlink.crew.kinds import Asked, all_kinds, asked
from crewlink.crew.notice import Act
from crewlink.crew.permissions import ACTS
from crewlink.crew.posts import CREW
from crewlink.crew.reduction import Crew, reduce, reduce_all
from crewlink.digest import canonical

POSTS = ["R1", "R2", "scorer", "assistant", "site"]
NOTICES = [bytes([k]) * 4 for k in range(3)]
NAMES = sorted(ACTS)


def act(number: int, post: str, name: str, fields: dict[str, object], stamp: int = 0) -> Act:
    return Act(
        id=number.to_bytes(4, "big"),
        post=post,
        device=post.encode(),
        anchor=b"head",
        time=0,
        stamp=stamp,
        name=name,
        fields=fields,
    )


@st.composite
def acts(draw: st.DrawFn) -> list[Act]:
    found = []
    for number in range(draw(st.integers(1, 25))):
        name = draw(st.sampled_from(NAMES))
        notice = draw(st.sampled_from(NOTICES))
        fields: dict[str, object] = {"notice": notice, "step": draw(st.sampled_from(["again", "told"]))}
        if name == "raise":
            fields = {"id": notice, "kind": draw(st.sampled_from(sorted(all_kinds()))), "asks": ["R1", "R2"]}
            if draw(st.booleans()):
                fields["joins"] = draw(st.sampled_from(NOTICES))
        if name == "request":
            fields = {"command": ["point", {"team": "A"}], "cause": draw(st.sampled_from([b"", notice]))}
        if name == "refusal":
            fields = {"request": number.to_bytes(4, "big"), "epoch": notice, "ruling": {"code": "x"}}
        if name == "tick":
            fields = {
                "duty": draw(st.sampled_from(["positions", "talk"])),
                "fault": draw(st.sampled_from(["", "4"])),
            }
        if name == "clock":
            fields = {"kind": "warm_up", "do": draw(st.sampled_from(["start", "hold", "ran"])), "ms": 5}
        if name == "expected":
            fields = {"post": "R1", "where": draw(st.sampled_from(["", "court 3"]))}
        if name == "consent":
            fields = {"proposal": notice, "agree": draw(st.booleans())}
        if draw(st.booleans()):
            fields["on_behalf"] = draw(st.sampled_from(POSTS))
        post = draw(st.sampled_from(POSTS))
        found.append(act(number, post, name, fields, draw(st.integers(0, 9))))
    return found


@settings(max_examples=300, deadline=None)
@given(acts(), st.randoms(use_true_random=False))
def test_any_order_gives_the_same_crew(found: list[Act], shuffle: random.Random) -> None:
    other = list(found)
    shuffle.shuffle(other)
    assert pack(reduce_all(found)) == pack(reduce_all(other))


def pack(crew: Crew) -> bytes:
    return canonical(crew)


def test_an_answer_before_its_raise_is_kept() -> None:
    crew = reduce(Crew(), act(1, "R1", "answer", {"notice": b"n"}))
    crew = reduce(crew, act(2, "scorer", "raise", {"id": b"n", "kind": "wrong_server", "asks": ["R1"]}))
    assert crew.notices[b"n"].all_answered


def test_an_answer_by_sign_is_never_the_posts_own() -> None:
    crew = reduce(Crew(), act(1, "scorer", "raise", {"id": b"n", "kind": "wrong_server", "asks": ["R1"]}))
    crew = reduce(crew, act(2, "R2", "answer", {"notice": b"n", "on_behalf": "R1"}))
    notice = crew.notices[b"n"]
    assert "R1" not in notice.answers
    assert notice.relayed["R1"].by == "R2"
    assert notice.all_answered


def test_the_site_cannot_answer_for_an_official() -> None:
    crew = reduce(Crew(), act(1, "site", "answer", {"notice": b"n", "on_behalf": "R1"}))
    assert not crew.notices
    assert crew.ignored == ((1).to_bytes(4, "big"),)


def test_only_the_raiser_or_the_first_referee_withdraws() -> None:
    crew = reduce(Crew(), act(1, "scorer", "raise", {"id": b"n", "kind": "wrong_server", "asks": ["R1"]}))
    crew = reduce(crew, act(2, "R2", "withdraw", {"notice": b"n", "reason": "no"}))
    assert crew.notices[b"n"].end is None
    crew = reduce(crew, act(3, "scorer", "withdraw", {"notice": b"n", "reason": "misread"}))
    end = crew.notices[b"n"].end
    assert end is not None and (end.post, end.reason) == ("scorer", "misread")


def test_closed_beats_withdrawn_whatever_came_first() -> None:
    crew = reduce(Crew(), act(1, "R1", "raise", {"id": b"n", "kind": "wrong_server", "asks": ["R2"]}))
    crew = reduce(crew, act(2, "R1", "withdraw", {"notice": b"n", "reason": "no"}))
    crew = reduce(crew, act(3, "R1", "close", {"notice": b"n", "reason": "corrected"}))
    end = crew.notices[b"n"].end
    assert end is not None and end.reason == "corrected"


def test_every_other_post_is_asked_and_unfilled_ones_are_left_out() -> None:
    kind = all_kinds()["conduct"]
    assert asked(kind, ("R1", "R2", "scorer"), ["R2"]) == Asked(("R1", "scorer"), ("assistant",))
    assert asked(kind, tuple(map(str, CREW)), ["scorer"]) == Asked(("R1", "R2", "assistant"), ())


def test_an_unknown_act_changes_nothing_and_is_remembered() -> None:
    crew = reduce(Crew(), act(1, "R1", "wave", {}))
    assert crew.unknown == ((1).to_bytes(4, "big"),)


def test_an_officials_own_word_stands_above_what_was_entered_for_him() -> None:
    crew = reduce(Crew(), act(1, "R1", "consent", {"proposal": b"p", "agree": False}, stamp=5))
    crew = reduce(
        crew, act(2, "R2", "consent", {"proposal": b"p", "agree": True, "on_behalf": "R1"}, stamp=9)
    )
    vote = crew.consents[b"p"]["R1"]
    assert (vote.own, vote.agree) == (True, False)
    crew = reduce(crew, act(3, "R1", "consent", {"proposal": b"p", "agree": True}, stamp=10))
    assert crew.consents[b"p"]["R1"].agree


def test_a_raise_by_sign_asks_neither_of_the_two_and_names_both() -> None:
    fields: dict[str, object] = {"id": b"n", "kind": "conduct", "asks": ["R2"], "on_behalf": "R1"}
    crew = reduce(Crew(), act(1, "scorer", "raise", fields))
    raised = crew.notices[b"n"].raised
    assert raised is not None and raised.behind == ("R1", "scorer")
    crew = reduce(crew, act(2, "R2", "close", {"notice": b"n", "reason": "x", "on_behalf": "R1"}))
    end = crew.notices[b"n"].end
    assert end is not None and (end.post, end.by) == ("R1", "R2")
