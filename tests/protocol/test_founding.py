"""What the opener's station does at its next start, when its founding may have been cut short."""

from __future__ import annotations

from protocol import acts
from protocol.book import Book
from protocol.roster import FoundingCharter, Invitation, Member
from tests.protocol.hall import WALL, Keys

OPENER, OTHER = Keys("opener"), Keys("other")
INVITATION = Invitation(
    b"m" * 16,
    OPENER.device,
    tuple(
        Member(keys.device, keys.public_key, b"certificate", b"binding", post)
        for keys, post in ((OPENER, "scorer"), (OTHER, "R2"))
    ),
)
CHARTER = FoundingCharter((OPENER.device, OTHER.device), {})


def founded() -> Book:
    book = Book(OPENER, INVITATION, b"1" * 16)
    book.found(CHARTER, WALL)
    return book


def again(book: Book, leaving_out: int = 0) -> Book:
    """The next run over what the first one saved, but for its last entries."""
    rows = [entry.row for entry in book.journal.in_order()]
    later = Book(OPENER, INVITATION, b"2" * 16)
    later.load(rows[: len(rows) - leaving_out])
    later.begin_log(WALL)
    return later


def test_who_was_not_admitted_yet_is_admitted_at_the_next_start() -> None:
    later = again(founded(), leaving_out=1)
    assert [entry.act for entry in later.finish_founding(WALL)] == [acts.ADMIT]
    assert OTHER.device in later.roster.members


def test_who_was_taken_out_before_it_ever_came_stays_out() -> None:
    book = founded()
    book.revoke(OTHER.device, WALL)
    later = again(book)
    assert later.finish_founding(WALL) == []
    assert OTHER.device not in later.roster.members
