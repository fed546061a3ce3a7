"""Bad scripts: one clear sentence with file, place, reason and what is allowed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crewlink.script.reading import STEPS, ScriptError, load, parse

TEAMS = {
    "A": {"name": "Harbour Lights", "players": [4, 9, 7, 12, 2, 15], "captain": 4},
    "B": {"name": "Mill Lane", "players": [8, 1, 10, 5, 14, 3], "captain": 8},
}


def script(*steps: object, **more: object) -> str:
    runs = [{"profiles": ["INT"], "steps": list(steps)}]
    return json.dumps({"script": 1, "title": "t", "teams": TEAMS, "runs": runs, **more})


def complaint(text: str) -> ScriptError:
    with pytest.raises(ScriptError) as caught:
        parse(text, "bad.json")
    return caught.value


def test_a_plain_script_is_read() -> None:
    read = parse(script({"do": "point", "team": "A"}))
    assert read.runs[0].steps[0].by == "scorer"


def test_no_json_names_line_and_column() -> None:
    error = complaint('{"script": 1,\n "title": }')
    assert str(error).startswith("bad.json: line 2, column 11: is not JSON here")


def test_an_unknown_field_names_step_and_what_is_allowed() -> None:
    error = complaint(script({"do": "point", "team": "A"}, {"do": "point", "teem": "A", "team": "A"}))
    assert error.place == "run 1, step 2"
    assert "unknown field `teem`" in error.reason
    assert "do, by, name, note, pause, wait, expect, team, fault, player" in error.reason


def test_a_missing_field_names_the_step() -> None:
    error = complaint(script({"do": "delay"}))
    assert (error.place, error.reason) == ("run 1, step 1", "the field `team` is missing")


def test_an_unknown_step_lists_the_steps() -> None:
    error = complaint(script({"do": "goal", "team": "A"}))
    assert error.place == "run 1, step 1, do"
    assert '"goal"' in error.reason
    assert all(name in error.reason for name in STEPS)


def test_a_step_without_do_says_so() -> None:
    error = complaint(script({"team": "A"}))
    assert error.place == "run 1, step 1"
    assert "`do`" in error.reason


def test_a_word_that_is_none_of_a_few_lists_them() -> None:
    error = complaint(script({"do": "card", "team": "A", "player": 9, "card": "green"}))
    assert error.place == "run 1, step 1, card"
    assert '"green"' in error.reason
    assert all(word in error.reason for word in ("warning", "penalty", "expulsion", "disqualification"))


def test_an_unknown_post_and_team_list_what_is_allowed() -> None:
    error = complaint(script({"do": "point", "team": "C"}))
    assert error.reason.endswith('allowed: "A", "B"')
    error = complaint(script({"do": "point", "team": "A", "by": "coach"}))
    assert '"R2"' in error.reason


def test_a_wrong_kind_of_value_inside_expect() -> None:
    error = complaint(script({"do": "point", "team": "A", "expect": {"score": [1, "two"]}}))
    assert error.place == "run 1, step 1, expect, score[2]"
    assert "a whole number" in error.reason
    assert '"two"' in error.reason


def test_unknown_expectation_lists_the_known_ones() -> None:
    error = complaint(script({"do": "point", "team": "A", "expect": {"scores": [1, 0]}}))
    assert error.place == "run 1, step 1, expect"
    assert "set_scores" in error.reason


def test_unknown_profile_in_a_run() -> None:
    text = script({"do": "begin_set"}).replace('"INT"', '"WORLD"')
    error = complaint(text)
    assert error.place == "run 1, profiles[1]"
    assert '"USJ"' in error.reason


def test_player_and_member_exclude_each_other() -> None:
    for who in ({}, {"player": 9, "member": "coach"}):
        error = complaint(script({"do": "card", "team": "A", "card": "penalty", **who}))
        assert error.place == "run 1, step 1"
        assert "either `player`" in error.reason


def test_a_libero_on_court_needs_a_partner() -> None:
    start = {
        "serves": "A",
        "A": {"positions": [4, 9, 7, 12, "L20", 15]},
        "B": {"positions": [8, 1, 10, 5, 14, 3]},
    }
    error = complaint(script({"do": "begin_set"}, start=start))
    assert error.place == "start, A"
    assert "`libero_for`" in error.reason


def test_six_positions_are_needed() -> None:
    step = {"do": "line_up", "team": "A", "positions": [4, 9, 7, 12, 2]}
    error = complaint(script(step))
    assert error.place == "run 1, step 1, positions"
    assert "6" in error.reason


def test_a_field_written_twice() -> None:
    error = complaint('{"script": 1, "script": 1}')
    assert "`script` is written twice" in error.reason


def test_a_reference_to_a_step_that_is_not_there() -> None:
    error = complaint(script({"do": "strike", "line": "first", "reason": "typed wrongly"}))
    assert error.place == "run 1, step 1, line"
    assert "`first`" in error.reason


def test_a_name_given_twice() -> None:
    point = {"do": "point", "team": "A", "name": "x"}
    error = complaint(script(point, point))
    assert error.place == "run 1, step 2, name"


def test_a_newer_format_is_refused() -> None:
    error = complaint(script({"do": "begin_set"}).replace('"script": 1', '"script": 2'))
    assert error.place == "script"


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(ScriptError, match="can't be read"):
        load(tmp_path / "missing.json")
    odd = tmp_path / "odd.json"
    odd.write_bytes(b'{"script": "\xff"}')
    with pytest.raises(ScriptError, match="UTF-8"):
        load(odd)


def test_deep_nesting_is_refused() -> None:
    assert "nested too deeply" in complaint("[" * 100_000).reason


def test_json_faults_are_told_in_plain_words() -> None:
    assert complaint('{"script": 1\n "title": "t"}').reason == (
        "is not JSON here: a comma or a closing bracket is missing"
    )
    assert "comma too many" in complaint('{"script": 1,}').reason + complaint("[1,]").reason
    assert complaint(" \n").reason.startswith("is empty")


def test_a_field_written_twice_names_the_step() -> None:
    text = script({"do": "begin_set"}, {"do": "point", "team": "A"}).replace(
        '"do": "point"', '"do": "point", "do": "delay"'
    )
    error = complaint(text)
    assert (error.place, error.reason) == (
        "run 1, step 2",
        "the field `do` is written twice here; write it once",
    )


SIX = {"A": {"positions": [4, 9, 7, 12, 2, 15]}, "B": {"positions": [8, 1, 10, 5, 14, 3]}}


def start(**changes: object) -> dict[str, object]:
    return {"serves": "A", **SIX, **changes}


@pytest.mark.parametrize(
    ("more", "place", "reason"),
    [
        ({"start": start(score="5:5")}, "start, score", "write two numbers in the order A, B: [5, 5]"),
        ({"start": start(score=[27, 10])}, "start, score", "can't stand at 27:10 in this format (under INT)"),
        ({"start": start(set=5, set_scores=[[25, 20]])}, "start, set_scores", "(4 results), or none; not 1"),
        ({"start": start(A={"positions": [4, 9, 7, 12, 2, 33]})}, "start, A, positions", "33 is not on the"),
        ({"start": start(A={"positions": [4, 9, 7, 12, 2, 2]})}, "start, A, positions", "2 is there twice"),
        (
            {"start": start(A={**SIX["A"], "cards": [{"player": 77, "card": "warning"}]})},
            "start, A, cards",
            "77",
        ),
        ({"start": start(A={**SIX["A"], "played": [77]})}, "start, A, played", "77 is not on the team list"),
        ({"start": start(A={**SIX["A"], "time_outs": 5})}, "start, A, time_outs", "0 to 2 are possible"),
        ({"format": {"best_of": 4}}, "format, best_of", "4 is not an odd number of sets"),
    ],
)
def test_a_set_up_that_cannot_be_played_says_where(more: dict[str, object], place: str, reason: str) -> None:
    error = complaint(script({"do": "begin_set"}, **more))
    assert error.place == place
    assert reason in error.reason


def test_what_stands_in_the_run_is_named_with_the_run() -> None:
    plain = json.loads(script({"do": "begin_set"}))
    run = plain["runs"][0]
    plain["runs"] = [run, {**run, "start": start(score=[27, 10])}]
    assert complaint(json.dumps(plain)).place == "run 2, start, score"
    plain["runs"] = [{**run, "overrides": {"substitutions.max": 12}}]
    error = complaint(json.dumps(plain))
    assert (error.place, error.reason.split(";")[0]) == (
        "run 1, overrides",
        '"substitutions.max" is no value of a profile',
    )
    assert "per_set" in error.reason
    plain["runs"] = [{**run, "overrides": {"subs": 12}}]
    assert "sections are match, substitutions" in complaint(json.dumps(plain)).reason


def test_a_player_on_no_list_may_stand_there_to_be_found() -> None:
    begun = start(A={"positions": [4, 9, 7, 12, 2, 33]})
    step = {"do": "unlisted_player", "team": "A", "player": 33, "replacement": 15, "played": []}
    parse(script(step, start=begun))
    assert "33" in complaint(script({**step, "player": 34}, start=begun)).reason


def test_positions_in_expect_are_written_by_team() -> None:
    step = {"do": "begin_set", "expect": {"positions": [4, 9, 7, 12, 2, 15]}}
    assert 'write it by team: {"A": ..., "B": ...}' in complaint(script(step)).reason


@pytest.mark.parametrize(
    ("step", "place"),
    [
        ({"do": "raise", "kind": "heckling"}, "run 1, step 1, kind"),
        (
            {"do": "check", "expect": {"notices": [{"kind": "heckling"}]}},
            "run 1, step 1, expect, notices, kind",
        ),
        ({"do": "check", "expect": {"open_notices": ["heckling"]}}, "run 1, step 1, expect, open_notices"),
    ],
)
def test_a_kind_of_notice_that_is_not_there(step: object, place: str) -> None:
    error = complaint(script(step))
    assert error.place == place
    assert error.reason.startswith('no such kind of notice: "heckling"; kinds are wrong_server')


@pytest.mark.parametrize(
    ("expect", "field"),
    [
        ({"ruling": "righ_server"}, "ruling"),
        ({"proposal": {"suggested": "righ_server"}}, "proposal"),
        ({"proposal": {"options": {"righ_server": {}}}}, "proposal"),
        ({"findings": ["not_onlist"]}, "findings"),
        ({"owed": ["libro"]}, "owed"),
    ],
)
def test_a_code_that_nothing_bears(expect: object, field: str) -> None:
    error = complaint(script({"do": "check", "expect": expect}))
    assert error.place == f"run 1, step 1, expect, {field}"
    wanted = {"findings": "not_on_list", "owed": "libero"}.get(field, "right_server")
    assert f"near it: {wanted}" in error.reason
