"""The codes that a script may expect are those that the program gives, in its text and in play."""

from __future__ import annotations

import random

import pytest

from crewlink.match import history
from crewlink.script.codes import FINDINGS, OWED, RULINGS
from tests.match.any_command import any_command
from tests.match.likely import likely
from tests.match.playing import A as TEAM_A
from tests.match.playing import Table, from_start, in_middle
from tests.script import written_codes


def test_the_lists_are_those_of_the_program_text() -> None:
    assert written_codes.rulings() == RULINGS
    assert written_codes.findings() == FINDINGS
    assert written_codes.owed() == OWED


@pytest.mark.parametrize("profile", ["INT", "USJ", "USC", "OLD"])
def test_whatever_is_asked_is_answered_by_a_listed_code(profile: str) -> None:
    source = random.Random(f"codes {profile}")
    for table in (in_middle((23, 20), TEAM_A, profile), from_start(profile)):
        _play(table, source)


def _play(table: Table, source: random.Random) -> None:
    for _ in range(600):
        command = any_command(source) if source.random() < 0.3 else likely(table.match, source)
        decision = history.decide(table.chain, command)
        asked = decision.proposal
        assert decision.ruling.code in RULINGS, command
        assert asked is None or {asked.subject, *(one.code for one in asked.options)} <= RULINGS, command
        for fact in decision.facts:
            table.written += 1
            table.chain = table.chain.extend(table.written.to_bytes(32, "big"), fact)
        assert {finding.code for finding in table.match.findings} <= FINDINGS
        if table.match.finished:
            return
