"""Scenes of the net face: tablet lying and standing, and the phone."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec.structs import replace
from PySide6.QtCore import QMetaObject
from PySide6.QtGui import QGuiApplication
from PySide6.QtQuick import QQuickItem

from crewlink.snapshot import (
    ClockView,
    ExchangeView,
    HistoryLine,
    NoticeView,
    ProposalView,
    ReceiptView,
    SheetView,
    Snapshot,
    TeamView,
)
from tests.gallery.scene import Scene
from tests.gallery.setup_states import RecordingDesk, adding
from tests.gallery.states import (
    ALONE,
    LOST,
    STOP,
    TAKE,
    before_match,
    checks,
    coming,
    conduct_notice,
    crewed,
    dead_ball,
    disk_full,
    hands,
    hold_notice,
    joining,
    kites,
    lynx,
    medical_notice,
    old_line,
    opener,
    put_off,
    rally,
    ready_asked,
    ready_clear,
    ready_held,
    ready_unchecked,
    receipts,
    score_note,
    set_point,
    set_point_notice,
    shirts,
    signing,
    table_lost,
    time_out,
    went_apart,
    with_notices,
    wrong_server,
    wrong_server_notice,
)
from ui.stage import Stage


def exchanges(team: TeamView) -> tuple[ExchangeView, ...]:
    """One legal partner for the first on the bench, any for the last, nothing for those between."""
    going = [spot.number for spot in team.spots if not spot.libero]
    return tuple(
        ExchangeView(
            comes,
            goes,
            comes == team.bench[-1] or (comes == team.bench[2] and goes == going[1]),
            "17 came in for 8 and can only go back for 8.",
        )
        for comes in team.bench
        for goes in going
    )


def with_exchanges(snapshot: Snapshot) -> Snapshot:
    """The same moment with the substitutions that could be asked for."""
    return replace(
        snapshot,
        a=replace(snapshot.a, exchanges=exchanges(snapshot.a)),
        b=replace(snapshot.b, exchanges=exchanges(snapshot.b)),
    )


def _seen(item: QQuickItem) -> Iterator[QQuickItem]:
    if item.isVisible():
        yield item
        for child in item.childItems():
            yield from _seen(child)


def taps(*names: str) -> Callable[[Stage], None]:
    """An act that presses pads by object name, one after the other; one that is not there is passed over."""

    def act(stage: Stage) -> None:
        for name in names:
            for item in list(_seen(stage.root)):
                if item.objectName() == name and item.isEnabled():
                    QMetaObject.invokeMethod(item, "acted")
                    break
            QGuiApplication.processEvents()

    return act


def fresh(team: TeamView) -> TeamView:
    """The same team at the start of a set."""
    return replace(team, points=0, time_outs=0, substitutions=0)


def help_to_court() -> NoticeView:
    """SOON, held in the rally: the supervisor's word for R2."""
    return NoticeView(
        "n-message",
        "site_message",
        "soon",
        "Supervisor",
        "The spare ball is on its way",
        "open",
        "Supervisor",
        20.0,
        asked=True,
        held=True,
        receipts=receipts("R2", "site", {}),
    )


def own_wrong_server() -> NoticeView:
    """NOW, raised here; R1 has it, the table not yet."""
    told: dict[str, tuple[str, float | None]] = {"R1": ("answered", 3.0), "scorer": ("shown", 1.0)}
    return replace(
        wrong_server_notice("R2"), raised_by="R2", asked=False, mine=True, receipts=receipts("R2", "R2", told)
    )


def count_note() -> NoticeView:
    """NOTE by the program: the coach must be told."""
    return NoticeView(
        "n-count",
        "count_near_limit",
        "note",
        "Tell the coach",
        "Team B has used both time-outs.",
        "open",
        "",
        5.0,
        team="B",
        asked=True,
    )


def check_server() -> NoticeView:
    """SOON: the table asks R2 to look who serves."""
    told: dict[str, tuple[str, float | None]] = {"R2": ("shown", 1.0)}
    return NoticeView(
        "n-check",
        "check_server",
        "soon",
        "Check server",
        "Is A 7 serving?",
        "open",
        "scorer",
        2.0,
        team="A",
        number=7,
        due=7,
        asked=True,
        receipts=(ReceiptView("scorer", "Table", "raised"), ReceiptView("R2", "R2", *told["R2"])),
    )


