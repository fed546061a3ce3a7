"""What came first and what was said last, by devices that did not hear each other, one of them an hour off.

The same acts are done in two halls, one with right clocks and one without; they must come to the same.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache

import pytest

from crewlink.crew.commands import HandWriting
from crewlink.crew.posts import Post
from crewlink.lateness import expected
from crewlink.match.commands import Point, TimeOut
from crewlink.match.teams import Team
from crewlink.positions import POSITIONS, fault_since, ticks_here
from crewlink.record.export import record_json
from crewlink.rules.profile import Signer
from crewlink.signing import places
from protocol.entry import Kind
from tests.crew.hall import ALL, Hall

HOUR_S = 3600.0
FULL = (Post.SCORER, Post.R2, Post.R1, Post.ASSISTANT, Post.SITE)
NOTICE, CHECK, FAULT = b"n" * 16, b"c" * 16, "4 and 5 differ"
Clocks = Mapping[Post, tuple[float, float]]
OFF: tuple[Clocks, ...] = (
    {Post.SCORER: (HOUR_S, 0.0)},
    {Post.SCORER: (-HOUR_S, 0.0)},
    {Post.R2: (HOUR_S, 0.0)},
    {Post.R2: (-HOUR_S, 0.0)},
    {Post.SCORER: (5 * HOUR_S, 200.0), Post.R2: (-26 * HOUR_S, -200.0), Post.R1: (HOUR_S, 0.0)},
)
WAYS = ("together", "the pen has moved", "the writer is gone")


def in_set(clocks: Clocks, posts: tuple[Post, ...] = FULL) -> Hall:
    hall = Hall(posts, clocks=clocks)
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    hall.pass_time(3.0)
    return hall


def say(hall: Hall, by: Post, act: str, /, **fields: object) -> None:
    """A free entry of a post, as its station would write it."""
    box = hall.boxes[by]
    box.station.peer.author(Kind.FREE, (act, fields), box.now, box.wall)  # type: ignore[arg-type]
    hall.pass_time(0.02)


def both_say(hall: Hall, post: Post, sooner: bool) -> None:
    """Everything of which the first one, or the last one, counts. R2 and the scorer say it differently."""
    other = Post.R2 if post is Post.SCORER else Post.SCORER
    say(hall, post, "raise", id=NOTICE, kind="conduct", asks=["R1"], detail="coach")
    say(hall, post, "raise", id=CHECK, kind="check_sheet", asks=["R1", "assistant"])
    say(hall, post, "answer", notice=NOTICE, on_behalf="R1")
    say(hall, post, "step", notice=NOTICE, step="again")
    say(hall, post, "close", notice=CHECK, reason=f"by {post}")
    say(hall, post, "consent", proposal=b"p", agree=post is Post.R2, on_behalf="R1")
    say(hall, post, "expected", post="assistant", where=f"court {post}")
    say(hall, post, "clock", kind="service", do="start", ms=5000 if post is Post.R2 else 8000)
    say(hall, post, "clock", kind="warm_up", do="hold" if sooner else "run")
    say(hall, post, "next")
    say(hall, post, "signed", signer="captain_a")
    say(hall, post, "tick", duty=POSITIONS, on_behalf="R1", fault=FAULT if post is Post.R2 else "")
    say(hall, post, "raise", kind="help", asks=["site"], detail=str(post))
    if post is Post.R2:
        say(hall, post, "ready")
    else:
        say(hall, post, "tick", duty=POSITIONS, on_behalf=str(other), fault=FAULT)


def outcome(hall: Hall, post: Post) -> dict[str, object]:
    """What it came to at a station."""
    court, seen = hall.court(post), hall.look(post)
    crew, head = court.crew, court.lines[-1].id
    raised, end = crew.notices[NOTICE].raised, crew.notices[CHECK].end
    captain = next(one.signed for one in places(court, ()) if one.signer is Signer.CAPTAIN_A)
    assert raised is not None and end is not None and captain is not None
    told = json.loads(record_json(court))
    checked = ticks_here(court, POSITIONS).get(("R1", ""))
    return {
        "raised first": raised.post,
        "answered first": crew.notices[NOTICE].relayed["R1"].by,
        "step first": crew.notices[NOTICE].steps["again"].device == hall.boxes[Post.R2].identity.device,
        "closed first": end.reason,
        "agreed last": crew.consents[b"p"]["R1"].by,
        "expected last": expected(court, "assistant"),
        "started last": [one.total for one in seen.clocks if one.kind == "service"],
        "held and let run": [act.do for act in crew.clocks if act.kind == "warm_up"],
        "opened first": crew.next[0].post,
        "signed first": captain.by,
        "checked last": None if checked is None else checked.fault,
        "ready after a fault": fault_since(court, ["R2"], head),
        "in the record": [one["entered_by"] for one in told["notices"] if one["kind"] == "help"],
        "stack": [one.detail for one in seen.notices if one.kind == "help"],
    }


def apart(clocks: Clocks, first: Post, way: str) -> dict[str, object]:
    """R2 and the scorer, who do not hear each other, say all of it, one three seconds after the other."""
    hall = in_set(clocks)
    if way != "together":
        assert hall.do(Post.SCORER, HandWriting("R1")).done
        hall.pass_time(2.0)
        hall.do(Post.R1, Point(Team.B), wait=2.0)
    if way == "the writer is gone":
        hall.kill(Post.R1)
        hall.pass_time(60.0)
    hall.part([Post.SCORER], [Post.R2], [Post.R1, Post.ASSISTANT, Post.SITE])
    hall.pass_time(5.0)
    both_say(hall, first, sooner=True)
    hall.pass_time(3.0)
    both_say(hall, Post.R2 if first is Post.SCORER else Post.SCORER, sooner=False)
    hall.heal()
    hall.pass_time(1.0)
    assert len(hall.digests()) == 1
    return outcome(hall, Post.SITE)


@cache
def with_right_clocks(first: Post, way: str) -> dict[str, object]:
    return apart({}, first, way)


@pytest.mark.parametrize("way", WAYS)
def test_what_was_first_and_last_with_right_clocks(way: str) -> None:
    """So that the tests below compare with something."""
    one, other = with_right_clocks(Post.SCORER, way), with_right_clocks(Post.R2, way)
    assert {name for name in one if one[name] == other[name]} == {"held and let run"}
    assert one["raised first"] == "scorer" and other["raised first"] == "R2"
    assert one["agreed last"] == "R2" and other["agreed last"] == "scorer"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("first", [Post.SCORER, Post.R2])
@pytest.mark.parametrize("clocks", OFF)
def test_with_wrong_clocks_it_is_the_same(clocks: Clocks, first: Post, way: str) -> None:
    assert apart(clocks, first, way) == with_right_clocks(first, way)


@pytest.mark.parametrize("clocks", [{}, *OFF])
@pytest.mark.parametrize("first", [Post.R1, Post.R2])
def test_requests_are_written_in_the_order_in_which_they_were_asked(clocks: Clocks, first: Post) -> None:
    """Asked while nobody writes, by two who do not hear each other; then the writer is back."""
    hall = in_set(clocks, ALL)
    hall.part([Post.SCORER, Post.SITE], [Post.R1], [Post.R2])
    hall.kill(Post.SCORER)
    hall.do(first, TimeOut(Team.A), wait=3.0)
    hall.do(Post.R2 if first is Post.R1 else Post.R1, TimeOut(Team.B), wait=3.0)
    hall.heal()
    hall.pass_time(1.0)
    hall.restart(Post.SCORER)
    hall.pass_time(3.0)
    taken = [line.fact[1]["team"] for line in hall.court(Post.R1).lines if line.fact[0] == "time_out_taken"]
    assert taken[:1] == ["A"]
