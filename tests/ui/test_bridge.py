"""The bridge: snapshots in, properties and rows out, intents back as commands."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from PySide6.QtCore import QAbstractListModel, QEventLoop
from PySide6.QtGui import QGuiApplication

from crewlink.crew import commands as crew
from crewlink.crew_view import Do, Offer, WriterView
from crewlink.match import commands as match
from crewlink.match.teams import Team
from crewlink.match.terms import RallyFault
from crewlink.snapshot import ClockView, ProposalView, RefusalView, Snapshot
from tests.gallery.states import (
    TAKEN,
    conduct_notice,
    dead_ball,
    hold_notice,
    kites,
    score_note,
    set_point,
    table_lost,
    with_notices,
    wrong_server,
    wrong_server_notice,
)
from tests.ui.rig import Said
from ui.bridge.court_view import CourtView
from ui.bridge.feed import Feed
from ui.bridge.lines import LinkRow
from ui.bridge.reading import clock_text, seconds_text
from ui.bridge.roles import LinkRole
from ui.bridge.rows import Insert, Move, Remove, RowModel, edits
from ui.bridge.submit import Command
from ui.line.crew import offer_key


@dataclass
class Court:
    """A court view with its clock and what it sent."""

    snapshot: Snapshot
    stand_side: bool = False
    now: float = TAKEN
    refuse: RefusalView | None = None
    sent: list[Command] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.view = CourtView(self.snapshot, self.submit, stand_side=self.stand_side, now=lambda: self.now)

    def submit(self, command: Command) -> Said:
        self.sent.append(command)
        return Said(self.refuse)

    def beat(self, seconds: float) -> None:
        self.now += seconds
        self.view.beat()


def count(signal: object) -> list[int]:
    """A list that grows by one at each emission."""
    seen: list[int] = []
    signal.connect(lambda: seen.append(1))  # type: ignore[attr-defined]
    return seen


@given(st.lists(st.integers(0, 9), unique=True), st.lists(st.integers(0, 9), unique=True))
def test_edits_lead_from_one_list_to_the_other(old: list[int], new: list[int]) -> None:
    """Applying the steps in order gives the new keys; rows that stay are never taken out."""
    keys = list(old)
    for edit in edits(old, new):
        match edit:
            case Remove(at):
                assert keys[at] not in new
                del keys[at]
            case Insert(at, source):
                assert new[source] not in old
                keys.insert(at, new[source])
            case Move(start, at):
                keys.insert(at, keys.pop(start))
    assert keys == new


def test_the_same_snapshot_changes_nothing(application: QGuiApplication) -> None:
    """An equal snapshot is silent everywhere."""
    court = Court(wrong_server("R2"))
    view = court.view
    signals = (view.changed, view.beaten, view.topChanged, view.teamA.changed, view.history.dataChanged)
    seen = [count(signal) for signal in signals]
    view.update(wrong_server("R2"))
    assert seen == [[], [], [], [], []]


def test_only_what_changed_speaks(application: QGuiApplication) -> None:
    """A point for A: team A and the history speak, team B is silent, the old lines stay."""
    court = Court(dead_ball("R2"))
    view = court.view
    a, b = count(view.teamA.changed), count(view.teamB.changed)
    added, removed, reset = (
        count(view.history.rowsInserted),
        count(view.history.rowsRemoved),
        count(view.history.modelReset),
    )
    view.update(set_point("R2"))
    assert (len(a), len(b)) == (1, 0)
    assert (len(added), len(removed), len(reset)) == (1, 0, 0)


def test_rows_of_one_key_are_shown_once(application: QGuiApplication) -> None:
    """A list that names a post twice must not bring the window down."""
    rows = [
        LinkRow("R2", "R2", "linked", ""),
        LinkRow("R2", "R2", "late", ""),
        LinkRow("R1", "R1", "linked", ""),
    ]
    model: RowModel[LinkRow] = RowModel(LinkRole, lambda row: row.post, application)
    model.show(rows)
    assert model.rows == (rows[0], rows[2])
    model.show(rows[1:])
    assert model.rows == (rows[1], rows[2])


def test_an_insert_says_where(application: QGuiApplication) -> None:
    """The newest line comes in at the top."""
    court = Court(dead_ball("R2"))
    model: QAbstractListModel = court.view.history
    names = {
        name.decode() if isinstance(name, bytes) else bytes(name).decode(): role
        for role, name in model.roleNames().items()
    }
    court.view.update(set_point("R2"))
    assert model.data(model.index(0), names["score"]) == "24:21"
    assert model.data(model.index(1), names["words"]) == "Wrong server B 9, point A"


def test_stand_side_turns_left_and_right(application: QGuiApplication) -> None:
    """A on the table's left is on R1's right; a change of courts turns both."""
    table, stand = Court(dead_ball("R2")).view, Court(dead_ball("R1"), stand_side=True).view
    assert (table.leftTeam.letter, stand.leftTeam.letter) == ("A", "B")
    assert (table.scoreText, stand.scoreText) == ("23:21", "21:23")
    table.update(replace(dead_ball("R2"), left="B"))
    stand.update(replace(dead_ball("R1"), left="B"))
    assert (table.leftTeam.letter, stand.leftTeam.letter) == ("B", "A")


def test_top_is_the_first_that_this_post_must_answer(application: QGuiApplication) -> None:
    """Held and answered notices and those nobody here must answer are passed over."""
    held = replace(hold_notice("R1"), held=True)
    court = Court(with_notices(dead_ball("R1"), held, score_note("R1"), conduct_notice("R1")))
    assert court.view.top.noticeId == "n-conduct"
    assert (court.view.asked, court.view.heldNotices) == (1, 1)
    court.view.update(with_notices(dead_ball("R1"), replace(conduct_notice("R1"), state="answered")))
    assert court.view.top.present is False


def test_a_notice_keeps_its_view_object(application: QGuiApplication) -> None:
    """A more urgent one above it does not rebuild the plate below."""
    court = Court(with_notices(dead_ball("R1"), conduct_notice("R1")))
    before = court.view.notices.rows[0].notice
    court.view.update(with_notices(dead_ball("R1"), hold_notice("R1"), conduct_notice("R1")))
    assert court.view.notices.rows[1].notice is before


def test_the_pulse_is_two_a_second_for_five_seconds(application: QGuiApplication) -> None:
    """Twenty quarter seconds, half of them lit, then steady."""
    court = Court(wrong_server("R1"))
    lit = []
    for _ in range(28):
        lit.append((court.view.top.pulsing, court.view.top.lit))
        court.beat(0.25)
    assert lit[:20] == [(True, True), (True, False)] * 10
    assert lit[20:] == [(False, False)] * 8


def test_the_pulse_starts_again_at_a_repeat_and_ends_with_the_answer(application: QGuiApplication) -> None:
    """Shown again at t1; answering stops it in the same update."""
    court = Court(wrong_server("R1"))
    court.beat(6.0)
    assert court.view.top.pulsing is False
    again = replace(wrong_server_notice("R1"), repeated=1, age=9.0)
    court.view.update(replace(with_notices(wrong_server("R1"), again), taken=court.now))
    assert court.view.top.pulsing is True
    look = court.view.top
    done = replace(again, state="answered", asked=False)
    court.view.update(replace(with_notices(wrong_server("R1"), done), taken=court.now))
    assert (look.pulsing, look.lit) == (False, False)


def test_only_now_pulses(application: QGuiApplication) -> None:
    """A SOON never does."""
    court = Court(with_notices(dead_ball("R1"), conduct_notice("R1")))
    for _ in range(30):
        assert court.view.top.pulsing is False
        court.beat(0.25)


def test_a_clock_counts_down_to_nought_and_stays(application: QGuiApplication) -> None:
    """30 s left reads 0:30 at the start, 0:00 only at the end."""
    clock = ClockView("time_out", "Time-out B", 30.0, 30.0, "B")
    court = Court(replace(dead_ball("R2"), clock=clock))
    assert court.view.clock.leftText == "0:30"
    court.beat(29.5)
    assert court.view.clock.leftText == "0:01"
    court.beat(5.0)
    assert (court.view.clock.leftText, court.view.clock.share) == ("0:00", 0.0)


def test_a_refusal_stands_six_seconds(application: QGuiApplication) -> None:
    """What was refused, with its rule, and then it goes."""
    court = Court(dead_ball("scorer"), refuse=RefusalView("Team B has no time-out left.", "15.4.1"))
    assert court.view.write.timeOut("B") is False
    assert (court.view.refusal.sentence, court.view.refusal.reference) == (
        "Team B has no time-out left.",
        "15.4.1",
    )
    court.beat(5.9)
    assert court.view.refusal.present is True
    court.beat(0.2)
    assert court.view.refusal.present is False


def test_a_refusal_from_the_one_who_writes_is_shown_once(application: QGuiApplication) -> None:
    """It comes with a snapshot; later snapshots that still carry it do not bring it back."""
    court = Court(dead_ball("R2"))
    carried = replace(dead_ball("R2"), refusal=RefusalView("No.", "", 1.0))
    court.view.update(carried)
    assert court.view.refusal.present is True
    court.beat(7.0)
    court.view.update(replace(carried, a=kites(24)))
    assert court.view.refusal.present is False


Intent = Callable[[CourtView], bool]
INTENTS: list[tuple[Intent, Command]] = [
    (lambda view: view.tell.notice("wrong_server", "B", 9, ""), crew.Raise("wrong_server", "B", 9)),
    (lambda view: view.tell.notice("hold", "", -1, "wet"), crew.Raise("hold", "", None, "wet")),
    (
        lambda view: view.tell.noticeFor("conduct", "B", -1, "coach", "R2"),
        crew.Raise("conduct", "B", None, "coach", on_behalf="R2"),
    ),
    (lambda view: view.tell.join("help", "n1"), crew.Raise("help", joins="n1")),
    (lambda view: view.tell.answer("n1"), crew.AnswerNotice("n1")),
    (lambda view: view.tell.answerFor("n1", "R1"), crew.AnswerNotice("n1", "R1")),
    (lambda view: view.tell.close("n1", "warned"), crew.CloseNotice("n1", "warned")),
    (lambda view: view.tell.withdraw("n1", "a slip"), crew.WithdrawNotice("n1", "a slip")),
    (lambda view: view.tell.hold("wet floor"), crew.Hold("wet floor")),
    (lambda view: view.tell.release(), crew.Release()),
    (lambda view: view.tell.releaseFor("R2"), crew.Release("R2")),
    (lambda view: view.tell.ready(), crew.Ready()),
    (
        lambda view: view.tell.tick("positions", "A", "4 and 3 swapped"),
        crew.TickDuty("positions", "A", "4 and 3 swapped"),
    ),
    (lambda view: view.tell.consent("p1", True), crew.Consent("p1", True)),
    (lambda view: view.tell.consentFor("p1", False, "R1"), crew.Consent("p1", False, "R1")),
    (lambda view: view.write.point("A"), match.Point(Team.A)),
    (lambda view: view.write.calledPoint("A", "net", 9), match.Point(Team.A, RallyFault.NET, 9)),
    (lambda view: view.write.timeOut("B"), match.TimeOut(Team.B)),
    (lambda view: view.write.substitute("B", 17, 8), match.Substitute(Team.B, (match.Pair(17, 8),))),
    (
        lambda view: view.write.substituteNext("B", 17, 8),
        match.Substitute(Team.B, (match.Pair(17, 8),), same_request=True),
    ),
    (lambda view: view.write.libero("A", 20, 4), match.LiberoSwap(Team.A, 20, 4)),
    (
        lambda view: view.write.lineUp("A", [7, 12, 2, 15, 4, -1], ["20", "X"], 9, True),
        match.LineUp(Team.A, (7, 12, 2, 15, 4, None), (20, "X"), 9, True),
    ),
    (lambda view: view.write.wrongServer("B", 9, True), match.WrongServer(Team.B, 9)),
    (lambda view: view.write.undo(), match.Undo()),
    (lambda view: view.write.strike("0aff", "wrong key"), match.Strike(b"\x0a\xff", "wrong key")),
]


OFFERS: list[tuple[Offer, Command]] = [
    (Offer(Do.TAKE, "Write here"), crew.TakeWriting()),
    (Offer(Do.STOP, "Stop asking"), crew.StopAsking()),
    (Offer(Do.ALONE, "Write without the others", warning="Only one will count."), crew.WriteAlone()),
    (Offer(Do.HAND, "Let R2 write", "R2"), crew.HandWriting("R2")),
    (Offer(Do.CHOOSE, "Go on with this one", "0a"), crew.ChooseRecord("0a")),
    (Offer(Do.TAKE_OUT, "Lost: take it out", device="0b"), crew.TakeOut("0b")),
    (Offer(Do.JOB, "Make it R1", "R1", "0b"), crew.GiveJob("0b", "R1")),
]


@pytest.mark.parametrize(("offer", "command"), OFFERS)
def test_an_offer_becomes_its_command(application: QGuiApplication, offer: Offer, command: Command) -> None:
    """Each offer sends exactly one command; one that is no longer made sends none."""
    writing = WriterView("scorer", "Table", offers=(offer,))
    court = Court(replace(dead_ball("R2"), writing=writing))
    assert court.view.writer.act(offer_key(offer)) is True
    assert court.sent == [command]
    court.view.update(dead_ball("R2"))
    assert court.view.writer.act(offer_key(offer)) is False
    assert court.sent == [command]


def test_the_offers_of_a_device_are_shown_once_it_is_chosen(application: QGuiApplication) -> None:
    """Taking a lost one out comes first; choosing it again goes back to who writes."""
    court = Court(table_lost("R2", Offer(Do.TAKE, "Write here")))
    look = court.view.writer
    assert [row.words for row in look.offers.rows] == ["Write here"]
    look.open("d-scorer")
    assert look.offers.rows[0].words == "Lost: take it out" and look.chosenWord == "Table"
    look.open("d-scorer")
    assert [row.words for row in look.offers.rows] == ["Write here"]


@pytest.mark.parametrize(("intent", "command"), INTENTS)
def test_an_intent_becomes_its_command(
    application: QGuiApplication, intent: Intent, command: Command
) -> None:
    """Each slot sends exactly one command."""
    court = Court(dead_ball("scorer"))
    assert intent(court.view) is True
    assert court.sent == [command]


def test_shown_is_sent_once_a_notice(application: QGuiApplication) -> None:
    """However often the plate comes back."""
    court = Court(dead_ball("R1"))
    for notice in ("n1", "n2", "n1"):
        court.view.tell.shown(notice)
    assert court.sent == [crew.Shown("n1"), crew.Shown("n2")]


def test_the_proposal_that_asks_me_comes_first(application: QGuiApplication) -> None:
    """Others are shown only if none asks this post."""
    other, mine = (
        ProposalView("p1", "k", "One", "", "R2"),
        ProposalView("p2", "k", "Two", "", "R1", mine=True),
    )
    court = Court(replace(dead_ball("R1"), proposals=(other, mine)))
    assert court.view.proposal.title == "Two"
    court.view.update(replace(dead_ball("R1"), proposals=(other,)))
    assert court.view.proposal.title == "One"
    court.view.update(dead_ball("R1"))
    assert court.view.proposal.present is False


def test_snapshots_from_another_thread_arrive_in_this_one(application: QGuiApplication) -> None:
    """The newest one is shown; the getter runs in the GUI thread; older ones that wait are passed over."""
    court = Court(dead_ball("R2"))
    feed = Feed(court.view)
    changes: list[int] = []
    threads: set[int] = set()

    def heard() -> None:
        changes.append(court.view.teamA.points)
        threads.add(threading.get_ident())

    court.view.teamA.changed.connect(heard)

    def push() -> None:
        for points in range(500):
            feed.offer(replace(dead_ball("R2"), a=kites(points)))

    thread = threading.Thread(target=push)
    thread.start()
    thread.join()
    while changes[-1:] != [499]:
        QGuiApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 20)
    assert changes == [499]
    assert threads == {threading.get_ident()}


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.0, "0:00"), (4.9, "0:04"), (59.99, "0:59"), (60.0, "1:00"), (3725.0, "62:05"), (-1.0, "0:00")],
)
def test_clock_text(seconds: float, text: str) -> None:
    """Whole seconds, minutes without a leading nought, never below nought."""
    assert clock_text(seconds) == text


def test_seconds_text() -> None:
    """Short waits in seconds, longer ones as a clock."""
    assert [seconds_text(one) for one in (None, 3.2, 59.9, 75.0)] == ["", "3 s", "59 s", "1:15"]
