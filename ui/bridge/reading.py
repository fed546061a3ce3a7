"""How plain values are put into words on a face: clocks, scores, counts. Knows nothing of Qt."""

from __future__ import annotations

import re
from collections.abc import Iterable

NOBODY = -1
"""What a view object says for a number that is not there (QML integers have no None)."""


def clock_text(seconds: float) -> str:
    """Whole seconds as a clock: 4.9 gives "0:04", 3725 gives "62:05"."""
    whole = max(0, int(seconds))
    return f"{whole // 60}:{whole % 60:02d}"


def seconds_text(seconds: float | None) -> str:
    """A short wait beside a post's name: 3.2 gives "3 s", 75 gives "1:15", None gives ""."""
    if seconds is None:
        return ""
    return f"{int(seconds)} s" if seconds < 60 else clock_text(seconds)


def count_text(used: int, allowed: int) -> str:
    """A count with its limit: "4 of 12"."""
    return f"{used} of {allowed}"


def numbers_text(numbers: Iterable[int]) -> str:
    """Players' numbers in a row, or "none"."""
    return " ".join(str(number) for number in numbers) or "none"


SHORT_TROUBLE = 60


def short_trouble(sentence: str) -> str:
    """Trouble with the disk for a small face: no place, no aside, what to do only if there is room."""
    plain = re.sub(r" \([^)]*\)", "", sentence.rpartition(": ")[2]).replace(", nothing new is saved", "")
    return plain if len(plain) <= SHORT_TROUBLE else plain.partition(". ")[0].rstrip(".") + "."


def or_nobody(number: int | None) -> int:
    """The number, or NOBODY."""
    return NOBODY if number is None else number
