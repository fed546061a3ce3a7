"""Values of the shipped profiles against the books they are taken from.

The wording was read, but where it says "from memory"; that only for values no other test can use.
"""

import pytest

from crewlink.rules.loading import shipped

R25 = "FIVB Official Volleyball Rules 2025-2028"
R21 = "FIVB Official Volleyball Rules 2021-2024, Polish federation rendering"
N25 = "FIVB rules 2025-2028 as published by German-language federations"
I13 = "FIVB Official Volleyball Rules 2013-2016"
G15 = "FIVB Official Volleyball Rules 2015-2016 / 2017-2020, German rendering"
G09 = "FIVB rule changes 2009, German notice"
UR = "USA Volleyball regional clinic pages and questions, 2010-2021"
UEX = "USA Volleyball scorer exam with answers, 2025"
UL = "USA Volleyball libero interpretations"
UQ12 = "USA Volleyball referee-training answer, April 2012"
TF = "US event and league format pages, 2017-2020"
N12 = "NCAA Women's Volleyball Rules and Interpretations 2012-13"
N24 = "NCAA Women's Volleyball rule changes 2024"
NI = "NCAA women's volleyball interpretations, 2002 and later"
NA02 = "NCAA News, 18 March 2002"
NA05 = "NCAA News, 14 February 2005"
N08 = "NCAA women's rule 8.2.1, 2008 change"
NS21 = "NCAA women's rules change survey, November 2021"
N26 = "NCAA women's rules proposals for 2026, news report"
CB07 = "FIVB Casebook 2007"
RI13 = "German rule information 2013"
NN10 = "NCAA News, college rule changes 2010"
MEM = "from memory"

