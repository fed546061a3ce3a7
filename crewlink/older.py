"""Changes of the record that reach behind the last rally: another official agrees before they are written.

Such a change always goes through a request, also at the station that writes: the request names it, the
consent of another official to the proposal that it leads to lets the writer write it, a no refuses it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from crewlink.court import Court
from crewlink.crew.posts import CREW, Post
from crewlink.crew.proposals import proposal_id
from crewlink.crew.reduction import Request, Vote
from crewlink.match import commands
from crewlink.match.commands import Amend, Change, Command, Insert, Strike, Undo, UnknownCommand
from crewlink.match.facts import Fact
from crewlink.match.history import Preview, decide, is_older_than_last_rally, preview, undo_target

UNDONE = "undo"
"""The reason of a strike that somebody asked for by undo."""


class Older(Struct, frozen=True):
    """A change that waits: its request, its proposal id, the change itself, whose word counts."""

    request: Request
    id: bytes
    fact: Fact
    asks: str
    preview: Preview


def reaches_back(court: Court, command: Command) -> bool:
    """Whether a command changes a line that a completed rally follows."""
    match command:
        case Strike(target) | Amend(target) | Change(target):
            return is_older_than_last_rally(court.chain, target)
        case Insert(before):
            place = court.chain.index_of(before)
            return place is not None and court.chain.before(place).completed < court.match.completed
        case Undo():
            last = undo_target(court.chain)
            return last is not None and is_older_than_last_rally(court.chain, last.entry_id)
        case _:
            return False


def named(court: Court, command: Command) -> Command:
    """An undo that reaches back as the strike of the line it means, which stays the same while it waits."""
    last = undo_target(court.chain) if isinstance(command, Undo) else None
    if not isinstance(command, Undo) or last is None or not reaches_back(court, command):
        return command
    return Strike(last.entry_id, command.reason or UNDONE)


def official_for(post: str, filled: Iterable[str]) -> str:
    """Whose consent a change asked for by `post` needs: R2, else R1, else the table; "" with nobody else."""
    here = set(filled)
    order = (Post.R2, Post.R1, Post.SCORER, Post.ASSISTANT)
    return next((str(other) for other in order if other in here and other != post), "")


def waiting(court: Court, filled: Iterable[str]) -> Iterator[Older]:
    """The older changes that are asked for and neither written nor refused."""
    for request in court.unwritten():
        if request.command is None or request.refusals:
            continue
        found = _older(court, request, filled)
        if found is not None:
            yield found


def asks_back(court: Court, request: Request) -> bool:
    """Whether a request reaches behind the last rally."""
    command = _command(request)
    return command is not None and reaches_back(court, command)


def _command(request: Request) -> Command | None:
    if request.command is None:
        return None
    try:
        return commands.from_wire(request.command)
    except (UnknownCommand, ValueError, TypeError):
        return None


def _older(court: Court, request: Request, filled: Iterable[str]) -> Older | None:
    command = _command(request)
    if command is None or request.command is None or not reaches_back(court, command):
        return None
    if isinstance(command, Undo):  # it was asked for before another undo: by now it means another line
        return None
    decision, asks = decide(court.chain, command), official_for(request.post, filled)
    if not decision.facts or not asks:
        return None
    name = proposal_id("older", request.command[0], request.id, "write")
    fact = decision.facts[0]
    return Older(request, name, fact, asks, preview(court.chain, fact))


def said(court: Court, older: Older) -> Vote | None:
    """What another official of the crew said to it; one who asked for it can't agree to it."""
    votes = court.crew.consents.get(older.id, {})
    found = [votes[post] for post in map(str, CREW) if post != older.request.post and post in votes]
    mine = [vote for vote in found if vote.by != older.request.post or vote.own]
    return min(mine, key=lambda vote: (vote.agree, vote)) if mine else None
