"""The player: what it does with differences, with steps that point back, and with posts that nobody holds."""

from __future__ import annotations

import json

from crewlink.script.crew_stage import CrewStage
from crewlink.script.player import Played, play
from crewlink.script.reading import parse
from crewlink.script.rehearse import needs_crew, stage_for
from tests.script.test_reading import TEAMS

START = {
    "serves": "A",
    "score": [5, 5],
    "A": {"positions": [4, 9, 7, 12, 2, 15]},
    "B": {"positions": [8, 1, 10, 5, 14, 3]},
}


def played(*steps: dict[str, object], **more: object) -> tuple[Played, ...]:
    runs = [{"profiles": ["INT"], "steps": list(steps)}]
    text = json.dumps({"script": 1, "title": "t", "teams": TEAMS, "start": START, "runs": runs, **more})
    script = parse(text)
    return play(script.runs[0], stage_for(script, script.runs[0], "INT"))


def texts(*steps: dict[str, object], **more: object) -> list[list[str]]:
    return [[str(difference) for difference in step.differences] for step in played(*steps, **more)]


def test_a_difference_says_what_was_expected_and_what_came() -> None:
    found = texts({"do": "point", "team": "A", "expect": {"score": [7, 5]}})
    assert found == [["score: expected [7, 5], got [6, 5]"]]


def test_a_difference_does_not_stop_the_play() -> None:
    first = {"do": "point", "team": "A", "expect": {"server": 9}}
    assert texts(first, {"do": "point", "team": "A", "expect": {"score": [7, 5]}})[1] == []


def test_a_refusal_that_nobody_expected_differs() -> None:
    (found,) = texts({"do": "end_time_out"})
    assert found[0].startswith("answer: expected allowed, got refused (no_time_out")


def test_an_expected_refusal_that_did_not_come_differs() -> None:
    (found,) = texts({"do": "point", "team": "A", "expect": {"allowed": False}})
    assert found[0].startswith("answer: expected refused, got allowed")


def test_a_refusal_inside_several_rallies_differs() -> None:
    start = {**START, "score": [24, 5]}
    (found,) = texts({"do": "rallies", "won_by": "AAAAAA"}, start=start)
    assert len(found) == 1, "the same refusal five times is told once"
    assert "set_not_begun" in found[0]


def test_agree_takes_the_suggested_option_of_the_latest_open_question() -> None:
    steps = played(
        {"do": "wrong_server", "team": "A", "player": 15},
        {"do": "agree", "by": "R1", "expect": {"score": [5, 6], "serves": "B"}},
        {"do": "agree", "by": "R1"},
    )
    assert not steps[1].differences
    assert "no step before was answered by a proposal" in str(steps[2].differences[0])


def test_agree_can_point_at_a_named_step_and_name_an_option() -> None:
    found = texts(
        {"do": "misconduct", "name": "first", "team": "A", "player": 9, "conduct": "minor"},
        {"do": "misconduct", "team": "B", "player": 8, "conduct": "rude"},
        {
            "do": "agree",
            "to": "first",
            "option": "penalty",
            "expect": {"cards": {"A": [{"player": 9, "card": "penalty"}]}, "score": [5, 6]},
        },
    )
    assert not any(found)


def test_an_option_that_is_not_offered_differs() -> None:
    found = texts(
        {"do": "wrong_server", "team": "A", "player": 15},
        {"do": "agree", "option": "toss_a_coin"},
    )
    (said,) = found[1]
    assert said.startswith("step: can't be played: there is no option `toss_a_coin`; options are")
    assert said.endswith("wrong_server, moment_unknown")


def test_overrule_lets_the_latest_refused_step_stand() -> None:
    found = texts(
        {"do": "change_courts", "expect": {"allowed": False}},
        {"do": "card", "team": "A", "player": 9, "card": "warning"},
        {
            "do": "card",
            "name": "again",
            "team": "A",
            "player": 2,
            "card": "warning",
            "expect": {"allowed": False},
        },
        {"do": "overrule", "by": "R1", "of": "again", "reason": "another match"},
    )
    assert not any(found)


def test_strike_crosses_out_the_line_of_a_named_step() -> None:
    found = texts(
        {"do": "point", "team": "B", "name": "wrong"},
        {"do": "point", "team": "A"},
        {
            "do": "strike",
            "line": "wrong",
            "reason": "typed wrongly",
            "expect": {"score": [6, 5], "server": 4},
        },
        {"do": "undo", "expect": {"score": [6, 6], "serves": "A", "server": 9}},
    )
    assert not any(found), "the undo takes back the last act, which was the strike"


