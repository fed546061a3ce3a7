"""Three hundred seeds on every run, and proof that a seed is a run."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.sim import profile as profiles
from tests.sim.__main__ import Part, Task, play_part, show_one, told
from tests.sim.counting import RARE, report
from tests.sim.planted import PLANTED
from tests.sim.profile import PROFILES, Profile
from tests.sim.run import play
from tests.sim.said import UNEXCUSED

BATCH = 10
ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("start", range(0, 300, BATCH))
def test_no_invariant_breaks(start: int) -> None:
    written = 0
    for seed in range(start, start + BATCH):
        world, fault = play(seed)
        assert fault is None, f"python3 -m tests.sim --seed {seed}: {fault}"
        assert world.counts[UNEXCUSED] == 0
        written += world.counts["record written"]
    assert written > 0


@pytest.mark.parametrize("seed", range(5))
def test_a_seed_gives_the_same_run_again(seed: int) -> None:
    first, _ = play(seed)
    again, _ = play(seed)
    assert first.trace.hexdigest() == again.trace.hexdigest()


@pytest.mark.parametrize("seed", range(0, 40, 4))
def test_what_is_worked_out_once_changes_nothing(seed: int) -> None:
    once, _ = play(seed)
    afresh, _ = play(seed, afresh=True)
    assert once.trace.hexdigest() == afresh.trace.hexdigest()
    assert once.counts == afresh.counts


def test_a_seed_gives_the_same_run_in_another_process() -> None:
    """Also where Python hashes words otherwise, so that no order of a set or a dictionary leaks in."""
    said = [
        subprocess.run(
            [sys.executable, "-m", "tests.sim", "--seed", "7"],
            cwd=ROOT,
            env=os.environ | {"PYTHONHASHSEED": hashes},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for hashes in ("1", "2")
    ]
    assert said[0] == said[1] and "\ntrace " in said[0]


@pytest.mark.parametrize("name", [one.name for one in PROFILES if one.calm])
def test_in_a_calm_hall_nothing_is_set_aside(name: str) -> None:
    profile = next(one for one in PROFILES if one.name == name)
    for seed in range(3):
        world, fault = play(seed, profile)
        assert fault is None, f"python3 -m tests.sim --profile '{name}' --seed {seed}: {fault}"
        assert world.counts["record entries counted"] > 0
        assert world.counts["record entries set aside"] == 0


@pytest.mark.parametrize("profile", [profiles.CALM, profiles.LOSSY, profiles.PARTED, profiles.CRASHING])
@pytest.mark.parametrize("seed", range(2))
def test_time_only_displays(profile: Profile, seed: int) -> None:
    """The same hall with clocks that are days off and set by hours again and again: every station signs the
    same acts at the same moments.
    """
    right, no_fault = play(seed, replace(profile, skew=0.0))
    wrong, fault = play(seed, replace(profile, skew=200_000.0, set_every=0.5))
    assert no_fault is None and fault is None
    assert wrong.counts["wall clock set forward"] + wrong.counts["wall clock set back"] > 5
    assert right.acts == wrong.acts and len(right.acts) > 50


def test_the_report_names_every_rare_state_with_its_number() -> None:
    world, _ = play(3)
    lines = report(world.counts).splitlines()
    for name in RARE:
        assert f"  {world.counts[name]:9} {name}" in lines


def test_a_run_that_is_stopped_tells_what_it_has(capsys: pytest.CaptureFixture[str]) -> None:
    def parts() -> Iterator[Part]:
        yield Part(10, Counter({"certified take": 3}), ("seed 4 (calm, 2 stations): it broke",))
        yield Part(10, Counter({"certified take": 4}), ())
        raise KeyboardInterrupt

    assert told(parts(), 1000, None) == 1
    said = capsys.readouterr().out
    assert "seed 4 (calm, 2 stations): it broke" in said
    assert "20 seeds of the 1000 asked for: stopped early, 1 faults" in said
    assert f"  {7:9} certified take" in said


def test_the_time_that_is_given_ends_a_run(capsys: pytest.CaptureFixture[str]) -> None:
    parts = iter([Part(10, Counter(), ()), Part(10, Counter(), ())])
    assert told(parts, 20, 0.0) == 0
    assert "10 seeds of the 20 asked for: stopped early, 0 faults" in capsys.readouterr().out


def test_a_fault_is_told_with_the_command_that_shows_it_again() -> None:
    """Whoever has held the pen writes on: the seed that finds it says how to see it again."""
    (fault,) = _found_by("holder writes on", "stalling")
    assert fault.splitlines()[1].split("--seed ")[0] == "  again: python3 -m tests.sim --profile 'stalling' "
    seed = int(fault.rpartition(" ")[2])
    planted = next(one for one in PLANTED if one.name == "holder writes on")
    with planted.plant():
        assert show_one(seed, "stalling", afresh=False) == 1


def _found_by(name: str, profile: str) -> tuple[str, ...]:
    planted = next(one for one in PLANTED if one.name == name)
    for seed in range(60):
        with planted.plant():
            if faults := play_part(Task([seed], profile)).faults:
                return faults
    return ()
