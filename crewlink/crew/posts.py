"""The posts of a crew: who they are called on screens, and in which order they act when several could."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum


class Post(StrEnum):
    """A job in the crew. The value is the label that entries and the roster carry."""

    R1 = "R1"
    R2 = "R2"
    SCORER = "scorer"
    ASSISTANT = "assistant"
    SITE = "site"


CREW = (Post.R1, Post.R2, Post.SCORER, Post.ASSISTANT)
"""Posts that work on the court, highest first: of two that could act, the earlier one does."""

OFFICIALS = (Post.R1, Post.R2)
TABLE = (Post.SCORER, Post.ASSISTANT)

_WORDS = {
    Post.R1: "R1",
    Post.R2: "R2",
    Post.SCORER: "Table",
    Post.ASSISTANT: "Assistant",
    Post.SITE: "Supervisor",
}


def word(post: str) -> str:
    """The word that screens use for a post; an unknown label (a newer program) is shown as it is."""
    try:
        return _WORDS[Post(post)]
    except ValueError:
        return post


_INSTEAD: dict[str, tuple[Post, ...]] = {
    Post.R1: (Post.R2,),
    Post.R2: (Post.R1,),
    Post.SCORER: (Post.ASSISTANT, Post.R2, Post.R1),
    Post.ASSISTANT: (Post.SCORER, Post.R2, Post.R1),
}


def acting_for(post: str, filled: Iterable[str]) -> str:
    """Who does the work of a post: itself, or where nobody holds it the next one that somebody holds; an
    official for an official, the table for the table. "" with nobody.
    """
    here = set(filled)
    order = (post, *map(str, _INSTEAD.get(post, ())))
    return next((one for one in order if one in here), "")


def rank(post: str) -> int:
    """Place in the order of who acts first: 0 for R1; unknown posts come last."""
    order = (*CREW, Post.SITE)
    return order.index(Post(post)) if post in order else len(order)