def test_a_step_that_points_at_a_line_which_was_not_written_can_not_be_played() -> None:
    found = texts(
        {"do": "end_time_out", "name": "none", "expect": {"allowed": False}},
        {"do": "strike", "line": "none", "reason": "x"},
    )
    assert found[1] == ["step: can't be played: the step named `none` wrote no line"]


def test_a_new_finding_differs_unless_it_is_expected() -> None:
    steps: list[dict[str, object]] = [
        {"do": "time_out", "team": "A"},
        {"do": "point", "team": "A", "name": "one"},
        {"do": "substitution", "team": "A", "name": "change", "pairs": [{"in": 6, "out": 9}]},
        {"do": "substitution", "team": "A", "pairs": [{"in": 9, "out": 6}], "same_request": True},
    ]
    teams = json.loads(json.dumps(TEAMS))
    teams["A"]["players"] = [4, 9, 7, 12, 2, 15, 6]
    strike: dict[str, object] = {"do": "strike", "line": "change", "reason": "not made"}
    silent = texts(*steps, strike, teams=teams)
    assert silent[-1][0].startswith("findings: expected []")
    told = texts(*steps, {**strike, "expect": {"findings": ["already_on_court"]}}, teams=teams)
    assert told[-1] == []


def test_steps_of_the_crew_need_stations_and_get_them() -> None:
    script = parse(
        json.dumps(
            {
                "script": 1,
                "title": "t",
                "teams": TEAMS,
                "start": START,
                "runs": [
                    {
                        "profiles": ["INT"],
                        "steps": [{"do": "hold", "by": "scorer", "reason": "still writing"}],
                    }
                ],
            }
        )
    )
    assert needs_crew(script.runs[0])
    assert isinstance(stage_for(script, script.runs[0], "INT"), CrewStage)


def test_a_hold_is_seen_by_all_and_let_go_by_its_owner() -> None:
    found = texts(
        {
            "do": "hold",
            "by": "scorer",
            "reason": "still writing",
            "expect": {"open_notices": ["hold_service"]},
        },
        {"do": "check", "by": "R1", "expect": {"notices": [{"kind": "hold_service", "asked": ["R1"]}]}},
        {"do": "release", "by": "R2", "post": "scorer", "expect": {"allowed": False}},
        {"do": "release", "by": "scorer", "expect": {"open_notices": []}},
    )
    assert not any(found)


def test_a_notice_can_be_answered_by_its_kind() -> None:
    found = texts(
        {"do": "raise", "by": "R2", "kind": "check_sheet"},
        {"do": "answer", "by": "R1", "notice": "check_sheet"},
        {"do": "check", "by": "R2", "expect": {"notices": [{"kind": "check_sheet", "answered": ["R1"]}]}},
        {"do": "answer", "by": "R1", "notice": "medical"},
    )
    assert not any(found[:3])
    assert "none of that kind is open" in found[3][0]


def test_consent_needs_something_to_agree_to() -> None:
    found = texts({"do": "consent", "by": "R1"})
    assert "no step before led to a proposal" in found[0][0]


def test_an_official_who_says_no_changes_nothing() -> None:
    found = texts(
        {"do": "point", "team": "A"},
        {"do": "raise", "by": "scorer", "name": "server", "kind": "wrong_server", "team": "A", "player": 15},
        {"do": "consent", "by": "R1", "to": "server", "agree": False, "expect": {"score": [6, 5]}},
        {"do": "consent", "by": "R2", "to": "server", "for_post": "R1", "expect": {"score": [6, 5]}},
        {"do": "consent", "by": "R1", "to": "server", "expect": {"score": [5, 6]}},
    )
    assert not any(found)


def test_a_notice_not_answered_is_shown_again_after_its_time() -> None:
    found = texts(
        {"do": "raise", "by": "R2", "name": "sheet", "kind": "check_sheet"},
        {"do": "check", "by": "R1", "pause": 40, "expect": {"open_notices": ["check_sheet"]}},
        {
            "do": "withdraw",
            "by": "R1",
            "notice": "sheet",
            "reason": "looked at",
            "expect": {"open_notices": []},
        },
    )
    assert not any(found)


def test_a_post_that_nobody_holds_can_do_nothing() -> None:
    found = texts({"do": "hold", "by": "assistant", "reason": "x"}, posts=["scorer", "R2", "R1"])
    assert found[0][0].startswith("answer: expected allowed, got refused (no_such_post")


def test_what_other_posts_ask_for_is_written_by_the_first_post() -> None:
    found = texts(
        {"do": "time_out", "by": "R2", "team": "B", "name": "first", "expect": {"time_outs": {"B": 1}}},
        {"do": "hold", "by": "R2", "reason": "x"},
        {"do": "strike", "line": "first", "reason": "other team", "expect": {"time_outs": {"B": 0}}},
    )
    assert not any(found)
