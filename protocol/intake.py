"""What happens to a chunk of entries that came over a link: read, placed, checked, taken or left.

Knows how each outcome is answered. Knows nothing of commits or of when things are sent.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from protocol import wire
from protocol.book import Book
from protocol.entry import BadSignature, Entry, Malformed, NewerEntry, id_of, private_fits, read
from protocol.journal import Place
from protocol.session import WANT_STRETCH


@dataclass(slots=True)
class Haul:
    """What a chunk brought. `broken` ends the link; `early`: something before it is missing."""

    taken: list[Entry] = field(default_factory=list)
    proofs: list[Entry] = field(default_factory=list)
    texts: list[Entry] = field(default_factory=list)
    wants: list[wire.Want] = field(default_factory=list)
    refusals: list[wire.Refuse] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)
    early: list[Entry] = field(default_factory=list)
    broken: str | None = None


def take_in(book: Book, packed: Iterable[wire.Packed]) -> Haul:
    """Take what can be taken into the book, in order; stops at the first thing no honest station sends."""
    haul = Haul()
    for item in packed:
        try:
            if (known := book.journal.get(id_of(item.body))) is not None:
                _take_text(book, known, item.private, haul)
            else:
                _take_one(book, read(item.body, item.signature, item.private), haul)
        except NewerEntry as newer:
            haul.refusals.append(wire.Refuse(newer.log, newer.seq, "newer"))
            haul.sentences.append(str(newer))
        except (Malformed, BadSignature) as error:
            haul.broken = str(error)
            break
    return haul


def _take_one(book: Book, entry: Entry, haul: Haul) -> None:
    place = book.journal.place(entry)
    if place in (Place.NEXT, Place.RIVAL):
        book.check(entry)
        if entry.private is not None and not private_fits(entry, entry.private):
            entry = entry.with_private(None)
        if place is Place.RIVAL:
            haul.proofs.append(entry)
            _want_earlier(book, entry, haul)
        book.take(entry)
        if place is Place.NEXT:
            haul.taken.append(entry)
    elif place in (Place.GAP, Place.STRANGE):
        haul.early.append(entry)
    elif place is Place.ASTRAY:
        _want_earlier(book, entry, haul)
    elif place is Place.FULL:
        haul.refusals.append(wire.Refuse(entry.log, entry.seq, "full"))
        haul.sentences.append("A device has written more than fits into a match.")
    elif place is Place.WRONG:
        raise Malformed("the first entry of a log is no proper header")


def _take_text(book: Book, known: Entry, private: bytes | None, haul: Haul) -> None:
    """An entry that is held already may bring the private text that is lacking."""
    if private is not None and (held := book.set_private(known.id, private)) is not None:
        haul.texts.append(held)


def _want_earlier(book: Book, entry: Entry, haul: Haul) -> None:
    """The fork may lie further back: ask for what is before, unless it is the same here."""
    entries = book.journal.logs[entry.log].entries
    if 0 < entry.seq <= len(entries) and entries[entry.seq - 1].id != entry.prev:
        haul.wants.append(wire.Want(entry.log, max(0, entry.seq - WANT_STRETCH), entry.seq))
