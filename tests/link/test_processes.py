"""Whole stations in three processes of the system: they find each other, share all, and survive being
killed.
"""

import random
from pathlib import Path

import pytest

from tests.link.crew import Crew, Process, crew_of


def manual(process: Process) -> tuple[str, str]:
    return ("--manual", f"127.0.0.1:{process.port}")


def in_sync(crew: Crew) -> bool:
    """Whether each running station sees another one in sync, and the first of them sees all so."""
    states = [process.ask("state", "contacts") for process in crew.running.values()]
    running = {crew.identities[index].device.hex() for index in crew.running}
    first = {reach for device, reach in states[0].items() if device in running}
    return first == {"in sync"} and all("in sync" in contacts.values() for contacts in states)


def wait_in_sync(crew: Crew) -> None:
    crew.until(lambda: in_sync(crew), "all in sync")


def test_three_stations_meet_by_typed_addresses_and_share_everything(tmp_path: Path) -> None:
    with crew_of(tmp_path, 3) as crew:
        table = crew.start(0)
        for index in (1, 2):
            crew.start(index, *manual(table))
        wait_in_sync(crew)
        wrote = [process.ask("write 20", "wrote") for process in crew.running.values()]
        crew.settle(each for ids in wrote for each in ids)
        for process in crew.running.values():
            process.quit()


def test_three_stations_find_each_other_by_mdns(tmp_path: Path) -> None:
    with crew_of(tmp_path, 3) as crew:
        for index in range(3):
            crew.start(index, "--event", f"event of {tmp_path}")
        wait_in_sync(crew)
        for process in crew.running.values():
            assert process.ask("state", "finding") in ("working", "no network")
        wrote = crew.running[1].ask("write 5", "wrote")
        crew.settle(wrote)


@pytest.mark.parametrize("seed", range(3))
def test_a_killed_station_loses_nothing_and_all_agree_again(tmp_path: Path, seed: int) -> None:
    rng = random.Random(seed)
    with crew_of(tmp_path, 3, seed=seed) as crew:
        table = crew.start(0)
        for index in (1, 2):
            crew.start(index, *manual(table))
        wait_in_sync(crew)
        for _ in range(4):
            victim = rng.choice((1, 2))
            process = crew.running[victim]
            for each in crew.running.values():
                each.say("write 200")
            target = process.count_own() + rng.randrange(200)
            process.until(lambda: process.count_own() > target, "it saves")  # noqa: B023
            crew.kill(victim)
            for each in crew.running.values():
                each.wait_for("wrote")
            crew.start(victim, *manual(table))
        crew.settle(crew.everything_said_to_be_saved())


def test_the_opener_itself_is_killed_before_anyone_has_its_entries(tmp_path: Path) -> None:
    with crew_of(tmp_path, 2) as crew:
        alone = crew.start(0)
        wrote = alone.ask("write 50", "wrote")
        alone.until(lambda: set(wrote) <= alone.own, "saved")
        crew.kill(0)
        again = crew.start(0)
        crew.start(1, *manual(again))
        wait_in_sync(crew)
        crew.settle(wrote)


def test_stations_of_another_match_stay_apart(tmp_path: Path) -> None:
    """Same network, same event; even a typed address does not join two matches."""
    with crew_of(tmp_path / "a", 2, seed=1) as here, crew_of(tmp_path / "b", 1, seed=2) as there:
        event = ("--event", f"event of {tmp_path}")
        table = here.start(0, *event)
        here.start(1, *event)
        other = there.start(0, *event, *manual(table))
        wait_in_sync(here)
        other.ask("write 3", "wrote")
        here.settle()
        assert other.told == set()
        assert other.ask("state", "contacts") == {}
        assert all(len(process.ask("state", "contacts")) == 1 for process in here.running.values())


def test_same_keys_in_another_match_are_ignored(tmp_path: Path) -> None:
    """The crew's own devices, but one was given another match: keys fit, the match does not."""
    with (
        crew_of(tmp_path / "a", 2, seed=1, match=b"a" * 16) as here,
        crew_of(tmp_path / "b", 2, seed=1, match=b"b" * 16) as there,
    ):
        table = here.start(0)
        other = there.start(1, *manual(table))
        table.ask("write 3", "wrote")
        table_id = here.identities[0].device.hex()
        other.until(lambda: other.ask("state", "contacts")[table_id] != "unknown", "it called")
        assert other.told == set()
        assert "in sync" not in table.ask("state", "contacts").values()


def test_a_killed_station_is_no_longer_shown_as_heard_and_is_found_when_it_is_back(tmp_path: Path) -> None:
    """A killed station says no good-bye. It comes back on its old port: its announcement is the old one."""
    event = ("--event", f"event of {tmp_path}")
    with crew_of(tmp_path, 2) as crew:
        table = crew.start(0, *event)
        port = crew.start(1, *event).port
        other = crew.identities[1].device.hex()
        wait_in_sync(crew)
        crew.kill(1)
        table.until(lambda: table.ask("state", "contacts")[other] == "unknown", "no longer heard")
        crew.start(1, "--port", str(port), *event)
        wait_in_sync(crew)
