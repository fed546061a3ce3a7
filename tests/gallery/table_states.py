"""Scenes of the table face. Forms are opened by the keys a scorer would press."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from crewlink.crew_view import WriterView
from crewlink.snapshot import (
    AuditView,
    ClockView,
    DutyView,
    ExchangeView,
    Explanation,
    HistoryLine,
    NextPoint,
    NoticeView,
    PostLink,
    ProposalView,
    ReceiptView,
    RefusalView,
    Saved,
    SheetView,
    Snapshot,
    TeamView,
)
from tests.gallery.scene import Scene
from tests.gallery.setup_states import RecordingDesk, adding
from tests.gallery.states import (
    ALONE,
    STOP,
    TAKE,
    at,
    before_match,
    checks,
    coming,
    conduct_notice,
    crewed,
    dead_ball,
    disk_full,
    help_notice,
    history,
    hold_notice,
    joining,
    kites,
    lynx,
    medical_notice,
    not_counted,
    old_line,
    put_off,
    r2_lost,
    rally,
    ready_unchecked,
    score_note,
    set_point,
    set_point_notice,
    shirts,
    signing,
    table_lost,
    taken_back,
    time_out,
    went_apart,
    with_notices,
    writer,
    wrong_server,
)
from ui.line.world import Verdict
from ui.stage import Stage

_K = Qt.Key
_CALM = dead_ball("scorer")
_DIGITS = {str(figure): Qt.Key(int(_K.Key_0) + figure) for figure in range(10)}
NAMED = {
    "Up": _K.Key_Up,
    "Down": _K.Key_Down,
    "Left": _K.Key_Left,
    "Right": _K.Key_Right,
    "Enter": _K.Key_Return,
    "Space": _K.Key_Space,
    "Tab": _K.Key_Tab,
    "Bksp": _K.Key_Backspace,
    "Esc": _K.Key_Escape,
    "X": _K.Key_X,
    **{f"F{place}": Qt.Key(int(_K.Key_F1) + place - 1) for place in range(1, 13)},
}


def keys(text: str) -> list[Qt.Key]:
    """Keys by name, figures one by one: "Down Right 17 Enter"."""
    found: list[Qt.Key] = []
    for word in text.split():
        found += [NAMED[word]] if word in NAMED else [_DIGITS[figure] for figure in word]
    return found


def typed(text: str) -> Callable[[Stage], None]:
    """Press keys on a stage."""

    def act(stage: Stage) -> None:
        for key in keys(text):
            QTest.keyClick(stage.view, key)
            QGuiApplication.processEvents()

    return act


def written(snapshot: Snapshot) -> Callable[[Stage], None]:
    """One more snapshot comes in."""

    def act(stage: Stage) -> None:
        stage.court.update(snapshot)

    return act


def both(*acts: Callable[[Stage], None]) -> Callable[[Stage], None]:
    """One after the other."""

    def act(stage: Stage) -> None:
        for one in acts:
            one(stage)

    return act


def _exchanges(team: TeamView, legal: tuple[int, int]) -> TeamView:
    """`legal` is the only substitution for the one that comes in; the others say why not."""
    comes, goes = legal
    found = tuple(
        ExchangeView(
            one,
            spot.stands_for or spot.number,
            one != comes or (spot.stands_for or spot.number) == goes,
            "" if one != comes or spot.number == goes else f"{comes} was in the place of {goes} before.",
        )
        for one in team.bench
        for spot in team.spots
    )
    return replace(team, exchanges=found)


def sheet_notice() -> NoticeView:
    """SOON with the longest title: R2 asks the table to look at the score sheet."""
    return NoticeView(
        "n-sheet",
        "check_sheet",
        "soon",
        "Check the score sheet",
        "substitution",
        "open",
        "R2",
        4.0,
        asked=True,
        receipts=(ReceiptView("R2", "R2", "raised"), ReceiptView("scorer", "Table", "shown", 1.0)),
    )


def substitution() -> Snapshot:
    """23:21, Team B may bring 17 in for 8 and for nobody else."""
    return replace(_CALM, b=_exchanges(lynx(), (17, 8)))


def proposal() -> ProposalView:
    """What the rules say to the wrong server, the table's own errors first."""
    ways = (
        Explanation(
            "Substitution not written: 9 for 3", "no, R2 sees 3 on court", "22:22", "B 9", ruled_out=True
        ),
        Explanation("Number misread: it was 3", "no, R2 read 9 too", "22:22", "B 3", ruled_out=True),
        Explanation("Line-up typed wrongly", "no, B's line-up sheet has 3", "22:22", "B 9", ruled_out=True),
        Explanation(
            "Wrong server, 9 for 3", "what the rules say", "23:21", "A 7", chosen=True, proposal="p1"
        ),
    )
    return ProposalView("p1", "wrong_server", "Wrong server", "9 for 3", "R1", "22:21", "23:21", "A 7", ways)


