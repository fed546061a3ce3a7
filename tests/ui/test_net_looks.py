"""What the net face reads beside the court: picks of notices, six seconds of undo, a substitution."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtGui import QGuiApplication

from crewlink.snapshot import ExchangeView, Snapshot
from tests.gallery.net_states import with_exchanges
from tests.gallery.states import (
    TAKEN,
    conduct_notice,
    dead_ball,
    help_notice,
    hold_notice,
    kites,
    with_notices,
    wrong_server,
)
from tests.ui.rig import Said
from ui.bridge.act_look import ActLook
from ui.bridge.court_view import CourtView
from ui.bridge.exchange_look import ExchangeLook, ordinal
from ui.bridge.submit import Command


def view(snapshot: Snapshot) -> CourtView:
    """A court view whose clock stands still."""

    def submit(command: Command) -> Said:
        return Said()

    return CourtView(snapshot, submit, now=lambda: TAKEN)


def test_the_plate_on_show_is_what_must_be_answered(application: QGuiApplication) -> None:
    """Asked before own, own before ended; the own ones are found by kind."""
    own = hold_notice("R2")
    asked = replace(conduct_notice("R1"), mine=False)
    court = view(with_notices(dead_ball("R2"), own, asked))
    assert court.plates.shown.noticeId == "n-conduct"
    assert (court.plates.own.noticeId, court.plates.hold.noticeId) == ("n-hold", "n-hold")
    assert court.plates.check.present is False
    court.update(with_notices(dead_ball("R2"), own, replace(asked, asked=False, state="answered")))
    assert court.plates.shown.noticeId == "n-hold"
    court.update(dead_ball("R2"))
    assert court.plates.shown.present is False


def test_the_newest_own_notice_is_the_one_to_undo(application: QGuiApplication) -> None:
    """Two raised here: the younger one."""
    court = view(with_notices(dead_ball("R2"), hold_notice("R2"), replace(conduct_notice("R2"), age=1.0)))
    assert court.plates.own.noticeId == "n-conduct"


def test_a_held_notice_is_one_line_and_no_plate(application: QGuiApplication) -> None:
    """What waits for the dead ball is told in words."""
    court = view(with_notices(dead_ball("R2"), replace(help_notice("R2"), held=True)))
    assert court.plates.shown.present is False
    assert court.plates.heldText == "Help: R2 asks for the spare ball"


def test_picks_are_quiet_when_nothing_changes(application: QGuiApplication) -> None:
    """The same notices again: no signal."""
    court = view(wrong_server("R2"))
    heard: list[int] = []
    court.plates.changed.connect(lambda: heard.append(1))
    court.update(replace(wrong_server("R2"), phase_age=20.0))
    assert heard == []


def test_undo_counts_down_from_six(application: QGuiApplication) -> None:
    """6 5 4 3 2 1, then it is gone; a new act starts anew; forgotten at once."""
    act = ActLook()
    act.beat(10.0)
    act.done("Point A", "line")
    seen = []
    for quarter in range(1, 26):
        act.beat(10.0 + quarter / 4)
        seen.append(act.remaining)
    assert [seen[place] for place in (0, 3, 4, 19, 23)] == [6, 5, 5, 1, 0]
    assert (act.present, act.words) == (False, "")
    act.done("Point B", "line")
    assert (act.present, act.remaining) == (True, 6)
    act.forget()
    assert (act.present, act.remaining) == (False, 0)


def test_an_act_finds_the_line_that_came_of_it() -> None:
    """The first line after it, even if more have come since; none before it is written."""
    act = ActLook()
    act.follow(["02", "01"])
    act.done("Point A", "line")
    assert act.entry == ""
    act.follow(["02", "01"])
    assert act.entry == ""
    act.follow(["04", "03", "02", "01"])
    assert act.entry == "03"
    act.follow(["05", "04", "03", "02", "01"])
    assert act.entry == "03"


@pytest.mark.parametrize(
    ("number", "words"),
    [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (12, "12th"), (21, "21st")],
)
def test_ordinals(number: int, words: str) -> None:
    """1st, 2nd, 3rd, 4th; 11th and 12th."""
    assert ordinal(number) == words


def test_one_legal_partner_is_taken_at_once(application: QGuiApplication) -> None:
    """Either number first; with several partners the other one stays open."""
    team = replace(
        kites(),
        exchanges=(
            ExchangeView(6, 7, True),
            ExchangeView(6, 12, False, "no"),
            ExchangeView(11, 12, True),
            ExchangeView(11, 2, True),
        ),
    )
    pair = ExchangeLook(team)
    pair.comes(6)
    assert (pair.comesIn, pair.goesOut, pair.state) == (6, 7, "legal")
    pair.clear()
    pair.comes(11)
    assert (pair.goesOut, pair.state) == (-1, "half")
    pair.goes(2)
    assert (pair.state, pair.countText, pair.leftText) == ("legal", "5th of 12", "then 7 left")
    pair.clear()
    pair.goes(7)
    assert (pair.comesIn, pair.state) == (6, "legal")


def test_why_not(application: QGuiApplication) -> None:
    """The rules' own sentence; a pair the rules were not asked about has a plain one."""
    team = replace(kites(), exchanges=(ExchangeView(6, 12, False, "No substitution is left."),))
    pair = ExchangeLook(team)
    pair.comes(6)
    pair.goes(12)
    assert (pair.state, pair.legal, pair.why) == ("illegal", False, "No substitution is left.")
    pair.goes(4)
    assert pair.why == "These two can't change places."


def test_a_request_ends_with_the_dead_ball(application: QGuiApplication) -> None:
    """Nothing can be asked for in a rally."""
    court = view(with_exchanges(dead_ball("R2")))
    court.exchangeA.comes(13)
    assert court.exchangeA.state == "legal"
    court.update(dead_ball("R2"))
    assert court.exchangeA.state == "none"


def test_r1_is_missed_until_it_answers_or_gives_a_sign(application: QGuiApplication) -> None:
    """Shown is not answered; relayed is."""
    notice = wrong_server("R2").notices[0]
    court = view(wrong_server("R2"))
    assert court.notices.rows[0].notice.missesR1 is True
    for state in ("answered", "relayed"):
        receipts = tuple(replace(one, state=state) if one.post == "R1" else one for one in notice.receipts)
        court.update(with_notices(wrong_server("R2"), replace(notice, receipts=receipts)))
        assert court.notices.rows[0].notice.missesR1 is False
