"""A short soak of real processes and real kills; and that a loss would be seen."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from protocol.store import Store
from tests.link.parts import MATCH, row
from tests.link.soak import Lost, Tally, check_file, soak

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="stations are forked here")


@posix_only
def test_a_dozen_kills_lose_nothing_and_all_agree() -> None:
    tally, told = Tally(), list[int]()
    soak(12, 1, tally, lambda now: told.append(now.kills))
    assert tally.kills == told[-1] >= 12
    assert tally.checks == len(told) and tally.shown > 0
    assert tally.files_read == tally.kills == sum(tally.phases.values())


@posix_only
def test_a_soak_ends_when_its_time_is_over() -> None:
    tally = Tally()
    soak(1000, 2, tally, lambda now: None, minutes=0.0)
    assert tally.kills == 0
    soak(1000, 2, tally, lambda now: None, minutes=0.001)
    assert 0 < tally.kills < 100 and tally.checks == 1


def test_a_file_that_lacks_what_was_shown_is_a_loss(tmp_path: Path) -> None:
    file = tmp_path / "match.sqlite"
    store = Store.open(file, MATCH)
    store.start(lambda trouble: None)
    store.commit([row(1), row(2)], lambda: None)
    store.close()
    shown = {row(number).id.hex() for number in (1, 2)}
    assert check_file(file, shown) == shown
    with pytest.raises(Lost, match="lacks 1 of 3"):
        check_file(file, {*shown, row(3).id.hex()})
    with pytest.raises(Lost, match="lacks 2 of 2"):
        check_file(tmp_path / "none.sqlite", shown)
