"""Each value of each shipped profile matters to some case or test, or the page says why it is only told.

The whole hunt takes minutes (`python -m tests.rules.mutation`); here its result is held against the profiles
as they are, and the witnesses of a part of the changes are played again.
"""

import subprocess
import sys

import pytest

from crewlink.rules.coverage import TOLD
from crewlink.rules.loading import SHIPPED, shipped
from tests.match.playing import from_start
from tests.rules.mutants import Mutant, changed, mutants, played_under, values, words
from tests.rules.mutation import ROOT, load, unnoticed
from tests.rules.reading import noting

FOUND = load()


def test_the_hunt_knows_every_value_as_it_is() -> None:
    now = {name: {path: words(v) for path, v, _ in values(shipped(name).profile)} for name in SHIPPED}
    then = {name: {path: one.value for path, one in by.items()} for name, by in FOUND.items()}
    assert then == now, "run: python -m tests.rules.mutation --write"


def test_every_change_has_a_witness_or_a_reason() -> None:
    for mutant in mutants():
        one = FOUND[mutant.profile][mutant.path]
        assert mutant.shown in one.witness or mutant.path in TOLD, mutant


def test_what_the_page_calls_told_is_noticed_by_nothing() -> None:
    """A reason that is no longer needed goes."""
    assert {path for _, path, _ in unnoticed(FOUND)} == set(TOLD)
    assert all(not one.witness for by in FOUND.values() for path, one in by.items() if path in TOLD)


def test_witnesses_still_notice_their_changes() -> None:
    """A part of them, spread over all profiles; without `--every` the command plays them all."""
    command = [sys.executable, "-m", "tests.rules.mutation", "--confirm", "--every", "5"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=280, check=False)
    assert "no longer noticed" not in done.stdout
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]


@pytest.mark.parametrize("name", SHIPPED)
def test_each_value_but_a_lone_one_is_changed(name: str) -> None:
    """All values have at least one mutant, but an enum that has one member only."""
    hunted = {m.path for m in mutants() if m.profile == name}
    alone = {path for path, _, _ in values(shipped(name).profile)} - hunted
    assert alone == {"match.default_result"}


def test_a_mutant_differs_in_one_value_only() -> None:
    for mutant in mutants():
        plain = shipped(mutant.profile).profile
        before = {path: v for path, v, _ in values(plain)}
        after = {path: v for path, v, _ in values(changed(plain, mutant))}
        assert {path for path in before if before[path] != after[path]} == {mutant.path}


def test_play_under_a_mutant_and_back() -> None:
    with played_under(Mutant("INT", "match.points", 3)):
        table = from_start()
        table.rallies("AAA")
        assert table.match.sets[0].score == (3, 0)
        assert shipped("OLD").profile.match.points == 25
    assert shipped("INT").profile.match.points == 25


def test_reading_is_noted_by_profile_and_value() -> None:
    with noting() as read:
        from_start("USJ").rallies("A")
    assert {profile for profile, _ in read} == {"USJ"}
    assert ("USJ", "match.points") in read
    assert ("USJ", "faults.net_contact") not in read
