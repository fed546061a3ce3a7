"""Open on one device, join on another: two real processes, real ports, over loopback."""

from __future__ import annotations

import json
import queue
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest

from protocol.pairing_code import check_digit

WAIT_S = 30.0


class Desk:
    """One device at set-up. `news`, `court`: the newest that it told."""

    def __init__(self, home: Path, name: str) -> None:
        self.news: dict[str, Any] = {}
        self.court: dict[str, Any] = {}
        self._heard: queue.SimpleQueue[dict[str, Any]] = queue.SimpleQueue()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.opening.desk_process", str(home), name],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def do(self, *act: Any) -> None:
        """Let the person at this device do something."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps({"do": act}) + "\n")
        self.process.stdin.flush()

    def until(self, happened: Callable[[], Any], what: str) -> Any:
        """Wait until something has happened here; gives it."""
        end = time.monotonic() + WAIT_S
        while not (found := happened()):
            left = end - time.monotonic()
            assert left > 0, f"{what} did not happen: {self.news}"
            self._take(left)
        return found

    def look(self) -> dict[str, Any]:
        """What the station holds now."""
        self.do("look")
        while True:
            line = self._heard.get(timeout=WAIT_S)
            if "look" in line:
                return dict(line["look"])
            self._keep(line)

    def close(self) -> int:
        """End it in order; a second time tells how it ended."""
        if self.process.returncode is not None:
            return self.process.returncode
        assert self.process.stdin is not None and self.process.stdout is not None
        self.process.stdin.close()
        status = self.process.wait(WAIT_S)
        self._reader.join(WAIT_S)
        self.process.stdout.close()
        return status

    def _take(self, left: float) -> None:
        try:
            self._keep(self._heard.get(timeout=min(left, 0.5)))
        except queue.Empty:
            assert self.process.poll() is None, "the device ended"

    def _keep(self, line: dict[str, Any]) -> None:
        self.news = line.get("news", self.news)
        self.court = line.get("court", self.court)

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._heard.put(json.loads(line))


@pytest.fixture
def device(tmp_path: Path) -> Iterator[Callable[[str], Desk]]:
    """`device("tablet")` starts a device; all are ended in order, and must end well."""
    started: list[Desk] = []

    def start(name: str) -> Desk:
        started.append(Desk(tmp_path / name, name))
        return started[-1]

    with ExitStack() as stack:
        yield start
        for desk in started:
            stack.callback(desk.process.kill)
        assert [desk.close() for desk in started] == [0] * len(started)
        stack.pop_all()


def opened(laptop: Desk, post: str) -> dict[str, Any]:
    """Open the court and show a code; gives the code."""
    laptop.do("open")
    laptop.until(lambda: laptop.news.get("opened"), "opening")
    laptop.do("show_code", post)
    return dict(laptop.until(lambda: laptop.news.get("code"), "the code"))


def local(address: str) -> str:
    """The same port on this machine's loopback."""
    return "127.0.0.1:" + address.rpartition(":")[2]


def joined(laptop: Desk, tablet: Desk, code: dict[str, Any], post: str) -> None:
    """Join by the typed code; the person at the laptop says yes."""
    tablet.do("join", [local(code["address"])], post)
    tablet.do("offer", code["digits"])
    knock = laptop.until(lambda: laptop.news.get("knock"), "the knock")
    assert knock["post"] == post
    laptop.do("admit", True)
    tablet.until(lambda: tablet.news.get("joining") == "joined", "joining")


