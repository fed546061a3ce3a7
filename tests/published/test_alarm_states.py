"""Notices against the alarm states of a published standard, where they apply.

ANSI/ISA-18.2-2016, Management of Alarm Systems for the Process Industries (from memory): states and
transitions of clause 5, alarm floods of the clause on performance. A notice is an alarm whose condition is
what it is about; "answered" is "acknowledged"; a notice whose condition is gone has returned to normal.
"""

from __future__ import annotations

import pytest

from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import Moment, Place, State, read, state
from crewlink.crew.notice import Act, Notice
from crewlink.crew.reduction import reduce_all
from crewlink.rules.loading import shipped
from crewlink.views.notices import flooded

ISA = "ANSI/ISA-18.2-2016 (from memory)"
ASKED = ("R1", "R2")
UNACKNOWLEDGED, ACKNOWLEDGED, NORMAL = "unacknowledged alarm", "acknowledged alarm", "normal"
OURS = {
    State.OPEN: UNACKNOWLEDGED,
    State.ANSWERED: ACKNOWLEDGED,
    State.CLOSED: NORMAL,
    State.LAPSED: NORMAL,
    State.WITHDRAWN: NORMAL,
}


def notice(kind: str, answers: int, ended: bool = False) -> Notice:
    """A notice of `kind` asked of two posts, of whom so many answered."""
    fields: dict[str, object] = {"id": b"n", "kind": kind, "asks": list(ASKED), "subject": "s"}
    raiser = "site" if kind == "site_message" else "scorer"
    acts = [Act(b"0", raiser, b"t", b"head", 0, 0, "raise", fields)]
    acts += [
        Act(bytes([n]), post, b"d", b"head", n, n, "answer", {"notice": b"n"})
        for n, post in enumerate(ASKED[:answers], 1)
    ]
    if ended:
        acts.append(Act(b"9", "R1", b"d", b"head", 9, 9, "close", {"notice": b"n", "reason": "dealt with"}))
    return reduce_all(acts).notices[b"n"]


def moment(condition: bool, now: float = 0.0) -> Moment:
    return Moment(
        now=now,
        here=Place(1, 0),
        place=lambda _: Place(1, 0),
        true=lambda _: condition,
        settled=lambda _: False,
        wrote=lambda *_: False,
        local=lambda time, _: float(time),
        knows=lambda _: True,
        planned=lambda _: 0.0,
        died=lambda _: None,
        dead_since=0.0,
        profile=shipped("INT").profile,
    )


@pytest.mark.parametrize("kind", ["wrong_server", "conduct", "medical", "check_sheet", "help"])
def test_acknowledging_is_not_returning_to_normal(kind: str) -> None:
    """ISA-18.2 keeps two questions apart: is it acknowledged, and is its condition gone."""
    walk = [notice(kind, 0), notice(kind, 1), notice(kind, 2), notice(kind, 2, ended=True)]
    assert [OURS[state(one, moment(True))] for one in walk] == [
        UNACKNOWLEDGED,
        UNACKNOWLEDGED,  # one of two operators is not enough
        ACKNOWLEDGED,
        NORMAL,
    ], ISA


@pytest.mark.parametrize("kind", ["set_point", "match_point", "late"])
def test_a_condition_that_is_gone_returns_to_normal_acknowledged_or_not(kind: str) -> None:
    """Not latching: the return clears the alarm whether it was acknowledged or not."""
    for answers in (0, 2):
        assert OURS[state(notice(kind, answers), moment(False))] == NORMAL, ISA
        assert OURS[state(notice(kind, answers), moment(True))] != NORMAL, ISA


@pytest.mark.parametrize("kind", sorted(set(all_kinds()) - {"set_point", "match_point", "late"}))
def test_a_dealt_with_notice_stays_unacknowledged_until_somebody_acts(kind: str) -> None:
    """Latching: only an act ends it, not time (a NOTE, which asks for nothing, is an event, no alarm)."""
    one = notice(kind, 0)
    later = moment(True, now=100.0)
    assert OURS[state(one, later)] == UNACKNOWLEDGED, ISA


def test_an_unacknowledged_alarm_is_annunciated_again_and_an_acknowledged_one_is_not() -> None:
    late = moment(True, now=60.0)
    assert [step for step, at in read(notice("wrong_server", 0), late).steps if at <= late.now] == [
        "again",
        "told",
        "site",
    ]
    assert read(notice("wrong_server", 2), late).steps == ()


@pytest.mark.parametrize(("young", "flood"), [(10, False), (11, True)])
def test_a_flood_is_more_than_ten_in_ten_minutes(young: int, flood: bool) -> None:
    assert flooded([float(n) for n in range(young)], 599.0) is flood, ISA


@pytest.mark.parametrize(("left", "flood"), [(5, True), (4, False)])
def test_a_flood_is_over_below_five_in_ten_minutes(left: int, flood: bool) -> None:
    raised = [float(n) for n in range(11 - left)] + [500.0 + n for n in range(left)]
    assert flooded(raised, 700.0) is flood, ISA
