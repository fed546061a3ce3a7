"""Where a crew was reached: kept, bounded, forgotten when stale; a crew restarts without multicast."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewlink.whereabouts import FILE_NAME, MOST_DEVICES, STALE_SECONDS, Met, Whereabouts, read, write
from protocol.address import Address

A, B = bytes(32), bytes([1]) * 32
HERE, THERE = Address("10.0.0.1", 5000), Address("10.0.0.2", 5000)


def test_what_was_linked_is_kept_and_the_stale_is_forgotten(tmp_path: Path) -> None:
    first = Whereabouts().linked(4001, 0.0, {A: (HERE, THERE)})
    later = first.linked(4001, STALE_SECONDS - 1, {B: (THERE,)})
    write(tmp_path, later)
    assert read(tmp_path) == later
    assert later.port == 4001
    assert later.known(STALE_SECONDS - 1) == {A: (HERE, THERE), B: (THERE,)}
    assert later.known(STALE_SECONDS) == {B: (THERE,)}
    assert set(later.linked(4001, STALE_SECONDS, {}).met) == {B.hex()}


def test_it_is_bounded_and_keeps_the_newest() -> None:
    kept = Whereabouts()
    for number in range(MOST_DEVICES + 9):
        kept = kept.linked(1, float(number), {bytes([number]) * 32: (HERE,) * 40})
    assert len(kept.met) == MOST_DEVICES
    assert bytes([MOST_DEVICES + 8]).hex() * 32 in kept.met
    assert {len(met.at) for met in kept.met.values()} == {8}


@pytest.mark.parametrize("text", ["", "{", '{"port": 70000}', '{"met": {"x": 1}}', "[]"])
def test_a_file_that_cannot_be_read_is_as_good_as_none(tmp_path: Path, text: str) -> None:
    (tmp_path / FILE_NAME).write_text(text)
    assert read(tmp_path) == Whereabouts()


def test_what_is_no_device_or_address_is_passed_over() -> None:
    odd = Whereabouts(1, {"zz": Met(["10.0.0.1:1"], 0.0), A.hex(): Met(["nowhere", "10.0.0.1:5000"], 0.0)})
    assert odd.known(1.0) == {A: (HERE,)}


def test_a_folder_that_is_gone_costs_nothing(tmp_path: Path) -> None:
    write(tmp_path / "none", Whereabouts())
    assert read(tmp_path / "none") == Whereabouts()
