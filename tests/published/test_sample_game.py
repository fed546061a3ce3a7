"""A published sample game, step by step against the table of its source.

Ohio High School Athletic Association, Volleyball Rally Scoring Tutorial for Official Scorers, 2004 (the same
game is in the scorer training of the Indiana and Illinois associations). The last server is derived.
"""

from __future__ import annotations

from pathlib import Path

import demo_session
from crewlink.match.teams import Team
from crewlink.script.engine_stage import EngineStage
from crewlink.script.player import play
from crewlink.script.reading import load
from crewlink.script.steps.requests import EndTimeOut

SCRIPT = Path(demo_session.__file__).parent / "scripts" / "published_scorer_game.json"
TABLE = (
    ("B 5 serves, B wins three rallies", 0, 3, "B", 5),
    ("B 5 serves, B loses the rally", 1, 3, "A", 13),
    ("A 13 serves out", 1, 4, "B", 4),
    ("B 4 serves two aces", 1, 6, "B", 4),
    ("A substitutes 5 for 13", 1, 6, "B", 4),
    ("B 4 serves two more points", 1, 8, "B", 4),
    ("red card to B 3: point and service to A", 2, 8, "A", 14),
    ("A 14 serves three points", 5, 8, "A", 14),
    ("B takes its first time-out", 5, 8, "A", 14),
    ("B substitutes 13 for 3", 5, 8, "A", 14),
    ("A 14 serves three points", 8, 8, "A", 14),
    ("yellow card to B 12", 8, 8, "A", 14),
    ("A 14 serves, A loses the rally", 8, 9, "B", 13),
)


def test_the_game_goes_as_in_the_tutorial() -> None:
    script = load(SCRIPT)
    run = script.runs[0]
    played = [
        one
        for one in play(run, EngineStage(script.setup(run, "USJ")))
        if not isinstance(one.step, EndTimeOut)
    ]
    seen = [(*one.now.score, str(one.now.serves), one.now.server) for one in played]
    assert seen == [line[1:] for line in TABLE]


def test_counts_and_positions_at_the_end() -> None:
    script = load(SCRIPT)
    run = script.runs[0]
    now = play(run, EngineStage(script.setup(run, "USJ")))[-1].now
    assert now.positions.of(Team.A) == (14, 15, 20, 21, 22, 5)
    assert now.positions.of(Team.B) == (13, 12, 11, 10, 5, 4)
    assert (now.substitutions.a, now.substitutions.b, now.time_outs.a, now.time_outs.b) == (1, 1, 0, 1)


def test_the_script_names_its_source() -> None:
    assert load(SCRIPT).source[0].title.startswith("Ohio High School Athletic Association")
