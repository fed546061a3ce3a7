"""One table, post by command, held to by the fold and by each station; and why a station has no post."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from crewlink.acting import Me
from crewlink.acts import act
from crewlink.charter import Charter
from crewlink.court import Court
from crewlink.crew.kinds import all_kinds
from crewlink.crew.notice import Act
from crewlink.crew.permissions import ACTS, COMMANDS, command_names, may
from crewlink.crew.posts import Post
from crewlink.crew.reduction import reduce_all
from crewlink.match import commands
from crewlink.match.commands import Point
from crewlink.match.teams import Team
from protocol.roster import Member
from tests.crew.hall import SETUP, Hall

POSTS = tuple(map(str, Post))
R1_DECIDES = {
    "sanction", "misconduct", "adjust", "overrule", "decide_protest", "default", "incomplete", "restart_set",
    "choose",
}  # fmt: skip
CREW_ALONE = {
    "request", "refusal", "consent", "ready", "tick", "clock", "again", "signed", "sign_off", "next",
}  # fmt: skip
TEAM = {"type": "point", "team": "A"}
EXAMPLES: dict[str, dict[str, Any]] = {}


def allowed(post: str, name: str) -> bool:
    """The table once more, said in other words: what product and rules give each post."""
    if name in command_names():
        return post != "site" and (post != "assistant" or name not in R1_DECIDES)
    if name in ("sign_off", "next") and post == "assistant":
        return False
    return post != "site" or name not in CREW_ALONE


def test_the_table_is_what_each_post_is_for_post_by_command() -> None:
    found = {(post, name): may(post, name) for post in POSTS for name in (*ACTS, *COMMANDS)}
    wanted = {(post, name): allowed(post, name) for post in POSTS for name in (*ACTS, *COMMANDS)}
    assert found == wanted
    assert len(found) == 5 * (19 + len(command_names()))


def test_the_table_names_every_command_of_the_match_and_none_else() -> None:
    wire = {str(one.__struct_config__.tag) for one in commands.Command.__args__}
    assert set(COMMANDS) == wire
    assert not set(ACTS) & wire


def test_an_unknown_name_or_post_is_allowed_nothing() -> None:
    assert not any(may(post, "wave") for post in POSTS)
    assert not any(may("coach", name) for name in (*ACTS, *COMMANDS))


def free(post: str, name: str, fields: dict[str, object], number: int = 1) -> Act:
    return Act(bytes([number]), post, post.encode(), b"head", 1, 1, name, fields)


@pytest.mark.parametrize("post", POSTS)
@pytest.mark.parametrize("name", command_names())
def test_the_fold_takes_a_request_only_from_a_post_that_may(post: str, name: str) -> None:
    crew = reduce_all([free(post, "request", {"command": [name, {}]})])
    assert bool(crew.requests) is may(post, name)
    assert bool(crew.ignored) is not may(post, name)


@pytest.mark.parametrize("post", POSTS)
@pytest.mark.parametrize("name", sorted(ACTS))
def test_the_fold_takes_an_act_only_from_a_post_that_may(post: str, name: str) -> None:
    fields: dict[str, object] = {"kind": "conduct", "notice": b"n", "proposal": b"p"}
    if name == "sign_off":  # R1's, by himself or by a sign
        fields["on_behalf"] = "R1"
    crew = reduce_all([free(post, name, fields)])
    assert (crew.ignored == ()) is may(post, name)


@pytest.mark.parametrize("post", POSTS)
@pytest.mark.parametrize("kind", sorted(all_kinds()))
def test_the_fold_takes_a_raise_only_from_a_post_that_raises_this_kind(post: str, kind: str) -> None:
    crew = reduce_all([free(post, "raise", {"kind": kind, "asks": []})])
    known = all_kinds()[kind]
    assert bool(crew.notices) is (known.by_program or known.may_raise(post))


@pytest.mark.parametrize("post", POSTS)
@pytest.mark.parametrize("name", ["answer", "consent", "close", "tick"])
def test_a_sign_of_another_is_entered_by_r2_or_the_table_alone(post: str, name: str) -> None:
    crew = reduce_all([free(post, name, {"notice": b"n", "proposal": b"p", "duty": "d", "on_behalf": "R1"})])
    own = post == "R1"
    assert (crew.ignored == ()) is (own or (post in ("R2", "scorer", "assistant") and may(post, name)))


@pytest.mark.parametrize("post", POSTS)
def test_a_decision_about_a_notice_is_r1s(post: str) -> None:
    fields: dict[str, object] = {"command": ["sanction", {}], "cause": b"n"}
    crew = reduce_all([free(post, "request", fields)])
    assert bool(crew.requests) is (post == "R1")
    signed = reduce_all([free(post, "request", {**fields, "on_behalf": "R1"})])
    assert bool(signed.requests) is (post in ("R1", "R2", "scorer"))


@pytest.mark.parametrize("post", POSTS)
def test_a_station_refuses_before_it_makes_an_entry(post: str) -> None:
    court = Court.start(Charter(SETUP), b"o" * 32)
    me = Me(post=post, writes=False, head=b"", filled=POSTS)
    for name in command_names():
        made = act(court, me, _example(name))
        refused = getattr(getattr(made, "ruling", None), "code", "") == "not_your_job"
        assert refused is not may(post, name), name


def _example(name: str) -> commands.Command:
    """Some command of this name; what is in it does not matter."""
    return _filled(next(one for one in commands.Command.__args__ if one.__struct_config__.tag == name))


def _filled(kind: Any) -> commands.Command:
    values: dict[str, object] = {
        "team": "A", "first_server": "A", "left_team": "A", "sheet": {"players": [1, 2, 3, 4, 5, 6]},
        "positions": [1, 2, 3, 4, 5, 6], "pairs": [[7, 1]], "comes_in": 7, "goes_out": 1, "number": 7,
        "belongs": 1, "replacement": 1, "played": [], "rallies": 1, "cause": None, "card": "warning",
        "conduct": "rude", "person": {}, "upheld": True, "reason": "x", "question": {"type": "wrong_server",
        "team": "A", "number": 1}, "option": "as_ruled", "command": TEAM, "target": b"t", "before": b"t",
        "instead": TEAM, "missing": TEAM, "facts": [],
    }  # fmt: skip
    fields: dict[str, object] = {}
    for field in msgspec.structs.fields(kind):
        if field.required:
            fields[field.encode_name] = values[field.name]
    if "cause" in fields:
        fields["cause"] = "injury"
    made: commands.Command = msgspec.convert(
        {**fields, "type": kind.__struct_config__.tag}, kind, builtin_types=(bytes,)
    )
    return made


# -- a station that lost its post


def revoke(hall: Hall, by: Post, whom: Post) -> None:
    """`by` takes the device of `whom` off the match; its entry is brought there by hand, as its links end."""
    box, other = hall.boxes[by], hall.boxes[whom]
    box.station.peer.revoke(other.identity.device, box.now, box.wall)
    hall.pass_time(1.0)
    hall.kill(whom)
    other.disk.update(box.disk)
    other.start()
    hall.pass_time(1.0)


def test_a_device_that_was_taken_off_the_match_says_who_did_it() -> None:
    hall = Hall()
    hall.begin()
    revoke(hall, Post.R1, Post.R2)
    look = hall.look(Post.R2)
    assert look.lost == "R1 took this device out of the crew. Nobody is R2 now."
    assert look.lost in look.findings
    answer = hall.do(Post.R2, Point(Team.A))
    assert (answer.kind, answer.sentence) == ("failed", look.lost)


def test_a_scorer_is_replaced_in_mid_match() -> None:
    hall = Hall((Post.SCORER, Post.R2, Post.R1, Post.ASSISTANT))
    hall.begin()
    hall.do(Post.SCORER, Point(Team.A))
    scorer, r1, one = hall.boxes[Post.SCORER], hall.boxes[Post.R1], hall.boxes[Post.ASSISTANT].identity
    member = Member(one.device, one.public_key, one.tls_cert, one.binding, "scorer")
    r1.station.peer.admit(member, r1.now, r1.wall)
    hall.pass_time(1.0)
    scorer.station.peer.grant_pen(one.device, scorer.now, scorer.wall)
    hall.pass_time(1.0)
    revoke(hall, Post.R1, Post.SCORER)
    assert hall.look(Post.SCORER).lost == "R1 took this device out of the crew. Another device is Table now."
    assert hall.boxes[Post.R2].station.filled() == ("R1", "R2", "scorer")
    look = hall.look(Post.ASSISTANT)
    assert (look.post, look.writing.here, look.lost) == ("scorer", True, "")
    assert "This device is Table now, no longer Assistant." in look.findings
    assert hall.do(Post.ASSISTANT, Point(Team.B)).done
    assert hall.court(Post.R2).lines[-1].post == "scorer"


@pytest.mark.parametrize(
    ("post", "name", "fields", "counts"),
    [
        ("R2", "signed", {"signer": "R2"}, True),
        ("scorer", "signed", {"signer": "R2"}, False),
        ("scorer", "signed", {"signer": "R2", "on_behalf": "R2"}, True),
        ("R1", "signed", {"signer": "R2", "on_behalf": "R2"}, False),
        ("scorer", "signed", {"signer": "captain_a"}, True),
        ("site", "signed", {"signer": "captain_a"}, False),
        ("scorer", "signed", {"signer": "R1", "on_behalf": "R1"}, False),
        ("scorer", "signed", {"signer": "the crowd"}, False),
        ("R1", "sign_off", {"number": 1}, True),
        ("R2", "sign_off", {"number": 1}, False),
        ("R2", "sign_off", {"number": 1, "on_behalf": "R1"}, True),
        ("assistant", "sign_off", {"number": 1, "on_behalf": "R1"}, False),
    ],
)
def test_a_signature_is_the_signers_own_or_kept_as_a_sign(
    post: str, name: str, fields: dict[str, object], counts: bool
) -> None:
    crew = reduce_all([free(post, name, fields)])
    assert bool(crew.signed) is counts
    assert all(one.by == post for one in crew.signed)
