"""Scenes of the wrist face."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import QObject

from crewlink.crew_view import WriterView
from crewlink.snapshot import (
    ClockView,
    PostLink,
    ProposalView,
    ReadyView,
    ReceiptView,
    RefusalView,
    SheetView,
    Snapshot,
)
from tests.gallery.scene import Scene
from tests.gallery.states import (
    LOST,
    before_match,
    checks,
    conduct_notice,
    dead_ball,
    disk_full,
    help_notice,
    hold_notice,
    joining,
    medical_notice,
    old_line,
    opener,
    put_off,
    rally,
    ready_clear,
    ready_held,
    ready_unchecked,
    receipts,
    score_note,
    set_point,
    set_point_notice,
    signing,
    time_out,
    with_notices,
    wrong_server,
    wrong_server_notice,
)
from ui.stage import Stage

CALM = replace(dead_ball("R1"), last_served="A")
SET_POINT = replace(set_point("R1"), standing="set_point", standing_team="A", last_served="A")
AGREE = ProposalView(
    "ab12",
    "wrong_server",
    "Wrong server B 9",
    "The rally falls: point to A.",
    "R1",
    before="22:21",
    after="23:21",
    next_server="A 7",
    mine=True,
)
DECIDE = replace(wrong_server("R1"), notices=(), proposals=(AGREE,))
WITHDRAWN = replace(
    wrong_server_notice("R1"), state="withdrawn", asked=False, reason="9 was right, read as 6", age=12.0
)
OWN = replace(
    conduct_notice("R1"),
    raised_by="R1",
    mine=True,
    asked=False,
    age=2.0,
    receipts=receipts("R1", "R1", {"R2": ("answered", 1.0), "scorer": ("shown", 1.0)}),
)
SILENT = replace(
    OWN,
    age=31.0,
    told="Table not answered: use the whistle",
    receipts=(*OWN.receipts[:1], ReceiptView("scorer", "Table", "unconfirmed")),
)


KNOWN = replace(conduct_notice("R1"), state="answered", asked=False, puts_off=False)


def links(**states: tuple[str, float]) -> tuple[PostLink, ...]:
    """The links of R1, those named in another state."""
    told = {"R2": ("linked", 0.0), "scorer": ("linked", 0.0), **states}
    words = {"R2": "R2", "scorer": "Table"}
    return (PostLink("R1", "R1", "here"), *(PostLink(post, words[post], *told[post]) for post in words))


def opened(*asking: str) -> Callable[[Stage], None]:
    """Open Tell, then ask for the team of a kind."""

    def act(stage: Stage) -> None:
        choice = stage.root.findChild(QObject, "wrist.choice")
        assert choice is not None
        choice.setProperty("telling", True)
        page = _page(stage)
        if page is not None and asking:
            page.setProperty("asking", asking[0])

    return act


def _page(stage: Stage) -> QObject | None:
    loaders = [item for item in stage.root.childItems() if item.inherits("QQuickLoader")]
    found = loaders[0].property("item")
    return found if isinstance(found, QObject) else None


def told(stage: Stage) -> None:
    """Something was told just now."""
    stage.court.act.done("Conduct", "notice")


def played(snapshot: Snapshot, a: tuple[int, ...], b: tuple[int, ...]) -> Snapshot:
    """Sets of these points are over, no point of the next one is played."""
    won = sum(one > other for one, other in zip(a, b, strict=True))
    return replace(
        snapshot,
        a=replace(snapshot.a, points=0, set_points=a, sets=won),
        b=replace(snapshot.b, points=0, set_points=b, sets=len(a) - won),
    )


_BETWEEN = replace(
    played(CALM, (22,), (25,)),
    sheets=(SheetView("A", "accepted"), SheetView("B", "missing")),
    phase="between_sets",
    phase_word="Between sets",
    set_number=2,
    clock=ClockView("between_sets", "Between sets", 100.0, 180.0),
)
_FINISHED = replace(
    played(CALM, (22, 25, 15), (25, 21, 11)),
    phase="finished",
    phase_word="Finished",
    set_number=3,
    result="Team A wins 2:1 (22:25 25:21 15:11)",
)

SCENES: dict[str, Scene] = {
    "calm": Scene(CALM),
    "courts_changed": Scene(replace(CALM, left="B", courts_changed=2.0)),
    "rally": Scene(rally("R1")),
    "tell": Scene(CALM, opened()),
    "tell_set_point": Scene(SET_POINT, opened()),
    "which_team": Scene(CALM, opened("conduct")),
    "tell_over": Scene(with_notices(CALM, KNOWN), opened()),
    "how_over": Scene(with_notices(CALM, KNOWN), opened("over")),
    "told": Scene(with_notices(CALM, OWN), told),
    "refused": Scene(replace(CALM, refusal=RefusalView("No set point now.", "", 999.0))),
    "told_silent": Scene(with_notices(CALM, SILENT)),
    "wrong_server": Scene(wrong_server("R1")),
    "conduct": Scene(with_notices(CALM, conduct_notice("R1"))),
    "conduct_late": Scene(with_notices(CALM, replace(conduct_notice("R1"), late=12.0, age=14.0))),
    "two_waiting": Scene(with_notices(CALM, hold_notice("R1"), conduct_notice("R1"))),
    "three_waiting": Scene(
        with_notices(
            CALM, wrong_server_notice("R1"), replace(help_notice("R1"), asked=True), conduct_notice("R1")
        )
    ),
    "note": Scene(
        with_notices(
            CALM, replace(score_note("R1"), asked=True, detail="It should read A\u00a023, B\u00a021.")
        )
    ),
    "long_title": Scene(
        with_notices(
            CALM, replace(help_notice("R1"), title="Check the score sheet", detail="Score", asked=True)
        )
    ),
    "withdrawn": Scene(
        with_notices(CALM, WITHDRAWN),
    ),
    "set_point": Scene(with_notices(SET_POINT, set_point_notice("R1"))),
    "match_point_both": Scene(
        with_notices(
            replace(
                SET_POINT,
                standing="match_point",
                standing_team="AB",
                a=replace(SET_POINT.a, points=24),
                b=replace(SET_POINT.b, points=24, sets=1),
            ),
            replace(set_point_notice("R1"), kind="match_point", title="Match point", team=""),
        )
    ),
    "decide": Scene(DECIDE),
    "old_line": Scene(replace(CALM, proposals=(old_line("R1", "R1"),))),
    "old_line_short": Scene(
        replace(CALM, proposals=(replace(old_line("R1", "R1"), title="Crossed out: Point A"),))
    ),
    "old_line_rally": Scene(replace(rally("R1"), proposals=(old_line("R1", "R1"),))),
    "medical": Scene(with_notices(CALM, medical_notice("R1"))),
    "joined": Scene(with_notices(CALM, replace(put_off("scorer"), neutral=False, detail="Spectator"))),
    "unchecked": Scene(replace(CALM, ready=replace(ready_unchecked(), sentence="R2 is not ready yet"))),
    "check_open": Scene(
        replace(CALM, phase="check", phase_word="Check positions", duties=checks("R1", "done"))
    ),
    "check_found": Scene(
        replace(CALM, phase="check", phase_word="Check positions", duties=checks("R1", "done", "wrong"))
    ),
    "duties_late": Scene(
        replace(
            CALM,
            phase="before",
            phase_word="Before the match",
            links=links(scorer=("unfilled", 0.0)),
            duties=before_match("R1"),
            expected=(("scorer", "court 3"),),
        )
    ),
    "lost": Scene(replace(CALM, lost=LOST)),
    "held": Scene(replace(CALM, ready=ready_held())),
    "held_long": Scene(
        replace(
            CALM, ready=ReadyView("held", "Assistant is not ready yet", "Substitution B, 17 in for 8", 75.0)
        )
    ),
    "clear": Scene(replace(CALM, ready=ready_clear())),
    "time_out": Scene(time_out("R1")),
    "between_sets": Scene(_BETWEEN),
    "between_sets_toss": Scene(
        replace(played(_BETWEEN, (22, 25), (25, 21)), set_number=3, deciding=True, toss_due=True)
    ),
    "check_with_clock": Scene(
        replace(
            CALM,
            phase="check",
            phase_word="Check positions",
            clock=ClockView("between_sets", "Between sets", 12.0, 180.0),
        )
    ),
    "courts_due": Scene(replace(CALM, courts_due=True, deciding=True)),
    "finished": Scene(_FINISHED),
    "signing": Scene(signing(_FINISHED, 4)),
    "before": Scene(
        replace(CALM, phase="before", phase_word="Before the match", links=links(scorer=("unfilled", 0.0)))
    ),
    "line_ups": Scene(
        replace(
            CALM,
            phase="line_ups",
            phase_word="Line-ups due",
            sheets=(SheetView("A", "accepted"), SheetView("B", "missing")),
        )
    ),
    "check": Scene(replace(CALM, phase="check", phase_word="Check positions")),
    "link_late": Scene(replace(CALM, links=links(R2=("late", 6.0)))),
    "link_lost": Scene(replace(CALM, links=links(scorer=("lost", 42.0)))),
    "all_lost": Scene(replace(CALM, links=links(scorer=("lost", 42.0), R2=("lost", 43.0)))),
    "r2_writes": Scene(replace(CALM, writing=WriterView("R2", "R2", since=65.0))),
    "r2_alone": Scene(replace(CALM, writing=WriterView("R2", "R2", since=65.0, alone=True))),
    "hand": Scene(opener("R1")),
    "joining": Scene(joining("R1")),
    "disk_full": Scene(disk_full("R1")),
}
