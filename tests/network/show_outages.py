"""Tables of the lab: a station that was cut off comes back, a partition heals."""

from __future__ import annotations

from tests.network import outages as measured
from tests.network.outages import Healed
from tests.network.report import Failed
from tests.network.run import Run, percent, weather
from tests.network.table import Cell, Spread, below, figure

BACK_SECONDS = 2.0
NEW_SECONDS = 0.2
FLOWS_SECONDS = 2.0

Values = list[float | None]


def outages(run: Run) -> None:
    """Rejoining first, then partitions; all losses at the same time, for a cut network is idle."""
    for udp, name in run.ways:
        _rejoining(run, udp, name)
    for udp, name in run.ways:
        _healing(run, udp, name)


def _rejoining(run: Run, udp: bool, name: str) -> None:
    repeats = range(run.size.repeats)
    cells = [(loss, number) for loss in run.losses for number in repeats]
    results = run.report.at_once(
        [
            (f"back after an outage, {percent(loss)}, {name}, number {number + 1}", (loss, number))
            for loss, number in cells
        ],
        lambda cell: measured.rejoin(
            run.place(), run.seed + cell[1], weather(cell[0]), run.size.outages, udp=udp
        ),
    )
    rows = []
    for loss in run.losses:
        of_it = [one for (lost, _), one in zip(cells, results, strict=True) if lost == loss]
        rows.append(((percent(loss),), _rejoined(of_it)))
    run.report.show(
        f"{name}: one station of three back after an outage; seconds from its end until all three hold what"
        " each wrote meanwhile, half / worst",
        ["lost each way", *(f"after {outage:g} s, s" for outage in run.size.outages)],
        rows,
        [f"each under {BACK_SECONDS:g} s, every time"],
    )


def _rejoined(results: list[Values | Failed]) -> list[Cell] | Failed:
    there = [one for one in results if not isinstance(one, Failed)]
    if not there:
        return next(one for one in results if isinstance(one, Failed))
    lost = [None] * (len(results) - len(there))
    spreads = [Spread.of([*values, *lost]) for values in zip(*there, strict=True)]
    return [Cell(spread.counted(0.5), below(spread.worst, BACK_SECONDS)) for spread in spreads]


def _healing(run: Run, udp: bool, name: str) -> None:
    results = run.report.at_once(
        [(f"partition, {percent(loss)}, {name}", loss) for loss in run.losses],
        lambda loss: measured.heal(run.place(), run.seed, weather(loss), run.size.partitions, udp=udp),
    )
    rows = [
        ((percent(loss),), one if isinstance(one, Failed) else [_healed(each, udp=udp) for each in one])
        for loss, one in zip(run.losses, results, strict=True)
    ]
    new = NEW_SECONDS if udp else FLOWS_SECONDS
    run.report.show(
        f"{name}: a partition of four heals, two and two; seconds from the heal to the first line that passes"
        " / a notice raised at the heal, at the last / all that was written meanwhile",
        ["lost each way", *(f"after {partition:g} s, s" for partition in run.size.partitions)],
        rows,
        [f"the first that passes under {new:g} s"],
    )


def _healed(one: Healed, *, udp: bool) -> Cell:
    text = " / ".join(map(figure, (one.first, one.new, one.backlog)))
    return Cell(text, below(one.first, NEW_SECONDS if udp else FLOWS_SECONDS))
