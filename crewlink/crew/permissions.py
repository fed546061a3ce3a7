"""One table: which post may do which free act. The fold applies it; faces read it to grey what is not theirs.

An act that a post may not do is kept in the journal and shown, but changes nothing.
"""

from __future__ import annotations

from crewlink.crew.kinds import all_kinds
from crewlink.crew.notice import Act
from crewlink.crew.posts import CREW, Post

_ALL = frozenset(map(str, Post))
_COURT = frozenset(map(str, CREW))

ACTS: dict[str, frozenset[str]] = {
    "raise": _ALL,
    "shown": _ALL,
    "answer": _ALL,
    "step": _ALL,
    "close": _ALL,
    "withdraw": _ALL,
    "request": _COURT,
    "refusal": _COURT,
    "consent": _COURT,
    "ready": _COURT,
}

RELAYS = frozenset({str(Post.R2), str(Post.SCORER), str(Post.ASSISTANT)})
"""Posts that may enter an answer or a decision that another post gave by sign."""


def may_act(act: Act) -> bool:
    """Whether the post of `act` may do it at all."""
    if act.post not in ACTS.get(act.name, frozenset()):
        return False
    if act.name == "raise":
        kind = all_kinds().get(act.text("kind"))
        return kind is None or kind.raised_by == ("program",) or kind.may_raise(act.post)
    behalf = act.text("on_behalf")
    if behalf and behalf != act.post:
        return act.post in RELAYS
    return True
