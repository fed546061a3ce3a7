"""The full evening has all that a crew can be told and held by: read from the data, seen as it is played."""

from __future__ import annotations

from pathlib import Path

import pytest

import demo_session
from crewlink.crew.kinds import all_kinds
from crewlink.crew.life import State, state
from crewlink.crew.posts import Post
from crewlink.crew.ready import all_pauses
from crewlink.script.crew_stage import FIRST_STEP_MS, CrewStage
from crewlink.script.format import Script
from crewlink.script.player import Played, Player
from crewlink.script.reading import load
from crewlink.script.steps import corrections, crew, handing
from crewlink.script.steps.before import LineUp

PATH = Path(demo_session.__file__).parent / "scripts" / "full_evening.json"


class Evening:
    """The script as it was played over stations in one process, with what every station held on the way."""

    def __init__(self, script: Script) -> None:
        self.script, self.run = script, script.runs[0]
        setup = script.setup(self.run, self.run.profiles[0])
        stage = CrewStage(setup, script.posts, settings=script.event.settings(FIRST_STEP_MS))
        player, self.played = Player(self.run, stage), list[Played]()
        self.kinds, self.facts, self.ended = set[str](), set[str](), set[State]()
        for number, step in enumerate(self.run.steps, 1):
            self.played.append(player.one(number, step))
            for station in stage.stations.values():
                assert station.court is not None
                self.facts |= {line.fact[0] for line in station.court.lines}
                for notice in station.court.crew.notices.values():
                    if notice.raised is not None:
                        self.kinds.add(notice.raised.kind)
                        self.ended.add(state(notice, station.moment()))

    def steps(self, kind: type) -> list[object]:
        return [step for step in self.run.steps if isinstance(step, kind)]


@pytest.fixture(scope="module")
def evening() -> Evening:
    return Evening(load(PATH))


def test_it_plays_from_start_to_end_as_expected(evening: Evening) -> None:
    differing = [(one.number, str(found)) for one in evening.played for found in one.differences]
    assert differing == []
    assert sum(one.compared for one in evening.played) > 150


def test_every_kind_of_notice_is_raised(evening: Evening) -> None:
    assert evening.kinds == set(all_kinds())


def test_every_kind_is_looked_at_by_some_expectation(evening: Evening) -> None:
    looked = {
        notice.kind
        for step in evening.run.steps
        if step.expect is not None and isinstance(step.expect.notices, tuple)
        for notice in step.expect.notices
    }
    assert looked == set(all_kinds())


def test_every_reason_to_hold_the_service_is_given_and_seen_by_r1(evening: Evening) -> None:
    reasons = set(all_kinds()["hold_service"].details)
    given = {step.reason for step in evening.run.steps if isinstance(step, crew.Hold)}
    seen = {
        step.expect.reason
        for step in evening.run.steps
        if step.by is Post.R1 and step.expect is not None and isinstance(step.expect.reason, str)
    }
    assert reasons <= given and reasons <= seen


def test_every_kind_of_interruption_is_written(evening: Evening) -> None:
    missing = [name for name, pause in all_pauses().items() if not evening.facts & set(pause.facts)]
    assert missing == []


def test_notices_end_in_every_way(evening: Evening) -> None:
    assert evening.ended == set(State)


def test_late_crew_forgotten_line_up_injury_new_scorer_and_next_crew_are_in_it(evening: Evening) -> None:
    new = [step.post for step in evening.run.steps if isinstance(step, handing.NewDevice)]
    assert new == [Post.R1, Post.SCORER]
    assert [step.post for step in evening.run.steps if isinstance(step, handing.DeviceGone)] == [Post.SCORER]
    assert evening.steps(handing.NextMatch) and evening.steps(handing.GiveJob)
    assert evening.steps(handing.CutOff) and evening.steps(handing.WriteAlone)
    late = [
        notice.detail
        for step in evening.run.steps
        if step.expect is not None and isinstance(step.expect.notices, tuple)
        for notice in step.expect.notices
        if notice.kind == "late"
    ]
    assert "R1 is not here" in late and "Team B, Line-up of team B is late" in late
    assert len(evening.steps(LineUp)) >= 8
    assert {"stopped", "resumed"} <= evening.facts and "medical" in evening.kinds


def test_who_signed_and_the_lock_are_expected(evening: Evening) -> None:
    ends = [step.expect for step in evening.run.steps if step.expect is not None]
    assert any(one.locked is True and isinstance(one.signed, tuple) and len(one.signed) == 5 for one in ends)
    refused = {one.ruling for one in ends if one.allowed is False}
    wanted = {"sign_first", "not_their_turn", "finished_locked", "medical_post_only", "positions_differ"}
    assert wanted <= refused
    assert evening.steps(corrections.ChangePoint)


def test_answers_by_sign_are_told_apart(evening: Evening) -> None:
    by_sign = [
        notice.by_sign
        for step in evening.run.steps
        if step.expect is not None and isinstance(step.expect.notices, tuple)
        for notice in step.expect.notices
        if isinstance(notice.by_sign, tuple)
    ]
    assert (Post.R1,) in by_sign and () in by_sign
