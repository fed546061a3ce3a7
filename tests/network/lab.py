"""A hall network of the test's own: a switch, and processes that each sit in a network at one of its ports.

Knows namespaces and processes. Nothing outlives a run: every process ends when its input does, the networks
end with the processes, and nothing has a name on this machine that would have to be removed.
"""

from __future__ import annotations

import contextlib
import functools
import json
import shutil
import subprocess
import sys
import threading
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from typing import Any

from tests.link.crew import ROOT
from tests.link.network import NEW_NETWORK
from tests.network.switch import CLEAR, Gates, Weather

ANSWER_SECONDS = 90.0
END_SECONDS = 10.0


class LabError(Exception):
    """A process of the lab ended or did not answer."""


class Child:
    """A process that obeys commands: a JSON array a line in, a JSON value a line out, in order."""

    def __init__(self, module: str, *arguments: str, within: Sequence[str] = ()) -> None:
        self.name = " ".join([module, *arguments])
        self._child = subprocess.Popen(
            [*within, sys.executable, "-X", "faulthandler", "-m", module, *arguments],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        self.pid = self._child.pid
        self._answers: deque[Any] = deque()
        self._news = threading.Condition()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def ask(self, *command: Any, within: float = ANSWER_SECONDS) -> Any:
        """Give a command and wait for its answer."""
        self.say(*command)
        return self.answer(within)

    def say(self, *command: Any) -> None:
        """Give a command; its `answer` is asked for later."""
        assert self._child.stdin is not None
        try:
            self._child.stdin.write(json.dumps(command).encode() + b"\n")
            self._child.stdin.flush()
        except BrokenPipeError:
            raise LabError(f"{self.name} has ended") from None

    def answer(self, within: float = ANSWER_SECONDS) -> Any:
        """The oldest answer that was not taken yet. Errors: LabError."""
        with self._news:
            self._news.wait_for(lambda: self._answers or not self._reader.is_alive(), within)
            if not self._answers:
                raise LabError(f"no answer from {self.name}")
            return self._answers.popleft()

    def close(self) -> None:
        """End it: by its input, or else by force."""
        assert self._child.stdin is not None and self._child.stdout is not None
        with contextlib.suppress(BrokenPipeError):
            self._child.stdin.close()
        try:
            self._child.wait(END_SECONDS)
        except subprocess.TimeoutExpired:
            self._child.kill()
            self._child.wait()
        self._reader.join(END_SECONDS)
        self._child.stdout.close()

    def _read(self) -> None:
        assert self._child.stdout is not None
        for line in self._child.stdout:
            with self._news:
                self._answers.append(json.loads(line))
                self._news.notify_all()
        with self._news:
            self._news.notify_all()


class Lab:
    """A switch with some ports, and children at them. `at`: words before a command that is to run there."""

    def __init__(self, ports: int, seed: int) -> None:
        self.ports = ports
        self.children: list[Child] = []
        self._switch = Child("tests.network.switch_process", str(ports), str(seed), within=["unshare", "-r"])
        try:
            self._networks: list[str] = self._switch.answer()
        except LabError:
            self._switch.close()
            raise

    def start(self, port: int, module: str, *arguments: str) -> Child:
        """A process at a port."""
        enter = ["nsenter", "-t", str(self._switch.pid), "-U", "--preserve-credentials"]
        within = [*enter, f"--net={self._networks[port]}"]
        child = Child(module, *arguments, within=within)
        self.children.append(child)
        return child

    @property
    def pids(self) -> list[int]:
        """Of the switch and of all children."""
        return [self._switch.pid, *(child.pid for child in self.children)]

    def weather(self, weather: Weather) -> None:
        self._switch.ask("weather", asdict(weather))

    def line(self, port: int, rate: float, queue: float) -> None:
        """Make the line of a port narrow: bytes a second, bytes of room."""
        self._switch.ask("line", port, rate, queue)

    def gates(self, gates: Gates, friends: Iterable[tuple[int, int]] = ()) -> None:
        self._switch.ask("gates", asdict(gates), [list(pair) for pair in friends])

    def part(self, *groups: Sequence[int]) -> None:
        self._switch.ask("part", groups)

    def heal(self) -> int:
        """End all partitions; when that was, in monotonic nanoseconds."""
        when: int = self._switch.ask("heal")[0]
        return when

    def counts(self) -> list[dict[str, int]]:
        """What came in from each port so far."""
        counts: list[dict[str, int]] = self._switch.ask("counts")[1]
        return counts

    def close(self) -> None:
        for child in self.children:
            child.close()
        self._switch.close()


@contextlib.contextmanager
def lab_of(ports: int, seed: int, weather: Weather = CLEAR) -> Iterator[Lab]:
    """A lab that is taken down whatever happens."""
    lab = Lab(ports, seed)
    try:
        lab.weather(weather)
        yield lab
    finally:
        lab.close()


@functools.cache
def missing() -> str:
    """What this machine lacks for a lab; empty when it has all."""
    if not all(shutil.which(tool) for tool in ("unshare", "nsenter", "ip")):
        return "the network lab needs Linux with unshare, nsenter and ip"
    test = "from tests.network.switch_process import new_network, tap; new_network(); tap(0)"
    made = subprocess.run(
        [*NEW_NETWORK, sys.executable, "-c", test], cwd=ROOT, capture_output=True, check=False
    )
    if made.returncode != 0:
        return "the network lab needs network namespaces and /dev/net/tun (root has both)"
    return ""