def wrong_server_told() -> Snapshot:
    """Raised here; R1 and R2 have answered, R1 has not decided."""
    base = wrong_server("scorer")
    told = (
        ReceiptView("scorer", "Table", "raised"),
        ReceiptView("R1", "R1", "answered", 3.0),
        ReceiptView("R2", "R2", "answered", 5.0),
    )
    notice = replace(base.notices[0], receipts=told, age=19.0)
    return replace(base, notices=(notice,), proposals=(proposal(),))


def wrong_server_from_r2() -> Snapshot:
    """R2 raised it; the table must answer."""
    base = wrong_server("R2")
    told = (
        ReceiptView("R2", "R2", "raised"),
        ReceiptView("R1", "R1", "shown", 1.0),
        ReceiptView("scorer", "Table", "unconfirmed"),
    )
    notice = replace(base.notices[0], receipts=told, asked=True, mine=False, raised_by="R2")
    return replace(
        base,
        post="scorer",
        notices=(notice,),
        proposals=(replace(proposal(), explanations=()),),
        writing=writer("scorer"),
    )


def links_lost() -> Snapshot:
    """R2 has not been heard for 42 seconds."""
    lost = (
        PostLink("R1", "R1", "linked"),
        PostLink("R2", "R2", "lost", 42.0),
        PostLink("scorer", "Table", "here"),
        PostLink("site", "Supervisor", "linked"),
    )
    return replace(_CALM, links=lost, saved=Saved(True, 2, 3), writing=writer("scorer"))


def before() -> Snapshot:
    """Nothing is written: the toss is due."""
    a = TeamView("A", "Harbour Kites", "Kites", players=kites().players)
    b = TeamView("B", "Northfield Lynx", "Lynx", players=lynx().players)
    return replace(
        _CALM,
        phase="before",
        phase_word="Before the match",
        set_number=1,
        a=a,
        b=b,
        server_team="",
        server=None,
        next_points=(),
        history=(),
        undo="",
        toss_due=True,
    )


def line_ups() -> Snapshot:
    """Between sets: A's sheet is in, B's is due."""
    a = replace(_fresh(kites(0)), spots=(), set_points=(22,), serves=False, next_server=None)
    b = replace(_fresh(lynx(0)), spots=(), set_points=(25,), serves=False, next_server=None)
    sheets = (
        SheetView("A", "accepted", (4, 9, 7, 12, 2, 15), ("20", "X"), 9, True, libero_boxes=2),
        SheetView("B", captain=10, libero_boxes=2),
    )
    return replace(
        _CALM,
        phase="between_sets",
        phase_word="Line-ups due",
        a=a,
        b=b,
        server_team="",
        next_points=(),
        sheets=sheets,
        clock=ClockView("between_sets", "Between sets", 72.0, 180.0),
        history=history()[:1],
    )


def faulty() -> Verdict:
    """What the rules say to the sheet with 14 twice and a blank libero box."""
    defects = (
        ("5", "14 is in box 2 and in box 5."),
        ("libero 2", "Box libero 2 is empty: a number or an X."),
        ("signature", "The coach has not signed."),
    )
    return Verdict(False, "Send the sheet back.", defects=defects)


def check() -> Snapshot:
    """Both sheets are in: positions are checked."""
    base = line_ups()
    sheets = (
        base.sheets[0],
        SheetView("B", "accepted", (5, 14, 8, 3, 1, 10), ("18", "X"), 10, True, libero_boxes=2),
    )
    return replace(
        base,
        phase="check",
        phase_word="Check positions",
        sheets=sheets,
        a=_fresh(kites(0)),
        b=_fresh(lynx(0)),
        clock=None,
    )


def finished() -> Snapshot:
    """A has won 2:1."""
    a = replace(kites(15), sets=2, set_points=(22, 25, 15), serves=False, next_server=None)
    b = replace(lynx(11), sets=1, set_points=(25, 21, 11), serves=False, next_server=None)
    result = "Team A wins 2:1 (22:25 25:21 15:11)"
    return replace(
        _CALM,
        phase="finished",
        phase_word="Finished",
        a=a,
        b=b,
        set_number=3,
        next_points=(),
        server_team="",
        result=result,
    )


