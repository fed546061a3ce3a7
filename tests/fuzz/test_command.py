"""`python -m tests.fuzz`: its processes, its table, and what is left when a process dies."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.fuzz import __main__ as command
from tests.fuzz.board import Board, Counts
from tests.fuzz.targets import TARGETS, target


def test_a_short_run_prints_what_it_did(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["--inputs", "300", "--driver", "own", "--target", "typed addresses"]
    monkeypatch.setattr(sys, "argv", ["fuzz", *arguments])
    assert command.main() == 0
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "Inputs are mutated samples only."
    name, inputs, accepted, refused = said[2][:22].strip(), *said[2][22:].split()[:3]
    assert (name, inputs) == ("typed addresses", "300")
    assert int(accepted) + int(refused) == 300 and min(int(accepted), int(refused)) > 0
    assert said[3].startswith("300 inputs in ")


def test_shares_add_up_to_what_was_asked_for() -> None:
    for inputs in (1, 100, 1_000_000):
        shares = command.shares(list(TARGETS), inputs)
        assert sum(count for _, count in shares) >= inputs
        assert all(count >= 1 for _, count in shares)


def test_a_process_that_does_less_than_asked_for_is_a_failure(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A driver that does not exist ends the process at once; that must not look like a clean run."""
    monkeypatch.setattr(command, "FAILURES", tmp_path)
    assert command.fuzz(target("typed addresses"), 10, "no such driver", 1) is None
    assert "typed addresses: FAILED (code 2) at input 0" in capsys.readouterr().out
    assert len(list(tmp_path.iterdir())) == 1


def test_the_board_tells_the_last_input_of_a_process_that_died(tmp_path: Path) -> None:
    board = Board(tmp_path / "board", 100)
    board.begin(b"good")
    board.end(accepted=True, nanoseconds=5, peak=7)
    board.begin(b"deadly")
    after = Board(tmp_path / "board", 100)
    assert after.counts() == Counts(inputs=2, accepted=1, refused=0, slowest=5, peak=7)
    assert after.last_input() == b"deadly"
