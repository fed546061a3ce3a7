"""Suggested decisions: what a notice leads to by the rules, waiting for the official whose word counts.

A proposal is named by the hash of its kind, its subject, the entry that caused it and the decision itself, so
entries that do not touch it leave it valid and every station gives it the same name.
"""

from __future__ import annotations

import hashlib

from msgspec import Struct

from crewlink.crew.life import State
from crewlink.crew.notice import Notice, Raised
from crewlink.crew.posts import Post
from crewlink.match.chain import Chain
from crewlink.match.commands import Choose, WrongServer
from crewlink.match.history import decide
from crewlink.match.ruling import Option
from crewlink.match.teams import Team

SUGGESTING = frozenset({"wrong_server"})
"""Kinds of notice with a rule behind them that leads to decisions."""


class Suggested(Struct, frozen=True):
    """One decision that can be agreed to: its id, the notice that caused it, who decides, what is written
    then.
    """

    id: bytes
    cause: bytes
    title: str
    asks: str
    option: Option
    choose: Choose
    likeliest: bool = False


def proposal_id(kind: str, subject: str, cause: bytes, decision: str) -> bytes:
    """The name of a proposal, 32 bytes."""
    parts = (kind.encode(), subject.encode(), cause, decision.encode())
    return hashlib.sha256(
        b"crewlink proposal 1\0" + b"".join(len(p).to_bytes(2, "big") + p for p in parts)
    ).digest()


def wrong_server_question(raised: Raised, finished_since: int) -> WrongServer | None:
    """The question that a wrong-server notice puts to the rules.

    `finished_since`: completed rallies since the notice was raised; a notice raised in the dead ball is about
    the rally just finished, one raised in play about the service just hit.
    """
    if raised.team not in ("A", "B") or raised.number < 0:
        return None
    ago = finished_since if raised.in_play else finished_since + 1
    return WrongServer(Team(raised.team), raised.number, rallies=ago, at_hit=ago == 0)


def suggestions(chain: Chain, notice: Notice, state: State, finished_since: int) -> tuple[Suggested, ...]:
    """The decisions that a notice leads to, likeliest first; none for kinds without a rule behind them."""
    raised = notice.raised
    if raised is None or raised.kind not in SUGGESTING or state not in (State.OPEN, State.ANSWERED):
        return ()
    question = wrong_server_question(raised, finished_since)
    proposal = None if question is None else decide(chain, question).proposal
    if question is None or proposal is None:
        return ()
    found = [
        Suggested(
            id=proposal_id("wrong_server", f"{raised.team} {raised.number}", raised.entry, option.code),
            cause=notice.id,
            title=f"Wrong server {raised.team} {raised.number}",
            asks=str(Post.R1),
            option=option,
            choose=Choose(question, option.code),
            likeliest=option.code == proposal.suggested,
        )
        for option in proposal.options
    ]
    return tuple(sorted(found, key=lambda s: not s.likeliest))