def found() -> Snapshot:
    """The check of the score sheet found something; nobody signs before it is looked at."""
    wait = "First look at what the check of the score sheet found, and tick it."
    audit = (AuditView("over_limit", "Team A has 7 substitutions, allowed are 6.", "e1"),)
    duties = (DutyView("audit", "Score sheet checked", "Table"),)
    return replace(finished(), audit=audit, sign_wait=wait, duties=duties)


def courts_due() -> Snapshot:
    """8 points in the deciding set: the courts are changed."""
    a, b = replace(kites(8), set_points=(22, 25)), replace(lynx(6), set_points=(25, 21))
    points = (NextPoint("A", "9:6"), NextPoint("B", "8:7"))
    return replace(_CALM, a=a, b=b, set_number=3, deciding=True, courts_due=True, next_points=points)


def waiting() -> Snapshot:
    """The assistant writes; the table's request is on its way."""
    return replace(_CALM, writing=WriterView("assistant", "Assistant"), waiting_requests=1)


def crowded() -> Snapshot:
    """Everything as long as it may be: names of 16 letters, full benches, cards."""
    long = replace(
        kites(28),
        name="Wolverton Mammut",
        bench=(21, 22, 23, 24, 25, 26, 27, 28),
        time_outs=2,
        substitutions=12,
        conduct=("yellow 17", "delay warning", "improper request"),
    )
    other = replace(
        lynx(29),
        name="Moorweg Wammham",
        bench=(31, 32, 33, 34, 35, 36, 37, 38),
        conduct=("red coach", "delays 2"),
        substitutions_allowed=6,
    )
    points = (NextPoint("A", "29:29"), NextPoint("B", "28:30", "wins the match"))
    return replace(_CALM, a=long, b=other, next_points=points, event="Girls U16, quarter-final")


def struck() -> Snapshot:
    """The last point was crossed out a moment ago."""
    lines = (
        HistoryLine("08", at(14, 33), "22:21", "Crossed out"),
        replace(history()[0], struck=True),
        *history()[1:],
    )
    return replace(wrong_server("scorer"), notices=(), history=lines)


def taken_away() -> Snapshot:
    """22:22: a wrong server was found after the rally; the point of A was taken away."""
    b = replace(lynx(22, (8, 1, 10, 5, 14, 3)), serves=True, server=8)
    lines = (
        HistoryLine("08", at(14, 33), "22:22", "Wrong server A 15, now 22:22", "", "B"),
        HistoryLine("07", at(14, 32), "23:21", "Point A", "point taken away", "A"),
        HistoryLine("06", at(14, 32), "22:21", "Point A", "A 4 served", "A"),
    )
    points = (NextPoint("A", "23:22"), NextPoint("B", "22:23"))
    a = replace(kites(22), serves=False, server=None, next_server=9)
    return replace(
        _CALM, a=a, b=b, server_team="B", server=8, next_points=points, history=(*lines, *history()[2:5])
    )


def undecided() -> Snapshot:
    """A wrong server was told nine seconds ago and nothing is suggested: R1 decides."""
    base = wrong_server("scorer")
    return replace(base, notices=(replace(base.notices[0], age=9.0),))


def first_service() -> Snapshot:
    """0:0: the set has begun, nobody has served yet."""
    points = (NextPoint("A", "1:0"), NextPoint("B", "0:1"))
    begun = (HistoryLine("01", at(14, 12), "0:0", "Set 2 begins"),)
    return replace(_CALM, a=_fresh(kites(0)), b=_fresh(lynx(0)), next_points=points, history=begun)


def _fresh(team: TeamView) -> TeamView:
    """A team before the first service of a set: nothing is used up."""
    return replace(team, time_outs=0, substitutions=0)


_DUTY = "Score sheet, two line-up sheets, ball, visible score, whistle, watch"
_LONGEST = "17 was in the place of 8 before, so 17 can only come in for 8, and once in the set."
LONG_LINE = HistoryLine(
    "09",
    at(14, 33),
    "23:21",
    "Changed to: Substitution B, 17 in for 8, 22 in for 1; Point A",
    "A 7 served",
    "A",
)
_SHEET = "Right 5 Enter 14 Enter 8 Enter 3 Enter 14 Enter 10 Enter 18 Enter"


def _assistant(snapshot: Snapshot) -> Snapshot:
    """What R2's device could do, at the assistant's table face."""
    return replace(snapshot, post="assistant")