def test_a_court_is_opened_here_and_joined_there(device: Callable[[str], Desk]) -> None:
    """After the code and one yes both stations are linked, know the names and hold one state."""
    laptop, tablet = device("laptop"), device("tablet")
    code = opened(laptop, "R2")
    assert len(code["digits"]) == 9 and check_digit(code["digits"]) == 0
    joined(laptop, tablet, code, "R2")
    laptop.until(lambda: ("R2", "linked") in reaches(laptop), "R2 is linked")
    tablet.until(lambda: ("scorer", "linked") in reaches(tablet), "the scorer is linked")
    tablet.until(lambda: tablet.court.get("court") == "Court 7", "the names")
    assert tablet.court["a"]["name"] == "Harbour Kites"
    assert tablet.court["post"] == "R2"
    laptop.until(lambda: laptop.news.get("code") is None, "the code is gone")
    tablet.until(lambda: tablet.look()["digest"] == laptop.look()["digest"] != "", "one state")


def test_the_whole_crew_keeps_what_is_written(device: Callable[[str], Desk]) -> None:
    """Devices let in one after the other all vote: what the table writes stands on three of three."""
    laptop, tablet, wrist = device("laptop"), device("tablet"), device("wrist")
    joined(laptop, tablet, opened(laptop, "R2"), "R2")
    laptop.until(lambda: ("R2", "linked") in reaches(laptop), "R2 is linked")
    laptop.do("show_code", "R1")
    code = laptop.until(lambda: laptop.news.get("code"), "the second code")
    joined(laptop, wrist, code, "R1")
    laptop.until(lambda: ("R1", "linked") in reaches(laptop), "R1 is linked")
    laptop.do("toss")
    laptop.until(lambda: saved(laptop) == {"here": True, "on": 3, "of": 3, "waiting": 0}, "on 3 of 3")
    wrist.until(lambda: wrist.court.get("phase") == "line_ups", "the toss at R1")


def saved(desk: Desk) -> dict[str, Any]:
    """How safe the newest entry is, without how long one has waited for the disk."""
    return {name: value for name, value in desk.court["saved"].items() if name != "waited"}


def reaches(desk: Desk) -> set[tuple[str, str]]:
    return {(member["post"], member["reach"]) for member in desk.news.get("crew", ())}


def test_a_wrong_code_is_counted_and_nobody_is_let_in(device: Callable[[str], Desk]) -> None:
    """The joiner hears why, the host sees one try less, and the right code still works."""
    laptop, tablet = device("laptop"), device("tablet")
    code = opened(laptop, "assistant")
    wrong = str((int(code["digits"][0]) + 1) % 10) + code["digits"][1:8]
    tablet.do("join", [local(code["address"])], "assistant")
    tablet.do("offer", wrong + str(check_digit(wrong)))
    tablet.until(lambda: tablet.news.get("joining") == "refused", "refusal")
    assert tablet.news["trouble"] == "The code is not the one on the other screen. Type it again."
    laptop.until(lambda: (laptop.news.get("code") or {}).get("tries") == 2, "one try less")
    joined(laptop, tablet, code, "assistant")


def test_a_device_that_is_told_no_stays_outside(device: Callable[[str], Desk]) -> None:
    laptop, tablet = device("laptop"), device("tablet")
    code = opened(laptop, "R1")
    tablet.do("join", [local(code["address"])], "R1")
    tablet.do("offer", code["digits"])
    laptop.until(lambda: laptop.news.get("knock"), "the knock")
    laptop.do("admit", False)
    tablet.until(lambda: tablet.news.get("joining") == "refused", "refusal")
    assert tablet.news["trouble"] == "The other device said no."
    assert ("R1", "unfilled") in reaches(laptop)


def test_the_square_joins_without_typing(device: Callable[[str], Desk]) -> None:
    """What a camera reads from the square holds address and secret."""
    laptop, tablet = device("laptop"), device("tablet")
    code = opened(laptop, "R2")
    prefix, secret, address = code["square"].split("|")[:3]
    tablet.do("join", ["|".join((prefix, secret, local(address)))], "R2")
    laptop.until(lambda: laptop.news.get("knock"), "the knock")
    laptop.do("admit", True)
    tablet.until(lambda: tablet.news.get("joining") == "joined", "joining")


