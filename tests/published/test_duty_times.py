"""When duties and clocks are due against published figures. Titles in full beside each."""

from __future__ import annotations

import pytest

from crewlink.charter import Settings
from crewlink.clocks import WARN_S, line_up_lead
from crewlink.crew.duties import all_duties
from crewlink.rules.loading import shipped

COURSE = "University referee course, protocol page: countdown before a match"
VC = "Volleyball Canada web rule book, rules 18.1 and 15.4"
UEX = "USA Volleyball scorer exam with answers, 2025"
UR = "USA Volleyball regional clinic pages, 2010-2021"
N12 = "NCAA Women's Volleyball Rules and Interpretations 2012-13, rule 10.1.1.1"

BEFORE_MATCH = [  # duty, minutes before the first service
    ("net", 16),
    ("captains", 15),
    ("warm_up", 14),
    ("line_up", 12),
]


@pytest.mark.parametrize(("code", "minutes"), BEFORE_MATCH)
def test_duties_before_the_match_are_due_as_the_course_counts_down(code: str, minutes: int) -> None:
    duty = all_duties()[code]
    assert (duty.of, duty.due) == ("start", minutes * 60), COURSE


def test_the_usual_warm_up_lasts_from_14_to_4_minutes_before() -> None:
    assert Settings().warm_up == (14 - 4) * 60, COURSE


def test_line_ups_of_later_sets_are_asked_for_half_a_minute_before_the_interval_ends() -> None:
    assert all_duties()["next_line_up"].due == 30, f"{N12}; {UR}: within 2 min 30 s of the 3 min"
    assert line_up_lead(shipped("USC").profile, "between_sets") == 30, N12
    assert line_up_lead(shipped("USJ").profile, "between_sets") == 30, UR
    assert WARN_S["between_sets"] == 30, N12


def test_missing_sheets_are_told_two_minutes_before_the_warm_up_ends() -> None:
    assert WARN_S["warm_up"] == 120, UEX
    assert line_up_lead(shipped("USJ").profile, "warm_up") == 120, UEX


def test_the_college_wants_the_first_sheets_at_the_three_minute_mark() -> None:
    assert line_up_lead(shipped("USC").profile, "warm_up") == 180, N12


@pytest.mark.parametrize(("place", "seconds"), [("time_outs.seconds", 30), ("times.interval", 180)])
def test_lengths_of_the_clocks(place: str, seconds: int) -> None:
    value: object = shipped("INT").profile
    for part in place.split("."):
        value = getattr(value, part)
    assert value == seconds, VC