SCENES: dict[str, Scene] = {
    "play": Scene(rally("scorer")),
    "dead_ball": Scene(_CALM),
    "crowded": Scene(crowded()),
    "arrow_down": Scene(_CALM, lambda stage: QTest.keyPress(stage.view, _K.Key_Left)),
    "scored": Scene(rally("scorer"), written(set_point("scorer"))),
    "set_point": Scene(
        replace(
            with_notices(set_point("scorer"), set_point_notice("scorer")),
            standing="set_point",
            standing_team="A",
        )
    ),
    "refused": Scene(
        replace(_CALM, refusal=RefusalView("Team B has no time-out left in this set.", "15.1", 1.0))
    ),
    "typed_number": Scene(_CALM, typed("17")),
    "wrong_server": Scene(wrong_server_told()),
    "wrong_server_from_r2": Scene(wrong_server_from_r2()),
    "wrong_server_raised": Scene(wrong_server("scorer")),
    "wrong_server_typed": Scene(_CALM, typed("Up 9")),
    "r1_by_sign": Scene(wrong_server_told(), typed("Enter Enter Down")),
    "conduct": Scene(with_notices(_CALM, conduct_notice("scorer"))),
    "conduct_answered": Scene(
        with_notices(_CALM, replace(conduct_notice("scorer"), state="answered", asked=False))
    ),
    "note": Scene(with_notices(_CALM, replace(score_note("scorer"), asked=False))),
    "conduct_typed": Scene(_CALM, typed("Up Up Up Up Up Up Up Right 9")),
    "stack": Scene(
        with_notices(
            _CALM,
            hold_notice("scorer"),
            conduct_notice("scorer"),
            help_notice("scorer"),
            score_note("scorer"),
        )
    ),
    "stack_focus": Scene(
        with_notices(
            _CALM,
            hold_notice("scorer"),
            conduct_notice("scorer"),
            help_notice("scorer"),
            score_note("scorer"),
        ),
        typed("Tab Down"),
    ),
    "long_titles": Scene(with_notices(_CALM, sheet_notice(), replace(sheet_notice(), id="n-2", age=30.0))),
    "hold_typed": Scene(_CALM, typed("Up Up Up Tab Down")),
    "links": Scene(links_lost()),
    "undo_focus": Scene(_CALM, both(written(set_point("scorer")), typed("Tab Tab Tab Down Down"))),
    "cross_out": Scene(_CALM, typed("Tab Tab Tab Down Enter Enter")),
    "struck": Scene(_CALM, written(struck())),
    "taken_away": Scene(_CALM, written(taken_away())),
    "undecided": Scene(undecided()),
    "first_service": Scene(first_service()),
    "acts": Scene(_CALM, typed("Down Down")),
    "tells": Scene(_CALM, typed("Up Up Up")),
    "bench_focus": Scene(_CALM, typed("Tab")),
    "rail_focus": Scene(_CALM, typed("Tab Tab Tab Tab")),
    "substitution": Scene(substitution(), typed("Down Right 17 Enter")),
    "substitution_only_one": Scene(substitution(), typed("Down Right 17")),
    "substitution_illegal": Scene(substitution(), typed("Down Right 17 Tab 10")),
    "substitution_team": Scene(substitution(), typed("Down")),
    "time_out_typed": Scene(_CALM, typed("F2")),
    "libero": Scene(_CALM, typed("Down Down Down Left")),
    "refused_long": Scene(replace(_CALM, refusal=RefusalView(_LONGEST, "15.11", 1.0))),
    "substitution_long": Scene(
        replace(_CALM, b=replace(lynx(), exchanges=(ExchangeView(17, 8, False, _LONGEST),))),
        typed("Down Right 17 Tab 8"),
    ),
    "card_refused": Scene(
        _CALM,
        typed("F10 Down Down Down Down 9 Enter Up Tab"),
        ask=lambda command, heard: heard(Verdict(False, _LONGEST)),
    ),
    "held": Scene(with_notices(rally("scorer"), replace(conduct_notice("scorer"), held=True))),
    "card": Scene(_CALM, typed("F3 Down Down Down Down 9 Tab Tab Down")),
    "call": Scene(_CALM, typed("F3 Down Down Down Down Down Down Down Tab")),
    "time_out": Scene(time_out("scorer")),
    "toss": Scene(before()),
    "duty": Scene(
        replace(
            before(),
            duties=(DutyView("table", _DUTY, "Table"), DutyView("charge", "Device charged", "Table")),
        ),
        typed("Down"),
    ),
    "toss_typed": Scene(before(), typed("Enter Enter Right Enter")),
    "line_ups": Scene(line_ups()),
    "sheet_empty": Scene(line_ups(), typed("Right")),
    "sheet_faulty": Scene(
        line_ups(), typed(_SHEET + " Enter Enter"), ask=lambda command, heard: heard(faulty())
    ),
    "sheet_back": Scene(
        line_ups(), typed(_SHEET + " Enter Enter Down Enter"), ask=lambda command, heard: heard(faulty())
    ),
    "check": Scene(check()),
    "check_r2_open": Scene(replace(check(), duties=checks("scorer"))),
    "check_r2_done": Scene(replace(check(), duties=checks("scorer", "done", "done"))),
    "check_found": Scene(replace(check(), duties=checks("scorer", "done", "wrong"))),
    "check_found_here": Scene(replace(check(), duties=checks("scorer", "wrong", "open", "B"))),
    "differs_typed": Scene(replace(check(), duties=checks("scorer", "done")), typed("Down Down Left 11 Tab")),
    "r2_unchecked": Scene(replace(_CALM, ready=ready_unchecked(), duties=checks("scorer", "done"))),
    "old_line": Scene(replace(_CALM, proposals=(old_line("scorer"),))),
    "old_line_mine": Scene(replace(_CALM, proposals=(old_line("scorer", "scorer"),))),
    "old_line_typed": Scene(
        replace(_CALM, proposals=(old_line("scorer", "scorer"),)), typed("Enter Enter Down")
    ),
    "cross_out_old": Scene(_CALM, typed("Tab Tab Tab Down Down Enter Enter")),
    "medical": Scene(with_notices(_CALM, medical_notice("scorer"))),
    "medical_asked": Scene(with_notices(_CALM, replace(medical_notice("R2"), raised_by="R2", mine=False))),
    "put_off": Scene(with_notices(_CALM, hold_notice("scorer"), put_off("scorer"))),
    "taken_back": Scene(with_notices(_CALM, taken_back("scorer"))),
    "shirts": Scene(shirts(_CALM)),
    "shirts_crowded": Scene(shirts(crowded())),
    "flood": Scene(
        replace(
            with_notices(
                _CALM,
                hold_notice("scorer"),
                conduct_notice("scorer"),
                help_notice("scorer"),
                replace(help_notice("scorer"), id="n-help-2"),
            ),
            flood=True,
            folded=4,
        )
    ),
    "duties_late": Scene(replace(before(), duties=before_match("scorer"), expected=(("R2", "court 3"),))),
    "courts_due": Scene(courts_due()),
    "finished": Scene(finished()),
    "signing": Scene(signing(finished(), 1)),
    "signing_r2": Scene(signing(finished(), 3)),
    "found": Scene(found()),
    "sealed": Scene(replace(finished(), phase="sealed", phase_word="Finished and locked")),
    "erase_names": Scene(
        replace(finished(), phase="sealed", phase_word="Finished and locked", names_erasable=True),
        typed("Down Down Enter"),
    ),
    "waiting": Scene(waiting()),
    "writer_lost": Scene(
        replace(waiting(), waiting_requests=0, writing=WriterView("assistant", "Assistant", reached=False))
    ),
    "crew": Scene(crewed(_CALM), typed("Tab Tab Tab Tab Tab")),
    "crew_add": Scene(crewed(_CALM), typed("Tab Tab Tab Tab Tab"), desk=RecordingDesk()),
    "adding": Scene(crewed(_CALM), adding(), desk=RecordingDesk()),
    "adding_code": Scene(crewed(_CALM), adding(code=True), desk=RecordingDesk()),
    "crew_device": Scene(crewed(_CALM), typed("Tab Tab Tab Tab Tab Down Enter")),
    "crew_lost": Scene(r2_lost("scorer"), typed("Tab Tab Tab Tab Tab Down Enter")),
    "crew_apart": Scene(went_apart("scorer"), typed("Tab Tab Tab Tab Tab")),
    "r2_writes": Scene(
        replace(crewed(_CALM), writing=WriterView("R2", "R2", since=65.0), waiting_requests=0)
    ),
    "write_here": Scene(_assistant(table_lost("R2", TAKE))),
    "write_alone": Scene(_assistant(table_lost("R2", ALONE)), typed("Enter")),
    "asking": Scene(_assistant(table_lost("R2", STOP, agreed=1, needed=3, voters=4))),
    "writes_alone": Scene(
        replace(r2_lost("scorer"), writing=replace(writer("scorer"), alone=True, since=30.0))
    ),
    "catching_up": Scene(coming(_CALM)),
    "joining": Scene(joining("scorer")),
    "disk_full": Scene(disk_full("scorer")),
    "not_counted": Scene(with_notices(_CALM, not_counted("scorer")), typed("Tab Enter")),
}