VALUES = [
    ("INT", "match.sets_to_win", 3, R25, "6.3.1"),
    ("INT", "match.points", 25, R25, "6.2"),
    ("INT", "match.deciding_points", 15, R25, "6.3.2"),
    ("INT", "match.cap", None, R25, "6.2, 6.3.2"),
    ("INT", "match.court_change_at", 8, R25, "18.2.2"),
    ("INT", "substitutions.per_set", 6, R25, "15.1"),
    ("INT", "substitutions.pairing", "starter_and_substitute", R25, "15.6"),
    ("INT", "substitutions.announce", (5, 6), R25, "24.2.7"),
    ("INT", "substitutions.time_out_opens_request", False, R25, "15.2.2-15.2.3"),
    ("INT", "substitutions.blocked_after_delay_warning", True, R25, "15.2.4"),
    ("INT", "substitutions.exceptional_for_expelled", True, R21, "15.7-15.8"),
    ("INT", "substitutions.exceptional_return", "never", R25, "15.7"),
    ("INT", "substitutions.several", "together", R25, "15.10.4"),
    ("INT", "time_outs.per_set", 2, R25, "15.1"),
    ("INT", "time_outs.seconds", 30, R25, "15.4.1"),
    ("INT", "time_outs.technical_at", (), R25, "15.4"),
    ("INT", "time_outs.requested_by", ("coach", "assistant_coach", "captain"), R25, "15.3.1, 5.1.2.3, 5.3.2"),
    ("INT", "line_up.free_changes_until", None, R25, "7.3.4"),
    ("INT", "positions.serving_team_in_order", False, N25, "7.4"),
    ("INT", "positions.level_is_legal", True, R25, "7.4.3.1-7.4.3.2"),
    ("INT", "wrong_server.single_point", True, R25, "7.7.1.1"),
    ("INT", "wrong_server.reach", "from_fault", R25, "7.7.2"),
    ("INT", "wrong_server.illegal_player_reach", "from_fault", R25, "15.9.2.3"),
    ("INT", "libero.most", 2, R25, "19.1.1"),
    ("INT", "libero.named_on", "score_sheet", R25, "19.1.2"),
    ("INT", "libero.may_serve", False, R25, "19.3.1.3"),
    ("INT", "libero.may_be_captain", True, R25, "5"),
    ("INT", "libero.named_anew_if_expelled", True, R25, "19.5"),
    ("INT", "conduct.expulsion_gives_point", False, R25, "21.3.2-21.3.3"),
    ("INT", "conduct.place_of_expelled", "dressing_room", R25, "21.3.2.1"),
    ("INT", "times.service", 8, R25, "12.4.4"),
    ("INT", "times.interval", 180, R25, "18.1"),
    ("INT", "times.middle_interval", 600, R25, "18.1"),
    ("INT", "faults.ball_back_outside_antenna", "after_first_contact", R25, "10.1.2.3"),
    ("INT", "faults.hands_above_head_in_screen", True, R25, "12.5.3"),
    ("INT", "faults.net_contact", "between_antennae_playing_ball", R25, "11.3.1"),
    ("INT", "faults.double_contact_second_hit", True, R25, "9.3.4"),
    ("INT", "faults.centre_line_whole_foot", "fault", R25, "11.2.2.1"),
    ("USJ", "match.sets_to_win", 2, TF, "Florida junior event 2018"),
    ("USJ", "match.deciding_set_number", 3, TF, "Florida junior event 2018"),
    ("USJ", "substitutions.per_set", 12, UR, "regional answer"),
    ("USJ", "substitutions.pairing", "one_position", UR, "regional answer"),
    ("USJ", "substitutions.several", "one_by_one", "common practice", ""),
    ("USJ", "line_up.deadline_first_set", 120, UEX, "missing sheets"),
    ("USJ", "line_up.deadline_later_sets", 30, UR, "clinic: 2 min 30 s of the 3 min"),
    ("USJ", "line_up.captains_raise_hand", True, "common practice", ""),
    ("USJ", "wrong_server.illegal_player_reach", "service_term", UQ12, "illegal player"),
    ("USJ", "libero.named_on", "line_up_sheet", UL, ""),
    ("USJ", "libero.not_listed", "named_at_check", UEX, "libero at the line-up check"),
    ("USJ", "libero.may_serve", True, UL, "interpretation 1"),
    ("USJ", "libero.to_serve_without_rally", True, UL, "interpretation 1"),
    ("USJ", "conduct.expulsion_gives_point", False, UEX, "disqualification"),
    ("USJ", "times.interval", 180, UR, "clinic"),
    ("USJ", "sign_off.order", ("coach_a", "coach_b", "R1"), "common practice", ""),
    ("USC", "match.sets_to_win", 3, N08, "8.2.1"),
    ("USC", "match.deciding_points", 15, N08, "8.2.1"),
    ("USC", "match.court_change_at", 8, NA02, "deciding game"),
    ("USC", "substitutions.per_set", 15, NA05, "raised from 12"),
    ("USC", "substitutions.time_out_opens_request", True, N12, "11.3.3.2.6"),
    ("USC", "substitutions.exceptional_return", "next_set", NI, "11.3.6.1.3"),
    ("USC", "line_up.deadline_first_set", 180, N12, "10.1.1.1"),
    ("USC", "line_up.deadline_later_sets", 30, N12, "10.1.1.1"),
    ("USC", "line_up.free_changes_until", 60, N12, "10.1.1.7"),
    ("USC", "libero.most", 2, N24, "second libero"),
    ("USC", "libero.not_listed", "none_that_set", N12, "12.1.1"),
    ("USC", "libero.may_serve", True, N12, "12.1.2.3"),
    ("USC", "libero.may_be_captain", True, N12, "12.1.1"),
    ("USC", "conduct.expulsion_gives_point", True, N12, "8.1.2.3"),
    ("USC", "times.service", 8, N12, "13.1.3.3"),
    ("USC", "times.middle_interval", 300, NS21, "interval after set 2"),
    ("USC", "faults.double_contact_second_hit", False, N24, "double contact"),
    ("USC", "faults.centre_line_whole_foot", "only_with_interference_or_danger", N26, "rule up to 2025"),
    ("OLD", "substitutions.per_set", 6, I13, "15.1"),
    ("OLD", "substitutions.pairing", "starter_and_substitute", I13, "15.6"),
    ("OLD", "substitutions.exceptional_for_expelled", False, CB07, "6.3"),
    ("OLD", "time_outs.technical_at", (8, 16), I13, "15.4"),
    ("OLD", "time_outs.technical_seconds", 60, I13, "15.4"),
    ("OLD", "time_outs.requested_by", ("coach", "captain"), I13, "15.3.1"),
    ("OLD", "positions.serving_team_in_order", True, I13, "7.4"),
    ("OLD", "positions.level_is_legal", False, I13, "7.4.3"),
    ("OLD", "wrong_server.single_point", False, I13, "7.7.1"),
    ("OLD", "wrong_server.reach", "from_fault", I13, "7.7.2"),
    ("OLD", "libero.most", 2, G15, "19.1"),
    ("OLD", "libero.may_be_captain", False, I13, "19.1"),
    ("OLD", "libero.named_anew_if_expelled", True, RI13, "19.5"),
    ("OLD", "conduct.place_of_expelled", "penalty_area", I13, "21.3.2.1"),
    ("OLD", "faults.net_contact", "only_interfering", G09, "11.4.4"),
    ("INT", "faults.ceiling_over_own_side", "out", MEM, ""),
    ("INT", "wrong_server.stop_at_hit", True, R25, "7.7.1.1, 27.2.2.2"),
    ("USJ", "faults.ball_back_outside_antenna", "within_team_contacts", MEM, ""),
    ("USJ", "faults.hands_above_head_in_screen", False, MEM, ""),
    ("USJ", "faults.net_contact", "between_antennae_playing_ball", MEM, ""),
    ("USJ", "faults.double_contact_second_hit", True, MEM, ""),
    (
        "USJ",
        "faults.centre_line_whole_foot",
        "only_with_interference_or_danger",
        "common practice",
        "junior courts, about 2014",
    ),
    ("USJ", "faults.ceiling_over_own_side", "playable", MEM, ""),
    ("USJ", "wrong_server.stop_at_hit", True, UR, "clinic 2010"),
    ("USJ", "times.middle_interval", 180, MEM, ""),
    (
        "USC",
        "faults.ball_back_outside_antenna",
        "within_team_contacts",
        "NCAA News, college rule changes 2010",
        "antenna",
    ),
    ("USC", "faults.hands_above_head_in_screen", False, MEM, ""),
    ("USC", "faults.net_contact", "between_antennae_playing_ball", MEM, ""),
    ("USC", "faults.ceiling_over_own_side", "playable", MEM, ""),
    ("USC", "wrong_server.stop_at_hit", True, MEM, ""),
    ("OLD", "faults.ball_back_outside_antenna", "within_team_contacts", I13, "10.1.2"),
    ("OLD", "faults.hands_above_head_in_screen", False, MEM, ""),
    ("OLD", "faults.double_contact_second_hit", True, MEM, ""),
    ("OLD", "faults.centre_line_whole_foot", "fault", G09, "11.2.2"),
    ("OLD", "faults.ceiling_over_own_side", "out", MEM, ""),
    ("OLD", "wrong_server.stop_at_hit", True, I13, "25.2.2.2"),
    ("OLD", "times.middle_interval", 600, I13, "18.1"),
]


@pytest.mark.parametrize(("profile", "path", "value", "title", "rule"), VALUES)
def test_value_is_the_book_s(profile: str, path: str, value: object, title: str, rule: str) -> None:
    section, field = path.split(".")
    assert getattr(getattr(shipped(profile).profile, section), field) == value, f"{title} {rule}"
