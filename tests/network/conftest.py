"""What the tests of the network lab share."""

from __future__ import annotations

import pytest

from tests.network.lab import missing


@pytest.fixture(scope="session")
def lab_machine() -> None:
    """This machine can build a lab; else the test is skipped and says why."""
    lack = missing()
    if lack:
        pytest.skip(lack)
