"""What the program itself reports late: a post that nobody has filled, a line-up, the start of the match.

Each has a subject with the same name on every station, so that whoever notices first raises it once; the
notice ends by itself as soon as the subject is no longer true. A post that is known to be at work elsewhere
("expected from court 3") raises nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from crewlink.clocks import running
from crewlink.court import Court
from crewlink.crew.life import Moment
from crewlink.crew.posts import Post, word
from crewlink.match.interval import line_ups_due
from crewlink.match.teams import Team
from crewlink.match.terms import Phase

ROLL_CALL_S = 900.0
"""So long before the match every post is filled (product: 15 min)."""
NEEDED = (Post.R1, Post.R2, Post.SCORER)


class Late(Struct, frozen=True):
    """Something that is late from `at` on (seconds, this clock): its subject, who must answer, in words."""

    subject: str
    detail: str
    at: float
    asks: tuple[str, ...]
    team: str = ""


def late(court: Court, filled: Iterable[str], moment: Moment) -> Iterator[Late]:
    """All that is or will be late as things stand."""
    yield from _posts(court, tuple(filled), moment)
    yield from _line_ups(court, moment)
    yield from _start(court, moment)


def late_now(court: Court, filled: Iterable[str], subject: str) -> bool:
    """Whether what a notice about lateness is about is still missing."""
    match subject.split():
        case ["post", post]:
            return post not in filled and not expected(court, post) and not _begun(court)
        case ["line-up", team, "set", number]:
            return str(court.match.set_number) == number and Team(team) in line_ups_due(court.match)
        case ["start"]:
            return not _begun(court)
        case _:
            return False


def expected(court: Court, post: str) -> str:
    """Where a post that is not here yet is still at work ("court 3"), or ""."""
    said = [one for one in court.crew.expected if one.post == post]
    return said[-1].where if said else ""


def _begun(court: Court) -> bool:
    return court.match.in_set or court.match.set_number > 1 or court.match.finished


def _posts(court: Court, filled: tuple[str, ...], moment: Moment) -> Iterator[Late]:
    starts = court.charter.settings.starts
    if not starts or _begun(court):
        return
    for post in NEEDED:
        if post not in filled and not expected(court, post):
            at = moment.planned(starts) - ROLL_CALL_S
            yield Late(f"post {post}", f"{word(post)} is not here", at, (str(Post.R2), str(Post.SITE)))


def _line_ups(court: Court, moment: Moment) -> Iterator[Late]:
    match = court.match
    if match.in_set or match.phase is Phase.FINISHED:
        return
    due = next((one for one in running(court, moment) if one.kind == "line_up" and not one.held), None)
    if due is None:
        return
    for team in line_ups_due(match):
        subject = f"line-up {team} set {match.set_number}"
        detail = f"Line-up of team {team} is late"
        yield Late(subject, detail, due.ends, (str(Post.R2), str(Post.SITE)), str(team))


def _start(court: Court, moment: Moment) -> Iterator[Late]:
    settings = court.charter.settings
    if settings.starts and not _begun(court):
        at = moment.planned(settings.starts) + settings.start_grace
        yield Late("start", "The match is running late", at, (str(Post.R2), str(Post.SITE)))