def test_nobody_at_an_address_says_so(device: Callable[[str], Desk]) -> None:
    tablet = device("tablet")
    tablet.do("join", ["127.0.0.1:9"], "R2")
    tablet.do("offer", "000000000")
    tablet.until(lambda: tablet.news.get("joining") == "refused", "refusal")
    assert tablet.news["trouble"] == (
        "No code is shown at that address now. Ask for a new one, or look at the address."
    )


def known_pair(device: Callable[[str], Desk]) -> tuple[Desk, Desk]:
    """Two devices that were in one crew, started again: the laptop has opened its next court."""
    laptop, tablet = device("laptop"), device("tablet")
    joined(laptop, tablet, opened(laptop, "R2"), "R2")
    laptop.until(lambda: ("R2", "linked") in reaches(laptop), "R2 is linked")
    tablet.until(lambda: ("scorer", "linked") in reaches(tablet), "the scorer is linked")
    tablet.until(lambda: tablet.court.get("court") == "Court 7", "the names")
    for desk in (laptop, tablet):
        assert desk.close() == 0
    again, waiting = device("laptop"), device("tablet")
    again.do("open")
    again.until(lambda: again.news.get("opened"), "opening")
    return again, waiting


def near(laptop: Desk) -> dict[str, Any]:
    """The guest that is near, once it is."""

    def found() -> dict[str, Any] | None:
        return next((one for one in laptop.news.get("guests", ()) if one["near"]), None)

    guest: dict[str, Any] = laptop.until(found, "the tablet is near")
    return guest


def test_a_known_device_comes_to_the_next_match_by_one_tap(device: Callable[[str], Desk]) -> None:
    """No code: one tap at the one that opens, one at the one that comes; both see court and words."""
    laptop, tablet = known_pair(device)
    guest = near(laptop)
    assert (guest["name"], guest["post"], guest["court"]) == ("tablet", "R2", "Court 7")
    laptop.do("invite", guest["device"], "R1")
    invited = tablet.until(lambda: tablet.news.get("invited"), "the invitation")
    assert (invited["court"], invited["post"], invited["name"]) == ("Court 7", "R1", "laptop")
    assert laptop.until(lambda: laptop.news.get("sign"), "the words") == f"Court 7: {invited['words']}"
    tablet.do("come", True)
    tablet.until(lambda: tablet.news.get("joining") == "joined", "joining")
    laptop.until(lambda: ("R1", "linked") in reaches(laptop), "R1 is linked")
    laptop.until(lambda: laptop.news.get("guests") == [], "it came")


def test_a_known_device_can_say_no_and_can_come_by_itself(device: Callable[[str], Desk]) -> None:
    laptop, tablet = known_pair(device)
    guest = near(laptop)
    laptop.do("invite", guest["device"], "R2")
    tablet.until(lambda: tablet.news.get("invited"), "the invitation")
    tablet.do("come", False)
    laptop.until(lambda: [one["said"] for one in laptop.news.get("guests", ())] == ["It said no."], "no")
    assert ("R2", "unfilled") in reaches(laptop)
    tablet.do("comes")
    laptop.do("invite", guest["device"], "R2")
    tablet.until(lambda: tablet.news.get("joining") == "joined", "joining")
    laptop.until(lambda: ("R2", "linked") in reaches(laptop), "R2 is linked")


def test_a_device_installed_anew_replaces_its_old_keys(device: Callable[[str], Desk], tmp_path: Path) -> None:
    laptop, tablet = known_pair(device)
    assert tablet.close() == 0
    shutil.rmtree(tmp_path / "tablet")
    anew = device("tablet")
    laptop.do("show_code", "R2")
    code = laptop.until(lambda: laptop.news.get("code"), "the code")
    joined(laptop, anew, code, "R2")

    def old() -> list[bool]:
        return [one["replaced"] for one in laptop.news.get("guests", ())]

    laptop.until(lambda: old() == [True], "the old keys are shown as replaced")
    laptop.do("take_out", laptop.news["guests"][0]["device"])
    laptop.until(lambda: laptop.news.get("guests") == [], "taken out")
