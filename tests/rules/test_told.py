"""Values that are only told to people: who signs, in which order; and all that no program part computes with.

Each value that the page calls "told" stands in the table of values with its source.
"""

from __future__ import annotations

import json

import pytest

from crewlink.rules.coverage import TOLD
from crewlink.rules.loading import SHIPPED
from crewlink.script.explain import explained
from crewlink.script.player import play
from crewlink.script.reading import parse
from crewlink.script.rehearse import stage_for
from tests.published.test_rule_values import VALUES
from tests.script.test_player import START
from tests.script.test_reading import TEAMS

INTERNATIONAL = "scorer, captain a, captain b, R2, R1"
US = "coach a, coach b, R1"


@pytest.mark.parametrize(
    ("profile", "signers"), [("INT", INTERNATIONAL), ("USJ", US), ("USC", US), ("OLD", INTERNATIONAL)]
)
def test_who_signs_at_the_end(profile: str, signers: str) -> None:
    """FIVB Official Volleyball Rules 2013-2016, 25.2.3.3 (referees from memory); US: common practice."""
    last = 2 if profile == "USJ" else 3
    start = {**START, "set": last, "score": [24, 5], "set_scores": [[25, 20]] * (last - 1)}
    runs = [{"profiles": [profile], "steps": [{"do": "point", "team": "A"}]}]
    plain = {"script": 1, "title": "t", "teams": TEAMS, "start": start, "runs": runs}
    script = parse(json.dumps(plain))
    played = play(script.runs[0], stage_for(script, script.runs[0], profile))
    assert f"signatures in this order: {signers}" in "\n".join(explained(played[-1]))


@pytest.mark.parametrize("path", sorted(TOLD))
def test_a_told_value_is_held_to_its_book(path: str) -> None:
    assert {profile for profile, known, *_ in VALUES if known == path} == set(SHIPPED)
