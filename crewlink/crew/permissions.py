"""One table: which post may do what, acts among people and commands of the match alike.

The fold applies it to free entries and requests, a station before it makes one, faces to grey what is not
theirs. An act that a post may not do is kept in the journal and shown, but changes nothing. Whoever holds the
pen writes what the crew decided, so the table for commands binds those who ask.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

from crewlink.crew.kinds import all_kinds
from crewlink.crew.notice import Act
from crewlink.crew.posts import CREW, Post
from crewlink.crew.signed import POST_OF, SIGN_OFF, SIGNED, signed_from
from crewlink.match import commands
from crewlink.rules.profile import Signer

_ALL = frozenset(map(str, Post))
_COURT = frozenset(map(str, CREW))
_OFFICIALS = frozenset(map(str, (Post.R1, Post.R2, Post.SCORER)))

ACTS: Mapping[str, frozenset[str]] = {
    "raise": _ALL,
    "shown": _ALL,
    "answer": _ALL,
    "step": _ALL,
    "close": _ALL,
    "withdraw": _ALL,
    "wait": _ALL,
    "expected": _ALL,
    "erase": _ALL,
    "request": _COURT,
    "refusal": _COURT,
    "consent": _COURT,
    "ready": _COURT,
    "tick": _COURT,
    "clock": _COURT,
    "again": _COURT,
    "signed": _COURT,
    "sign_off": _OFFICIALS,
    "next": _OFFICIALS,
}
"""Free acts by the name that an entry bears."""

_DECIDES = frozenset(
    {
        "sanction", "misconduct", "adjust", "overrule", "decide_protest", "default", "incomplete",
        "restart_set", "choose",
    }
)  # fmt: skip
"""R1's decisions: R2 and the scorer enter them for R1, the assistant scorer does not."""


def command_names() -> tuple[str, ...]:
    """The names of all commands of the match, as they stand on the wire."""
    return tuple(sorted(str(one.__struct_config__.tag) for one in get_args(commands.Command)))


COMMANDS: Mapping[str, frozenset[str]] = {
    name: _OFFICIALS if name in _DECIDES else _COURT for name in command_names()
}
"""Commands of the match by name: the posts that may ask for them."""

ERASERS = frozenset(map(str, (Post.R1, Post.SITE)))
"""Posts that may erase the free words of anybody; others only their own."""

RELAYS = frozenset({str(Post.R2), str(Post.SCORER), str(Post.ASSISTANT)})
"""Posts that may enter an answer or a decision that another post gave by sign."""


_REFEREES = frozenset(map(str, (Post.R1, Post.R2)))

WRITING: Mapping[str, frozenset[str]] = {
    "take_writing": _COURT,
    "stop_asking": _COURT,
    "write_alone": _COURT,
    "hand_writing": _COURT,
    "choose_record": _REFEREES,
    "take_out": _OFFICIALS,
    "give_job": _OFFICIALS,
}
"""Acts on who writes and on the devices of the court, by name. The link's own fold holds the same table, as
rights of posts (`protocol.roster.CREW_POSTS`).
"""


def may(post: str, name: str) -> bool:
    """Whether a post may do an act or ask for a command of the match; False for unknown names."""
    return any(post in table.get(name, ()) for table in (ACTS, COMMANDS, WRITING))


def may_act(act: Act) -> bool:
    """Whether the post of a free entry may do what it says."""
    if not may(act.post, act.name):
        return False
    behalf = act.text("on_behalf")
    if behalf and behalf != act.post and act.post not in RELAYS:
        return False
    if act.name == "raise":
        kind = all_kinds().get(act.text("kind"))
        return kind is None or kind.by_program or kind.may_raise(behalf or act.post)
    if act.name == "request":
        return _may_ask(act)
    if act.name in (SIGNED, SIGN_OFF):
        return _may_sign(act)
    return True


def _may_sign(act: Act) -> bool:
    """A post of the crew signs itself, or gave a sign that is kept as such."""
    signed = signed_from(act)
    if signed is None:
        return True  # of a newer program: counted as unknown
    post = POST_OF.get(Signer(signed.signer))
    return post is None or (act.text("on_behalf") or act.post) == post


def _may_ask(act: Act) -> bool:
    """A request for a command that no version here knows passes: the one who writes refuses it in words.

    One that names a notice as its cause is R1's decision about it.
    """
    if act.octets("cause") and (act.text("on_behalf") or act.post) != Post.R1:
        return False
    match act.fields.get("command"):
        case [str(name), *_] if name in COMMANDS:
            return may(act.post, name)
        case _:
            return True
