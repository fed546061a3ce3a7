"""Reads a team list as people type, paste or export it: numbers, who is libero, who is captain.

"1 4 7 9c 12 L20", one number a line, or the lines of a table ("9;Captain" or "20,L"). Names of persons in a
table are passed over and kept nowhere. Liberos stay in the list of numbers.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

LEAST, MOST = 0, 99
LONGEST = 20_000
"""Letters that are read; whatever was pasted beyond them is no team list."""
_TOKEN = re.compile(r"^(?P<before>[lc]?)(?P<number>\d{1,4})(?P<after>[lc]*)$", re.IGNORECASE)
_LIBERO = frozenset({"l", "lib", "libero"})
_CAPTAIN = frozenset({"c", "cap", "captain"})
_CELLS = re.compile(r"[,;\t]")


class TeamList(Struct, frozen=True):
    """What was read. `unread`: pieces that are no number, as written; `doubled`: numbers written twice."""

    numbers: tuple[int, ...] = ()
    liberos: tuple[int, ...] = ()
    captains: tuple[int, ...] = ()
    unread: tuple[str, ...] = ()
    doubled: tuple[int, ...] = ()


class _Row(Struct, frozen=True):
    number: int
    libero: bool = False
    captain: bool = False


def read_list(text: str) -> TeamList:
    """Read a team list. Nothing is refused here: what can't be read is told in `unread`."""
    rows: list[_Row] = []
    unread: list[str] = []
    for place, line in enumerate(text[:LONGEST].splitlines()):
        for found in _rows(line, first=place == 0):
            if isinstance(found, _Row):
                rows.append(found)
            else:
                unread.append(found)
    if rest := text[LONGEST:].strip():
        unread.append(rest)
    numbers = [row.number for row in rows]
    return TeamList(
        numbers=tuple(dict.fromkeys(numbers)),
        liberos=tuple(dict.fromkeys(row.number for row in rows if row.libero)),
        captains=tuple(dict.fromkeys(row.number for row in rows if row.captain)),
        unread=tuple(unread),
        doubled=tuple(number for number, times in Counter(numbers).items() if times > 1),
    )


def read_numbers(text: str) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """Numbers of a short box ("20 8"), and what is no number in it."""
    read = read_list(text)
    return read.numbers, read.unread


def number_text(numbers: tuple[int, ...]) -> str:
    """Numbers as they stand in a box."""
    return " ".join(map(str, numbers))


def _rows(line: str, *, first: bool) -> Iterator[_Row | str]:
    cells = [cell.strip().strip('"') for cell in _CELLS.split(line)]
    if _is_table(cells):
        row = _table_row(cells)
        if row is not None:
            yield row
        elif not first:  # the first line of a table names its columns
            yield line.strip()
        return
    for token in re.split(r"[\s,;]+", line.replace(".", " ")):
        if token:
            yield _token(token)


def _is_table(cells: list[str]) -> bool:
    """A line with a cell of words in it; "9, 12c, L20" is no table."""
    return len(cells) > 1 and any(
        cell and not all(_TOKEN.match(part) for part in cell.replace(".", " ").split()) for cell in cells
    )


def _table_row(cells: list[str]) -> _Row | None:
    number: int | None = None
    marks: set[str] = set()
    for cell in cells:
        fits = _TOKEN.match(cell)
        if fits is not None and number is None:
            number = int(fits["number"])
            marks |= set((fits["before"] + fits["after"]).lower())
        else:
            marks.add(cell.lower())
    if number is None:
        return None
    return _Row(number, libero=bool(marks & _LIBERO), captain=bool(marks & _CAPTAIN))


def _token(token: str) -> _Row | str:
    fits = _TOKEN.match(token)
    if fits is None:
        return token
    marks = (fits["before"] + fits["after"]).lower()
    return _Row(int(fits["number"]), libero="l" in marks, captain="c" in marks)