def sheets(a: str = "accepted", b: str = "accepted") -> tuple[SheetView, ...]:
    """Both line-up sheets."""
    return (
        SheetView("A", a, (4, 9, 7, 12, 2, 15), ("20", "X"), 9, True),
        SheetView("B", b, (3, 8, 1, 10, 5, 14), ("18", "X"), 10, True),
    )


def sheet_question() -> NoticeView:
    """SOON, raised here: number 11 stands where the sheet has 12."""
    return NoticeView(
        "n-sheet",
        "check_sheet",
        "soon",
        "Check the score sheet",
        "Team A, number 11, position 4, line-up sheet 12",
        "open",
        "R2",
        7.0,
        team="A",
        number=11,
        mine=True,
        receipts=receipts("R2", "R2", {"R1": ("shown", 1.0), "scorer": ("answered", 4.0)}),
    )


def right_handed(then: Snapshot, *names: str) -> Callable[[Stage], None]:
    """An act: the right hand is chosen before the match, then the match is at `then`, then taps."""

    def act(stage: Stage) -> None:
        taps("net.before.right")(stage)
        stage.court.update(then)
        QGuiApplication.processEvents()
        taps(*names)(stage)

    return act


def written(snapshot: Snapshot) -> Snapshot:
    """24:21 by R2's call: the line that came of it is the newest."""
    line = HistoryLine("ca11", snapshot.history[0].time, "24:21", "Point A, net 8", "A 7 served", "A")
    return replace(snapshot, a=kites(24), history=(line, *snapshot.history))


def called(stage: Stage) -> None:
    """An act: net contact by B 8, and the line comes back."""
    taps("net.well.call", "net.call.net", "net.numbers.B.8")(stage)
    stage.court.update(written(_DEAD))
    QGuiApplication.processEvents()


_DEAD = dead_ball("R2")
_HEARD = replace(conduct_notice("R2"), asked=True, mine=False, raised_by="R1", puts_off=True)
_KNOWN = replace(conduct_notice("R2"), state="answered")
_NEW = replace(_DEAD, a=fresh(_DEAD.a), b=fresh(_DEAD.b), history=())
_CHECK = replace(
    with_exchanges(_NEW), phase="check", phase_word="Check positions", server_team="A", sheets=sheets()
)
_LOST = tuple(replace(link, state="lost", silent=42.0) if link.post == "R1" else link for link in _DEAD.links)
_DECISION = ProposalView(
    "p1",
    "wrong_server",
    "Wrong server B 9",
    "Point A. Team B goes back to the right order.",
    "R1",
    "22:21",
    "23:21",
    "A 7",
)
_SUBS = replace(with_exchanges(_DEAD), phase_word="Dead ball")
_SUBS_B = ("net.tray.subB", "net.well.subs", "net.subs.teamB")
_ENDED = replace(_NEW, server_team="", server=None)
_THIRD = replace(_ENDED, set_number=3, a=replace(kites(15), sets=2), b=replace(lynx(11), sets=1))
_FINISHED = replace(
    _THIRD, phase="finished", phase_word="Finished", result="Team A wins 2:1 (22:25 25:21 15:11)"
)
_BEFORE = replace(
    _ENDED, set_number=1, b=replace(_ENDED.b, sets=0), phase="before", phase_word="Before the match"
)

