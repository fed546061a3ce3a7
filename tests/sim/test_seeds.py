"""Three hundred seeds on every run, and proof that a seed is a run."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from tests.sim import profile as profiles
from tests.sim.counting import RARE, report
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
