"""Two whole stations on a cable of their own that is pulled, plugged in again, and given another address."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.link.crew import Crew, crew_of
from tests.link.network import NEW_NETWORK, beside_network, ip, needs_namespaces

HEALED_SECONDS = 10.0  # the design asks for 5; this machine may be busy

pytestmark = [pytest.mark.slow, needs_namespaces]


@contextmanager
def cabled(folder: Path) -> Iterator[Crew]:
    """Two stations that found each other over the cable: v0 at the first, v1 at the second."""
    with crew_of(folder, 2) as crew:
        first = crew.start(0, "--event", "cable", within=NEW_NETWORK)
        second = crew.start(1, "--event", "cable", within=beside_network(first.pid))
        ip(first.pid, "link add v0 type veth peer name v1", f"link set v1 netns {second.pid}")
        ip(first.pid, "addr add 10.9.9.1/24 dev v0", "link set v0 up")
        ip(second.pid, "addr add 10.9.9.2/24 dev v1", "link set v1 up")
        crew.until(lambda: both(crew, "in sync"), "linked over the cable")
        yield crew


def both(crew: Crew, *reaches: str) -> bool:
    """Whether each sees the other so."""
    seen = [process.ask("state", "contacts").values() for process in crew.running.values()]
    return all(reach in reaches for contacts in seen for reach in contacts)


def wait_apart(crew: Crew) -> None:
    crew.until(lambda: both(crew, "unknown", "heard", "blocked", "reachable"), "each knows that it is alone")


def test_a_pulled_cable_loses_nothing_and_heals_in_seconds(tmp_path: Path) -> None:
    with cabled(tmp_path) as crew:
        first = crew.running[0]
        ip(first.pid, "link set v0 down")
        wrote = [crew.running[index].ask("write 50", "wrote") for index in (0, 1)]
        wait_apart(crew)
        ip(first.pid, "link set v0 up")
        begin = time.monotonic()
        crew.settle(each for ids in wrote for each in ids)
        seconds = time.monotonic() - begin
        print(f"healed and settled after {seconds:.2f} s")
        assert seconds < HEALED_SECONDS


def test_a_station_that_gets_another_address_in_the_match_is_found_again(tmp_path: Path) -> None:
    with cabled(tmp_path) as crew:
        second = crew.running[1]
        ip(second.pid, "addr del 10.9.9.2/24 dev v1", "addr add 10.9.9.77/24 dev v1")
        wrote = [crew.running[index].ask("write 50", "wrote") for index in (0, 1)]
        crew.settle(each for ids in wrote for each in ids)
