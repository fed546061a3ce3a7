"""What `--explain` says: in the words of officials, with everybody's next duty."""

from __future__ import annotations

import json

import pytest

from crewlink.script.explain import explained
from crewlink.script.player import play
from crewlink.script.reading import parse
from crewlink.script.rehearse import stage_for
from tests.script.test_player import START
from tests.script.test_reading import TEAMS

DECIDING = {**START, "set": 5, "set_scores": [[25, 20], [20, 25], [25, 20], [20, 25]], "score": [7, 5]}


def said(*steps: dict[str, object], **more: object) -> str:
    runs = [{"profiles": ["INT"], "steps": list(steps)}]
    plain = {"script": 1, "title": "t", "teams": TEAMS, "start": START, "runs": runs, **more}
    script = parse(json.dumps(plain))
    played = play(script.runs[0], stage_for(script, script.runs[0], "INT"))
    return "\n".join(explained(played[-1]))


@pytest.mark.parametrize(
    ("step", "more", "parts"),
    [
        (
            {"do": "point", "team": "A", "fault": "service_out", "player": 8},
            {},
            ["Table: point, team A, fault service out, player 8", "Point A. 6:5.", "A serves with 4"],
        ),
        (
            {"do": "wrong_server", "team": "A", "player": 15},
            {},
            [
                "[wrong_server, a fault]",
                "R1 decides:",
                "> wrong_server:",
                "(5:6, B serves with 1; rule 7.7.1)",
            ],
        ),
        (
            {"do": "time_out", "team": "A", "when": "after_whistle"},
            {},
            ["[after_whistle, improper request]", "no_sanction:", "R1: decide"],
        ),
        (
            {"do": "end_time_out"},
            {},
            ["[no_time_out, not allowed]", "Table: nothing is written"],
        ),
        (
            {"do": "substitution", "team": "A", "pairs": [{"in": 9, "out": 77}]},
            {},
            ["[not_on_court, not allowed]", "R2: wave it off; nothing is written"],
        ),
        (
            {"do": "card", "by": "R1", "team": "A", "player": 77, "card": "penalty"},
            {},
            ["77 is not on the list of team A", "R1: nothing is written"],
        ),
        (
            {"do": "delay", "team": "A"},
            {"start": {**START, "A": {**START["A"], "delays": 1}}},
            ["Delay penalty for team A: point and service to B."],
        ),
        (
            {"do": "hold", "by": "R2", "reason": "person on court"},
            {},
            [
                "R1: no whistle for the service while R2 holds it; R2 or R1 releases it",
                "notice: hold service (person on court) by R2: open, waits for R1",
            ],
        ),
        (
            {"do": "point", "team": "A"},
            {"start": DECIDING},
            [
                "A 8 : B 5, set 5, sets 2:2",
                "R1: change of courts",
                "R2: check both positions after the change",
            ],
        ),
        (
            {"do": "card", "by": "R1", "team": "A", "player": 9, "card": "expulsion"},
            {},
            [
                "R1: card, team A, player 9, card expulsion",
                "R2: before the service: Team A: 9 must be replaced.",
            ],
        ),
        (
            {"do": "time_out", "by": "R2", "team": "B"},
            {},
            ["R2: time the time-out"],
        ),
        (
            {"do": "point", "team": "A"},
            {"start": {**START, "score": [23, 5]}},
            ["R2: show set point for A"],
        ),
        (
            {"do": "line_up", "team": "A", "positions": [4, 4, 7, 12, 2, 15], "captain": 4},
            {"start": None},
            ["box 2: 4 is in box 1 and in box 2.", "R1: toss with both captains", "line-up of team B"],
        ),
        (
            {"do": "incomplete", "team": "A", "scope": "match"},
            {},
            ["match won by B, sets 0:3 (5:25, 0:25, 0:25)", "signatures in this order: scorer, captain a"],
        ),
        (
            {"do": "raise", "by": "R2", "kind": "conduct", "team": "B", "player": 8},
            {},
            [
                "R2: raise, team B, kind conduct, player 8",
                "notice: conduct (Team B, number 8) by R2: open, waits for",
            ],
        ),
    ],
)
def test_said(step: dict[str, object], more: dict[str, object], parts: list[str]) -> None:
    text = said(step, **more)
    for part in parts:
        assert part in text, text
