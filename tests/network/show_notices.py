"""Tables of the lab: notices in bad weather, and lines past a narrow one."""

from __future__ import annotations

from collections.abc import Callable

from tests.network import narrow, notices
from tests.network.notices import Plan, Result
from tests.network.report import Failed
from tests.network.run import Run, percent, weather
from tests.network.table import Cell, Spread, below, figure

POSTED_MS = {0.1: 40.0, 0.3: 100.0}
ANSWERED_MS = {0.3: 250.0}
TIMES_BARE = 20.0

Row = tuple[tuple[str, str], list[Cell] | Failed]


def notices_in_time(run: Run) -> None:
    """From raised to posted at the last of three, and all three answers back, beside bare TCP."""
    plans = {loss: Plan(run.size.notices, 0.1, weather(loss)) for loss in run.losses}
    rows: list[Row] = []
    compared = run.report.at_once(
        [(f"notices, {percent(loss)}, bare TCP", loss) for loss in run.losses],
        lambda loss: notices.bare(run.place(), run.seed, plans[loss]),
    )
    for loss, bare in zip(run.losses, compared, strict=True):
        rows.append(_row(loss, "bare TCP", bare, judged=False))
        for udp, name in run.ways:
            measured = run.report.attempt(
                f"notices, {percent(loss)}, {name}",
                lambda loss=loss, udp=udp: notices.product(run.place(), run.seed, plans[loss], udp=udp),
            )
            rows.append(_row(loss, name, measured, judged=udp))
    run.report.show(
        f"Notices, {run.size.notices} a row, ten a second; figures are half / 99 of 100 / worst",
        [
            "lost each way",
            "link",
            "raised to posted at the last of three, ms",
            "raised to all three answers back, ms",
            "sent by all four, kB a notice",
            "processor at the raiser, ms a notice",
        ],
        rows,
        [
            "with datagrams 99 of 100 posted within 40 ms at 10 %, within 100 ms at 30 %, none missing",
            "all answers back for 99 of 100 within 250 ms at 30 %",
        ],
    )


def _row(loss: float, name: str, result: Result | Failed, *, judged: bool) -> Row:
    names = (percent(loss), name)
    if isinstance(result, Failed):
        return names, result
    cells = [
        _cell(result.posted, POSTED_MS.get(loss) if judged else None, judged),
        _cell(result.answered, ANSWERED_MS.get(loss) if judged else None, judged),
        Cell(figure(result.kilobytes)),
        Cell(figure(result.cpu)),
    ]
    return names, cells


def _cell(spread: Spread, limit: float | None, judged: bool) -> Cell:
    met = below(spread.quantile(0.99), limit)
    if judged and spread.missing:
        met = False
    return Cell(spread.counted(0.5, 0.99), met)


def narrow_line(run: Run) -> None:
    """A steady writer past a station behind a narrow line."""
    seconds = run.size.narrow
    cases: list[tuple[str, Callable[[], narrow.Narrow]]] = [
        ("bare TCP", lambda: narrow.bare(run.place(), run.seed, seconds))
    ]
    cases += [
        (name, lambda udp=udp: narrow.product(run.place(), run.seed, seconds, udp=udp))
        for udp, name in run.ways
    ]
    results = [(name, run.report.attempt(f"narrow line, {name}", case)) for name, case in cases]
    bare = results[0][1]
    limit = None
    if not isinstance(bare, Failed) and (quick := bare.posted.quantile(0.99)) is not None:
        limit = TIMES_BARE * quick
    rows = [((name,), _narrow(one, None if name == "bare TCP" else limit)) for name, one in results]
    run.report.show(
        f"{narrow.PER_SECOND} lines a second past a way of {narrow.RATE * 8 / 1000:.0f} kbit/s, for"
        f" {seconds:.0f} s; times are half / 99 of 100 / worst",
        ["link", "written to posted behind it, ms", "sent by all four, kB/s", "packets without room"],
        rows,
        [f"99 of 100 never later than {TIMES_BARE:.0f} times bare TCP, none missing"],
    )


def _narrow(one: narrow.Narrow | Failed, limit: float | None) -> list[Cell] | Failed:
    if isinstance(one, Failed):
        return one
    met = below(one.posted.quantile(0.99), limit)
    posted = Cell(one.posted.counted(0.5, 0.99), False if limit is not None and one.posted.missing else met)
    return [posted, Cell(figure(one.sent)), Cell(str(one.dropped))]