_table_silent = table_lost("R2", TAKE)
_OPENER = opener("R2")
SCENES: dict[str, Scene] = {
    "dead_ball": Scene(_DEAD),
    "rally": Scene(with_notices(rally("R2"), help_to_court())),
    "score_note": Scene(with_notices(_DEAD, score_note("R2"))),
    "count_note": Scene(with_notices(_DEAD, count_note())),
    "wrong_server": Scene(wrong_server("R2")),
    "late_plate": Scene(with_notices(wrong_server("R2"), replace(wrong_server_notice("R2"), late=12.0))),
    "conduct_asked": Scene(with_notices(_DEAD, _HEARD)),
    "check_server": Scene(with_notices(_DEAD, check_server())),
    "own_wrong_server": Scene(with_notices(wrong_server("R2"), own_wrong_server())),
    "own_hold": Scene(with_notices(_DEAD, hold_notice("R2"))),
    "own_not_answered": Scene(
        with_notices(
            _DEAD,
            replace(
                hold_notice("R2"),
                told="R1 not answered: use the whistle",
                receipts=receipts("R2", "R2", {"R1": ("shown", 1.0), "scorer": ("answered", 4.0)}),
            ),
        )
    ),
    "withdrawn": Scene(
        with_notices(
            _DEAD,
            replace(wrong_server_notice("R2"), state="withdrawn", asked=False, reason="a slip at the table"),
        )
    ),
    "answered": Scene(
        with_notices(wrong_server("R2"), replace(wrong_server_notice("R2"), state="answered", asked=False))
    ),
    "ends": Scene(with_notices(_DEAD, _KNOWN)),
    "ends_how": Scene(with_notices(_DEAD, _KNOWN), taps("net.tray.ends")),
    "decision": Scene(
        replace(
            with_notices(wrong_server("R2"), replace(wrong_server_notice("R2"), asked=False)),
            proposals=(_DECISION,),
        )
    ),
    "set_point_tip": Scene(
        replace(
            set_point("R2"),
            suggestion=ProposalView(
                "s1", "set_point", "Set point A", "24:21", "R2", "24:21", "24:21", mine=True
            ),
        )
    ),
    "set_point_told": Scene(with_notices(set_point("R2"), set_point_notice("R2"))),
    "set_point_asked": Scene(
        with_notices(
            set_point("R2"),
            replace(set_point_notice("scorer"), asked=True, mine=False, raised_by="R1"),
        )
    ),
    "call_first": Scene(_DEAD, taps("net.well.call")),
    "call_second": Scene(_DEAD, taps("net.well.call", "net.call.net")),
    "call_done": Scene(_DEAD, called),
    "call_position": Scene(_DEAD, taps("net.well.call", "net.call.position")),
    "wrong_server_pick": Scene(_DEAD, taps("net.well.server")),
    "conduct_side": Scene(_DEAD, taps("net.well.conduct")),
    "conduct_who": Scene(_DEAD, taps("net.well.conduct", "net.conduct.sideB")),
    "ready_asked": Scene(replace(_DEAD, ready=ready_asked())),
    "ready_clear": Scene(replace(_DEAD, ready=ready_clear())),
    "ready_held": Scene(replace(_DEAD, ready=ready_held())),
    "time_out": Scene(
        replace(
            time_out("R2"),
            ready=replace(ready_held(), sentence="Time-out", reason="The clock runs", person=False),
        )
    ),
    "substitution": Scene(_SUBS, taps(*_SUBS_B)),
    "substitution_two": Scene(
        _SUBS,
        taps(
            *_SUBS_B,
            "net.subs.B.in.17",
            "net.subs.A.in.19",
            "net.subs.A.out.2",
        ),
    ),
    "substitution_illegal": Scene(_SUBS, taps(*_SUBS_B, "net.subs.B.in.9", "net.subs.B.out.1")),
    "line_ups": Scene(
        replace(
            _ENDED,
            phase="line_ups",
            phase_word="Line-ups due",
            sheets=sheets(b="missing"),
            clock=ClockView("between_sets", "Between sets", 74.0, 180.0),
        )
    ),
    "check": Scene(_CHECK),
    "check_who": Scene(_CHECK, taps("net.check.place4")),
    "check_differs": Scene(_CHECK, taps("net.check.place4", "net.check.number11")),
    "check_question": Scene(
        with_notices(_CHECK, sheet_question()), taps("net.check.place4", "net.check.number11")
    ),
    "check_asked": Scene(with_notices(_CHECK, hold_notice("R1"))),
    "check_hands": Scene(replace(_CHECK, duties=(*checks("R2"), *hands(b="done")))),
    "check_found": Scene(replace(_CHECK, duties=checks("R2", "done", "wrong"))),
    "check_found_by_table": Scene(replace(_CHECK, duties=checks("R2", "wrong"))),
    "check_done": Scene(replace(_CHECK, duties=(*checks("R2", "open", "done"), *hands("done")))),
    "ready_unchecked": Scene(replace(_DEAD, ready=ready_unchecked(), duties=checks("R2", "done"))),
    "ready_told": Scene(
        replace(
            _DEAD, ready=replace(ready_unchecked(), sentence="Table is not ready yet", reason="still writing")
        )
    ),
    "old_line": Scene(replace(_DEAD, proposals=(old_line("R2"),))),
    "old_line_plated": Scene(replace(with_notices(_DEAD, hold_notice("R2")), proposals=(old_line("R2"),))),
    "old_line_r1": Scene(replace(_DEAD, proposals=(old_line("R2", "R1"),))),
    "old_line_said": Scene(replace(_DEAD, proposals=(old_line("R2", said="agree"),))),
    "old_line_rally": Scene(replace(rally("R2"), proposals=(old_line("R2"),))),
    "medical": Scene(with_notices(_DEAD, medical_notice("R2"))),
    "put_off": Scene(with_notices(_DEAD, put_off("R2"))),
    "shirts": Scene(shirts(_DEAD)),
    "flood": Scene(replace(_DEAD, flood=True, folded=3)),
    "duties": Scene(replace(_BEFORE, duties=before_match("R2"), expected=(("R1", "court 3"),))),
    "duties_between": Scene(
        replace(
            _ENDED,
            phase="between_sets",
            phase_word="Between sets",
            sheets=sheets("accepted", "missing"),
            clock=ClockView("between_sets", "Between sets", 22.0, 180.0),
            duties=before_match("R2")[1:],
        )
    ),
    "lost": Scene(replace(_DEAD, lost=LOST)),
    "check_agrees": Scene(_CHECK, taps("net.check.agree")),
    "between_sets": Scene(
        replace(
            _ENDED,
            phase="between_sets",
            phase_word="Between sets",
            sheets=sheets("accepted", "missing"),
            clock=ClockView("between_sets", "Between sets", 132.0, 180.0),
        )
    ),
    "courts_changed": Scene(replace(_DEAD, left="B", courts_changed=3.0)),
    "before": Scene(_BEFORE),
    "finished": Scene(_FINISHED),
    "signing": Scene(signing(replace(_FINISHED, post="R2"), 3)),
    "signing_r1": Scene(signing(replace(_FINISHED, post="R2"), 4, relayed=True)),
    "right_hand": Scene(_BEFORE, right_handed(wrong_server("R2"))),
    "right_hand_call": Scene(_BEFORE, right_handed(_DEAD, "net.well.call", "net.call.net")),
    "right_hand_subs": Scene(_BEFORE, right_handed(_SUBS, "net.tray.subB")),
    "link_lost": Scene(replace(_DEAD, links=_LOST)),
    "stack": Scene(with_notices(wrong_server("R2"), wrong_server_notice("R2"), _HEARD)),
    "crew": Scene(crewed(_DEAD), taps("net.rail.crew")),
    "crew_add": Scene(crewed(_DEAD), taps("net.rail.crew"), desk=RecordingDesk()),
    "adding": Scene(crewed(_DEAD), adding(), desk=RecordingDesk()),
    "adding_code": Scene(crewed(_DEAD), adding(code=True), desk=RecordingDesk()),
    "crew_lost": Scene(_table_silent, taps("net.rail.crew", "net.crew.device.Table")),
    "crew_apart": Scene(went_apart("R2"), taps("net.rail.crew")),
    "crew_hand": Scene(_OPENER, taps("net.rail.crew")),
    "write_here": Scene(table_lost("R2", TAKE)),
    "write_alone": Scene(table_lost("R2", ALONE)),
    "write_alone_page": Scene(table_lost("R2", ALONE), taps("net.rail.crew")),
    "asking": Scene(table_lost("R2", STOP, agreed=1, needed=3, voters=4)),
    "catching_up": Scene(coming(_DEAD)),
    "joining": Scene(joining("R2")),
    "disk_full": Scene(disk_full("R2")),
}
