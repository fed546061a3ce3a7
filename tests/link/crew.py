"""Stations in processes of their own, driven and watched from the test."""

from __future__ import annotations

import contextlib
import json
import random
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from protocol.identity import Identity
from protocol.roster import Invitation, Member
from tests.link.nursery import ROOT, Nursery

POSTS = ("scorer", "R1", "R2", "assistant", "site")
WAIT = 60.0


def invite(identities: Sequence[Identity], match: bytes) -> Invitation:
    """All of them, the first one as opener, posts in the order of POSTS."""
    members = tuple(
        Member(each.device, each.public_key, each.tls_cert, each.binding, post)
        for each, post in zip(identities, POSTS, strict=False)
    )
    return Invitation(match, identities[0].device, members)


class Process:
    """One running station. What it reports is kept; `ask` waits for the answer of a command.

    `within`: words before the command, such as those that enter a network namespace. `nursery`: what forks it
    instead of starting it from nothing. `ready`: wait until it listens.
    """

    def __init__(
        self,
        folder: Path,
        *options: str,
        within: Sequence[str] = (),
        nursery: Nursery | None = None,
        ready: bool = True,
    ) -> None:
        self.own: set[str] = set()
        self.told: set[str] = set()
        self._reports: list[dict[str, Any]] = []
        self._news = threading.Condition()
        place = str(folder)
        self._child = nursery.start(place, *options) if nursery else _from_nothing(place, options, within)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        self.pid = self._child.pid
        self.port: int = self.wait_for("port") if ready else 0

    def wait_for(self, key: str) -> Any:
        """The next report that holds this key; it is used up."""
        deadline = time.monotonic() + WAIT
        with self._news:
            while True:
                for index, report in enumerate(self._reports):
                    if key in report:
                        del self._reports[index]
                        return report[key]
                left = deadline - time.monotonic()
                assert left > 0 and (self._reader.is_alive() or self._child.poll() is None), f"no {key!r}"
                self._news.wait(min(left, 0.5))

    def ask(self, command: str, key: str) -> Any:
        self.say(command)
        return self.wait_for(key)

    def say(self, command: str) -> None:
        assert self._child.stdin is not None
        self._child.stdin.write(command + "\n")
        self._child.stdin.flush()

    def count_own(self) -> int:
        with self._news:
            return len(self.own)

    def count_told(self) -> int:
        """How many entries of others it has said to be saved."""
        with self._news:
            return len(self.told)

    def has_told(self, key: str) -> bool:
        """Whether a report with this key waits to be used."""
        with self._news:
            return any(key in report for report in self._reports)

    def until(self, condition: Callable[[], bool], what: str) -> None:
        """Wait, looking again at each report and a few times a second."""
        deadline = time.monotonic() + WAIT
        with self._news:
            while not condition():
                assert time.monotonic() < deadline, f"not within {WAIT} s: {what}"
                self._news.wait(0.05)

    def strike(self) -> None:
        """End it as a power cut would, and do not wait."""
        self._child.kill()

    def kill(self) -> None:
        """As a power cut would end it; returns when all it had said is read."""
        self._child.kill()
        self._finish()

    def quit(self) -> None:
        """End it in good order."""
        self.say("quit")
        self.wait_for("ended")
        self._finish()
        assert self._child.returncode == 0

    def close(self) -> None:
        """End it somehow, if it runs."""
        if self._child.poll() is None:
            self._child.kill()
        self._finish()

    def _finish(self) -> None:
        self._child.wait(WAIT)
        self._reader.join(WAIT)
        for pipe in (self._child.stdin, self._child.stdout):
            assert pipe is not None
            with contextlib.suppress(BrokenPipeError):
                pipe.close()

    def _read(self) -> None:
        assert self._child.stdout is not None
        for line in self._child.stdout:
            if not line.endswith("\n"):
                continue
            report = json.loads(line)
            with self._news:
                if report.get("told") == "own":
                    self.own.update(report["ids"])
                elif "told" in report:
                    self.told.update(report["ids"])
                else:
                    self._reports.append(report)
                self._news.notify_all()


def _from_nothing(folder: str, options: Sequence[str], within: Sequence[str]) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [*within, sys.executable, "-m", "tests.link.station_process", folder, *options],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


class Crew:
    """Some stations of one match, each with its folder; started, killed and started again."""

    def __init__(
        self,
        folder: Path,
        size: int,
        *,
        seed: int = 1,
        match: bytes | None = None,
        nursery: Nursery | None = None,
    ) -> None:
        rng = random.Random(seed)
        self.identities = [Identity.create(rng.randbytes) for _ in range(size)]
        self.invitation = invite(self.identities, match or rng.randbytes(16))
        self.folders = [folder / post for post in POSTS[:size]]
        for identity, place in zip(self.identities, self.folders, strict=True):
            identity.save(place)
            self.invitation.save(place / "invitation.json")
        self.running: dict[int, Process] = {}
        self.own: set[str] = set()
        self._nursery = nursery

    def start(self, index: int, *options: str, within: Sequence[str] = (), ready: bool = True) -> Process:
        folder = self.folders[index]
        process = Process(folder, *options, within=within, nursery=self._nursery, ready=ready)
        self.running[index] = process
        return process

    def kill(self, *indexes: int) -> list[Process]:
        """Kill these stations, all of them before any is looked at."""
        killed = [self.running.pop(index) for index in indexes]
        for process in killed:
            process.strike()
        for process in killed:
            process.kill()
            self.own |= process.own
        return killed

    def everything_said_to_be_saved(self) -> set[str]:
        return self.own.union(*(process.own for process in self.running.values()))

    def settle(self, wanted: Iterable[str] = ()) -> list[set[str]]:
        """Wait until all running stations hold the same, these ids among it; the ids that each holds."""
        needed = set(wanted)
        deadline = time.monotonic() + WAIT
        while True:
            vectors = [process.ask("vector", "vector") for process in self.running.values()]
            if all(vector == vectors[0] for vector in vectors):
                held = [set(process.ask("ids", "ids")) for process in self.running.values()]
                if all(ids == held[0] >= needed for ids in held):
                    return held
            assert time.monotonic() < deadline, f"journals differ: {vectors}"

    def until(self, condition: Callable[[], bool], what: str) -> None:
        next(iter(self.running.values())).until(condition, what)

    def close(self) -> None:
        for process in self.running.values():
            process.close()


@contextlib.contextmanager
def crew_of(
    folder: Path, size: int, *, seed: int = 1, match: bytes | None = None, nursery: Nursery | None = None
) -> Iterator[Crew]:
    crew = Crew(folder, size, seed=seed, match=match, nursery=nursery)
    try:
        yield crew
    finally:
        crew.close()
