"""Where the time of one entry goes, from raised to posted at the last station: watches the real stages.

`watch` wraps the functions that an entry passes through, in a station's own process; each call leaves a span
(stage, begin, end; nanoseconds). `table` lays the spans of raiser and last receiver on one line of time.
Watching costs a few microseconds a stage.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from functools import wraps
from typing import Any, TypeAlias

from crewlink.station import Station
from protocol import book, links, node, peer, store, switchboard

Span: TypeAlias = tuple[str, int, int]
SPANS: list[Span] = []

_STAGES: tuple[tuple[str, object, str], ...] = (
    ("sign", book, "write"),
    ("author", peer.Peer, "author"),
    ("turn", node.Node, "_turn"),
    ("save", node.Node, "_save"),
    ("commit", store.Store, "_write"),
    ("saved", peer.Peer, "committed"),
    ("send", switchboard.Switchboard, "send"),
    ("heard", switchboard.Switchboard, "link_frame"),
    ("take", peer.Peer, "_take"),
    ("decode", links.Links, "receive"),
    ("fold", Station, "_absorb"),
    ("attend", Station, "_attend"),
)


def watch() -> None:
    """Leave a span at each stage from now on."""
    for stage, owner, name in _STAGES:
        setattr(owner, name, _watched(stage, getattr(owner, name)))


def _watched(stage: str, function: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(function)
    def call(*arguments: Any, **named: Any) -> Any:
        begin = time.monotonic_ns()
        try:
            return function(*arguments, **named)
        finally:
            SPANS.append((stage, begin, time.monotonic_ns()))

    return call


def table(
    raised: dict[str, int], posted: list[dict[str, int]], raiser: list[Span], others: list[list[Span]]
) -> list[tuple[str, float]]:
    """Mean microseconds a stage, in order; the stages add up to the mean from raised to posted.

    `posted`, `others`: for each other station, when entries were posted there, and its spans.
    """
    totals: dict[str, float] = {}
    for key, start in raised.items():
        last = max(range(len(posted)), key=lambda which: posted[which][key])
        for name, spent in _line(start, posted[last][key], raiser, others[last]):
            totals[name] = totals.get(name, 0.0) + spent
    return [(name, total / len(raised) / 1000) for name, total in totals.items()]


def _line(start: int, end: int, raiser: list[Span], other: list[Span]) -> list[tuple[str, int]]:
    """The time from `start` to `end` cut at the stages that both stations passed."""
    signed = _first(raiser, "sign", start, end)
    made = _first(raiser, "author", start, end)
    saving = _first(raiser, "save", start, end)
    commit = _first(raiser, "commit", start, end)
    sends = _all(raiser, "send", commit[1], end)
    there = _first(other, "take", start, end)
    keeping = _first(other, "save", there[1], end)
    synced = _first(other, "commit", there[1], end)
    told = _all(other, "send", synced[1], end)
    fold = [span for span in _all(other, "fold", synced[1], end) if span[1] >= _end(told, synced[1])]
    cuts = [
        ("raiser: before signing", signed[0]),
        ("raiser: sign, read", signed[1]),
        ("raiser: append", made[1]),
        ("raiser: to the store", saving[0]),
        ("raiser: hand over", commit[0]),
        ("raiser: commit (synced)", commit[1]),
        ("raiser: hand back, frame", sends[0][0]),
        ("raiser: TLS, write", max(sends[0][0], min(there[0], _end(sends[:2], sends[0][0])))),
        ("wire, wake up, TLS, decode", there[0]),
        ("receiver: read, verify, append", there[1]),
        ("receiver: to the store", keeping[0]),
        ("receiver: hand over", synced[0]),
        ("receiver: commit (synced)", synced[1]),
        ("receiver: hand back, receipt", _end(told, synced[1])),
        ("receiver: fold", _end(fold[:1], _end(told, synced[1]))),
        ("receiver: attend, show", end),
    ]
    found, before = [], start
    for name, at in cuts:
        found.append((name, at - before))
        before = at
    return found


def _all(spans: Iterable[Span], stage: str, start: int, end: int) -> list[tuple[int, int]]:
    return sorted((begin, over) for name, begin, over in spans if name == stage and start <= begin <= end)


def _first(spans: Iterable[Span], stage: str, start: int, end: int) -> tuple[int, int]:
    found = _all(spans, stage, start, end)
    return found[0] if found else (start, start)


def _end(spans: list[tuple[int, int]], otherwise: int) -> int:
    return max((over for _, over in spans), default=otherwise)
