"""Tables of the lab: finding each other, getting in by a code, catching up, networks that block something."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tests.network import blocked, joining
from tests.network.blocked import TOLD_SECONDS, Outcome
from tests.network.joining import Found, Paired
from tests.network.report import Failed
from tests.network.run import Run, percent, weather
from tests.network.table import Cell, below, figure

FOUND_SECONDS = 1.0
ADMITTED_SECONDS = 0.2


def together(run: Run) -> None:
    """Discovery and pairing. The calm network by itself: its figures are held against fixed times."""
    found: list[tuple[float, Found | Failed]] = []
    paired: list[tuple[float, Paired | Failed]] = []
    for losses in (run.losses[:1], run.losses[1:]):
        rows = [(f"{what}, {percent(loss)}", (what, loss)) for loss in losses for what in ("found", "paired")]
        results = run.report.at_once(rows, lambda row: _measure(run, *row))
        for loss, one, other in zip(losses, results[::2], results[1::2], strict=True):
            assert not isinstance(one, Paired) and not isinstance(other, Found)
            found.append((loss, one))
            paired.append((loss, other))
    run.report.show(
        f"A station starts, {run.size.rounds} times, beside three that run and look; seconds from its start,"
        " half / 9 of 10 / worst",
        [
            "lost each way",
            "the others have its address, s",
            "it has each address, s",
            "in sync with all three, s",
        ],
        [((percent(loss),), _found(one, loss)) for loss, one in found],
        [f"addresses within {FOUND_SECONDS:g} s where nothing is lost"],
    )
    run.report.show(
        f"A new device gets in by its code, {run.size.pairings} times, the other person saying yes at once;"
        " half / 9 of 10 / worst",
        [
            "lost each way",
            "address to court's name, s",
            "last digit to admitted, s",
            "last digit to in sync with the host, s",
            "what the others were told",
        ],
        [((percent(loss),), _paired(one, loss)) for loss, one in paired],
        [
            f"admitted within {ADMITTED_SECONDS:g} s where nothing is lost",
            "every device gets in at the first try",
        ],
    )


def _measure(run: Run, what: str, loss: float) -> Found | Paired:
    if what == "found":
        return joining.discovery(run.place(), run.seed, weather(loss), run.size.rounds)
    return joining.pairing(run.place(), run.seed, weather(loss), run.size.pairings)


def _found(one: Found | Failed, loss: float) -> Sequence[Cell] | Failed:
    if isinstance(one, Failed):
        return one
    limit = None if loss else FOUND_SECONDS
    cells = [Cell(spread.counted(0.5, 0.9), below(spread.worst, limit)) for spread in (one.heard, one.hears)]
    return [*cells, Cell(one.in_sync.counted(0.5, 0.9), False if one.in_sync.missing else None)]


def _paired(one: Paired | Failed, loss: float) -> Sequence[Cell] | Failed:
    if isinstance(one, Failed):
        return one
    in_time = None if loss else below(one.admitted.worst, ADMITTED_SECONDS)
    return [
        Cell(one.looked.counted(0.5, 0.9)),
        Cell(one.admitted.counted(0.5, 0.9), False if one.admitted.missing else in_time),
        Cell(one.in_sync.counted(0.5, 0.9), False if one.in_sync.missing else None),
        Cell("; ".join(f"{count} times: {said}" for said, count in Counter(one.told).items())),
    ]


def catching_up(run: Run) -> None:
    """A station without anything, and one that has it all, beside as many messages over bare TCP."""
    rows = []
    for loss in run.losses:
        given = (run.seed, weather(loss), run.size.entries)
        name = f"catching up, {percent(loss)}"
        ours = run.report.attempt(
            f"{name}, crewlink", lambda given=given: joining.catch_up(run.place(), *given)
        )
        bare = run.report.attempt(
            f"{name}, bare TCP", lambda given=given: joining.bare_catch_up(run.place(), *given)
        )
        rows.append(((percent(loss),), [_seconds(ours), _seconds(bare)]))
    run.report.show(
        f"Catching up on {run.size.entries:,} lines",
        ["lost each way", "crewlink, from the start of its station, s", "bare TCP, connected already, s"],
        rows,
    )


def _seconds(value: float | Failed) -> Cell:
    return Cell(f"FAILED: {value.reason}") if isinstance(value, Failed) else Cell(figure(value))


def blocked_networks(run: Run) -> None:
    """What people are told on networks that block something, and how it ends."""
    outcomes = run.report.at_once(blocked.CASES, lambda case: case(run.place(), run.seed))
    run.report.show(
        "Networks that block something",
        [
            "network",
            "start to told, s",
            "what the person is told",
            "what ends it",
            "from there to all well, s",
        ],
        [((name,), _blocked(one)) for (name, _), one in zip(blocked.CASES, outcomes, strict=True)],
        [f"told within {TOLD_SECONDS:g} s where something has to be done"],
    )


def _blocked(one: Outcome | Failed) -> Sequence[Cell] | Failed:
    if isinstance(one, Failed):
        return one
    told = Cell(figure(one.told_after), below(one.told_after, TOLD_SECONDS) if one.tells else None)
    return [told, Cell(one.told), Cell(one.how), Cell(figure(one.linked_after))]
