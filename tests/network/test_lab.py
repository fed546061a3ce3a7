"""What must hold on any network the lab can make. Times are bounded only so that nothing hangs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.link.crew import ROOT
from tests.network import lab
from tests.network.hall import Crew, crew_of, folders, until
from tests.network.joining import FIRST_NEW
from tests.network.lab import Lab, lab_of
from tests.network.notices import CALM
from tests.network.place import address
from tests.network.switch import Gates, Weather

ASKED_IN_VAIN = 5  # three times and it gives up: these are two rounds
BAD = Weather(loss=0.3, delay=0.003, jitter=0.002)
COUNT = 10

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("lab_machine")]


def raise_notices(crew: Crew, count: int = COUNT) -> None:
    crew.stations[0].ask("call_all", count, 0.05, 0.0)


def all_answered(crew: Crew) -> bool:
    return crew.stations[0].ask("owing") == 0


def all_hold_the_same(crew: Crew) -> bool:
    return len(set(crew.held())) == 1


def is_alone(crew: Crew, port: int) -> bool:
    return not {"verified", "in sync"} & set(crew.state(port)["contacts"].values())


def test_stations_find_each_other_and_no_notice_is_lost_at_thirty_per_cent(tmp_path: Path) -> None:
    with crew_of(tmp_path, 3, 1, BAD) as crew:
        crew.begin_all()
        crew.settle()
        raise_notices(crew)
        until(lambda: all_answered(crew), "every notice answered by both")
        posted = [set(station.ask("times")["posted"]) for station in crew.stations[1:]]
        raised = set(crew.stations[0].ask("times")["raised"])
        assert len(raised) == COUNT and all(raised <= each for each in posted)


def test_a_partition_heals_and_loses_nothing(tmp_path: Path) -> None:
    with crew_of(tmp_path, 3, 2, CALM) as crew:
        crew.begin_all()
        crew.settle()
        crew.lab.part([0], [1, 2])
        raise_notices(crew)
        for station in crew.stations[1:]:
            station.ask("note_all", COUNT, 0)
        until(lambda: is_alone(crew, 0) and crew.linked([1, 2]), "the cut is noticed, the others go on")
        assert crew.stations[0].ask("owing") == COUNT
        crew.lab.heal()
        until(lambda: all_answered(crew), "every notice answered by both")
        until(lambda: crew.linked() and all_hold_the_same(crew), "all hold the same")


def test_without_multicast_the_person_is_told_and_a_typed_address_links(tmp_path: Path) -> None:
    with crew_of(tmp_path, 2, 3, CALM) as crew:
        crew.lab.gates(Gates(multicast=False))
        port = crew.begin(0)["port"]
        crew.begin(1)
        until(lambda: "type an address" in crew.state(1)["told"], "it is told what to do")
        crew.stations[1].ask("dial", f"{address(0)}:{port}")
        crew.settle()
        assert crew.state(1)["told"] == ""


def test_isolation_is_told_and_ends_well(tmp_path: Path) -> None:
    """The network lets stations hear of each other and stops them from talking."""
    with crew_of(tmp_path, 2, 4, CALM) as crew:
        crew.lab.gates(Gates(unicast=False))
        crew.begin_all()
        until(lambda: all(blocked(crew, port) for port in (0, 1)), "both say what is wrong")
        crew.lab.gates(Gates())
        crew.settle()


def blocked(crew: Crew, port: int) -> bool:
    """Whether a station tells its person that this network keeps devices from talking."""
    return "blocks devices" in crew.state(port)["told"]


def test_where_only_one_can_be_reached_it_passes_everything_on(tmp_path: Path) -> None:
    with crew_of(tmp_path, 3, 5, CALM) as crew:
        crew.lab.gates(Gates(unicast=False), [(0, 1), (0, 2)])
        crew.begin_all()
        until(lambda: crew.linked([0, 1]) and crew.linked([0, 2]), "both linked to the first")
        crew.stations[1].ask("call_all", COUNT, 0.05, 0.0)
        until(lambda: crew.stations[1].ask("owing") == 0, "every notice answered by both")
        assert not crew.linked([1, 2])


def test_without_datagrams_notices_pass_all_the_same(tmp_path: Path) -> None:
    with crew_of(tmp_path, 3, 6, Weather(loss=0.1, delay=0.003, jitter=0.002)) as crew:
        crew.lab.gates(Gates(udp=False))
        crew.begin_all()
        crew.settle()
        raise_notices(crew)
        until(lambda: all_answered(crew), "every notice answered by both")


def test_a_new_device_gets_in_when_all_it_sends_at_first_is_lost(tmp_path: Path) -> None:
    """Its system gives up asking for the host, and says that there is no way. Joining asks again."""
    with lab_of(2, 8, CALM) as hall:
        host, joiner = (hall.start(port, "tests.network.newcomer") for port in (0, 1))
        host.ask("begin", str(folders(tmp_path / "host", 1, 8)[0]), 1, [], True, False)
        port, secret = host.ask("show_code", "R2")
        joiner.ask("move", address(FIRST_NEW))
        hall.part([0], [1])
        before = frames_of(hall, 1)
        joiner.say("join", address(0), port, secret, str(tmp_path / "joiner"), True)
        until(lambda: frames_of(hall, 1) - before >= ASKED_IN_VAIN, "it has asked for the host in vain")
        hall.heal()
        admitted, in_sync, said = joiner.answer()
        assert admitted is not None and in_sync is not None, said
        for station in (joiner, host):
            station.ask("end")


def frames_of(hall: Lab, port: int) -> int:
    """How much has come in from a port so far."""
    return hall.counts()[port]["frames"]


KILLED = """
import sys, time
from pathlib import Path
from tests.network.hall import crew_of
with crew_of(Path(sys.argv[1]), 2, 7) as crew:
    crew.begin_all()
    print(*crew.lab.pids, flush=True)
    time.sleep(600)
"""


def test_elsewhere_the_lack_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lab.shutil, "which", lambda _tool: None)
    assert "needs Linux" in lab.missing.__wrapped__()


def test_a_run_that_is_killed_leaves_nothing(tmp_path: Path) -> None:
    command = [sys.executable, "-c", KILLED, str(tmp_path)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as run:
        try:
            assert run.stdout is not None
            pids = [int(word) for word in run.stdout.readline().split()]
            assert len(pids) == 3 and all(is_running(pid) for pid in pids)
        finally:
            run.kill()
    until(lambda: not any(is_running(pid) for pid in pids), "the switch and the stations end")


def is_running(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"
