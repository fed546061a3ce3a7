"""The table of the engine is complete: each command is answered, each fact is folded, names are stable."""

import typing

import pytest

from crewlink.match import commands, engine, facts
from crewlink.match.commands import UnknownCommand
from tests.match.playing import A, from_start


def test_each_command_has_its_topic() -> None:
    assert set(engine.DECIDE) == set(typing.get_args(commands.PlainCommand))


def test_each_fact_has_its_topic() -> None:
    assert set(engine.EVOLVE) == set(typing.get_args(facts.SimpleFact))


def test_names_on_the_wire() -> None:
    """Stored records are read by these names: renaming one breaks old matches."""
    assert {t.__struct_config__.tag for t in typing.get_args(facts.SimpleFact)} == {
        "team_listed", "toss_made", "line_up_given", "set_begun", "rally_won", "replayed",
        "time_out_taken", "technical_time_out_taken", "time_out_ended", "substituted",
        "libero_replaced", "libero_unable", "libero_named", "improper_requested", "delayed",
        "sanctioned", "courts_changed", "corrected", "stopped", "resumed", "set_restarted",
        "recovery_given", "declared_incomplete", "defaulted", "late_point", "protested",
        "protest_decided", "captain_named", "remarked",
    }  # fmt: skip


def test_a_command_of_a_newer_version_is_a_named_error() -> None:
    with pytest.raises(UnknownCommand, match="fly"):
        commands.from_wire(["fly", {}])
    with pytest.raises(UnknownCommand, match="point"):
        commands.from_wire(["point", {"team": "C"}])


def test_new_fields_of_a_known_fact_are_passed_over() -> None:
    fact = facts.from_wire(["time_out_ended", {"mood": "good"}])
    assert fact == facts.TimeOutEnded()


def test_a_known_fact_that_cannot_be_read_becomes_a_finding() -> None:
    fact = facts.from_wire(["rally_won", {"team": "C"}])
    assert isinstance(fact, facts.UnknownFact)
    after = engine.evolve(from_start().match, fact)
    assert [f.code for f in after.findings] == ["not_known"]
    assert after.score == (0, 0)


def test_reasons_are_kept_with_the_correction() -> None:
    table = from_start()
    question = commands.WrongServer(A, 15)
    table.do(commands.Choose(question, "wrong_server", "seen by R2"))
    fact = table.chain.lines[-1].fact
    assert isinstance(fact, facts.Corrected)
    assert (fact.reason, fact.set_number, fact.before) == ("seen by R2", 1, (0, 0))
